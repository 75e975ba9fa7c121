import type { Phrase } from '../base/phrase.js';
import { done, type Result } from '../base/result.js';
import {
  type Dependent,
  inWork,
  type OtherModule,
  type OtherModules,
  profilesAskedFor,
  type ReadModule,
  sameStand,
} from '../checks/otherModules.js';
import type { HeadedDump, UnnamedDump } from '../jobs/vehicles.js';
import type { Dump } from '../model/dump.js';
import { headerValues, headIn, isSealed } from '../model/headers.js';
import { isForComparison, isOfAnotherModule, isSetAside } from '../model/useHeader.js';
import { sameVehicle } from '../model/vehicle.js';
import type { Profile } from '../profile/profile.js';
import type { ProfileReading } from '../profile/readProfile.js';
import { profilesNamed } from './dumpFile.js';
import type { Host } from './host.js';
import type { DumpList } from './keptList.js';
import { unreadable } from './reasons.js';
import { forgetChanged, type Stamped, stamped } from './stamped.js';
import { fileName, namedUri, parentUri } from './uri.js';
import { createUriMap } from './uriMap.js';

/** Dumps by the vehicles and modules they are of. */
export interface Vehicles {
  /**
   * Dumps of the other modules of a dump's vehicle, as far as its profile's conditions mention them: those beside the
   * dump, and those at hand.
   */
  readonly modulesOf: (file: string, dump: Dump, profileFile: string | undefined) => Promise<OtherModules>;
  /** Dumps of other modules of a dump's vehicle whose conditions mention its module, as far as they are in work. */
  readonly dependentsOf: (file: string, dump: Dump, profileFile: string | undefined) => Promise<readonly Dependent[]>;
  /** Of some dumps the unsealed ones, with what their headers say. */
  readonly unsealed: (list: DumpList) => Promise<Unsealed>;
  /** The same of some files, with the file of each that cannot be read. */
  readonly unsealedAmong: (files: readonly string[]) => Promise<UnsealedAmong>;
  readonly forget: (file: string) => void;
  /** Reads anew, when they are next asked for, those that are not as they were. */
  readonly lookAgain: () => Promise<void>;
  readonly forgetAll: () => void;
}

/** Unsealed dumps, and in a sentence each what may be one of them and cannot be read. */
export interface Unsealed {
  /** Those that name a profile. */
  readonly dumps: readonly HeadedDump[];
  readonly unnamed: readonly UnnamedDump[];
  readonly unread: readonly Phrase[];
}

export interface UnsealedAmong {
  readonly dumps: readonly HeadedDump[];
  readonly unnamed: readonly UnnamedDump[];
  readonly unread: readonly { readonly file: string; readonly why: Phrase }[];
}

export interface VehicleSources {
  readonly stamp: Host['stamp'];
  /** The same for all addresses of one file: a link leads to it, or its name is written in other letters. */
  readonly keyOf: (file: string) => Promise<string>;
  readonly readText: (file: string) => Promise<Result<string>>;
  readonly readProfile: (file: string) => Promise<Result<ProfileReading>>;
  readonly readDump: (file: string, profile: Profile) => Promise<Result<Dump>>;
  /** The dumps in which the other modules of a dump are looked for. */
  readonly dumpsNear: (file: string) => Promise<DumpList>;
}

type Headed = Pick<Dump, 'rows' | 'headers'>;

/** What the headers of a dump say of it. */
type Head = Headed & { readonly profileFile: string | undefined };

