import fs from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { listed, type Phrase, phrase, type Result } from '../../../shared-core/src/base/index.js';
import type { LoadedDump } from '../../../shared-core/src/checks/index.js';
import { DUMP_ENDINGS, formOf } from '../../../shared-core/src/format/index.js';
import type { Retrofit } from '../../../shared-core/src/jobs/index.js';
import {
  type BinaryView,
  type Coding,
  canonicalUri,
  codedFiles,
  createWorkspace,
  type FileKind,
  type FileList,
  type FileToCompare,
  filesNamedBy,
  HEADERS_BESIDE,
  type Host,
  type LoadHow,
  listFiles,
  loadTogether,
  NAMING_HEADERS,
  PLAIN_VIEW,
  type SaidWord,
  type ToCompare,
  type Walk,
  type Workspace,
} from '../../../shared-core/src/workspace/index.js';
import { utf8 } from '../codec.js';
import { createDiskHost } from '../diskHost.js';
import { Failure } from '../files/failure.js';
import { lookThrough } from '../files/fileContent.js';
import { openLibrary } from './library.js';
import { runShown } from './progress.js';

/** Standard input, as a file name. */
export const STDIN = '-';

/**
 * The way to files for one run, which knows what it has read. Names are those that the person gives, relative to the
 * working folder; addresses are the core's.
 */
export interface Disk {
  readonly workspace: Workspace;
  /** Ends the command where a folder of profiles is not there, whether or not anything asks for it. */
  readonly haveLibraries: () => Promise<void>;
  readonly load: (name: string, profile?: string, rows?: LoadHow['rows']) => Promise<LoadedDump>;
  /** Dumps that are to be compared with the first of them. */
  readonly loadTogether: (
    names: readonly string[],
    profile: string | undefined,
    wanted: ToCompare,
  ) => Promise<readonly LoadedDump[]>;
  /** The same with the dumps of other modules whose conditions mention it: before options are set. */
  readonly loadWithDependents: (name: string, profile?: string) => Promise<LoadedDump>;
  /** From now on dumps of other modules are looked for among these only, all that may be of the vehicle; each is read once. */
  readonly lookAmong: (names: readonly string[]) => void;
  readonly readText: (name: string) => Promise<string>;
  /** The files of a kind in a folder and below it, by their paths from there. */
  readonly within: (folder: string, kind: FileKind) => Promise<readonly string[]>;
  /** The files themselves, and those of some kinds in folders; a file that is there by two names is there once. */
  readonly expand: (names: readonly string[], kinds?: readonly FileKind[]) => Promise<readonly string[]>;
  /** What a folder of folders holds; ends the command where it cannot be listed, or holds no dump at all. */
  readonly lookInto: (folder: string) => Promise<FolderLook>;
  /** Whether any file was read as raw bytes. */
  readonly hasReadBinary: () => boolean;
  readonly isFolder: (name: string) => Promise<boolean>;
  /** How the file of a name was encoded, where it was read and is no text in UTF-8. */
  readonly codingOf: (name: string) => Coding | undefined;
  /** Whether a file, by the path that the disk gives it, has been read in this run. */
  readonly wasRead: (path: string) => boolean;
  /** Whether a file that was read in this run names this one as its profile or its backup. */
  readonly isNamed: (path: string) => boolean;
  /** The path that the disk gives a file. */
  readonly placeOf: (name: string) => string;
  /** How many files of the folders that were walked are left out because version control ignores them, and how many links. */
  readonly leftOut: () => { readonly ignored: number; readonly links: number };
  /** What was taken from a library for which dump, and what of it could not be read. */
  readonly chosen: () => readonly Phrase[];
  /** The profile that was taken from a library for a dump, by its name. */
  readonly chosenFor: (name: string) => string | undefined;
}

/** What a folder holds, by paths. */
export interface FolderLook {
  readonly dumps: readonly string[];
  /** Folders in it without any file of ours, in the folder and below it; none where dumps lie beside them. */
  readonly empty: readonly string[];
  /** Folders below it that cannot be listed, and why. */
  readonly unlisted: readonly { readonly folder: string; readonly why: Phrase }[];
}

