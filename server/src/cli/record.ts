import { join } from 'node:path';
import { phrase } from '../../../shared-core/src/base/index.js';
import {
  type NamedDump,
  namedDump,
  type RecordInput,
  vehicleRecord,
  withUnchecked,
} from '../../../shared-core/src/jobs/index.js';
import { type FileKind, resolveUri } from '../../../shared-core/src/workspace/index.js';
import { type Call, command, type Outcome } from './command.js';
import { cutShortIn } from './leftPlans.js';
import { uriOf } from './load.js';
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

async function recordFolder({ files, profile, disk, halfPlans }: Call<typeof OPTIONS>): Promise<Outcome> {
  const [folder = ''] = files;
  const ofKind = (kind: FileKind) => disk.within(folder, kind);
  const read: NamedDump[] = [];
  for (const name of await ofKind('dumps')) read.push(namedDump(name, await disk.load(join(folder, name), profile)));
  const pathIn = ({ name }: NamedDump) => join(folder, name);
  const cutShort = cutShortIn(disk, halfPlans(), read.map(pathIn));
  const dumps = read.map((one) => withUnchecked(one, cutShort(pathIn(one))));
  const retrofits: RecordInput['retrofits'][number][] = [];
  for (const name of await ofKind('retrofits')) {
    const uri = uriOf(join(folder, name));
    const file = await disk.workspace.readFittingRetrofit(uri, name);
    const changes = file.kind === 'sound' ? file.retrofit.changes : [];
    retrofits.push({ name, file, profileFiles: changes.map(({ profile: path }) => resolveUri(uri, path)) });
  }
  const { text, open, isWhole } = vehicleRecord(
    { dumps, retrofits, cards: await ofKind('cards'), now: new Date().toISOString() },
    (said) => say(said),
  );
  return {
    status: isWhole ? (open.length === 0 ? 0 : 1) : 2,
    document: { content: text, inJson: true },
    json: { dumps: dumps.map(({ name }) => name), open: open.map((said) => say(said)) },
  };
}
