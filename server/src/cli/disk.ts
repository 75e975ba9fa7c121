import { closeSync, openSync, readdirSync, readFileSync, readSync, realpathSync, statSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { kindOf, phrase } from '../../../shared-core/src/index.js';
import { Failure, reasonOf } from './failure.js';

/** Standard input, as a file name. */
export const STDIN = '-';

/** As much as a processor keeps near, and few calls. */
const CHUNK = 1 << 20;

/** The way to files for one run, which knows what it has read. */
export interface Disk {
  /** The text of a file. A byte-order mark is kept, as the text is written back as it was found. */
  readonly readText: (file: string) => string;
  /** The text of a file, or undefined where there is none. */
  readonly readTextIfThere: (file: string) => string | undefined;
  /** The bytes of a file in order. Each chunk holds only until the next is asked for. */
  readonly readChunks: (file: string) => Generator<Uint8Array>;
  /** Whether a file, by the path that the disk gives it, has been read in this run. */
  readonly wasRead: (path: string) => boolean;
}

export function openDisk(): Disk {
  const seen = new Set<string>();
  // A pipe gives its bytes once.
  const fromPipes = new Map<string, Buffer>();

  const readWhole = (file: string): Buffer => {
    const kept = fromPipes.get(file);
    if (kept !== undefined) return kept;
    const bytes = readFileSync(file === STDIN ? 0 : notDevice(file));
    if (file === STDIN || !isFile(file)) fromPipes.set(file, bytes);
    else seen.add(placeOf(file));
    return bytes;
  };

  function* readChunks(file: string): Generator<Uint8Array> {
    try {
      if (file === STDIN || !isFile(file)) return yield readWhole(file);
      seen.add(placeOf(file));
      const handle = openSync(file, 'r');
      try {
        const buffer = Buffer.allocUnsafe(CHUNK);
        for (let length = readSync(handle, buffer); length > 0; length = readSync(handle, buffer))
          yield buffer.subarray(0, length);
      } finally {
        closeSync(handle);
      }
    } catch (error) {
      throw unreadable(file, error);
    }
  }

  return {
    readChunks,
    readText: (file) => {
      try {
        return readWhole(file).toString('utf8');
      } catch (error) {
        throw unreadable(file, error);
      }
    },
    readTextIfThere: (file) => {
      try {
        return readWhole(file).toString('utf8');
      } catch {
        return undefined;
      }
    },
    wasRead: (path) => seen.has(path),
  };
}

function unreadable(file: string, error: unknown): unknown {
  return error instanceof Failure ? error : new Failure(phrase('{0} cannot be read: {1}', file, reasonOf(error)));
}

/** The same file, unless it is a device: that may never end, and what it gives is no dump. */
function notDevice(file: string): string {
  const stat = statSync(file, { throwIfNoEntry: false });
  if (stat?.isCharacterDevice() === true || stat?.isBlockDevice() === true)
    throw new Failure(phrase('{0} cannot be read: it is a device', file));
  return file;
}

function isFile(name: string): boolean {
  return statSync(name, { throwIfNoEntry: false })?.isFile() === true;
}

function isFolder(name: string): boolean {
  return statSync(name, { throwIfNoEntry: false })?.isDirectory() === true;
}

/** The path that the disk gives a file, whatever links lead to it. */
function placeOf(file: string): string {
  try {
    return realpathSync.native(file);
  } catch {
    return resolve(file);
  }
}

export type Kind = NonNullable<ReturnType<typeof kindOf>>;

/** The files themselves, and those of some kinds in folders; a file that is there by two names is there once. */
export function expandFolders(names: readonly string[], kinds: readonly Kind[] = ['dumps']): readonly string[] {
  const byPlace = new Map<string, string>();
  for (const name of names.flatMap((one) => (one === STDIN || !isFolder(one) ? [one] : filesOf(one, kinds)))) {
    const place = name === STDIN ? STDIN : placeOf(name);
    if (!byPlace.has(place)) byPlace.set(place, name);
  }
  return [...byPlace.values()];
}

function filesOf(folder: string, kinds: readonly Kind[]): readonly string[] {
  const found = filesBelow(folder, kinds);
  if (found.length > 0) return found;
  throw new Failure(phrase('{0}: no dump was found there. Dumps are files with the ending ".cfgdump".', folder));
}

/** The files of some kinds in a folder and in those below it. */
export function filesBelow(folder: string, kinds: readonly Kind[]): readonly string[] {
  try {
    return readdirSync(folder, { withFileTypes: true, recursive: true })
      .filter((entry) => entry.isFile() && kinds.some((kind) => kindOf(entry.name) === kind))
      .map((entry) => join(entry.parentPath, entry.name))
      .sort();
  } catch (error) {
    throw unreadable(folder, error);
  }
}