/** How the files of a command are read. */
export interface ReadAs {
  /** The form that they are written in, where the person says it. */
  readonly from?: string | undefined;
  /** How raw bytes are shown. */
  readonly view?: BinaryView;
  /** The words in which the digits of a file are printed, or its bytes stored. */
  readonly word?: SaidWord;
  /** Folders of profiles, for dumps that name none. */
  readonly libraries?: readonly string[];
}

/**
 * `names` are all that a command was given: dumps of other modules are looked for among them as well. With `from` they
 * are all read as written in that form.
 */
export function openDisk(
  names: readonly string[],
  { from, view = PLAIN_VIEW, word, libraries = [] }: ReadAs = {},
): Disk {
  const seen = new Set<string>();
  const leftOut = { ignored: new Set<string>(), link: new Set<string>() };
  const onDisk = createDiskHost({ stdin: uriOf(STDIN) });
  const disk = libraries.length === 0 ? onDisk : withKeptPipes(onDisk);
  const given = new Set(names.map(uriOf));
  const saidForm = (uri: string) => (given.has(uri) ? from : undefined);
  const coded = codedFiles(disk, utf8, { view, saidForm, hasOption: true });
  const host: Host = {
    ...disk,
    readsRawBytes: true,
    // A run never looks again at what it has read.
    stamp: async () => undefined,
    open: (uri, allowed) => {
      if (uri !== uriOf(STDIN)) seen.add(uri);
      // A pipe is waited for only where it was named: one that lies in a folder has nobody who writes into it.
      const isWalked = !given.has(uri) && [...given].some((folder) => uri.startsWith(`${folder}/`));
      return coded.open(uri, isWalked ? { ...allowed, pipe: false } : allowed);
    },
  };
  const walk: Walking = { host, onLeftOut: (uri, why) => leftOut[why].add(uri) };
  // What cannot be listed ends the command.
  const atHand = async () => {
    const dumps = (await expand(walk, names, ['dumps'])).filter((name) => name !== STDIN).map(uriOf);
    return { dumps, unlisted: [] };
  };
  // Of raw bytes, the headers are in the file beside them.
  const filesRead = () => [...seen].map(pathOf).flatMap((file) => [file, `${file}${HEADERS_BESIDE}`]);
  const form = from === undefined ? undefined : formOf(from);
  const workspace = createWorkspace(host, {
    atHand,
    formOf: (uri) => (given.has(uri) ? form : undefined),
    wordOf: (uri) => (given.has(uri) ? word : undefined),
    watched: true,
  });
  const library = openLibrary(workspace, uriOf, () => expand(walk, libraries, ['profiles']));
  /** The profile that a person gives, or that was found for a dump that names none. */
  const profileFor = async (name: string, profile: string | undefined) => {
    if (profile !== undefined) return uriOf(profile);
    return libraries.length === 0 ? undefined : library.profileFor(name);
  };
  return {
    workspace,
    haveLibraries: async () => {
      for (const folder of libraries) {
        const found = await host.kindAt(uriOf(folder));
        if (!found.ok) throw new Failure(phrase('{0} cannot be read: {1}', folder, found.why));
      }
    },
    load: async (name, given, rows = 'all') => {
      noHeaders(name);
      const profile = await profileFor(name, given);
      return must(await workspace.load(uriOf(name), { name, rows, profile, run: runShown }));
    },
    loadTogether: async (names, given, wanted) => {
      names.forEach(noHeaders);
      const files: FileToCompare[] = [];
      for (const name of names) files.push({ file: uriOf(name), name, profile: await profileFor(name, given) });
      const open: Workspace['open'] = (file, how, use) => workspace.open(file, { ...how, run: runShown }, use);
      return must(await loadTogether(open, files, wanted));
    },
    loadWithDependents: async (name, given) => {
      noHeaders(name);
      const how = { name, profile: await profileFor(name, given) };
      const loaded = must(await workspace.load(uriOf(name), how));
      const own = [...seen];
      const dependents = await workspace.dependentsOf(loaded);
      // Nothing is made from those that only lie beside it.
      seen.clear();
      for (const uri of own) seen.add(uri);
      return { ...loaded, dependents };
    },
    lookAmong: (some) => workspace.lookAmong(some.map(uriOf)),
    readText: async (name) => {
      const text = await workspace.readText(uriOf(name));
      if (!text.ok) throw new Failure(phrase('{0} cannot be read: {1}', name, text.why));
      return text.value;
    },
    within: (folder, kind) => filesIn(walk, folder, [kind]),
    expand: (some, kinds = ['dumps']) => expand(walk, some.map(ofHeaders), kinds),
    lookInto: (folder) => lookInto(walk, folder),
    isNamed: (path) =>
      filesRead().some((file) =>
        filesNamedBy(uriOf(file), textAt(file)).some((named) => realPathOf(pathOf(named)) === path),
      ),
    hasReadBinary: coded.hasReadBinary,
    isFolder: (name) => isFolder(host, uriOf(name)),
    codingOf: (name) => coded.codingOf(uriOf(name)),
    wasRead: (path) => filesRead().some((file) => realPathOf(file) === path),
    placeOf: (name) => realPathOf(resolve(name)),
    leftOut: () => ({ ignored: leftOut.ignored.size, links: leftOut.link.size }),
    chosen: library.said,
    chosenFor: library.chosenFor,
  };
}

