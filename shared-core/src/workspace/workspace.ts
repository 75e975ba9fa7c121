import { phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { checkDump } from '../checks/checkDump.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import type { Problem } from '../checks/problem.js';
import type { HeadedDump } from '../jobs/vehicles.js';
import type { Dump } from '../model/dump.js';
import { headersOf } from '../model/headers.js';
import type { Profile } from '../profile/profile.js';
import type { ProfileReading } from '../profile/readProfile.js';
import { findBackup } from './backups.js';
import { profilesNamed, readDumpFile, type UnboundDump } from './dumpFile.js';
import { kindOf } from './fileKind.js';
import { whyProfileLiftsLocks } from './givenProfile.js';
import { type Host, LARGEST_FILE, LARGEST_TEXT, type OpenFile } from './host.js';
import { type KeptList, keptList } from './keptList.js';
import { type FileList, listFiles } from './listFiles.js';
import { createProfiles, type FoundProfile } from './profiles.js';
import { readGivenText, readNamedText } from './readFile.js';
import { canonicalUri, fileName, isUnsaved, parentUri } from './uri.js';
import { createUriMap } from './uriMap.js';
import { createVehicles } from './vehicle.js';

/** How a dump is to be loaded. */
export interface LoadHow {
  /** A profile that takes the place of the one that the dump names. */
  readonly profile?: string | undefined;
  /** The dump as an editor has it, in place of the file. */
  readonly open?: UnboundDump | undefined;
  /** `'needed'`: of memory images only the rows that problems are about; they may be of any size then. */
  readonly rows?: 'all' | 'needed';
  /** Closed files with more bytes than these are refused. */
  readonly most?: number;
}

/** A dump bound to its profile and to nothing else. */
export type ExplainedDump = Pick<LoadedDump, 'file' | 'name' | 'dump' | 'profileFile' | 'profile'>;

/** The one way from files to dumps with all that explains them. Files are addresses. */
export interface Workspace {
  readonly load: (file: string, how?: LoadHow) => Promise<Result<LoadedDump>>;
  /** The same without backup and other modules, for a look at many dumps. */
  readonly explain: (file: string, how?: LoadHow) => Promise<Result<ExplainedDump>>;
  /** Another dump by the profile of the one that it is compared with. */
  readonly readDump: (file: string, profile: Profile) => Promise<Result<Dump>>;
  readonly readProfile: (file: string) => Promise<Result<ProfileReading>>;
  /** The text of a file that a person names. */
  readonly readText: (file: string) => Promise<Result<string>>;
  readonly list: (folders: readonly string[]) => Promise<FileList>;
  /** The unsealed dumps at hand that name a profile. */
  readonly unsealed: () => Promise<readonly HeadedDump[]>;
  /** Whether a file was ever read for another one. */
  readonly isUsed: (file: string) => boolean;
  /** Reads a file anew when it is next asked for. */
  readonly forget: (file: string) => void;
  readonly forgetAll: () => void;
  /** Lists folders anew. */
  readonly forgetLists: () => void;
  /** Drops the dumps that were read for others. */
  readonly evict: () => void;
}

export interface WorkspaceSetup {
  /** Dumps among which those of other modules are looked for, besides the ones in the folder of a dump. */
  readonly atHand?: () => Promise<readonly string[]>;
  /** Whether `forget` is told of every file that appears, changes or goes, so that lists of folders may be kept. */
  readonly watched?: boolean;
}

export function createWorkspace(
  host: Host,
  { atHand = async () => [], watched = false }: WorkspaceSetup = {},
): Workspace {
  const used = createUriMap<true>();
  const kept = createUriMap<KeptDump>();
  const handy = keptList(atHand, watched);
  const beside = createUriMap<KeptList>();
  const identities = createUriMap<Promise<string | undefined>>();
  const profiles = createProfiles(host, (file) => used.set(file, true));
  const readText = (file: string) => readGivenText(host, file);

  const readAnew = async (file: string, profile: Profile, rows: Rows): Promise<Result<Dump>> => {
    const opened = await host.open(file);
    return opened.ok ? closing(opened.value, async () => bindFile(file, opened.value, profile, rows)) : opened;
  };

  /** What many closed dumps ask for once is not kept. */
  const readOther = (file: string, profile: Profile, keep: boolean, rows: Rows = 'all'): Promise<Result<Dump>> => {
    const known = kept.get(file);
    if (known?.profile === profile) return known.dump;
    const dump = readAnew(file, profile, rows);
    if (keep) kept.set(file, { profile, dump });
    return dump;
  };

  const identityOf = (file: string): Promise<string | undefined> => {
    const known = identities.get(file);
    if (known !== undefined) return known;
    const identity = host.identity(file);
    identities.set(file, identity);
    return identity;
  };

  const dumpsBeside = async (file: string): Promise<readonly string[]> => {
    if (isUnsaved(file)) return [];
    const folder = parentUri(file);
    const known = beside.get(folder);
    if (known !== undefined) return known.get();
    const list = keptList(async () => (await listFiles(host, [folder], { deep: false })).dumps, watched);
    beside.set(folder, list);
    return list.get();
  };

  const vehicles = createVehicles({
    readText: (file) => readNamedText(host, file),
    readProfile: profiles.read,
    readDump: (file, profile) => {
      used.set(file, true);
      return readOther(file, profile, true);
    },
    dumpsNear: async (file) => [...new Set([...(await dumpsBeside(file)), ...(await handy.get())])].sort(),
  });

  const explainBy = async (
    file: string,
    unbound: UnboundDump,
    { file: profileFile, profile, status }: FoundProfile,
  ): Promise<Result<ExplainedDump>> => {
    const bound = unbound.bind(profile);
    if (!bound.ok) return bound;
    return done({ file, name: fileName(file), dump: bound.value, profileFile, profile: status });
  };

  const explainAsNamed = async (file: string, unbound: UnboundDump): Promise<Result<ExplainedDump>> => {
    const explained = await explainBy(file, unbound, await profiles.namedBy(file, unbound.profiles()));
    if (!explained.ok) return explained;
    // Of an image that was passed over, only now all headers are known.
    const named = namedIn(explained.value.dump);
    return named.length > 1 && explained.value.profile.kind === 'read'
      ? explainBy(file, unbound, await profiles.namedBy(file, named))
      : explained;
  };

  const explainAsGiven = async (file: string, unbound: UnboundDump, given: string): Promise<Result<ExplainedDump>> => {
    const found = await profiles.given(given);
    if (!found.ok) return refuse(phrase('The profile {0} cannot be read: {1}.', fileName(given), found.why));
    const explained = await explainBy(file, unbound, found.value);
    if (!explained.ok) return explained;
    const own = await profiles.namedBy(file, namedIn(explained.value.dump));
    if (own.status.kind === 'none' || own.file === canonicalUri(given)) return explained;
    if (own.status.kind !== 'read' || own.profile.flaw !== undefined) return done(forReadingOnly(explained.value));
    const byOwn = unbound.bind(own.profile);
    if (!byOwn.ok) return byOwn;
    const why = whyProfileLiftsLocks(explained.value.dump, byOwn.value);
    return why === undefined ? explained : refuse(why);
  };

  const withDump = async <T>(
    given: string,
    { open, rows = 'all', most = LARGEST_TEXT }: LoadHow,
    use: (file: string, unbound: UnboundDump) => Promise<Result<T>>,
  ): Promise<Result<T>> => {
    const file = canonicalUri(given);
    if (open !== undefined) return use(file, open);
    const opened = await host.open(file, { pipe: true });
    if (!opened.ok) return opened;
    return closing(opened.value, async () => {
      const unbound = readDumpFile(fileName(file), opened.value, { rows, most });
      return unbound.ok ? use(file, unbound.value) : unbound;
    });
  };

  const explainIn = (file: string, unbound: UnboundDump, { profile }: LoadHow) =>
    profile === undefined ? explainAsNamed(file, unbound) : explainAsGiven(file, unbound, profile);

  const load: Workspace['load'] = (given, how = {}) =>
    withDump(given, how, async (file, unbound) => {
      const explained = await explainIn(file, unbound, how);
      if (!explained.ok) return explained;
      const { dump, profileFile } = explained.value;
      const isOpen = how.open !== undefined;
      const backup = await findBackup(dump, file, async (there) => {
        if (isOpen) used.set(there, true);
        const identity = await identityOf(file);
        if (identity !== undefined && identity === (await identityOf(there))) return 'itself';
        return readOther(there, dump.profile, isOpen, how.rows);
      });
      const modules = await vehicles.modulesOf(file, dump, profileFile);
      return done({ ...explained.value, backupFile: backup.file, backup: backup.status, modules });
    });

  const forgetLists = () => {
    handy.forget();
    beside.clear();
  };

  return {
    load,
    explain: (given, how = {}) => withDump(given, how, (file, unbound) => explainIn(file, unbound, how)),
    readDump: (file, profile) => {
      used.set(file, true);
      return readOther(file, profile, true);
    },
    readProfile: profiles.read,
    readText,
    list: (folders) => listFiles(host, folders),
    unsealed: async () => vehicles.unsealed(await handy.get()),
    isUsed: used.has,
    forget: (file) => {
      profiles.forget(file);
      kept.delete(file);
      identities.delete(file);
      vehicles.forget(file);
      if (kindOf(file) !== 'dumps') return;
      handy.heardOf(canonicalUri(file));
      beside.get(parentUri(file))?.heardOf(canonicalUri(file));
    },
    forgetLists,
    forgetAll: () => {
      profiles.forgetAll();
      kept.clear();
      identities.clear();
      vehicles.forgetAll();
      forgetLists();
    },
    evict: kept.clear,
  };
}

type Rows = NonNullable<LoadHow['rows']>;

/** A dump that was read for others, by the profile that it was read with. */
interface KeptDump {
  readonly profile: Profile;
  readonly dump: Promise<Result<Dump>>;
}

async function closing<T>(file: OpenFile, use: () => Promise<Result<T>>): Promise<Result<T>> {
  const used = await use();
  const closed = file.close();
  return closed.ok ? used : closed;
}

function bindFile(file: string, open: OpenFile, profile: Profile, rows: Rows): Result<Dump> {
  const unbound = readDumpFile(fileName(file), open, { rows, most: LARGEST_FILE });
  return unbound.ok ? unbound.value.bind(profile) : unbound;
}

function namedIn(dump: Dump): readonly string[] {
  return profilesNamed(headersOf(dump).map(({ header }) => header));
}

/** A dump by a profile that was given, where the locks of its own profile are not known. */
function forReadingOnly(explained: ExplainedDump): ExplainedDump {
  const { dump, profile: status } = explained;
  const first = phrase(
    'The profile that the dump itself names cannot be read or has problems, so what it locks is not known.',
  );
  const count = status.kind === 'read' ? status.problems + 1 : 1;
  const flaw = dump.profile.flaw ?? { first, span: { start: 0, end: 0 }, count };
  const wrong = status.kind === 'read' ? (status.wrong ?? first) : first;
  return {
    ...explained,
    dump: { ...dump, profile: { ...dump.profile, flaw } },
    profile: status.kind === 'unreadable' ? status : { kind: 'read', wrong, problems: count },
  };
}

/** Everything that is wrong with a loaded dump. */
export function problemsOf({ dump, profile, backup, modules }: LoadedDump): readonly Problem[] {
  return checkDump(dump, profile, backup, modules);
}
