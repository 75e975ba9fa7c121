import type { Phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { headerValue, headerValues, isSealed } from '../model/headers.js';
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

type Headed = Pick<Dump, 'rows' | 'headers'>;

/** Whether two dumps are of one vehicle: by their VINs where both have one, else by what people call it. */
export function sameVehicle(one: Headed, other: Headed): boolean {
  for (const name of ['vin', 'vehicle'] as const) {
    const [here, there] = [headerValues(one, name), headerValues(other, name)];
    if (here.length > 0 && there.length > 0)
      return here.every((value) => there.every((same) => value.toUpperCase() === same.toUpperCase()));
  }
  return false;
}

/** Dumps in groups of one vehicle each, in the order of the first of each. */
export function byVehicle<T extends { readonly dump: Headed }>(dumps: readonly T[]): readonly (readonly T[])[] {
  let groups: readonly (readonly T[])[] = [];
  for (const one of dumps) {
    const isOfIt = (group: readonly T[]) => group.some((other) => sameVehicle(one.dump, other.dump));
    // A dump with a VIN and a name brings together those that have one of them each.
    const [first, ...more] = groups.filter(isOfIt);
    const joined = [...(first ?? []), ...more.flat(), one];
    const kept = groups.flatMap((group) => (group === first ? [joined] : isOfIt(group) ? [] : [group]));
    groups = first === undefined ? [...groups, joined] : kept;
  }
  return groups;
}

/** Whether another module's dump can be compared with this one: work with work, and what was sealed with what was sealed. */
export function sameStand(one: Headed, other: Headed): boolean {
  return isSealed(one) === isSealed(other);
}

/**
 * Of the dumps of one module: those in work, which name a backup, where there are any. What was only read, before the
 * work or back after it, lies in the same folder and gives way to them.
 */
export function inWork<T extends { readonly dump: Headed }>(dumps: readonly T[]): readonly T[] {
  const work = dumps.filter(({ dump }) => headerValue(dump, 'backup') !== undefined);
  return work.length > 0 ? work : dumps;
}

/** The profiles of other modules that a profile's conditions name. */
export function profilesAskedFor({ options }: Profile): readonly string[] {
  const asked = options.flatMap(({ needs, excludes }) =>
    [...needs, ...excludes].flatMap(({ profile }) => profile ?? []),
  );
  return [...new Set(asked)];
}