/** The dump whose headers a file beside it holds: a pattern of the shell names both. */
function ofHeaders(name: string): string {
  return name.endsWith(HEADERS_BESIDE) ? name.slice(0, -HEADERS_BESIDE.length) : name;
}

function noHeaders(name: string): void {
  const dump = ofHeaders(name);
  if (dump !== name)
    throw new Failure(phrase('{0} holds the headers of {1} and is no dump by itself. Name {1}.', name, dump));
}

/** What a pipe gave, for all who ask: a profile is looked for with each that may fit. */
function withKeptPipes(disk: Host): Host {
  const kept = new Map<string, ReturnType<Host['open']>>();
  const isPipe = async (uri: string) => {
    if (uri === uriOf(STDIN)) return true;
    const kind = await disk.kindAt(uri);
    return kind.ok && kind.value === 'other';
  };
  return {
    ...disk,
    open: async (uri, allowed) => {
      if (allowed?.pipe !== true || !(await isPipe(uri))) return disk.open(uri, allowed);
      const opened = kept.get(uri) ?? disk.open(uri, allowed);
      kept.set(uri, opened);
      return opened;
    },
  };
}

/** The text of a file that was read, as far as it may name others; nothing where it is gone. */
function textAt(path: string): string {
  const texts: string[] = [];
  try {
    lookThrough(fs, path, (lines) => {
      if (NAMING_HEADERS.some((name) => lines.includes(`@${name}`))) texts.push(lines.toString('utf8'));
    });
  } catch {
    return '';
  }
  return texts.join('');
}

/** The path that the disk gives a file, whatever links lead to it. */
function realPathOf(path: string): string {
  try {
    return fs.realpathSync.native(path);
  } catch {
    return path;
  }
}

/** Two dumps that are to be compared. */
export async function loadPair(
  disk: Disk,
  [first = '', second = '']: readonly string[],
  profile: string | undefined,
  wanted: ToCompare,
): Promise<readonly [before: LoadedDump, after: LoadedDump]> {
  const [before, after] = await disk.loadTogether([first, second], profile, wanted);
  if (before === undefined || after === undefined) throw new Error('Two dumps were asked for.');
  return [before, after];
}

/** What was asked for, or the end of the command. */
export function must<T>(result: Result<T>): T {
  if (result.ok) return result.value;
  throw new Failure(result.why);
}

/** The address of a file by its name. Standard input is in the working folder: paths in it are read from there. */
export function uriOf(name: string): string {
  return canonicalUri(
    name === STDIN ? `${pathToFileURL(resolve('-'))}?stdin` : pathToFileURL(resolve(name)).toString(),
  );
}

/** The path of a file that a dump or a retrofit names. */
export function pathOf(uri: string): string {
  return fileURLToPath(uri);
}

