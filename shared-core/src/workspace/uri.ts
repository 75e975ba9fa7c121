import { URI, Utils } from 'vscode-uri';
import { phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';

/**
 * The one form of an address. Editors and systems differ in which characters they write as "%28" and in the case of a
 * drive's letter, and two addresses of one file would be two files. This is the form of VS Code; all editors read it.
 */
export function canonicalUri(uri: string): string {
  return PLAIN_FILE.test(uri) ? uri : (written(parsed(uri)) ?? uri);
}

/** Addresses that are written in one way only: most, and each file is looked up by its address again and again. */
const PLAIN_FILE = /^file:\/\/\/[A-Za-z0-9_~-][A-Za-z0-9._~/-]*$/;

/** Half of a character beyond the first 65,536 is in no address. */
function written(uri: URI | undefined): string | undefined {
  try {
    return uri?.toString();
  } catch {
    return undefined;
  }
}

function parsed(uri: string): URI | undefined {
  try {
    return URI.parse(uri);
  } catch {
    return undefined;
  }
}

const DRIVE = /^[A-Za-z]:\//;
/** A scheme has two characters or more: one is a drive. */
const SCHEME = /^[A-Za-z][A-Za-z0-9+.-]+:/;
const NO_TEXT = /[\p{Cc}\p{Cs}]/u;

function folderOf(uri: URI): URI {
  const file = uri.with({ query: '', fragment: '' });
  return file.path.includes('/') ? Utils.dirname(file) : file.with({ path: '/' });
}

/** The folder that a file is in. */
export function parentUri(uri: string): string {
  const file = parsed(uri);
  return (file && written(folderOf(file))) ?? uri;
}

/** A file or folder of a folder, by its name. */
export function childUri(folder: string, name: string): string {
  const parent = parsed(folder);
  return (parent && written(Utils.joinPath(parent, name))) ?? `${folder}/${name}`;
}

/** The parts of an address's path, from the root. */
export function pathParts(uri: string): readonly string[] {
  return (parsed(uri)?.path ?? uri).split('/').filter((part) => part !== '');
}

/**
 * The file that a path in a dump or a profile names, written with either kind of slash. It is refused where it could be
 * anywhere but in the file system of the file that names it: on another computer, or behind another scheme.
 */
export function namedUri(base: string, path: string): Result<string> {
  const from = parsed(base);
  if (from === undefined) return refuse(phrase('the place of the file that names it is not known'));
  const slashed = path.replaceAll('\\', '/');
  if (NO_TEXT.test(path)) return refuse(phrase('a path holds no control characters'));
  if (slashed.startsWith('//')) return refuse(ELSEWHERE);
  if (SCHEME.test(slashed)) return inScheme(from, slashed);
  if (/^[A-Za-z]:/.test(slashed) && !DRIVE.test(slashed))
    return refuse(phrase('a path on a drive begins "{0}/"', slashed.slice(0, 2)));
  return done(Utils.resolvePath(folderOf(from), DRIVE.test(slashed) ? `/${slashed}` : slashed).toString());
}

function inScheme(from: URI, address: string): Result<string> {
  const there = parsed(address);
  // A backslash that is written in code would be a slash again on some systems.
  const isNear =
    there?.scheme === from.scheme && there.authority === from.authority && /^\/(?!\/)[^\\]*$/.test(there.path);
  return isNear ? done(there.toString()) : refuse(ELSEWHERE);
}

/** The same for a link to be shown: a path that is refused leads to no file of that name beside the one that names it. */
export function resolveUri(base: string, path: string): string {
  const named = namedUri(base, path);
  return named.ok ? named.value : childUri(parentUri(base), path.replace(/[^\p{L}\p{N}.]+/gu, '_'));
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

/** The parts of a path, a drive's letter in its one form. */
function partsFrom({ path }: URI): readonly string[] {
  return path.replace(/^\/[A-Z]:/, (drive) => drive.toLowerCase()).split('/');
}

function driveOf([, first = '']: readonly string[]): string | undefined {
  return /^[a-z]:$/.test(first) ? first : undefined;
}

/** The path from a file to another one, as people write it there; undefined where no path leads to it. */
export function relativePath(from: string, to: string): string | undefined {
  const [one, other] = [parsed(from), parsed(to)];
  if (one === undefined || other === undefined) return undefined;
  if (one.scheme !== other.scheme || one.authority !== other.authority) return undefined;
  const [here, there] = [partsFrom(one), partsFrom(other)];
  const [drive, otherDrive] = [driveOf(here), driveOf(there)];
  if (drive !== undefined && otherDrive !== undefined && drive !== otherDrive) return there.slice(1).join('/');
  let shared = 0;
  while (shared < here.length - 1 && shared < there.length - 1 && here[shared] === there[shared]) shared++;
  const up = Array.from({ length: here.length - 1 - shared }, () => '..');
  return [...up, ...there.slice(shared)].join('/');
}
