import { phrase } from '../../../shared-core/src/base/index.js';
import { codeOf, Failure } from './failure.js';
import type { Machine } from './machine.js';
import { cannotWrite, placeToWrite } from './place.js';
import { writeAll } from './writeAll.js';

/** A folder that is to be filled: it does not exist yet, or it is empty. */
export interface FolderPlace {
  readonly name: string;
  readonly path: string;
}

export interface NewFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** Looks at what a name stands for. A folder that holds anything is refused: not all in it would be of one run. */
export function folderToFill(machine: Machine, name: string): FolderPlace {
  const { fs, paths } = machine;
  try {
    const stat = fs.lstatSync(name, { throwIfNoEntry: false });
    if (stat === undefined) {
      const [parent, last] = [paths.dirname(paths.resolve(name)), paths.basename(paths.resolve(name))];
      fs.mkdirSync(parent, { recursive: true });
      return { name, path: paths.join(fs.realpathSync(parent), last) };
    }
    const path = fs.realpathSync(name);
    if (fs.readdirSync(path).length === 0) return { name, path };
  } catch (error) {
    throw cannotWrite(name, error);
  }
  throw new Failure(
    phrase('{0} is not empty. Name a folder that is new or empty, so that it gets all or nothing.', name),
  );
}

/**
 * Puts files into a folder, all or none: they are written into another one beside it, which gets the name once all are there.
 * What a run that was killed has left is a hidden folder, which nobody takes for the copies.
 */
export function fillFolder(machine: Machine, { name, path }: FolderPlace, files: readonly NewFile[]): void {
  const { fs, paths, token } = machine;
  const beside = paths.join(paths.dirname(path), `.countersum.${token}.new`);
  const written: string[] = [];
  try {
    fs.mkdirSync(beside);
    for (const file of files) {
      const place = placeToWrite(machine, paths.join(beside, file.name));
      if (place.was !== undefined) throw new Failure(phrase('{0}: two copies would have this name.', file.name));
      written.push(place.path);
      writeNew(machine, place.path, file.bytes);
    }
    removeEmpty(machine, path);
    fs.renameSync(beside, path);
  } catch (error) {
    for (const one of written) attempt(() => fs.unlinkSync(one));
    attempt(() => fs.rmdirSync(beside));
    throw cannotWrite(name, error);
  }
}

function writeNew({ fs }: Machine, path: string, bytes: Uint8Array): void {
  const handle = fs.openSync(path, 'wx');
  try {
    writeAll(handle, bytes, fs.writeSync);
    fs.fsyncSync(handle);
  } finally {
    fs.closeSync(handle);
  }
}

/** The system refuses it where somebody has put something in meanwhile. */
function removeEmpty({ fs }: Machine, path: string): void {
  try {
    fs.rmdirSync(path);
  } catch (error) {
    if (codeOf(error) !== 'ENOENT') throw error;
  }
}

function attempt(work: () => void): void {
  try {
    work();
  } catch {
    // It is not there, or stays: what went wrong first is what is told.
  }
}
