import type { Phrase } from '../base/phrase.js';
import { done, type Refused, type Result } from '../base/result.js';
import {
  type Dependent,
  inWork,
  type OtherModule,
  type OtherModules,
  profilesAskedFor,
  type ReadModule,
  sameStand,
  sameVehicle,
  type UnreadModule,
} from '../checks/otherModules.js';
import type { HeadedDump } from '../jobs/vehicles.js';
import type { Dump } from '../model/dump.js';
import { headersIn, isSealed } from '../model/headers.js';
import { isForComparison } from '../model/useHeader.js';
import type { Profile } from '../profile/profile.js';
import type { ProfileReading } from '../profile/readProfile.js';
import { profilesNamed } from './dumpFile.js';
import type { Host } from './host.js';
import type { DumpList } from './keptList.js';
import { unreadable } from './reasons.js';
import { forgetChanged, type Stamped, stamped } from './stamped.js';
import { fileName, namedUri } from './uri.js';
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
  /** Of some dumps the unsealed ones that name a profile, with what their headers say. */
  readonly unsealed: (list: DumpList) => Promise<Unsealed>;
  readonly forget: (file: string) => void;
  /** Reads anew, when they are next asked for, those that are not as they were. */
  readonly lookAgain: () => Promise<void>;
  readonly forgetAll: () => void;
}

/** Unsealed dumps, and in a sentence each what may be one of them and cannot be read. */
export interface Unsealed {
  readonly dumps: readonly HeadedDump[];
  readonly unread: readonly Phrase[];
}

export interface VehicleSources {
  readonly stamp: Host['stamp'];
  readonly readText: (file: string) => Promise<Result<string>>;
  readonly readProfile: (file: string) => Promise<Result<ProfileReading>>;
  readonly readDump: (file: string, profile: Profile) => Promise<Result<Dump>>;
  /** The dumps in which the other modules of a dump are looked for. */
  readonly dumpsNear: (file: string) => Promise<DumpList>;
}

/** What the headers of a dump say of it. */
type Head = Pick<Dump, 'rows' | 'headers'> & { readonly profileFile: string | undefined };

export function createVehicles({ stamp, readText, readProfile, readDump, dumpsNear }: VehicleSources): Vehicles {
  const heads = createUriMap<Stamped<Promise<Result<Head>>>>();

  const readHead = async (file: string): Promise<Result<Head>> => {
    const text = await readText(file);
    if (!text.ok) return unreadable(fileName(file), text);
    const rows = headersIn(fileName(file), text.value).map(({ header }) => header);
    const [named, ...others] = profilesNamed(rows);
    const profile = named === undefined || others.length > 0 ? undefined : namedUri(file, named);
    return done({ rows, headers: [...rows.keys()], profileFile: profile?.ok ? profile.value : undefined });
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

  const explainedBy = async (profileFile: string, file: string, dump: Dump): Promise<readonly OtherModule[]> => {
    const reading = await readProfile(profileFile);
    if (!reading.ok) return [unread(unreadable(fileName(profileFile), reading))];
    const found: ReadModule[] = [];
    const { dumps, unlisted } = await dumpsNear(file);
    const missed = unlisted.map((why) => unread({ why }));
    for (const other of dumps) {
      if (other === file) continue;
      const head = await headOf(other);
      if (!head.ok) missed.push(unread(head));
      if (!head.ok || head.value.profileFile !== profileFile || isForComparison(head.value)) continue;
      if (!sameVehicle(dump, head.value) || !sameStand(dump, head.value)) continue;
      const read = await readDump(other, reading.value.profile);
      if (read.ok) found.push({ file: other, name: fileName(other), dump: read.value });
      else missed.push(unread(unreadable(fileName(other), read)));
    }
    return [...inWork(found), ...missed];
  };

  const modulesOf: Vehicles['modulesOf'] = async (file, dump, profileFile) => {
    const found = new Map<string, readonly OtherModule[]>();
    for (const path of profileFile === undefined ? [] : profilesAskedFor(dump.profile)) {
      const profile = namedUri(profileFile ?? file, path);
      if (profile.ok) found.set(path, await explainedBy(profile.value, file, dump));
    }
    return (path) => found.get(path) ?? [];
  };

  /** The profile of another dump, where its conditions mention this one. */
  const profileNaming = async (other: string, profileFile: string): Promise<Profile | undefined> => {
    const reading = await readProfile(other);
    if (!reading.ok) return undefined;
    const { profile } = reading.value;
    const isNamed = (path: string) => {
      const named = namedUri(other, path);
      return named.ok && named.value === profileFile;
    };
    return profilesAskedFor(profile).some(isNamed) ? profile : undefined;
  };

  const dependentsOf: Vehicles['dependentsOf'] = async (file, dump, profileFile) => {
    const found: (ReadModule & { readonly profileFile: string })[] = [];
    for (const other of profileFile === undefined ? [] : (await dumpsNear(file)).dumps) {
      const head = other === file ? undefined : await headOf(other);
      const itsProfile = head?.ok ? head.value.profileFile : undefined;
      if (!head?.ok || itsProfile === undefined || profileFile === undefined || isForComparison(head.value)) continue;
      if (!sameVehicle(dump, head.value) || !sameStand(dump, head.value)) continue;
      const profile = await profileNaming(itsProfile, profileFile);
      const read = profile && (await readDump(other, profile));
      if (read?.ok) found.push({ file: other, name: fileName(other), dump: read.value, profileFile: itsProfile });
    }
    const dependents: Dependent[] = [];
    for (const itsProfile of new Set(found.map((one) => one.profileFile))) {
      for (const other of inWork(found.filter((one) => one.profileFile === itsProfile))) {
        const modules = await modulesOf(other.file, other.dump, itsProfile);
        const modulesWith = (own: Dump) => (path: string) =>
          modules(path).map((one) => (one.dump !== undefined && one.file === file ? { ...one, dump: own } : one));
        dependents.push({ dump: other.dump, modulesWith });
      }
    }
    return dependents;
  };

  return {
    modulesOf,
    dependentsOf,
    unsealed: async ({ dumps, unlisted }) => {
      const found: HeadedDump[] = [];
      const missed = [...unlisted];
      for (const file of dumps) {
        const head = await headOf(file);
        if (!head.ok) missed.push(head.why);
        if (!head.ok || head.value.profileFile === undefined || isSealed(head.value)) continue;
        if (isForComparison(head.value)) continue;
        found.push({ file, name: fileName(file), profileFile: head.value.profileFile, dump: head.value });
      }
      return { dumps: found, unread: missed };
    },
    forget: (file) => {
      heads.delete(file);
    },
    lookAgain: () => forgetChanged({ stamp }, heads, heads.delete),
    forgetAll: () => heads.clear(),
  };
}

function unread({ why }: Pick<Refused, 'why'>): UnreadModule {
  return { dump: undefined, why };
}