export function createVehicles({ stamp, keyOf, readText, readProfile, readDump, dumpsNear }: VehicleSources): Vehicles {
  const heads = createUriMap<Stamped<Promise<Result<Head>>>>();

  const readHead = async (file: string): Promise<Result<Head>> => {
    const text = await readText(file);
    if (!text.ok) return unreadable(fileName(file), text);
    const head = headIn(fileName(file), text.value);
    const [named, ...others] = profilesNamed(head.rows);
    const profile = named === undefined || others.length > 0 ? undefined : namedUri(file, named);
    return done({ ...head, profileFile: profile?.ok ? profile.value : undefined });
  };

  const headOf = async (file: string): Promise<Result<Head>> => {
    const known = heads.get(file);
    if (known !== undefined) return known.value;
    const head = stamped({ stamp }, file, () => readHead(file));
    heads.set(file, head);
    const read = await head.value;
    // Nobody tells when a file can be read again.
    if (!read.ok && heads.get(file) === head) heads.delete(file);
    return read;
  };

  /** The keys of a profile's file and of those that it extends: a dump of a variant is one of the module as well. */
  const keysOf = async (profileFile: string): Promise<ReadonlySet<string>> => {
    const reading = await readProfile(profileFile);
    const bases = reading.ok ? (reading.value.chain?.bases ?? []) : [];
    return new Set(await Promise.all([profileFile, ...bases.map(({ file }) => file)].map(keyOf)));
  };

  /** The dumps near a file, itself or another, that are of its vehicle and name a profile or one that extends it. */
  const naming = async (profileFile: string, file: string, dump: Headed): Promise<Named> => {
    const wanted = await keyOf(profileFile);
    const reading = await readProfile(profileFile);
    if (!reading.ok) return named([], [{ key: undefined, why: unreadable(fileName(profileFile), reading).why }]);
    const found: FoundModule[] = [];
    const { dumps, unlisted } = await dumpsNear(file);
    const missed: Missed[] = unlisted.map((why) => ({ key: undefined, why }));
    for (const other of dumps) {
      const head = await headOf(other);
      if (!head.ok) missed.push({ key: await keyOf(other), why: head.why });
      if (!head.ok || head.value.profileFile === undefined || isSetAside(head.value)) continue;
      if (!sameVehicle(dump, head.value) || !sameStand(dump, head.value)) continue;
      if (!(await keysOf(head.value.profileFile)).has(wanted)) continue;
      const its = await readProfile(head.value.profileFile);
      const read = await readDump(other, (its.ok ? its : reading).value.profile);
      const key = await keyOf(other);
      if (read.ok) found.push({ key, file: other, name: fileName(other), dump: read.value });
      else missed.push({ key, why: unreadable(fileName(other), read).why });
    }
    return named(found, missed);
  };

  const modulesBy = async (
    find: (profileFile: string, file: string, dump: Headed) => Promise<Named>,
    file: string,
    dump: Dump,
    profileFile: string | undefined,
  ): Promise<OtherModules> => {
    const found = new Map<string, readonly OtherModule[]>();
    for (const path of profileFile === undefined ? [] : profilesAskedFor(dump.profile)) {
      const profile = namedUri(profileFile ?? file, path);
      if (profile.ok) found.set(path, (await find(profile.value, file, dump)).but(await keyOf(file)));
    }
    return (path) => found.get(path) ?? [];
  };

  const modulesOf: Vehicles['modulesOf'] = (file, dump, profileFile) => modulesBy(naming, file, dump, profileFile);

  /** The profile of another dump, where its conditions mention this one. */
  const profileNaming = async (other: string, profileFile: string): Promise<Profile | undefined> => {
    const reading = await readProfile(other);
    if (!reading.ok) return undefined;
    const { profile } = reading.value;
    const wanted = await keysOf(profileFile);
    for (const path of profilesAskedFor(profile)) {
      const named = namedUri(other, path);
      if (named.ok && wanted.has(await keyOf(named.value))) return profile;
    }
    return undefined;
  };

  const dependentsOf: Vehicles['dependentsOf'] = async (file, dump, profileFile) => {
    const found = new Map<string, { readonly profile: string; readonly dumps: ReadModule[] }>();
    const own = await keyOf(file);
    const ownNames = new Set([file]);
    for (const other of profileFile === undefined ? [] : (await dumpsNear(file)).dumps) {
      const isItself = (await keyOf(other)) === own;
      if (isItself) ownNames.add(other);
      const head = isItself ? undefined : await headOf(other);
      const itsProfile = head?.ok ? head.value.profileFile : undefined;
      if (!head?.ok || itsProfile === undefined || profileFile === undefined || isForComparison(head.value)) continue;
      if (!sameVehicle(dump, head.value) || !sameStand(dump, head.value)) continue;
      const profile = await profileNaming(itsProfile, profileFile);
      const read = profile && (await readDump(other, profile));
      if (!read?.ok) continue;
      // One that says that it is of another module than the others is a module by itself.
      const module = isOfAnotherModule(head.value) ? other : itsProfile;
      const ofModule = found.get(module) ?? { profile: itsProfile, dumps: [] };
      found.set(module, ofModule);
      ofModule.dumps.push({ file: other, name: fileName(other), dump: read.value });
    }
    const find = onceForVehicle(naming);
    const dependents: Dependent[] = [];
    for (const { profile: itsProfile, dumps } of found.values()) {
      for (const other of inWork(dumps)) {
        const modules = await modulesBy(find, other.file, other.dump, itsProfile);
        const modulesWith = (changed: Dump) => (path: string) =>
          modules(path).map((one) =>
            one.dump !== undefined && ownNames.has(one.file) ? { ...one, dump: changed } : one,
          );
        dependents.push({ dump: other.dump, modulesWith });
      }
    }
    return dependents;
  };

  const unsealedAmong: Vehicles['unsealedAmong'] = async (files) => {
    const dumps: HeadedDump[] = [];
    const unnamed: UnnamedDump[] = [];
    const unread: UnsealedAmong['unread'][number][] = [];
    for (const file of files) {
      const head = await headOf(file);
      if (!head.ok) unread.push({ file, why: head.why });
      if (!head.ok || isSealed(head.value) || isSetAside(head.value)) continue;
      const { profileFile } = head.value;
      const one = { file, name: fileName(file), dump: head.value };
      if (profileFile === undefined) unnamed.push(one);
      else dumps.push({ ...one, profileFile });
    }
    return { dumps, unnamed, unread };
  };

  return {
    modulesOf,
    dependentsOf,
    unsealed: async ({ dumps, unlisted }) => {
      const among = await unsealedAmong(dumps);
      return { ...among, unread: [...unlisted, ...among.unread.map(({ why }) => why)] };
    },
    unsealedAmong,
    forget: (file) => {
      heads.delete(file);
    },
    lookAgain: () => forgetChanged({ stamp }, heads, heads.delete),
    forgetAll: () => heads.clear(),
  };
}

