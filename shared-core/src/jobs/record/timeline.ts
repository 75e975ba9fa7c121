import { isEarlier, readTimeSpan, type TimeSpan } from '../../base/isoTime.js';
import {
  isRowToCome,
  MOST_ROWS,
  type RowAgainst,
  rowAgainstOrder,
  rowOfReading,
  type StatedTimes,
  timesIn,
} from '../../base/namedTime.js';
import type { Dump } from '../../model/dump.js';
import { headerValue, isSealed, spelledAlike } from '../../model/headers.js';
import { isToLoad } from '../../model/toLoadName.js';
import { isOfAnotherModule } from '../../model/useHeader.js';
import { namesVehicle } from '../../model/vehicle.js';
import { holdsRecords } from '../../model/whole.js';
import type { NamedDump } from '../card/input.js';
import { moduleTitle } from '../moduleTitle.js';
import type { HeadedDump } from '../vehicles.js';

/** The dumps of one module of one vehicle, in the order of time. */
export interface ModuleTimeline {
  readonly title: string;
  readonly dumps: readonly RecordedDump[];
  /** Other readings of which nobody can tell that they are of another module. */
  readonly strays: readonly NamedDump[];
}

/** What a dump is to the job, as its headers and its name say; one that holds nothing that can be read is nothing to it. */
export type Role = 'backup' | 'work' | 'reading' | 'toLoad' | 'unread';

export interface RecordedDump extends NamedDump, Recording {}

/** What a dump is among the others of its module. */
export interface Recording {
  readonly role: Role;
  /** When it was read, as it stands there; undefined where it is not known. */
  readonly taken: string | undefined;
  /** Whether that is still to come: then nobody knows when it was read. */
  readonly isToCome: boolean;
  /** What it is to be held against: its backup, else the dump before it. */
  readonly since: NamedDump | undefined;
}

/**
 * The modules of a vehicle, each with its dumps by the time they were read; those without a time are the latest. With them
 * those of the `nameless`, which say of no vehicle that they are of it, that may be of the module. `now` in ISO 8601.
 */
export function timelinesOf(
  dumps: readonly NamedDump[],
  now: string,
  nameless: readonly NamedDump[] = [],
): readonly ModuleTimeline[] {
  return byModule(dumps).map((ofModule) => ({
    title: moduleTitle(ofModule),
    dumps: recorded(ofModule, now),
    strays: straysOf(ofModule, [...dumps, ...nameless]),
  }));
}

/** Readings among others that may be of a module: they have its part, or its profile, or none that can be read. */
export function straysOf<T extends NamedDump>(module: readonly NamedDump[], others: readonly T[]): readonly T[] {
  const [parts, files] = [module.flatMap((one) => partOf(one) ?? []), module.flatMap((one) => fileOf(one) ?? [])];
  const mayBe = (one: NamedDump) => mayBeOfModule(one, parts, files, one.isUnexplained === true);
  return others.filter((one) => !module.includes(one) && mayBeReading(one) && holdsAnything(one.dump) && mayBe(one));
}

/** Whether there is anything in a dump beside headers and comments, whether or not it can be read. */
export function holdsAnything(dump: Dump): boolean {
  return holdsRecords(dump) || dump.invalidRows.length > 0;
}

/** Whether a dump is a reading, also where none of its lines can be read. */
export function mayBeReading({ dump, name }: Pick<HeadedDump, 'dump' | 'name'>): boolean {
  return !isSealed(dump) && headerValue(dump, 'backup') === undefined && !isToLoad(name);
}

/**
 * Whether a dump may be of a module that has these parts and goes by these profiles: by its part, where both say one, else
 * by its profile, or where none explains it.
 */
export function mayBeOfModule(
  one: Headed,
  parts: readonly string[],
  files: readonly string[],
  isUnexplained: boolean,
): boolean {
  if (isOfAnotherModule(one.dump)) return false;
  const part = partOf(one);
  if (part !== undefined && parts.length > 0) return parts.includes(part);
  return isUnexplained || files.includes(fileOf(one) ?? '');
}

type Headed = Pick<HeadedDump, 'dump'> & { readonly profileFile?: string | undefined };

export function partOf({ dump }: Pick<Headed, 'dump'>): string | undefined {
  const part = headerValue(dump, 'part');
  return part === undefined ? undefined : spelledAlike('part', part);
}

export function fileOf({ profileFile }: Pick<Headed, 'profileFile'>): string | undefined {
  return profileFile?.toUpperCase();
}

/** Dumps that do not say of which vehicle they are. */
export function namelessOf<T extends NamedDump>(dumps: readonly T[]): readonly T[] {
  return dumps.filter(({ dump }) => !namesVehicle(dump));
}

