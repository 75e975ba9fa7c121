import type { Phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { headerValue, headerValues, isSealed, spelledAlike } from '../model/headers.js';
import { sameVehicle } from '../model/vehicle.js';
import type { Profile } from '../profile/profile.js';

/** A dump of another module of the same vehicle, or a file that may be one and cannot be read. */
export type OtherModule = ReadModule | UnreadModule;

export interface ReadModule {
  /** The caller's id of the file (path or URI). */
  readonly file: string;
  /** Its name for people. */
  readonly name: string;
  readonly dump: Dump;
}

export interface UnreadModule {
  readonly dump: undefined;
  /** A sentence that names the file. */
  readonly why: Phrase;
}

/**
 * The dumps of the same vehicle that a profile explains, by the path by which a condition names that profile; with them
 * files of which nobody can tell whether they are among them.
 */
export type OtherModules = (profile: string) => readonly OtherModule[];

/** A dump of another module of the vehicle whose conditions name the module of a dump. */
export interface Dependent {
  readonly dump: Dump;
  /** The modules that it looks at, where the dump holds this. */
  readonly modulesWith: (own: Dump) => OtherModules;
}

type Headed = Pick<Dump, 'rows' | 'headers'>;

/** Dumps in groups of one vehicle each, in the order of the first of each. */
export function byVehicle<T extends { readonly dump: Headed }>(dumps: readonly T[]): readonly (readonly T[])[] {
  const groups = new Map<number, T[]>();
  /** The groups with a dump that says this of its vehicle: only these are looked through. */
  const saying = new Map<string, Set<number>>();
  for (const [at, one] of dumps.entries()) {
    const near = new Set(vehicleWords(one.dump).flatMap((said) => [...(saying.get(said) ?? [])]));
    const isOfIt = (group: number) => groups.get(group)?.some((other) => sameVehicle(one.dump, other.dump));
    // A dump with a VIN and a name brings together those that have one of them each.
    const [first = at, ...more] = [...near].filter(isOfIt).sort((a, b) => a - b);
    const added = [...more.flatMap((group) => groups.get(group) ?? []), one];
    for (const group of more) groups.delete(group);
    const joined = groups.get(first) ?? [];
    joined.push(...added);
    groups.set(first, joined);
    for (const said of added.flatMap(({ dump }) => vehicleWords(dump)))
      saying.set(said, (saying.get(said) ?? new Set<number>()).add(first));
  }
  return [...groups.values()];
}

/** What a dump says of its vehicle, in the spelling in which it is compared. */
export function vehicleWords(dump: Headed): readonly string[] {
  return (['vin', 'vehicle'] as const).flatMap((name) =>
    headerValues(dump, name).map((value) => `${name} ${spelledAlike(name, value)}`),
  );
}

/** Whether another module's dump can be compared with this one: work with work, and what was sealed with what was sealed. */
export function sameStand(one: Headed, other: Headed): boolean {
  return isSealed(one) === isSealed(other);
}

/**
 * Of the dumps of one module: those that may be the module as it is now. Where one is in work, which a backup that it
 * names shows, what is known to be only read gives way to it.
 */
export function inWork<T extends { readonly dump: Headed }>(dumps: readonly T[]): readonly T[] {
  return dumps.some(isWork) ? dumps.filter((one) => isWork(one) || !isReading(one)) : dumps;
}

/** The same with files that cannot be read, which give way to a dump in work too. */
export function currentModules(modules: readonly OtherModule[]): readonly OtherModule[] {
  const read = modules.flatMap((one) => (one.dump === undefined ? [] : one));
  const unread = modules.filter(({ dump }) => dump === undefined);
  return [...inWork(read), ...(read.some(isWork) ? [] : unread)];
}

function isWork({ dump }: { readonly dump: Headed }): boolean {
  return headerValue(dump, 'backup') !== undefined;
}

/** Whether a dump says that it is what was read at some time, before the work or back after it. */
function isReading({ dump }: { readonly dump: Headed }): boolean {
  return headerValue(dump, 'taken') !== undefined || isSealed(dump);
}

/** The profiles of other modules that a profile's conditions name. */
export function profilesAskedFor({ options }: Profile): readonly string[] {
  const asked = options.flatMap(({ needs, excludes }) =>
    [...needs, ...excludes].flatMap(({ profile }) => profile ?? []),
  );
  return [...new Set(asked)];
}