type FoundModule = ReadModule & { readonly key: string };

/** What cannot be read and may be a dump of the module, with the key of the file where it is one. */
interface Missed {
  readonly key: string | undefined;
  readonly why: Phrase;
}

/** Dumps that name a profile. */
interface Named {
  /** Those of other files than that of a key, as far as they may be the module as it is now. */
  readonly but: (key: string) => readonly OtherModule[];
}

function named(read: readonly FoundModule[], missed: readonly Missed[]): Named {
  const keys = new Set([...read, ...missed].map(({ key }) => key));
  const all = modulesIn(read, missed);
  return {
    but: (own) => {
      const isOther = ({ key }: { readonly key: string | undefined }) => key !== own;
      return keys.has(own) ? modulesIn(read.filter(isOther), missed.filter(isOther)) : all;
    },
  };
}

function modulesIn(read: readonly ReadModule[], missed: readonly Missed[]): readonly OtherModule[] {
  return [...inWork(read), ...missed.map(({ why }) => ({ dump: undefined, why }))];
}

/** The same search, made once for all dumps of a folder whose headers say the same of their vehicle. */
function onceForVehicle<T>(
  find: (profileFile: string, file: string, dump: Headed) => Promise<T>,
): (profileFile: string, file: string, dump: Headed) => Promise<T> {
  const found = new Map<string, Promise<T>>();
  return (profileFile, file, dump) => {
    const vehicle = [headerValues(dump, 'vin'), headerValues(dump, 'vehicle'), isSealed(dump)];
    const key = JSON.stringify([profileFile, parentUri(file), vehicle]);
    const known = found.get(key) ?? find(profileFile, file, dump);
    found.set(key, known);
    return known;
  };
}
