import type { InitializeParams } from 'vscode-languageserver';
import {
  type BackupStatus,
  bindText,
  checkDump,
  type Dump,
  EMPTY_PROFILE,
  headerOf,
  headerValue,
  type OtherModules,
  type Phrase,
  type Problem,
  type Profile,
  type ProfileReading,
  type ProfileStatus,
  phrase,
  type Row,
  readProfile,
  say,
  textOfRows,
} from '../../shared-core/src/index.js';
import { boundTo, type DumpSnapshot, openSnapshot, type Snapshot } from './documents.js';
import type { Host } from './host.js';
import { DEFAULTS, type Settings } from './settings.js';
import { createSignal, type Signal } from './signal.js';
import { canonicalUri, fileName, isUnsaved, resolveUri } from './uri.js';
import { createUriMap, type UriMap } from './uriMap.js';
import { createVehicle, type Vehicle } from './vehicle.js';
import { foldersOf, isWatched, listWorkspace, type Workspace } from './workspace.js';

/** A dump with all that explains it, of one version of its document. */
export interface Analysis {
  readonly uri: string;
  readonly version: number;
  readonly dump: Dump;
  readonly profileUri: string | undefined;
  readonly profile: ProfileStatus;
  readonly backupUri: string | undefined;
  readonly backup: BackupStatus;
  /** Dumps of other modules of the same vehicle that the profile's conditions ask for. */
  readonly modules: OtherModules;
}

/** A dump that may be open or lie on a disk, where it has no version. */
export type FileAnalysis = Omit<Analysis, 'version'> & { readonly version: number | null };

/** A dump that may be open or lie on a disk, bound to its profile and to nothing else. */
export type BoundFile = Pick<FileAnalysis, 'uri' | 'version' | 'dump' | 'profileUri' | 'profile'>;

/** What the server knows while it runs: the open documents, the files they refer to, and how the client speaks. */
export interface Session {
  readonly client: InitializeParams;
  readonly documents: UriMap<Snapshot>;
  readonly analyze: (uri: string) => Promise<Analysis | undefined>;
  /** The same of a dump that need not be open; undefined where it cannot be read, or is closed and longer than `most` characters. */
  readonly analyzeFile: (uri: string, most?: number) => Promise<FileAnalysis | undefined>;
  /** The same without backup and other modules; for a look at many dumps. */
  readonly bindFile: (uri: string) => Promise<BoundFile | undefined>;
  /** The folders that the client has open now. */
  readonly folders: () => readonly string[];
  readonly setFolders: (folders: readonly string[]) => void;
  /** The files of the workspace as they are now. */
  readonly workspace: () => Promise<Workspace>;
  /** The unsealed dumps of the workspace that name a profile. */
  readonly unsealed: Vehicle['unsealed'];
  /** A dump that need not be open, bound to a profile. */
  readonly readDump: (uri: string, profile: Profile) => Promise<Dump | undefined>;
  /** The text of a file, from the editor where it is open there. */
  readonly readText: (uri: string) => Promise<string | undefined>;
  /** The profile of a file, from the editor where it is open there. */
  readonly readProfileOf: (uri: string) => Promise<ProfileReading | undefined>;
  /** Whether another document was ever explained with this file. */
  readonly isUsed: (uri: string) => boolean;
  /** Forgets what was read of a file, because it has changed. */
  readonly forget: (uri: string) => void;
  /** Forgets what was read of all files, where nobody tells of changes. */
  readonly forgetAll: () => void;
  /** Lets go of dumps that were read for others: the document that asked for them may be closed. */
  readonly evict: () => void;
  /** What the person has chosen for a file; without one, for all. */
  readonly settings: (uri?: string) => Promise<Settings>;
  /** Tells of all changes but those that concern only the open document in which they are made. */
  readonly changes: Signal;
  readonly say: (phrase: Phrase) => string;
}

