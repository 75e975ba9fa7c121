import { type Phrase, phrase } from '../base/phrase.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import { provesNothingBeside, type Reading, readingAgainst } from '../jobs/record/against.js';
import { whyNoLaterReading, whyToCome, whyUndated } from '../jobs/record/laterReading.js';
import {
  fileOf,
  holdsAnything,
  isLater,
  isToCome,
  mayBeOfModule,
  mayBeReading,
  partOf,
  timeOf,
} from '../jobs/record/timeline.js';
import { backupNameOf } from '../jobs/steps/module.js';
import type { DumpBeside } from '../jobs/verify/anotherCar.js';
import { isVerified, type Verification, verifyReadBack } from '../jobs/verify/verify.js';
import type { Dump } from '../model/dump.js';
import { type Headed, headerValue } from '../model/headers.js';
import { namesVehicle, otherVehicle, sameVehicle } from '../model/vehicle.js';
import type { DumpList } from './keptList.js';
import { canonicalUri, fileName, isUnsaved, namedUri, parentUri } from './uri.js';
import type { Workspace } from './workspace.js';

/** More dumps in one folder are those of many vehicles, and reading them would take long. */
const MOST_BESIDE = 200;

type Files = Pick<Workspace, 'list' | 'readDump' | 'readProfile' | 'unsealedAmong'>;
type Planned = Pick<LoadedDump, 'dump' | 'file' | 'backup' | 'profileFile'>;
type ReadFile = { readonly file: string; readonly dump: Dump };

/**
 * Compares a read-back, from a file, with the plan. The other dumps in the folder of the plan are looked at too: what was read
 * may be one of them where it is not what was planned; and where it is, another reading of the module that is not outdated by
 * it may be something else. `now` in ISO 8601.
 */
export async function verifyInFolder(
  files: Files,
  planned: Planned,
  read: ReadFile,
  now: string,
): Promise<Verification> {
  const { dump, file, backup } = planned;
  const found = backup.kind === 'read' ? backup.dump : undefined;
  const alone = verifyReadBack(dump, read.dump, found);
  const unordered = whyNotInOrder(planned, read, found, now);
  if (alone.matches && unordered !== undefined) return { ...unproved(alone, unordered), isProof: false };
  if (isUnsaved(file)) return alone;
  if (alone.matches) return besideReadings(files, planned, read, found, alone, now);
  if (alone.lines.length === 0) return alone;
  const others: DumpBeside[] = [];
  const { dumps } = await dumpsBeside(files, file, read.file);
  for (const uri of dumps.slice(0, MOST_BESIDE)) {
    const other = await files.readDump(uri, dump.profile);
    if (other.ok) others.push({ name: fileName(uri), dump: other.value });
  }
  return others.length === 0 ? alone : verifyReadBack(dump, read.dump, found, () => others);
}

async function dumpsBeside(files: Files, file: string, read: string): Promise<DumpList> {
  const known = [file, read].map(canonicalUri);
  const { dumps, unlisted } = await files.list([parentUri(canonicalUri(file))], { deep: false });
  return { dumps: dumps.filter((one) => !known.includes(canonicalUri(one))), unlisted };
}

/**
 * The same, which proves nothing where another reading of the module is later, or may be, and is something else; nor where
 * nobody can tell whether there is one.
 */
async function besideReadings(
  files: Files,
  { dump: planned, file, profileFile }: Planned,
  read: ReadFile,
  found: Dump | undefined,
  alone: Verification,
  now: string,
): Promise<Verification> {
  const proof: Reading = { name: fileName(read.file), dump: read.dump, isToCome: false };
  const { dumps, unlisted } = await dumpsBeside(files, file, read.file);
  const heads = await files.unsealedAmong(dumps);
  const [unknown] = [...unlisted, ...heads.unread.map(({ why }) => why)];
  if (unknown !== undefined) return unproved(alone, unknown);
  // Where the plan names no vehicle, only what else says so can tell whose the others are.
  const mayBeOfVehicle = (other: Headed) =>
    namesVehicle(planned) ? !otherVehicle(other, planned) : sameVehicle(other, planned);
  // Where another profile was given, others may name that of the plan.
  const named = namedUri(file, headerValue(planned, 'profile') ?? '');
  const profiles = [profileFile, named.ok ? named.value : undefined].flatMap(
    (one) => fileOf({ profileFile: one }) ?? [],
  );
  const parts = [partOf({ dump: planned }) ?? []].flat();
  const readings: Reading[] = [];
  for (const head of [...heads.dumps, ...heads.unnamed.map((one) => ({ ...one, profileFile: undefined }))]) {
    if (!mayBeOfVehicle(head.dump) || !mayBeReading(head)) continue;
    const isUnexplained = head.profileFile === undefined || !(await isSound(files, head.profileFile));
    if (!mayBeOfModule(head, parts, profiles, isUnexplained)) continue;
    const one = await files.readDump(head.file, planned.profile);
    // It may be later and something else.
    if (!one.ok) return unproved(alone, phrase('{0} cannot be read: {1}', head.name, one.why));
    if (head.profileFile === undefined && !holdsAnything(one.value)) continue;
    // What says neither its module nor its vehicle is of another one where the profile of the plan does not explain it.
    const saysNothing = head.profileFile === undefined && !sameVehicle(head.dump, planned);
    if (saysNothing && !verifyReadBack(planned, one.value, found).isProof) continue;
    readings.push({ name: head.name, dump: one.value, isToCome: isToCome({ dump: one.value }, now) });
  }
  const open = readings.filter((one) => found === undefined || one.isToCome || !isLater({ dump: found }, one));
  const against = readingAgainst(proof, open, (one) => isVerified(verifyReadBack(planned, one.dump, found)));
  return against === undefined ? alone : unproved(alone, provesNothingBeside(against, proof));
}

/**
 * Why what was read is not known to be later than the backup of the plan, or is dated in the future. What does not say at all
 * when it was read shows what it holds, but nothing is noted of it.
 */
function whyNotInOrder(
  { dump: planned }: Planned,
  { file, dump }: ReadFile,
  found: Dump | undefined,
  now: string,
): Phrase | undefined {
  const read = { name: fileName(file), dump };
  if (headerValue(dump, 'taken') === undefined) return isToCome(read, now) ? whyToCome(read) : undefined;
  if (found !== undefined) return whyNoLaterReading(read, { name: backupNameOf({ dump: planned }), dump: found }, now);
  if (timeOf(read) === undefined) return whyUndated(read);
  return isToCome(read, now) ? whyToCome(read) : undefined;
}

async function isSound(files: Files, profile: string): Promise<boolean> {
  const reading = await files.readProfile(profile);
  return reading.ok && reading.value.problems.length === 0;
}

function unproved(verification: Verification, why: Phrase): Verification {
  return { ...verification, matches: false, unmatched: [...verification.unmatched, why] };
}
