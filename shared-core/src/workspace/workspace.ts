import { done, type Refused, type Result } from '../base/result.js';
import { inOneGo, type RunSteps } from '../base/steps.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import type { Dependent } from '../checks/otherModules.js';
import { type Contents, contentsOf } from '../convert/contents.js';
import type { WrittenForm } from '../format/notation.js';
import { type RetrofitFile, retrofitFile } from '../jobs/retrofitFile.js';
import type { Dump } from '../model/dump.js';
import type { Bases } from '../profile/extends.js';
import type { Profile } from '../profile/profile.js';
import type { ProfileReading } from '../profile/readProfile.js';
import type { ImageFile } from '../scan/imageScan.js';
import type { PassedImage } from '../scan/together.js';
import { findBackup } from './backups.js';
import { type FileToBind, imageIn, readDumpFile, type SaidWord, type UnboundDump } from './dumpFile.js';
import { type ExplainedDump, explainDump, type NamedFile } from './explain.js';
import { kindOf } from './fileKind.js';
import { HEADERS_BESIDE, type Host, LARGEST_FILE, LARGEST_TEXT, type OpenFile } from './host.js';
import { retrofitProblems } from './jsonProblems.js';
import { type DumpList, type KeptList, keptList } from './keptList.js';
import { type FileList, listFiles, type Walk } from './listFiles.js';
import { createProfiles } from './profiles.js';
import { readGivenText, readNamedText } from './readFile.js';
import { type OnceRead, readOnce } from './readOnce.js';
import { unreadable } from './reasons.js';
import { forgetChanged, type Stamped, stamped } from './stamped.js';
import { canonicalUri, fileName, isUnsaved, parentUri } from './uri.js';
import { createUriMap } from './uriMap.js';
import { createVehicles, type Unsealed, type UnsealedAmong } from './vehicle.js';

/** How a dump is to be loaded. */
export interface LoadHow {
  /** What the person calls the file; else its name. */
  readonly name?: string | undefined;
  /** A profile that takes the place of the one that the dump names. */
  readonly profile?: string | undefined;
  /** The dump as an editor has it, in place of the file. */
  readonly open?: UnboundDump | undefined;
  /** `'needed'`: of memory images only the rows that problems are about; they may be of any size then. */
  readonly rows?: 'all' | 'needed';
  /** Dumps of other modules whose conditions mention this one are asked for as well: before options are set. */
  readonly dependents?: boolean;
  /** What the file holds is asked for as well. */
  readonly contents?: boolean;
  /** Closed files with more bytes than these are refused. */
  readonly most?: number;
  /** How a memory image is passed over whose rows are not all needed; in one go where nothing is said. */
  readonly run?: RunSteps;
}

/** A dump whose file is open. */
export interface OpenedDump {
  /** Bytes of the file. */
  readonly size: number;
  /** The file as a memory image; undefined where it is none. */
  readonly image: () => ImageFile | undefined;
  /** What the file holds, whatever rows of the dump that was read from it are at hand. */
  readonly contents: (dump: Dump) => Result<Contents>;
  readonly explain: () => Promise<Result<ExplainedDump>>;
  readonly load: () => Promise<Result<LoadedDump>>;
  /** The same with all its rows, whatever was asked for. */
  readonly loadWhole: () => Promise<Result<LoadedDump>>;
  /** The pass that a dump was loaded by; `'whole'` where all its rows are at hand. Undefined where neither is known of it. */
  readonly passed: (dump: Dump) => PassedImage | 'whole' | undefined;
}

