import { findNodeAtLocation, parseTree } from 'jsonc-parser';
import { phrase } from '../../base/phrase.js';
import { done, type Result, refuse } from '../../base/result.js';
import { readBackup } from '../../checks/backup.js';
import type { LoadedDump } from '../../checks/loadedDump.js';
import { compareDumps } from '../../compare/compareDumps.js';
import type { ProfileWish, SeenOption } from '../../learn/changeProfile.js';
import { optionIn } from '../../learn/inBases.js';
import type { Dump } from '../../model/dump.js';
import { dayTaken, headerValue, spelledAlike } from '../../model/headers.js';
import { changedOptions } from '../../model/optionReading.js';
import { sha256OfText } from '../../model/seal.js';
import type { Bases } from '../../profile/extends.js';
import type { Observation, Option } from '../../profile/profile.js';
import { MOVING_PLACE_KEYS } from '../../profile/readPlace.js';
import { mayBeTheSame } from '../../profile/readSeen.js';
import { namedDump } from '../card/input.js';
import { mattersOf } from '../card/openMatters.js';
import { whyNoLaterReading } from '../record/laterReading.js';
import type { Verification } from './verify.js';

/** What is to be noted in one of the files that a profile is made of. */
export interface SeenInFile {
  readonly file: string;
  /** The titles of the options. */
  readonly titles: readonly string[];
  readonly wish: Extract<ProfileWish, { readonly kind: 'seen' }>;
}

/** The profile of the plan as text, with those that it extends. */
interface ProfileFiles {
  readonly file: string;
  readonly text: string;
  readonly bases: Bases | undefined;
}

/** What was read from a module: by its file's name, in the dump, and in how it compares with the plan. */
export interface ReadBack {
  readonly name: string;
  readonly dump: Dump;
  readonly verification: Verification;
}

/** Who notes it, and the time at which it is noted, ISO 8601. */
export interface Noting {
  readonly by?: string;
  readonly now: string;
}

/**
 * What a read-back shows of the options that the work has set: each was set in a module and came back. Only a read-back that
 * is the plan without any doubt and was read after the plan's backup shows that, and only where nothing is open in the plan: beside
 * a byte that nothing explains, what is tried is that byte too. An option that lists the same module already
 * is left out.
 */
export function seenInCar(
  planned: LoadedDump,
  { name, dump: read, verification }: ReadBack,
  profile: ProfileFiles,
  { by, now }: Noting,
): Result<readonly SeenInFile[]> {
  const { isProof, matches, caveats, unmatched } = verification;
  const sealed = readBackup(planned.backup);
  if (!sealed.ok) return sealed;
  const backupName = headerValue(planned.dump, 'backup') ?? '';
  const notLater = whyNoLaterReading({ name, dump: read }, { name: backupName, dump: sealed.value }, now);
  if (notLater !== undefined) return refuse(notLater);
  if (!isProof || !matches) return refuse(unmatched[0] ?? phrase('What was read is not shown to be what was planned.'));
  const [caveat] = caveats;
  if (caveat !== undefined) return refuse(caveat);
  const before = { name: backupName, dump: sealed.value, problems: [], unchecked: [] };
  const after = namedDump(planned.name, planned);
  const [open] = mattersOf({ before, after, change: undefined }, compareDumps(before.dump, after.dump));
  if (open !== undefined) return refuse(open);
  const { options, observation } = newlySeen(sealed.value, planned.dump, read, by);
  const found = new Map<string, { readonly titles: string[]; readonly seen: SeenOption[] }>();
  for (const option of options) {
    const id = option.several?.id ?? option.id;
    const file = fileDescribing(id, profile);
    if (file === undefined) continue;
    const known = found.get(file) ?? { titles: [], seen: [] };
    found.set(file, known);
    if (known.seen.some((one) => one.id === id)) continue;
    known.titles.push(option.several?.title ?? option.title);
    known.seen.push({ id, observation });
  }
  return done(Array.from(found, ([file, { titles, seen }]) => ({ file, titles, wish: { kind: 'seen', seen } })));
}

/** The options that the work has set of which the profile does not say yet that they were in this module. */
export function newlySeen(
  found: Dump,
  planned: Dump,
  read: Dump,
  by?: string,
): { readonly options: readonly Option[]; readonly observation: Observation } {
  const header = (name: 'part' | 'software') => headerValue(read, name) ?? headerValue(planned, name);
  const observation: Observation = {
    part: header('part'),
    software: header('software'),
    date: dayTaken(read),
    how: 'set-and-tried',
    by: by?.trim() === '' ? undefined : by?.trim(),
    ...vehicleMark([planned, read, found]),
  };
  const options = changedOptions(found, planned).filter(
    ({ seen }) => !seen?.observations.some((one) => mayBeTheSame(one, observation)),
  );
  return { options, observation };
}

/** Two hex digits by which trials in one vehicle are known as such: many vehicles have the same, so that they tell of nobody. */
function vehicleMark(dumps: readonly Dump[]): Pick<Observation, 'vehicle'> {
  for (const name of ['vin', 'vehicle'] as const) {
    const said = dumps.map((dump) => headerValue(dump, name)).find((value) => value !== undefined);
    if (said !== undefined) return { vehicle: sha256OfText(spelledAlike(name, said)).slice(0, 2).toUpperCase() };
  }
  return {};
}

/** The file that says where an option is, or lists already where it was seen: the profile itself before those that it extends. */
function fileDescribing(id: string, { file, text, bases }: ProfileFiles): string | undefined {
  const files = [{ file, text }, ...[...(bases?.files ?? [])].reverse()];
  return files.find((one) => {
    const root = parseTree(one.text, [], { allowTrailingComma: true });
    const option = root && optionIn(root, id);
    return (
      option !== undefined &&
      ['seen', 'bits', ...MOVING_PLACE_KEYS].some((key) => findNodeAtLocation(option, [key]) !== undefined)
    );
  })?.file;
}