export function createSession(
  client: InitializeParams,
  host: Host,
  translation: Readonly<Record<string, string>>,
  settings: Session['settings'] = async () => DEFAULTS,
): Session {
  const documents = createUriMap<Snapshot>();
  const profiles = createUriMap<ProfileReading | undefined>();
  const backups = createUriMap<Dump | undefined>();
  const used = createUriMap<true>();

  const textOf = async (uri: string): Promise<string | undefined> => {
    const open = documents.get(uri);
    if (open === undefined) return host.readText(uri);
    return open.kind === 'dump' ? textOfRows(open.rows) : open.document.getText();
  };

  const readProfileOf = async (uri: string): Promise<ProfileReading | undefined> => {
    used.set(uri, true);
    if (profiles.has(uri)) return profiles.get(uri);
    const text = await textOf(uri);
    const reading = text === undefined ? undefined : readProfile(text);
    profiles.set(uri, reading);
    return reading;
  };

  // What many closed dumps ask for once is not kept.
  const readOnce = async (uri: string, profile: Profile): Promise<Dump | undefined> => {
    const known = backups.get(uri);
    if (known?.profile === profile) return known;
    const text = await textOf(uri);
    return text === undefined ? undefined : bindText(fileName(uri), text, profile);
  };

  const readDump = async (uri: string, profile: Profile): Promise<Dump | undefined> => {
    used.set(uri, true);
    const dump = await readOnce(uri, profile);
    backups.set(uri, dump);
    return dump;
  };

  let folders = foldersOf(client);
  const workspace = () => listWorkspace(folders, host, documents);
  const vehicle = createVehicle({ workspace, textOf, readProfileOf, readDump, watched: isWatched(client) });

  const bindFile = async (given: string, most = Number.POSITIVE_INFINITY): Promise<BoundFile | undefined> => {
    const uri = canonicalUri(given);
    const open = documents.get(uri);
    const text = open === undefined ? await host.readText(uri) : undefined;
    const found = open ?? (text === undefined || text.length > most ? undefined : openSnapshot(uri, '', 0, text));
    if (found?.kind !== 'dump') return undefined;
    const { profileUri, profile, status } = await findProfile({ ...found, uri }, readProfileOf);
    if (open === undefined) {
      return { uri, version: null, dump: boundTo(found, profile).dump, profileUri, profile: status };
    }
    // Another version may have come while files were read: then that one is explained.
    const now = documents.get(uri);
    if (now?.kind !== 'dump') return undefined;
    const snapshot = boundTo(now, profile);
    documents.set(uri, snapshot);
    return { uri, version: snapshot.version, dump: snapshot.dump, profileUri, profile: status };
  };

  const analyzeFile = async (given: string, most?: number): Promise<FileAnalysis | undefined> => {
    const bound = await bindFile(given, most);
    if (bound === undefined) return undefined;
    const { uri } = bound;
    const { backupUri, backup } = await findBackup(bound.dump, uri, bound.version === null ? readOnce : readDump);
    const modules = await vehicle.modulesOf(uri, bound.dump, bound.profileUri);
    return { ...bound, backupUri, backup, modules };
  };

  const analyze = async (uri: string): Promise<Analysis | undefined> => {
    const explained = documents.has(uri) ? await analyzeFile(uri) : undefined;
    return explained === undefined || explained.version === null
      ? undefined
      : { ...explained, version: explained.version };
  };

  const forget = (uri: string): void => {
    profiles.delete(uri);
    backups.delete(uri);
    vehicle.forget(uri);
  };

  const forgetAll = (): void => {
    for (const uri of [...profiles.keys(), ...backups.keys()]) forget(uri);
    vehicle.forgetAll();
  };

  const evict = (): void => {
    for (const uri of [...backups.keys()]) backups.delete(uri);
  };

  return {
    client,
    documents,
    analyze,
    analyzeFile,
    bindFile,
    folders: () => folders,
    setFolders: (now) => {
      folders = now;
      vehicle.forgetAll();
    },
    workspace,
    unsealed: vehicle.unsealed,
    readDump,
    readText: textOf,
    readProfileOf,
    isUsed: used.has,
    forget,
    forgetAll,
    evict,
    settings,
    changes: createSignal(),
    say: (said) => say(said, translation),
  };
}

async function findProfile(
  { uri, rows, dump }: DumpSnapshot,
  read: Session['readProfileOf'],
): Promise<{ profileUri: string | undefined; profile: Profile; status: ProfileStatus }> {
  // Where the rows are bound, their headers are known: those of an image stand at its end.
  const path = dump === undefined ? headerValueOf(rows, 'profile') : headerValue(dump, 'profile');
  if (path === undefined) return { profileUri: undefined, profile: EMPTY_PROFILE, status: { kind: 'none' } };
  const profileUri = resolveUri(uri, path);
  if (profileUri === uri) {
    const why = phrase('The profile is this dump itself. Name a "*.dump-profile.json" file.');
    return { profileUri, profile: EMPTY_PROFILE, status: { kind: 'unreadable', why } };
  }
  const reading = await read(profileUri);
  if (reading === undefined) {
    const why = isUnsaved(uri)
      ? NOT_SAVED
      : phrase(
          'There is no file "{0}" beside this dump, or it cannot be read. Correct the path, or put the profile there.',
          path,
        );
    return { profileUri, profile: EMPTY_PROFILE, status: { kind: 'unreadable', why } };
  }
  const [first] = reading.problems;
  if (first?.code === 'profile-unreadable') {
    const why = phrase('The profile cannot be read: {0}', first.message);
    return { profileUri, profile: EMPTY_PROFILE, status: { kind: 'unreadable', why } };
  }
  return {
    profileUri,
    profile: reading.profile,
    status: { kind: 'read', wrong: first?.message, problems: reading.problems.length },
  };
}

async function findBackup(
  dump: Dump,
  uri: string,
  read: Session['readDump'],
): Promise<{ backupUri: string | undefined; backup: BackupStatus }> {
  const path = headerOf(dump, 'backup')?.header.value;
  if (path === undefined) return { backupUri: undefined, backup: { kind: 'none' } };
  const backupUri = resolveUri(uri, path);
  if (backupUri === uri) return { backupUri, backup: { kind: 'itself' } };
  const backup = await read(backupUri, dump.profile);
  if (backup !== undefined) return { backupUri, backup: { kind: 'read', dump: backup, file: backupUri } };
  const why = isUnsaved(uri)
    ? NOT_SAVED
    : phrase(
        'There is no file "{0}" beside this dump, or it cannot be read. Correct the path, or make a backup.',
        path,
      );
  return { backupUri, backup: { kind: 'unreadable', why } };
}

const NOT_SAVED = phrase('This dump is not saved yet, and paths are read from its folder. Save it first.');

/** Headers stand at the head as a rule; the rows are looked through from the start, so that finding one is cheap. */
function headerValueOf(rows: readonly Row[], name: string): string | undefined {
  for (const row of rows) if (row.kind === 'header' && row.name === name && row.value !== '') return row.value;
  return undefined;
}

/** Everything that is wrong with an explained dump. */
export function problemsOf(file: FileAnalysis): readonly Problem[] {
  return checkDump(file);
}
