import { type Phrase, phrase } from '../base/phrase.js';
import { vehicleWords } from '../checks/otherModules.js';
import type { HeadedDump, UndecidedDump, UnnamedDump, VehicleAtHand } from '../jobs/vehicles.js';
import { headerValue, headerValues } from '../model/headers.js';
import { sameVehicle } from '../model/vehicle.js';
import { unreadable } from './reasons.js';
import { fileName, namedUri, parentUri } from './uri.js';
import type { Workspace } from './workspace.js';

/** A dump that may name a profile. */
type FoundDump = UnnamedDump & Partial<Pick<HeadedDump, 'profileFile'>>;

type Vehicle = Pick<VehicleAtHand, 'dumps'>;

/** Finds the undecided dumps that are of a vehicle, or lie beside its dumps and do not say that they are of another one. */
export type UndecidedOf = (vehicle: Vehicle) => readonly UndecidedDump[];

/** Of some unsealed dumps those of which no profile that can be read says which module they are of, by vehicle. */
export async function undecidedAmong(
  workspace: Pick<Workspace, 'readProfile'>,
  found: readonly FoundDump[],
): Promise<UndecidedOf> {
  const whys = new Map<string | undefined, Phrase | undefined>();
  /** The dumps in a folder, and those that say something of their vehicle: only these are looked through. */
  const near = new Map<string, UndecidedDump[]>();
  for (const { file, name, dump, profileFile } of found) {
    if (!whys.has(profileFile)) whys.set(profileFile, await whyUndecided(workspace, profileFile));
    const why = whys.get(profileFile);
    if (why === undefined) continue;
    for (const key of keysOf({ file, dump })) {
      const there = near.get(key) ?? [];
      near.set(key, there);
      there.push({ file, name, dump, why });
    }
  }
  return ({ dumps }) => {
    const keys = new Set(dumps.flatMap(keysOf));
    const all = new Map([...keys].flatMap((key) => near.get(key) ?? []).map((one) => [one.file, one] as const));
    // What a dump in work names as its backup is how the module was found.
    const backups = new Set(dumps.flatMap(backupOf));
    return [...all.values()].filter((one) => !backups.has(one.file) && mayBeOf(one, dumps));
  };
}

function keysOf({ file, dump }: Pick<UnnamedDump, 'file' | 'dump'>): readonly string[] {
  return [`in ${parentUri(file)}`, ...vehicleWords(dump)];
}

function backupOf({ file, dump }: Vehicle['dumps'][number]): readonly string[] {
  const named = headerValue(dump, 'backup');
  const found = named === undefined ? undefined : namedUri(file, named);
  return found?.ok ? [found.value] : [];
}

function mayBeOf({ file, dump }: UndecidedDump, own: Vehicle['dumps']): boolean {
  if (own.some((one) => one.file === file || sameVehicle(one.dump, dump))) return true;
  return own.every((one) => !areComparable(one.dump, dump));
}

function areComparable(...dumps: readonly UnnamedDump['dump'][]): boolean {
  return (['vin', 'vehicle'] as const).some((name) => dumps.every((dump) => headerValues(dump, name).length > 0));
}

/** Why the profile that a dump names does not say which module it is of. */
async function whyUndecided(
  { readProfile }: Pick<Workspace, 'readProfile'>,
  profileFile: string | undefined,
): Promise<Phrase | undefined> {
  if (profileFile === undefined) return phrase('It names no profile.');
  const reading = await readProfile(profileFile);
  const name = fileName(profileFile);
  if (!reading.ok) return unreadable(name, reading).why;
  const torn = reading.value.problems.find(({ code }) => code === 'profile-unreadable');
  return torn && phrase('{0} cannot be read: {1}', name, torn.message);
}
