import type { LoadedDump } from '../checks/loadedDump.js';
import type { DumpBeside } from '../jobs/verify/anotherCar.js';
import { type Verification, verifyReadBack } from '../jobs/verify/verify.js';
import type { Dump } from '../model/dump.js';
import { canonicalUri, fileName, isUnsaved, parentUri } from './uri.js';
import type { Workspace } from './workspace.js';

/** More dumps in one folder are those of many vehicles, and reading them would take long. */
const MOST_BESIDE = 200;

/**
 * Compares a read-back, from a file, with the plan. Where it is not what was planned, the other dumps in the folder of the
 * plan are looked at too: it may be one of them.
 */
export async function verifyInFolder(
  files: Pick<Workspace, 'list' | 'readDump'>,
  { dump: planned, file, backup }: Pick<LoadedDump, 'dump' | 'file' | 'backup'>,
  read: { readonly file: string; readonly dump: Dump },
): Promise<Verification> {
  const found = backup.kind === 'read' ? backup.dump : undefined;
  const alone = verifyReadBack(planned, read.dump, found);
  if (alone.matches || alone.lines.length === 0 || isUnsaved(file)) return alone;
  const known = [file, read.file].map(canonicalUri);
  const { dumps } = await files.list([parentUri(canonicalUri(file))], { deep: false });
  const others: DumpBeside[] = [];
  for (const uri of dumps.filter((one) => !known.includes(canonicalUri(one))).slice(0, MOST_BESIDE)) {
    const other = await files.readDump(uri, planned.profile);
    if (other.ok) others.push({ name: fileName(uri), dump: other.value });
  }
  return others.length === 0 ? alone : verifyReadBack(planned, read.dump, found, () => others);
}
