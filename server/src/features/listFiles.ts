import { type DumpWords, LIST_FILES, type ListFilesResult } from '../../../shared-core/src/protocol/files.js';
import { wordsOfDump } from '../dumpWords.js';
import type { Feature } from '../feature.js';
import { pauses } from '../slices.js';

/** Files with more bytes than these are listed by their names alone, and so are dumps that come after so many others. */
const [LONGEST, MOST] = [1_000_000, 150];

const UNKNOWN: DumpWords = { vehicle: '', taken: '', module: '' };

/** The files from which a person chooses. */
export const listFiles: Feature = {
  capabilities: () => ({}),
  register: (connection, { analyzeFile, files, folders, say }) => {
    connection.onRequest<ListFilesResult, void>(LIST_FILES, async () => {
      const { dumps, retrofits, unlisted } = await files.list(folders());
      const pause = pauses();
      const listed: ListFilesResult['dumps'][number][] = [];
      for (const uri of dumps) {
        await pause();
        const read = listed.length < MOST ? await analyzeFile(uri, LONGEST) : undefined;
        listed.push({ uri, ...(read?.ok ? wordsOfDump(read.value.dump) : UNKNOWN) });
      }
      const titled: ListFilesResult['retrofits'][number][] = [];
      for (const uri of retrofits) {
        const read = await files.readFittingRetrofit(uri);
        titled.push({ uri, title: (read.kind === 'sound' && read.retrofit.title) || '' });
      }
      return { dumps: listed, retrofits: titled, unlisted: unlisted.map(say) };
    });
  },
};
