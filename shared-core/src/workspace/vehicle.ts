import type { Result } from '../base/result.js';
import {
  inWork,
  type OtherModule,
  type OtherModules,
  profilesAskedFor,
  type ReadModule,
  sameStand,
  sameVehicle,
} from '../checks/otherModules.js';
import type { HeadedDump } from '../jobs/vehicles.js';
import type { Dump } from '../model/dump.js';
import { headersIn, headerValue } from '../model/headers.js';
import type { Profile } from '../profile/profile.js';
import type { ProfileReading } from '../profile/readProfile.js';
import { profilesNamed } from './dumpFile.js';
import { fileName, namedUri } from './uri.js';
import { createUriMap } from './uriMap.js';

/** Dumps by the vehicles and modules they are of. */
export interface Vehicles {
  /**
   * Dumps of the other modules of a dump's vehicle, as far as its profile's conditions mention them: those beside the
   * dump, and those at hand.
   */
  readonly modulesOf: (file: string, dump: Dump, profileFile: string | undefined) => Promise<OtherModules>;
  /** Of some dumps the unsealed ones that name a profile, with what their headers say. */
  readonly unsealed: (dumps: readonly string[]) => Promise<readonly HeadedDump[]>;
  readonly forget: (file: string) => void;
  readonly forgetAll: () => void;
}

export interface VehicleSources {
  readonly readText: (file: string) => Promise<Result<string>>;
  readonly readProfile: (file: string) => Promise<Result<ProfileReading>>;
  readonly readDump: (file: string, profile: Profile) => Promise<Result<Dump>>;
  /** The dumps in which the other modules of a dump are looked for. */
  readonly dumpsNear: (file: string) => Promise<readonly string[]>;
}

/** What the headers of a dump say of it. */
type Head = Pick<Dump, 'rows' | 'headers'> & { readonly profileFile: string | undefined };

export function createVehicles({ readText, readProfile, readDump, dumpsNear }: VehicleSources): Vehicles {
  const heads = createUriMap<Promise<Head | undefined>>();

  const readHead = async (file: string): Promise<Head | undefined> => {
    const text = await readText(file);
    if (!text.ok) return undefined;
    const rows = headersIn(fileName(file), text.value).map(({ header }) => header);
    const [named, ...others] = profilesNamed(rows);
    const profile = named === undefined || others.length > 0 ? undefined : namedUri(file, named);
    return { rows, headers: [...rows.keys()], profileFile: profile?.ok ? profile.value : undefined };
  };

  const headOf = (file: string): Promise<Head | undefined> => {
    const known = heads.get(file);
    if (known !== undefined) return known;
    const head = readHead(file);
    heads.set(file, head);
    return head;
  };

  const explainedBy = async (profileFile: string, file: string, dump: Dump): Promise<readonly OtherModule[]> => {
    const reading = await readProfile(profileFile);
    if (!reading.ok) return [];
    const found: ReadModule[] = [];
    for (const other of await dumpsNear(file)) {
      if (other === file) continue;
      const head = await headOf(other);
      if (head?.profileFile !== profileFile || !sameVehicle(dump, head) || !sameStand(dump, head)) continue;
      const read = await readDump(other, reading.value.profile);
      if (read.ok) found.push({ file: other, name: fileName(other), dump: read.value });
    }
    return inWork(found);
  };

  return {
    modulesOf: async (file, dump, profileFile) => {
      const found = new Map<string, readonly OtherModule[]>();
      for (const path of profileFile === undefined ? [] : profilesAskedFor(dump.profile)) {
        const profile = namedUri(profileFile ?? file, path);
        if (profile.ok) found.set(path, await explainedBy(profile.value, file, dump));
      }
      return (path) => found.get(path) ?? [];
    },
    unsealed: async (dumps) => {
      const found: HeadedDump[] = [];
      for (const file of dumps) {
        const dump = await headOf(file);
        if (dump?.profileFile === undefined || headerValue(dump, 'seal') !== undefined) continue;
        found.push({ file, profileFile: dump.profileFile, dump });
      }
      return found;
    },
    forget: (file) => {
      heads.delete(file);
    },
    forgetAll: () => heads.clear(),
  };
}
