import {
  done,
  type Phrase,
  phrase,
  type Result,
  refuse,
  say,
  type Translation,
  valueIn,
} from '../../shared-core/src/base/index.js';
import type { LoadedDump } from '../../shared-core/src/checks/index.js';
import { headersOf } from '../../shared-core/src/model/index.js';
import {
  canonicalUri,
  createUriMap,
  createWorkspace,
  type ExplainedDump,
  type FileList,
  fileName,
  type Host,
  headersBeside,
  headersUnread,
  isFileBeside,
  isOfAnotherTime,
  isUnsaved,
  kindOf,
  type LoadHow,
  profilesNamed,
  type UnboundDump,
  type UriMap,
  type Workspace,
} from '../../shared-core/src/workspace/index.js';
import { hasHeadersBeside, withOpenDocuments } from './clientHost.js';
import { besideHeaders, boundTo, type DumpSnapshot, type Snapshot } from './documents.js';
import type { InitializeParams } from './lsp.js';
import { NO_PLANS, type PlansOnDisk } from './plansOnDisk.js';
import { createResultIds, type ResultIds } from './resultIds.js';
import type { SavedFiles } from './savedFiles.js';
import { DEFAULTS, type Settings } from './settings.js';
import { createSignal, type Signal } from './signal.js';

/** A dump with all that explains it, of one version of its document. */
export type Analysis = LoadedDump & { readonly version: number };

/** The same of a file that may be open or closed, where it has no version. */
export type FileAnalysis = LoadedDump & Versioned;

/** A dump that may be open or closed, bound to its profile and to nothing else. */
export type BoundFile = ExplainedDump & Versioned;

interface Versioned {
  readonly version: number | null;
}

/** What the server knows while it runs: the open documents, the files they refer to, and how the client speaks. */
export interface Session {
  readonly client: InitializeParams;
  readonly documents: UriMap<Snapshot>;
  /** Open documents whose files were deleted: an editor may keep such a one for minutes after its tab was closed. They are in no list. */
  readonly gone: UriMap<true>;
  /** All files, open ones as they are in the editor. */
  readonly files: Workspace;
  /** Files as they are saved, whatever is open. */
  readonly saved: SavedFiles;
  /** An open dump, for `answer`; undefined where none is open there. */
  readonly analyze: (uri: string) => Promise<Analysis | undefined>;
  /** A dump that need not be open; a closed one has at most `most` bytes. */
  readonly analyzeFile: (uri: string, most?: number) => Promise<Result<FileAnalysis>>;
  /** The same without backup and other modules; for a look at many dumps. */
  readonly bindFile: (uri: string) => Promise<Result<BoundFile>>;
  /** Whether a file was read as raw bytes and is not open: no editor can make an edit in it. */
  readonly isClosedRaw: (uri: string) => boolean;
  /** Whether a file is read with headers that are in a file beside it, and not in its own text. */
  readonly hasHeadersBeside: (uri: string) => Promise<boolean>;
  /** Whether a file holds raw bytes, in whatever form an editor shows them. */
  readonly isRaw: (uri: string) => Promise<boolean>;
  /** The folders that the client has open now. */
  readonly folders: () => readonly string[];
  readonly setFolders: (folders: readonly string[]) => void;
  /** The files of the open folders, or of one, as they are now, with those that are open and not yet on a disk. */
  readonly list: (folder?: string) => Promise<FileList>;
  /** The plans that the command line has left half done. */
  readonly plans: PlansOnDisk;
  /** What the person has chosen for a file; without one, for all. */
  readonly settings: (uri?: string) => Promise<Settings>;
  /** Tells of all changes but those that concern only the open document in which they are made. */
  readonly changes: Signal;
  /** Names of what was said of files, by which a client tells whether it knows it already. */
  readonly resultIds: ResultIds;
  readonly say: (phrase: Phrase) => string;
}