/** The one way from files to dumps with all that explains them. Files are addresses. */
export interface Workspace {
  /** Opens a dump once, for whatever is to be read of it. */
  readonly open: <T>(
    file: string,
    how: LoadHow,
    use: (dump: OpenedDump) => Result<T> | Promise<Result<T>>,
  ) => Promise<Result<T>>;
  readonly load: (file: string, how?: LoadHow) => Promise<Result<LoadedDump>>;
  /** The same without backup and other modules, for a look at many dumps. */
  readonly explain: (file: string, how?: LoadHow) => Promise<Result<ExplainedDump>>;
  /** Another dump by the profile of the one that it is compared with. */
  readonly readDump: (file: string, profile: Profile) => Promise<Result<Dump>>;
  /** The dumps of other modules whose conditions mention a loaded one. */
  readonly dependentsOf: (loaded: ExplainedDump) => Promise<readonly Dependent[]>;
  readonly readProfile: (file: string) => Promise<Result<ProfileReading>>;
  /** The profiles that a text extends where it is that of a profile's file; undefined where it extends none. */
  readonly basesOf: (file: string, text: string) => Promise<Bases | undefined>;
  /** A retrofit, under the name that people call its file by. */
  readonly readRetrofit: (file: string, name?: string) => Promise<RetrofitFile>;
  /** The same, faulty also where the profiles that it names do not know what it asks for. */
  readonly readFittingRetrofit: (file: string, name?: string) => Promise<RetrofitFile>;
  /** The text of a file that a person names. */
  readonly readText: (file: string) => Promise<Result<string>>;
  readonly list: (folders: readonly string[], walk?: Walk) => Promise<FileList>;
  /**
   * From now on dumps of other modules are looked for among these files alone, and no folder is listed; what is read of a
   * dump, of these or another, serves all who ask for it until the next call, or until a file is forgotten.
   */
  readonly lookAmong: (files: readonly string[]) => void;
  /** The unsealed dumps at hand, and what may be among them and cannot be read. */
  readonly unsealed: () => Promise<Unsealed>;
  /** The same of some files, as far as their headers say. */
  readonly unsealedAmong: (files: readonly string[]) => Promise<UnsealedAmong>;
  /** Whether a file was ever read for another one. */
  readonly isUsed: (file: string) => boolean;
  /** Reads a file anew when it is next asked for. */
  readonly forget: (file: string) => void;
  readonly forgetAll: () => void;
  /** What is another one when a file was changed; undefined where that cannot be told. */
  readonly stamp: Host['stamp'];
  /** Keeps of what was read only what is surely as it was, for proofs: whoever tells of changes may have missed one. */
  readonly lookAgain: () => Promise<void>;
  /** Lists folders anew. */
  readonly forgetLists: () => void;
  /** Drops the dumps that were read for others. */
  readonly evict: () => void;
}

export interface WorkspaceSetup {
  /** Dumps among which those of other modules are looked for, besides the ones in the folder of a dump. */
  readonly atHand?: () => Promise<DumpList>;
  /** The form that a person says a file is written in, whatever it looks like. */
  readonly formOf?: (file: string) => WrittenForm | undefined;
  /** The words that a person says a file is written in. */
  readonly wordOf?: (file: string) => SaidWord | undefined;
  /** Whether `forget` is told of every file that appears, changes or goes, so that lists of folders may be kept. */
  readonly watched?: boolean;
  /** Whether files may change between two questions while nobody tells of it: each looks again then. */
  readonly looksAgain?: boolean;
}

const NO_DUMPS: DumpList = { dumps: [], unlisted: [] };

