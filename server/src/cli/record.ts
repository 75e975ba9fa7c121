import { join } from 'node:path';
import { type NamedDump, namedDump, phrase, readRetrofit, vehicleRecord } from '../../../shared-core/src/index.js';
import { type Call, command, type Outcome } from './command.js';
import type { Kind } from './load.js';
import { OUT, PROFILE } from './options.js';

import { say } from './say.js';

const OPTIONS = { ...PROFILE, ...OUT };

/** The record of a vehicle folder, computed from what lies in it. */
export const record = command({
  name: 'record',
  arguments: 'FOLDER',
  does: phrase('the record of a vehicle: its dumps, what changed between them, what is open'),
  options: OPTIONS,
  run: recordFolder,
});

async function recordFolder({ files, profile, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  const [folder = ''] = files;
  const ofKind = (kind: Kind) => disk.within(folder, kind);
  const dumps: NamedDump[] = [];
  for (const name of await ofKind('dumps')) dumps.push(namedDump(await disk.load(join(folder, name), profile), name));
  const retrofits: { name: string; title: string | undefined }[] = [];
  for (const name of await ofKind('retrofits')) {
    const { retrofit } = readRetrofit(await disk.readText(join(folder, name)));
    retrofits.push({ name, title: retrofit?.title });
  }
  const { text, open, isWhole } = vehicleRecord({ dumps, retrofits, cards: await ofKind('cards') }, (said) =>
    say(said),
  );
  return {
    status: isWhole ? (open.length === 0 ? 0 : 1) : 2,
    document: { content: text, inJson: true },
    json: { dumps: dumps.map(({ name }) => name), open: open.map((said) => say(said)) },
  };
}