export function createSession(
  client: InitializeParams,
  host: Host,
  translation: Translation | undefined,
  settings: Session['settings'] = async () => DEFAULTS,
  saved: SavedFiles = () => ({ ...host, codingOf: () => undefined }),
  plans: PlansOnDisk = NO_PLANS,
): Session {
  const documents = createUriMap<Snapshot>();
  const gone = createUriMap<true>();
  const watched = isWatched(client);
  let folders = foldersOf(client);
  const list = async (within?: string): Promise<FileList> => {
    const listed = await files.list(within === undefined ? folders : [within]);
    const open = [...documents.values()]
      .map(({ kind, uri }) => ({ kind, uri: canonicalUri(uri) }))
      .filter(({ uri }) => !gone.has(uri) && (within === undefined || uri.startsWith(`${within}/`)))
      .filter(({ uri }) => kindOf(uri) !== undefined || !isUnsaved(uri));
    const withOpen = (uris: readonly string[], kind: Snapshot['kind']) =>
      [...new Set([...uris, ...open.filter((one) => one.kind === kind).map(({ uri }) => uri)])].sort();
    return {
      ...listed,
      dumps: withOpen(listed.dumps, 'dump'),
      profiles: withOpen(listed.profiles, 'profile'),
      retrofits: withOpen(listed.retrofits, 'retrofit'),
    };
  };
  const raw = createUriMap<true>();
  const disk = tellingRaw(host, raw);
  const allFiles = withOpenDocuments(documents, disk);
  const files = createWorkspace(allFiles, { atHand: () => list(), watched, looksAgain: !watched });

  const isRaw = async (uri: string): Promise<boolean> => {
    const read = await disk.open(uri);
    if (read.ok) read.value.close();
    return read.ok && read.value.raw !== undefined;
  };
  /** Whether there are headers beside an open dump that has its own in its text. Those of raw bytes are in the text that an editor shows. */
  const hasUnreadHeaders = async (open: DumpSnapshot, uri: string): Promise<boolean> =>
    open.shown.headers !== 'none' && !isUnsaved(uri) && (await isFileBeside(allFiles, uri)) && !(await isRaw(uri));

  const read = async <T extends ExplainedDump>(
    given: string,
    most: number | undefined,
    way: (file: string, how: LoadHow) => Promise<Result<T>>,
  ): Promise<Result<T & Versioned>> => {
    const uri = canonicalUri(given);
    const open = documents.get(uri);
    if (!mayBeDump(uri, open)) return refuse(phrase('{0} is no dump.', fileName(uri)));
    const beside = hasHeadersBeside(open) && !isUnsaved(uri) ? await headersBeside(allFiles, uri) : done('');
    if (!beside.ok) return refuse(phrase('{0} cannot be read: {1}', fileName(uri), beside.why));
    if (open?.kind === 'dump' && (await hasUnreadHeaders(open, uri))) {
      const { why } = headersUnread(uri, open.shown);
      return refuse(phrase('{0} cannot be read: {1}', fileName(uri), why));
    }
    let version: number | null = null;
    const bind: UnboundDump['bind'] = (profile) => {
      // Another version may have come while files were read: then that one is explained.
      const now = documents.get(uri);
      if (now?.kind !== 'dump') return refuse(phrase('it was closed meanwhile'));
      const snapshot = boundTo(besideHeaders(now, beside.value), profile);
      documents.set(uri, snapshot);
      version = snapshot.version;
      return done(snapshot.dump);
    };
    const how =
      open?.kind === 'dump' ? { open: { profiles: () => profilesIn(besideHeaders(open, beside.value)), bind } } : {};
    const found = await way(uri, most === undefined ? how : { ...how, most });
    return found.ok ? done({ ...found.value, version }) : found;
  };
  const analyzeFile: Session['analyzeFile'] = (uri, most) => read(uri, most, files.load);

  return {
    client,
    documents,
    gone,
    files,
    saved,
    analyze: async (uri) => {
      const analysis = documents.has(uri) ? valueIn(await analyzeFile(uri)) : undefined;
      return analysis === undefined || analysis.version === null
        ? undefined
        : { ...analysis, version: analysis.version };
    },
    analyzeFile,
    bindFile: (uri) => read(uri, undefined, files.explain),
    isClosedRaw: (uri) => !documents.has(uri) && raw.has(uri),
    hasHeadersBeside: async (uri) => {
      const open = documents.get(uri);
      if (open !== undefined && !hasHeadersBeside(open)) return false;
      const read = await allFiles.open(uri);
      if (read.ok) read.value.close();
      return read.ok && read.value.form !== undefined;
    },
    isRaw,
    folders: () => folders,
    setFolders: (now) => {
      folders = now;
      files.forgetLists();
    },
    list: (folder) => list(folder === undefined ? undefined : canonicalUri(folder).replace(/\/$/, '')),
    plans,
    settings,
    changes: createSignal(),
    resultIds: createResultIds(),
    say: (said) => say(said, translation),
  };
}

/** Keeps which files were read as raw bytes. */
function tellingRaw(host: Host, raw: UriMap<true>): Host {
  return {
    ...host,
    open: async (uri, allowed) => {
      const opened = await host.open(uri, allowed);
      if (opened.ok && opened.value.raw !== undefined) raw.set(uri, true);
      else raw.delete(uri);
      return opened;
    },
  };
}

/** Whether a file is a dump as far as its name and the editor say. */
function mayBeDump(uri: string, open: Snapshot | undefined): boolean {
  if (open !== undefined) return open.kind === 'dump';
  const kind = kindOf(uri);
  return !isOfAnotherTime(uri) && kind !== 'profiles' && kind !== 'retrofits';
}

/** What the `@profile` headers of an open dump say. Where it is bound, its headers are known: those of an image are at its end. */
function profilesIn({ rows, beside, dump }: DumpSnapshot): readonly string[] {
  return profilesNamed(dump === undefined ? [...rows, ...beside.rows] : headersOf(dump).map(({ header }) => header));
}

/** The folders that the client has open when it starts. */
function foldersOf({ workspaceFolders, rootUri }: InitializeParams): readonly string[] {
  return workspaceFolders?.map(({ uri }) => uri) ?? (rootUri ? [rootUri] : []);
}

/** Whether the client can be asked to tell when a file appears, changes or goes. */
export function isWatched({ capabilities: { workspace } }: InitializeParams): boolean {
  return workspace?.didChangeWatchedFiles?.dynamicRegistration === true;
}
