import {
  type Dump,
  type HeadedDump,
  headersIn,
  headerValue,
  inWork,
  type OtherModule,
  type OtherModules,
  type Profile,
  type ProfileReading,
  profilesAskedFor,
  sameStand,
  sameVehicle,
} from '../../shared-core/src/index.js';
import { canonicalUri, fileName, resolveUri } from './uri.js';
import { createUriMap } from './uriMap.js';
import type { Workspace } from './workspace.js';

/** The dumps of the workspace by the vehicles and modules they are of. */
export interface Vehicle {
  /** Dumps of the other modules of a dump's vehicle, as far as its profile's conditions ask for them. */
  readonly modulesOf: (uri: string, dump: Dump, profileUri: string | undefined) => Promise<OtherModules>;
  /** The unsealed dumps that name a profile, with what their heads say. */
  readonly unsealed: () => Promise<readonly HeadedDump[]>;
  /** Reads a file anew when it is next asked for. */
  readonly forget: (uri: string) => void;
  readonly forgetAll: () => void;
}

interface Sources {
  readonly readProfileOf: (uri: string) => Promise<ProfileReading | undefined>;
  readonly readDump: (uri: string, profile: Profile) => Promise<Dump | undefined>;
  readonly workspace: () => Promise<Workspace>;
  readonly textOf: (uri: string) => Promise<string | undefined>;
  /** Whether `forget` is told of files that appear and go. */
  readonly watched: boolean;
}

/** What the headers of a dump say of it. */
type Head = Pick<Dump, 'rows' | 'headers'> & { readonly profileUri: string | undefined };

export function createVehicle({ workspace, textOf, readProfileOf, readDump, watched }: Sources): Vehicle {
  const heads = createUriMap<Head>();
  let listed: readonly string[] | undefined;

  const headOf = async (uri: string): Promise<Head | undefined> => {
    const known = heads.get(uri);
    if (known !== undefined) return known;
    const text = await textOf(uri);
    if (text === undefined) return undefined;
    const rows = headersIn(fileName(uri), text).map(({ header }) => header);
    const headers = [...rows.keys()];
    const profile = headerValue({ rows, headers }, 'profile');
    const head = { rows, headers, profileUri: profile === undefined ? undefined : resolveUri(uri, profile) };
    heads.set(uri, head);
    return head;
  };

  const list = async (): Promise<readonly string[]> => {
    listed = (watched ? listed : undefined) ?? (await workspace()).dumps;
    return listed;
  };

  const unsealed = async (): Promise<readonly HeadedDump[]> => {
    const found: HeadedDump[] = [];
    for (const file of await list()) {
      const dump = await headOf(file);
      if (dump?.profileUri === undefined || headerValue(dump, 'seal') !== undefined) continue;
      found.push({ file, profileFile: dump.profileUri, dump });
    }
    return found;
  };

  const dumpsExplainedBy = async (profileUri: string, uri: string, dump: Dump): Promise<readonly OtherModule[]> => {
    const reading = await readProfileOf(profileUri);
    if (reading === undefined) return [];
    const found: OtherModule[] = [];
    for (const file of await list()) {
      if (file === uri) continue;
      const head = await headOf(file);
      if (head?.profileUri !== profileUri || !sameVehicle(dump, head) || !sameStand(dump, head)) continue;
      const other = await readDump(file, reading.profile);
      if (other !== undefined) found.push({ file, name: fileName(file), dump: other });
    }
    return inWork(found);
  };

  return {
    unsealed,
    modulesOf: async (uri, dump, profileUri) => {
      const found = new Map<string, readonly OtherModule[]>();
      for (const path of profileUri === undefined ? [] : profilesAskedFor(dump.profile))
        found.set(path, await dumpsExplainedBy(resolveUri(profileUri ?? uri, path), uri, dump));
      return (path) => found.get(path) ?? [];
    },
    forgetAll: () => {
      for (const uri of [...heads.keys()]) heads.delete(uri);
      listed = undefined;
    },
    forget: (uri) => {
      if (!heads.delete(uri) || listed?.includes(canonicalUri(uri)) === false) listed = undefined;
    },
  };
}