/** Dumps in groups of one module each, in the order of the first of each. */
export function byModule<T extends NamedDump>(dumps: readonly T[]): readonly (readonly T[])[] {
  const modules = new Map<string | T, T[]>();
  for (const one of dumps) {
    const module = aloneWith(one, dumps) ?? moduleOf(one);
    modules.set(module, [...(modules.get(module) ?? []), one]);
  }
  return [...modules.values()];
}

/** The dump of another module than all others here that a dump is, or is the backup of. */
function aloneWith<T extends NamedDump>(one: T, dumps: readonly T[]): T | undefined {
  if (isOfAnotherModule(one.dump)) return one;
  if (!isSealed(one.dump)) return undefined;
  const owners = dumps.filter((other) => headerValue(other.dump, 'backup') && backupAmong(dumps, other) === one);
  return owners.every(({ dump }) => isOfAnotherModule(dump)) ? owners[0] : undefined;
}

/** The dumps of one module in the order of time; `now` in ISO 8601. */
export function recorded<T extends NamedDump>(dumps: readonly T[], now: string): readonly (T & Recording)[] {
  const inOrder = dumps
    .map((one) => ({ one, time: timeOf(one)?.first ?? Number.MAX_SAFE_INTEGER }))
    .sort((a, b) => a.time - b.time || (a.one.name < b.one.name ? -1 : 1))
    .map(({ one }) => one);
  return inOrder.map((one, index) => {
    const since = backupAmong(dumps, one) ?? inOrder[index - 1];
    return {
      ...one,
      role: roleOf(one),
      taken: headerValue(one.dump, 'taken'),
      isToCome: isToCome(one, now),
      since: since === one ? undefined : since,
    };
  });
}

/** The dump that another one names as its backup, by its name: one in the same folder first. */
export function backupAmong<T extends NamedDump>(dumps: readonly T[], { dump, name }: NamedDump): T | undefined {
  const [backup] = splitName(headerValue(dump, 'backup') ?? '');
  const called = dumps.filter((one) => splitName(one.name)[0] === backup);
  return called.find((one) => splitName(one.name)[1] === splitName(name)[1]) ?? called[0];
}

/** The name of a file, and its folder. */
function splitName(path: string): readonly [string, string] {
  const at = Math.max(path.lastIndexOf('/'), path.lastIndexOf('\\')) + 1;
  return [path.slice(at), path.slice(0, at)];
}

export function roleOf({ dump, name }: Pick<NamedDump, 'dump' | 'name'>): Role {
  if (!holdsRecords(dump)) return 'unread';
  if (isSealed(dump)) return 'backup';
  if (headerValue(dump, 'backup') !== undefined) return 'work';
  return isToLoad(name) ? 'toLoad' : 'reading';
}

/** What tells a module from others: profiles may have no title, or that of others, as drafts do. */
function moduleOf({ dump, name, profileFile }: NamedDump): string {
  return profileFile ?? dump.profile.title ?? headerValue(dump, 'module') ?? headerValue(dump, 'part') ?? name;
}

/** When a dump was read; undefined where it does not say so, or names no time that there is. */
export function timeOf({ dump }: Pick<NamedDump, 'dump'>): TimeSpan | undefined {
  const written = headerValue(dump, 'taken');
  return written === undefined ? undefined : readTimeSpan(written);
}

/** Whether the time that a dump, or a row of it, says is later than now (ISO 8601): nothing was read then. */
export function isToCome(one: Pick<NamedDump, 'dump'>, now: string): boolean {
  const [time, present] = [timeOf(one), readTimeSpan(now)];
  if (present === undefined) return false;
  const row = rowOfReading(statedBy(one));
  const isOfRow = row?.isOfReading === true && isRowToCome(row, present.last);
  return isOfRow || (time !== undefined && isEarlier(present, time));
}

type Read = Pick<NamedDump, 'dump'>;

/** Whether a dump is known to have been read later than another: its "@taken" says so, and no row of it speaks against that. */
export function isLater(one: Read, other: Read): boolean {
  return isTakenLater(one, other) && rowAgainst(one, other) === undefined;
}

/** Whether the "@taken" of a dump says that it was read later than another. */
export function isTakenLater(one: Read, other: Read): boolean {
  const [time, before] = [timeOf(one), timeOf(other)];
  return time !== undefined && before !== undefined && isEarlier(before, time);
}

/** The row of a dump by which it was not, or may not have been, read after another, whatever its "@taken" says. */
export function rowAgainst(one: Read, other: Read): RowAgainst | undefined {
  const stated = statedBy(one);
  return stated.rows.length === 0 ? undefined : rowAgainstOrder(stated, statedBy(other));
}

/** When a dump was read, by what it says itself. */
export function statedBy({ dump }: Read): StatedTimes {
  // Bytes say no time, and there may be very many of them.
  const rows = dump.rows.slice(0, MOST_ROWS).map(({ kind, text }) => (kind === 'record' ? '' : text));
  return { rows: timesIn(rows), taken: timeOf({ dump }) };
}
