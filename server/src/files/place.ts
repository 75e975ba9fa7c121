import { constants } from 'node:fs';
import { phrase } from '../../../shared-core/src/base/index.js';
import { holdsDigest } from '../../../shared-core/src/model/index.js';
import { isDeviceName } from '../diskHost.js';
import { codeOf, Failure, reasonOf } from './failure.js';
import { digestOfFile } from './fileContent.js';
import { isWindows, type Machine } from './machine.js';

/** A file that may be written, by the path that the disk gives it, and what it is now. */
export interface Place {
  /** As the person calls it. */
  readonly name: string;
  readonly path: string;
  /** Undefined where there is no such file yet. */
  readonly was: Was | undefined;
}

/** What a file is before it is written. All but the content is kept. */
export interface Was {
  /** The digest of its content, which may be of any size. */
  readonly digest: string;
  readonly mode: number;
  readonly uid: number;
  readonly gid: number;
}

/** Looks at what a name stands for. Whatever cannot be replaced without loss is refused. */
export function placeToWrite(machine: Machine, name: string): Place {
  if (name === '-' || /^\/(?:dev\/(?:stdin|stdout|stderr|fd\/)|proc\/)/.test(machine.paths.resolve(name)))
    throw new Failure(phrase('{0} is no file. Leave out --out: the result goes to standard output by itself.', name));
  if (isWindows(machine)) refuseNameOnWindows(machine, name);
  try {
    const path = realPath(machine, name);
    return { name, path, was: whatIsAt(machine, name, path) };
  } catch (error) {
    throw cannotWrite(name, error);
  }
}

export function cannotWrite(name: string, error: unknown): Failure {
  return error instanceof Failure ? error : new Failure(phrase('{0} cannot be written: {1}', name, reasonOf(error)));
}

/**
 * Names that other programs on Windows take for something else: devices, streams within a file, and what ends in a dot
 * or a space, which they leave out (Microsoft, "Naming Files, Paths, and Namespaces").
 */
function refuseNameOnWindows({ paths }: Machine, name: string): void {
  const last = paths.basename(name);
  if (isDeviceName(last, 'win32') || last.includes(':') || (/[. ]$/.test(last) && !/^\.\.?$/.test(last)))
    throw new Failure(phrase('{0} is no name for a file on Windows. Name another file.', name));
}

/** The path of the file itself: a link to it stays as it is. */
function realPath({ fs, paths }: Machine, name: string): string {
  try {
    return fs.realpathSync(name);
  } catch (error) {
    if (codeOf(error) !== 'ENOENT') throw error;
    if (fs.lstatSync(name, { throwIfNoEntry: false })?.isSymbolicLink() === true)
      throw new Failure(phrase('{0} is a link to a file that does not exist. Name that file.', name));
    if (name.endsWith('/') || name.endsWith(paths.sep)) throw new Failure(phrase('{0} is the name of a folder.', name));
    return paths.join(fs.realpathSync(paths.dirname(name)), paths.basename(name));
  }
}

function whatIsAt({ fs }: Machine, name: string, path: string): Was | undefined {
  const stat = fs.lstatSync(path, { throwIfNoEntry: false });
  if (stat === undefined) return undefined;
  const { mode, uid, gid } = stat;
  if (stat.isDirectory()) throw new Failure(phrase('{0} cannot be written: it is a folder', name));
  if (!stat.isFile()) throw new Failure(phrase('{0} cannot be written: it is a device, a pipe or a socket', name));
  if (stat.nlink > 1)
    throw new Failure(
      phrase('{0} has another name (a hard link), under which the old content would stay. Write another file.', name),
    );
  // Even where the system lets its administrator write it: somebody has made it so.
  if ((mode & OWNER_MAY_WRITE) === 0) throw new Failure(phrase('{0} is read-only, and stays as it is.', name));
  fs.accessSync(path, constants.W_OK);
  const digest = digestOfFile(fs, path, (lines) => {
    if (isSealed(lines))
      throw new Failure(phrase('{0} is a sealed backup, and stays as it is. Write another file.', name));
  });
  return { digest, mode: mode & MODE_BITS, uid, gid };
}

const OWNER_MAY_WRITE = 0o200;
const MODE_BITS = 0o7777;

/**
 * Whether a line of a file, in UTF-8 or UTF-16, begins with a seal in any spelling, or with another name for what a seal
 * holds, maybe behind the sign of a comment.
 */
function isSealed(content: Buffer): boolean {
  for (let at = content.indexOf('@'); at >= 0; at = content.indexOf('@', at + 1)) {
    let name = at + 1;
    while (BETWEEN.includes(content[name])) name++;
    const isNamed = /^s\0?e\0?a\0?l(?!\0?[\w-])/i.test(content.toString('latin1', name, name + SEAL_LENGTH));
    const [line = ''] = content.toString('latin1', name, name + DIGEST_LENGTH).split(/[\r\n]/);
    if (!isNamed && !holdsDigest(line.replaceAll('\0', ''))) continue;
    const start = Math.max(content.lastIndexOf('\n', at), content.lastIndexOf('\r', at)) + 1;
    if (!/[\p{L}\p{N}]/u.test(content.toString('utf8', start, at))) return true;
  }
  return false;
}

/** Zero, which is half of each such character in UTF-16, tab and blank. */
const BETWEEN: readonly (number | undefined)[] = [0, 0x09, 0x20];

/** The word and the sign behind it, in UTF-16. */
const SEAL_LENGTH = 9;

/** A name and a digest, in UTF-16. */
const DIGEST_LENGTH = 2 * 128;
