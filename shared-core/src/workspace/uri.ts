import { URI, Utils } from 'vscode-uri';
import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';

/**
 * The one form of an address. Editors and systems differ in which characters they write as "%28" and in the case of a
 * drive's letter, and two addresses of one file would be two files. This is the form of VS Code; all editors read it.
 */
export function canonicalUri(uri: string): string {
  return parsed(uri)?.toString() ?? uri;
}

function parsed(uri: string): URI | undefined {
  try {
    return URI.parse(uri);
  } catch {
    return undefined;
  }
}

/** The address of a path that is written relative to a file, with either kind of slash. */
export function resolveUri(base: string, path: string): string {
  const from = parsed(base);
  if (from === undefined) return canonicalUri(path);
  const slashed = path.replaceAll('\\', '/');
  const inScheme = SCHEME.test(slashed) ? parsed(slashed) : undefined;
  if (inScheme !== undefined) return inScheme.toString();
  // A path that begins with two slashes names a computer, which `whyOutOfReach` refuses: here it stays one file's name.
  const onDrive = DRIVE.test(slashed) ? `/${slashed}` : slashed.replace(/^\/+/, '/');
  return Utils.resolvePath(folderOf(from), onDrive).toString();
}

const DRIVE = /^[A-Za-z]:\//;
/** A scheme has two characters or more: one is a drive. */
const SCHEME = /^[A-Za-z][A-Za-z0-9+.-]+:/;
const CONTROL = /\p{Cc}/u;

function folderOf(uri: URI): URI {
  const file = uri.with({ query: '', fragment: '' });
  return file.path.includes('/') ? Utils.dirname(file) : file.with({ path: '/' });
}

/** The folder that a file is in. */
export function parentUri(uri: string): string {
  const file = parsed(uri);
  return file === undefined ? uri : folderOf(file).toString();
}

/** A file or folder of a folder, by its name. */
export function childUri(folder: string, name: string): string {
  const parent = parsed(folder);
  return parent === undefined ? folder : Utils.joinPath(parent, name).toString();
}

/** The parts of an address's path, from the root. */
export function pathParts(uri: string): readonly string[] {
  return (parsed(uri)?.path ?? uri).split('/').filter((part) => part !== '');
}

/**
 * The file that a path in a dump or a profile names. It is refused where it could be anywhere but in the file system
 * of the file that names it: on another computer, or behind another scheme.
 */
export function namedUri(base: string, path: string): Result<string> {
  const why = whyOutOfReach(base, path);
  return why === undefined ? done(resolveUri(base, path)) : refuse(why);
}

function whyOutOfReach(base: string, path: string): Phrase | undefined {
  const from = parsed(base);
  if (CONTROL.test(path)) return phrase('a path holds no control characters');
  if (from === undefined) return phrase('it is read from a file whose own place is not known');
  if (/^[\\/]{2}/.test(path)) return ELSEWHERE;
  if (/^[A-Za-z]:/.test(path) && !/^[A-Za-z]:[\\/]/.test(path))
    return phrase('a path on a drive begins "{0}/"', path.slice(0, 2));
  if (!SCHEME.test(path)) return undefined;
  const there = parsed(path.replaceAll('\\', '/'));
  // A backslash that is written in code would be a slash again on some systems.
  const isNear =
    there?.scheme === from.scheme && there.authority === from.authority && /^\/(?!\/)[^\\]*$/.test(there.path);
  return isNear ? undefined : ELSEWHERE;
}

const ELSEWHERE = phrase('it is on another computer or in another file system, where nothing is read from');

/** The last part of an address, as a person reads it. */
export function fileName(uri: string): string {
  const file = parsed(uri);
  return file === undefined ? uri : Utils.basename(file);
}

/** Whether a document is in no folder, as it was never saved: no path leads from it. */
export function isUnsaved(uri: string): boolean {
  return uri.startsWith('untitled:');
}

/** Whether an address is that of a file as it was at another time, which editors tell apart by a query. */
export function isOfAnotherTime(uri: string): boolean {
  return !uri.startsWith('file:') && uri.includes('?');
}

/** The path from a file to another one, as people write it there; undefined where no path leads to it. */
export function relativePath(from: string, to: string): string | undefined {
  const [one, other] = [parsed(from), parsed(to)];
  if (one === undefined || other === undefined) return undefined;
  if (one.scheme !== other.scheme || one.authority !== other.authority) return undefined;
  const [here, there] = [one.path.split('/'), other.path.split('/')];
  let shared = 0;
  while (shared < here.length - 1 && shared < there.length - 1 && here[shared] === there[shared]) shared++;
  const up = Array.from({ length: here.length - 1 - shared }, () => '..');
  return [...up, ...there.slice(shared)].join('/');
}
