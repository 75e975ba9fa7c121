import { type PhrasePart, phrase, type TextSink } from '../../../shared-core/src/base/index.js';
import { Failure } from './failure.js';
import { isWindows, type Machine, shortHash } from './machine.js';
import { cannotWrite, type Place } from './place.js';
import { writeAll } from './writeAll.js';

/**
 * A new content beside its place, flushed. While it is there it also tells other runs that this one is about to write
 * the place: each makes its own first and looks for those of others then, so that of two at least one sees the other.
 */
export interface Temporary {
  readonly place: Place;
  readonly path: string;
}

/** Writes a new content beside its place, with the owner and the rights of the file that it is to replace. */
export function writeBeside(machine: Machine, place: Place, produce: (sink: TextSink) => void): Temporary {
  const { fs, paths } = machine;
  const path = paths.join(paths.dirname(place.path), nameOf(machine, place));
  try {
    // Until it has the rights of the file itself, it is nobody else's to read.
    const handle = place.was === undefined ? fs.openSync(path, 'wx') : fs.openSync(path, 'wx', 0o600);
    try {
      if (place.was !== undefined) keepOwner(machine, handle, place.name, place.was);
      produce(sinkTo(machine, handle, place.name));
      fs.fsyncSync(handle);
    } finally {
      fs.closeSync(handle);
    }
    return { place, path };
  } catch (error) {
    removeFile(machine, path);
    throw cannotWrite(place.name, error);
  }
}

function keepOwner(machine: Machine, handle: number, name: string, was: NonNullable<Place['was']>): void {
  const { fs } = machine;
  const made = fs.fstatSync(handle);
  try {
    if (made.uid !== was.uid || made.gid !== was.gid) fs.fchownSync(handle, was.uid, was.gid);
    fs.fchmodSync(handle, was.mode);
  } catch {
    // What it has become then is looked at below.
  }
  const now = fs.fstatSync(handle);
  if (now.uid !== was.uid || now.gid !== was.gid || (!isWindows(machine) && (now.mode & 0o7777) !== was.mode))
    throw new Failure(phrase('{0} has an owner or rights that a new file cannot get here. Write another file.', name));
}

/** What was no UTF-8 was read as this character, and would be written as it: the bytes that stood there would be lost. */
const UNREADABLE = '\ufffd';

function sinkTo({ fs }: Machine, handle: number, name: string): TextSink {
  const write = (bytes: Uint8Array) => writeAll(handle, bytes, fs.writeSync);
  return {
    ascii: write,
    text: (text) => {
      refuseLossy(name, text);
      write(Buffer.from(text));
    },
  };
}

/** Refuses a text that does not contain all that its file did. */
export function refuseLossy(name: PhrasePart, text: string): void {
  const at = text.indexOf(UNREADABLE);
  if (at < 0) return;
  throw new Failure(
    phrase(
      '{0}: row {1} holds bytes that are no UTF-8 text, and writing would lose them. Save it as UTF-8 first.',
      name,
      text.slice(0, at).split('\n').length,
    ),
  );
}

/** Removes a file, if it is there. */
export function removeFile({ fs }: Machine, path: string): void {
  try {
    fs.unlinkSync(path);
  } catch {
    // It is not there, or stays for a later run to remove.
  }
}

/** The run comes first in the name, so that runs which meet at several places have the same order at each. */
function nameOf(machine: Machine, place: Place): string {
  const { token, host, pid } = machine;
  return `.countersum.${token}.${host}.${pid}.${placeHash(machine, place)}.tmp`;
}

const NAME = /^\.countersum\.[0-9a-f]+\.([0-9a-f]{8})\.(\d+)\.([0-9a-f]{8})\.tmp$/;

/** Also the same for names that some disks do not tell apart. */
function placeHash({ paths }: Machine, { path }: Place): string {
  return shortHash(paths.basename(path).normalize('NFC').toLowerCase());
}

const PATIENCE = 5000;
const STEP = 20;

/**
 * Waits until no other run is about to write the same place. Of two that see each other the first by name stays and
 * the other gives way; what the one that stays finds written then, it sees by the content.
 */
export function waitForOthers(machine: Machine, mine: Temporary): void {
  for (let waited = 0; ; waited += STEP) {
    const others = othersAt(machine, mine);
    if (others.length === 0) return;
    if (waited >= PATIENCE || others.some((name) => name < machine.paths.basename(mine.path)))
      throw new Failure(
        phrase('{0} is being written by another run. Nothing was changed; try again.', mine.place.name),
      );
    machine.wait(STEP);
  }
}

/** Names of what other runs have beside the same place. What runs left that were killed, at whatever place, is removed. */
function othersAt(machine: Machine, mine: Temporary): readonly string[] {
  const { paths } = machine;
  const folder = paths.dirname(mine.path);
  return machine.fs.readdirSync(folder).filter((name) => {
    const [, host, pid, hash] = NAME.exec(name) ?? [];
    if (host === undefined || name === paths.basename(mine.path)) return false;
    if (isLeftBehind(machine, mine, paths.join(folder, name), host, Number(pid))) {
      removeFile(machine, paths.join(folder, name));
      return false;
    }
    return hash === placeHash(machine, mine.place);
  });
}

/** Writing takes seconds; what is older than this has been left, whatever has its number of a process by now. */
const TOO_OLD = 3_600_000;

function isLeftBehind(machine: Machine, mine: Temporary, path: string, host: string, pid: number): boolean {
  if (host === machine.host && !machine.isAlive(pid)) return true;
  const [theirs, ours] = [path, mine.path].map((one) => machine.fs.statSync(one, { throwIfNoEntry: false })?.mtimeMs);
  // Both by the clock of the disk, which may be another machine's.
  return theirs !== undefined && ours !== undefined && ours - theirs > TOO_OLD;
}
