import type { Phrase } from '../../base/phrase.js';
import type { LoadedDump } from '../../checks/loadedDump.js';
import { byVehicle, inWork } from '../../checks/otherModules.js';
import { type Comparison, compareDumps } from '../../compare/compareDumps.js';
import { headerValue, isSealed } from '../../model/headers.js';
import { otherIdentity } from '../../model/identity.js';
import { type CardModule, type NamedDump, namedDump } from '../card/input.js';
import { type Written, writtenOf } from '../record/changes.js';
import { byModule, type Recording, recorded, straysOf } from '../record/timeline.js';

/** A dump of a job, with its file. */
export interface JobDump extends NamedDump {
  readonly file: string;
  readonly loaded: LoadedDump;
  /** Of one that names no profile: the profiles at hand that explain all of it. */
  readonly fitting?: readonly string[] | undefined;
  /** A plan over it was cut short, which the person is to settle. */
  readonly cutShort?: Phrase | undefined;
}

/** A module of a vehicle with all of its dumps, in the order of time. */
export interface Module {
  readonly dumps: readonly (JobDump & Recording)[];
  /** The dumps that may be the module as it is now: one, if nothing is in doubt. */
  readonly current: readonly (JobDump & Recording)[];
  /** Other readings of which nobody can tell that they are of another module. */
  readonly strays: readonly JobDump[];
}

export function jobDump(loaded: LoadedDump): JobDump {
  return { ...namedDump(loaded.name, loaded), file: loaded.file, loaded };
}

/** Dumps in groups of one vehicle each; one that does not say of which it is goes with its backup. */
export function vehiclesOf(dumps: readonly JobDump[]): readonly (readonly JobDump[])[] {
  let groups: readonly (readonly JobDump[])[] = [];
  for (const group of byVehicle(dumps)) {
    const linked = groups.filter((other) => areLinked(other, group));
    const [first] = linked;
    const joined = [...linked.flat(), ...group];
    groups =
      first === undefined
        ? [...groups, group]
        : groups.flatMap((one) => (one === first ? [joined] : linked.includes(one) ? [] : [one]));
  }
  return groups;
}

function areLinked(one: readonly JobDump[], other: readonly JobDump[]): boolean {
  return one.some((a) => other.some((b) => isBackupOf(a, b) || isBackupOf(b, a)));
}

/** Whether a dump names another one as its backup, and neither says that they are of two modules. */
function isBackupOf(backup: JobDump, { loaded, dump }: JobDump): boolean {
  return loaded.backupFile === backup.file && otherIdentity(backup.dump, dump) === undefined;
}

/** The modules of a vehicle. A sealed dump is of the module that names it as its backup. `now` in ISO 8601. */
export function modulesOf(vehicle: readonly JobDump[], nameless: readonly JobDump[], now: string): readonly Module[] {
  const groups = byModule(vehicle);
  const ownerOf = (one: JobDump) =>
    isSealed(one.dump) ? groups.find((group) => group.some((other) => isBackupOf(one, other))) : undefined;
  return groups
    .map((group) => [
      ...group.filter((one) => [undefined, group].includes(ownerOf(one))),
      ...vehicle.filter((one) => !group.includes(one) && ownerOf(one) === group),
    ])
    .filter((group) => group.length > 0)
    .map((group) => moduleOf(group, straysOf(group, [...vehicle, ...nameless]), now));
}

function moduleOf(dumps: readonly JobDump[], strays: readonly JobDump[], now: string): Module {
  const inTime = recorded(dumps, now).map((one) => ({ ...one, since: foundOf(one, dumps) ?? one.since }));
  return { dumps: inTime, current: inWork(inTime.filter(({ dump }) => !isSealed(dump))), strays };
}

/** The backup of a dump as it was read. What is wrong with it is marked in the dump that names it. */
function foundOf({ loaded }: JobDump, dumps: readonly JobDump[]): NamedDump | undefined {
  const { backup, backupFile } = loaded;
  if (backup.kind !== 'read') return undefined;
  const listed = dumps.find(({ file }) => file === backupFile);
  if (listed !== undefined) return { ...listed, dump: backup.dump };
  return { name: backupNameOf(loaded), dump: backup.dump, problems: [], unchecked: [] };
}

/** The backup as the dump names it. */
export function backupNameOf({ dump }: Pick<LoadedDump, 'dump'>): string {
  return headerValue(dump, 'backup')?.split(/[\\/]/).at(-1) ?? '';
}

/** The work on a module, from its backup to the dump as it is; undefined where there is no backup to be read. */
export interface Work {
  readonly card: CardModule;
  readonly comparison: Comparison;
}

export function workOf({ loaded, ...after }: JobDump): Work | undefined {
  if (loaded.backup.kind !== 'read') return undefined;
  const { dump } = loaded.backup;
  const before: NamedDump = { name: backupNameOf(loaded), dump, problems: [], unchecked: [] };
  return { card: { before, after, change: undefined }, comparison: compareDumps(dump, after.dump) };
}

/** What the readings of a module prove of the dump in work. */
export interface Proof {
  readonly written: Written | undefined;
  readonly reading: (JobDump & Recording) | undefined;
  /** A file that may be a later reading of the module. */
  readonly stray: JobDump | undefined;
  /** The reading from which the module is to be taken back, or was. */
  readonly back: JobDump | undefined;
  /** A reading that may be later than that and is only in the editor so far: no step counts it before it is saved. */
  readonly unsaved: JobDump | undefined;
}

/** The way back of a module that is to be as in its backup again, from what it was read to hold last. */
export function workBack(own: JobDump, before: NamedDump): Work {
  return {
    card: { before, after: own, change: undefined, isWayBack: true },
    comparison: compareDumps(before.dump, own.dump),
  };
}

/** What a module was read to hold last, where its dump is as the backup again and the module is not; else undefined. */
export function heldLast(own: JobDump, dumps: readonly JobDump[], now: string): JobDump | undefined {
  const vehicle = vehiclesOf(dumps).find((group) => group.some(({ file }) => file === own.file));
  const module = modulesOf(vehicle ?? [], [], now).find(({ current }) => current.some(({ file }) => file === own.file));
  const work = module?.current.find(({ file }) => file === own.file);
  const written = work && module && writtenOf(work, module.dumps, module.strays);
  return written?.isOpen && written.settledBy === undefined
    ? dumps.find(({ dump }) => dump === written.back?.dump)
    : undefined;
}