/** A walk through folders, and who is told of what it leaves out. */
interface Walking {
  readonly host: Host;
  readonly onLeftOut: (uri: string, why: 'ignored' | 'link') => void;
}

async function expand(walk: Walking, names: readonly string[], kinds: readonly FileKind[]): Promise<readonly string[]> {
  const { host } = walk;
  const byPlace = new Map<string, string>();
  for (const name of names) {
    const uri = uriOf(name);
    const found = name !== STDIN && (await isFolder(host, uri)) ? await someIn(walk, name, kinds) : [name];
    for (const one of found) {
      const place = (await host.identity(uriOf(one))) ?? uriOf(one);
      if (!byPlace.has(place)) byPlace.set(place, one);
    }
  }
  return [...byPlace.values()];
}

async function isFolder(host: Host, uri: string): Promise<boolean> {
  const found = await host.kindAt(uri);
  return found.ok && found.value === 'folder';
}

async function someIn(walk: Walking, folder: string, kinds: readonly FileKind[]): Promise<readonly string[]> {
  const found = await filesIn(walk, folder, kinds);
  if (found.length > 0) return found.map((path) => join(folder, path));
  if (kinds.every((kind) => kind === 'profiles'))
    throw new Failure(phrase('{0}: no profile was found there. Profiles end in .dump-profile.json.', folder));
  throw new Failure(whyNoDump(folder));
}

/** That a folder holds no dump. */
export function whyNoDump(folder: string): Phrase {
  return phrase(
    '{0}: no dump was found there. Dumps end in {1}.',
    folder,
    listed(DUMP_ENDINGS.map((ending) => `.${ending}`)),
  );
}

async function lookInto(walk: Walking, folder: string): Promise<FolderLook> {
  const top = resolve(folder);
  const folders: string[] = [];
  const unlisted: FolderLook['unlisted'][number][] = [];
  const list = await walked(walk, folder, ['dumps'], {
    onFolder: (uri) => folders.push(pathOf(uri)),
    onUnlisted: (uri, why) => unlisted.push({ folder: pathOf(uri), why }),
  });
  const whole = unlisted.find((one) => one.folder === top);
  if (whole !== undefined) throw new Failure(whole.why);
  const paths = list.dumps.map(pathOf);
  if (paths.length + unlisted.length === 0) throw new Failure(whyNoDump(folder));
  const files = [...paths, ...[...list.profiles, ...list.retrofits, ...list.cards].map(pathOf)];
  const held = [...files, ...unlisted.map((one) => join(one.folder, '.'))];
  const isEmpty = (one: string) =>
    dirname(one) === top && !held.some((path) => path === one || path.startsWith(one + sep));
  return {
    dumps: paths.map((path) => join(folder, relative(top, path))),
    empty: paths.some((path) => dirname(path) === top) ? [] : folders.filter(isEmpty),
    unlisted,
  };
}

/** More files than an editor lists may be checked in one run. */
const MOST_FILES = 1_000_000;

function walked(
  { host, onLeftOut }: Walking,
  folder: string,
  kinds: readonly FileKind[],
  told: Pick<Walk, 'onFolder' | 'onUnlisted'> = {},
): Promise<FileList> {
  return listFiles(host, [uriOf(folder)], {
    ...told,
    most: MOST_FILES,
    onLeftOut: (uri, kind, why) => {
      if (kind === 'folder' || kinds.includes(kind)) onLeftOut(uri, why);
    },
  });
}

async function filesIn(walk: Walking, folder: string, kinds: readonly FileKind[]): Promise<readonly string[]> {
  const list = await walked(walk, folder, kinds);
  const [unlisted] = list.unlisted;
  if (unlisted !== undefined) throw new Failure(unlisted);
  return kinds
    .flatMap((kind) => list[kind])
    .map((uri) => relative(resolve(folder), pathOf(uri)))
    .sort();
}

/** A retrofit that is without problems by itself. */
export async function loadRetrofit(disk: Disk, file: string): Promise<Retrofit> {
  const read = await disk.workspace.readRetrofit(uriOf(file), file);
  if (read.kind !== 'sound') throw new Failure(read.why);
  return read.retrofit;
}