export function createWorkspace(
  host: Host,
  {
    atHand = async () => NO_DUMPS,
    formOf = () => undefined,
    wordOf = () => undefined,
    watched = false,
    looksAgain = false,
  }: WorkspaceSetup = {},
): Workspace {
  const used = createUriMap<true>();
  const kept = createUriMap<KeptDump>();
  const handy = keptList(atHand, watched);
  const beside = createUriMap<KeptList>();
  const identities = createUriMap<Promise<string | undefined>>();
  let among: (OnceRead & { readonly files: readonly string[] }) | undefined;
  const readText = (file: string) => readGivenText(host, file);

  const readAnew = async <T>(
    file: string,
    { rows = 'all', run = inOneGo }: Pick<LoadHow, 'rows' | 'run'>,
    use: (unbound: FileToBind) => Result<T> | Promise<Result<T>>,
  ): Promise<Result<T>> => {
    const opened = await host.open(file);
    if (!opened.ok) return opened;
    const wanted = {
      rows,
      most: LARGEST_FILE,
      form: formOf(canonicalUri(file)),
      word: wordOf(canonicalUri(file)),
      run,
    };
    return andClose(opened.value, async (open) => {
      const unbound = readDumpFile(fileName(file), open, wanted);
      return unbound.ok ? use(unbound.value) : unbound;
    });
  };

  /** What many closed dumps ask for once is not kept. */
  const readOther = async (
    file: string,
    profile: Profile,
    keep: boolean,
    how: Pick<LoadHow, 'rows' | 'run'> = {},
  ): Promise<Result<Dump>> => {
    if (among !== undefined && how.rows !== 'needed') {
      const unbound = await among.read(file);
      return unbound.ok ? unbound.value.bind(profile) : unbound;
    }
    const known = kept.get(file);
    if (known?.profile === profile) return known.value;
    const read = () => readAnew(file, how, (unbound) => unbound.bind(profile));
    if (!keep) return read();
    const { stamp, value: dump } = stamped(host, file, read);
    kept.set(file, { profile, stamp, value: dump });
    return dump;
  };

  const identityOf = (file: string): Promise<string | undefined> => {
    const known = identities.get(file);
    if (known !== undefined) return known;
    const identity = host.identity(file);
    identities.set(file, identity);
    return identity;
  };

  const keyOf = async (file: string): Promise<string> => (await identityOf(file)) ?? file;
  const profiles = createProfiles(host, (file) => used.set(file, true), keyOf);

  const dumpsBeside = async (file: string): Promise<DumpList> => {
    if (isUnsaved(file)) return NO_DUMPS;
    const folder = parentUri(file);
    const known = beside.get(folder);
    if (known !== undefined) return known.get();
    const list = keptList(() => listFiles(host, [folder], { deep: false }), watched);
    beside.set(folder, list);
    return list.get();
  };

  const vehicles = createVehicles({
    stamp: host.stamp,
    keyOf,
    readText: (file) => readNamedText(host, file),
    readProfile: profiles.read,
    readDump: (file, profile) => {
      used.set(file, true);
      return readOther(file, profile, true);
    },
    dumpsNear: async (file) => {
      if (among !== undefined) return { dumps: among.files, unlisted: [] };
      const lists = [await dumpsBeside(file), await handy.get()];
      return {
        dumps: [...new Set(lists.flatMap(({ dumps }) => dumps))].sort(),
        unlisted: lists.flatMap(({ unlisted }) => unlisted),
      };
    },
  });

  const loadFrom = async (named: NamedFile, unbound: FileToBind, how: LoadHow): Promise<Result<LoadedDump>> => {
    const explained = await explainDump(profiles, named, unbound, how.profile);
    if (!explained.ok) return explained;
    const { file } = named;
    const { dump, profileFile } = explained.value;
    const isOpen = how.open !== undefined;
    const backup = await findBackup(dump, file, async (there) => {
      if ((await keyOf(file)) === (await keyOf(there))) return 'itself';
      if (isOpen) used.set(there, true);
      return readOther(there, dump.profile, isOpen, how);
    });
    const modules = await vehicles.modulesOf(file, dump, profileFile);
    const dependents = how.dependents === true ? await vehicles.dependentsOf(file, dump, profileFile) : [];
    return done({ ...explained.value, backupFile: backup.file, backup: backup.status, modules, dependents });
  };

  const whileOpen = async <T>(
    { file, name }: NamedFile,
    use: (opened: OpenFile) => Result<T> | Promise<Result<T>>,
  ): Promise<Result<T>> => {
    const opened = await host.open(file, { pipe: true });
    if (!opened.ok) return unreadable(name, opened);
    return andClose(opened.value, use, (refused) => unreadable(name, refused));
  };

  const open: Workspace['open'] = (given, how, use) => {
    const named = nameOf(given, how);
    const form = formOf(named.file);
    const wanted = {
      rows: how.rows ?? 'all',
      most: how.most ?? LARGEST_TEXT,
      form,
      word: wordOf(named.file),
      contents: how.contents === true,
      run: how.run,
    };
    return whileOpen(named, (file) => {
      const name = fileName(named.file);
      let unbound: Result<FileToBind> | undefined;
      const by = <T>(read: (unbound: FileToBind) => Promise<Result<T>>) => {
        unbound ??= readDumpFile(name, file, wanted);
        return unbound.ok ? read(unbound.value) : Promise.resolve(unreadable(named.name, unbound));
      };
      return use({
        size: file.size,
        image: () => imageIn(name, file, form),
        contents: (dump) => (unbound?.ok ? unbound.value.contents?.(dump) : undefined) ?? contentsOf(dump),
        explain: () => by((unbound) => explainDump(profiles, named, unbound, how.profile)),
        load: () => by((unbound) => loadFrom(named, unbound, how)),
        loadWhole: async () => {
          const whole = readDumpFile(name, file, { ...wanted, rows: 'all' });
          return whole.ok ? loadFrom(named, whole.value, { ...how, rows: 'all' }) : unreadable(named.name, whole);
        },
        passed: (dump) =>
          unbound?.ok ? (unbound.value.passed === undefined ? 'whole' : unbound.value.passed(dump)) : undefined,
      });
    });
  };

  const loadFile: Workspace['load'] = async (file, how = {}) => {
    const unbound = how.rows === 'needed' || how.most !== undefined ? undefined : await among?.read(file);
    // Where that cannot be done, the way that all go says why.
    return unbound?.ok ? loadFrom(nameOf(file, how), unbound.value, how) : open(file, how, ({ load }) => load());
  };

  const forgetLists = () => {
    handy.forget();
    beside.clear();
  };

  const lookAgain = async (): Promise<void> => {
    identities.clear();
    forgetLists();
    among?.forget();
    await forgetChanged(host, kept, kept.delete);
    await profiles.lookAgain();
    await vehicles.lookAgain();
  };

  const asked = <T>(answer: () => Promise<T>): Promise<T> => (looksAgain ? lookAgain().then(answer) : answer());

  return {
    open: (file, how, use) => asked(() => open(file, how, use)),
    load: (file, how = {}) =>
      asked(() => (how.open === undefined ? loadFile(file, how) : loadFrom(nameOf(file, how), how.open, how))),
    explain: (file, how = {}) =>
      asked(() =>
        how.open === undefined
          ? open(file, how, ({ explain }) => explain())
          : explainDump(profiles, nameOf(file, how), how.open, how.profile),
      ),
    readDump: (file, profile) =>
      asked(() => {
        used.set(file, true);
        return readOther(file, profile, true);
      }),
    dependentsOf: ({ file, dump, profileFile }) => asked(() => vehicles.dependentsOf(file, dump, profileFile)),
    readProfile: (file) => asked(() => profiles.read(file)),
    basesOf: (file, text) => asked(() => profiles.basesOf(file, text)),
    readRetrofit: async (file, name = fileName(file)) => retrofitFile(name, await readText(file)),
    readFittingRetrofit: async (file, name = fileName(file)) => {
      const text = await readText(file);
      const problems = text.ok ? await retrofitProblems(file, text.value, profiles.read) : [];
      return retrofitFile(name, text, problems[0]?.message);
    },
    readText,
    list: (folders, walk) => listFiles(host, folders, walk),
    lookAmong: (files) => {
      among = { files, ...readOnce((file) => readAnew(file, {}, done)) };
    },
    unsealedAmong: (files) => asked(() => vehicles.unsealedAmong(files)),
    unsealed: () => asked(async () => vehicles.unsealed(await handy.get())),
    isUsed: used.has,
    forget: (changed) => {
      // With other headers it is another dump.
      const isBeside = changed.endsWith(HEADERS_BESIDE);
      const file = isBeside ? changed.slice(0, -HEADERS_BESIDE.length) : changed;
      profiles.forget(file);
      kept.delete(file);
      among?.forget();
      identities.delete(file);
      vehicles.forget(file);
      if (isBeside) return forgetLists();
      if ((kindOf(file) ?? 'dumps') !== 'dumps') return;
      handy.heardOf(canonicalUri(file));
      beside.get(parentUri(file))?.heardOf(canonicalUri(file));
    },
    stamp: host.stamp,
    lookAgain,
    forgetLists,
    forgetAll: () => {
      profiles.forgetAll();
      kept.clear();
      among?.forget();
      identities.clear();
      vehicles.forgetAll();
      forgetLists();
    },
    evict: kept.clear,
  };
}

function nameOf(given: string, { name }: LoadHow): NamedFile {
  const file = canonicalUri(given);
  return { file, name: name ?? fileName(file) };
}

/** A dump that was read for others, by the profile that it was read with. */
interface KeptDump extends Stamped<Promise<Result<Dump>>> {
  readonly profile: Profile;
}

/** What is made of an open file, which is closed in any case; refused where what was read is not to be relied on. */
async function andClose<T>(
  opened: OpenFile,
  use: (opened: OpenFile) => Result<T> | Promise<Result<T>>,
  inWords: (refused: Refused) => Refused = (refused) => refused,
): Promise<Result<T>> {
  let closed: Result<void> | undefined;
  let result: Result<T>;
  try {
    result = await use(opened);
  } finally {
    closed = opened.close();
  }
  return closed.ok ? result : inWords(closed);
}
