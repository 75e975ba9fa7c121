import {
  type BigIntStats,
  closeSync,
  constants,
  fstatSync,
  lstatSync,
  openSync,
  readSync,
  type Stats,
  statSync,
} from 'node:fs';
import { readdir } from 'node:fs/promises';
import { basename } from 'node:path';
import { fileURLToPath } from 'node:url';
import { done, type Phrase, phrase, type Result, refuse } from '../../shared-core/src/base/index.js';
import {
  CHANGED,
  type FileType,
  fileOfBytes,
  type Host,
  LARGEST_TEXT,
  NOT_REGULAR,
  type OpenFile,
  reasonOf,
  tooLarge,
} from '../../shared-core/src/workspace/index.js';

/** Files up to this size are read at once. */
const SMALL = 1 << 20;

/** As much as a processor keeps near, and is passed over in a millisecond or two, so that others can be served between. */
const CHUNK = 1 << 18;

/**
 * Files on the disk of this machine. They are opened and read at once: by way of the thread pool a profile of a dump just
 * opened takes 1 ms longer, which is a quarter of all that opening takes. `stdin` is the address of standard input.
 */
export function createDiskHost({ stdin }: { readonly stdin?: string } = {}): Host {
  let isStdinRead = false;
  return {
    kindAt: async (uri) =>
      attempt(() =>
        onPath(uri, (path) => {
          // Most files that are asked for beside others are not there, and an error for each takes longer than the look.
          const found = statSync(path, { throwIfNoEntry: false });
          return found === undefined ? refuse(reasonOf('ENOENT')) : done(typeOf(found));
        }),
      ),
    identity: async (uri) => {
      const found = attempt(() => onPath(uri, (path) => done(statSync(path, { bigint: true }))));
      return found.ok ? `${found.value.dev}:${found.value.ino}` : undefined;
    },
    stamp: async (uri) => {
      const found = attempt(() => onPath(uri, (path) => done(statSync(path, { bigint: true, throwIfNoEntry: false }))));
      return found.ok ? (found.value === undefined ? 'none' : stampOf(found.value)) : undefined;
    },
    open: async (uri, { pipe = false } = {}) =>
      attempt(() => {
        if (uri !== stdin || !pipe) return onPath(uri, (path) => openFile(path, pipe));
        if (isStdinRead) return refuse(phrase('standard input was read already'));
        isStdinRead = true;
        return readPipe(0);
      }),
    list: async (folder) => {
      try {
        const path = pathOf(folder);
        if (path === undefined) return refuse(NOWHERE);
        const entries = await readdir(path, { withFileTypes: true });
        return done(entries.map((entry) => ({ name: entry.name, type: typeOf(entry) })));
      } catch (error) {
        return refuse(codeOf(error) === 'ENOTDIR' ? reasonOf('FileNotADirectory') : whyNot(error));
      }
    },
  };
}

/** Coarse clocks of disks count in steps of two seconds. */
const COARSEST = 2000n;

function stampOf({ dev, ino, size, mtimeMs, mtimeNs, ctimeMs, ctimeNs }: BigIntStats): string | undefined {
  const settled = BigInt(Date.now()) - COARSEST;
  return mtimeMs < settled && ctimeMs < settled ? [dev, ino, size, mtimeNs, ctimeNs].join(':') : undefined;
}

const NOWHERE = phrase('it is on no disk of this computer');

function onPath<T>(uri: string, use: (path: string) => Result<T>): Result<T> {
  const path = pathOf(uri);
  return path === undefined ? refuse(NOWHERE) : use(path);
}

/** The path of a file or folder on this machine; undefined for addresses of other places. */
function pathOf(uri: string): string | undefined {
  return uri.startsWith('file:///') ? fileURLToPath(uri) : undefined;
}

function attempt<T>(use: () => Result<T>): Result<T> {
  try {
    return use();
  } catch (error) {
    return refuse(whyNot(error));
  }
}

/** Why a call of the system failed, in words. */
function whyNot(error: unknown): Phrase {
  return reasonOf(codeOf(error));
}

function codeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : String(error);
}

function typeOf(found: Pick<Stats, 'isFile' | 'isDirectory'>): FileType {
  return found.isFile() ? 'file' : found.isDirectory() ? 'folder' : 'other';
}

function openFile(path: string, pipe: boolean): Result<OpenFile> {
  const before = statSync(path, { throwIfNoEntry: false });
  if (before === undefined)
    return lstatSync(path, { throwIfNoEntry: false }) === undefined
      ? refuse(reasonOf('ENOENT'))
      : refuse(phrase('the link leads nowhere'));
  const isPipe = pipe && before.isFIFO();
  if (before.isDirectory()) return refuse(reasonOf('EISDIR'));
  if ((!before.isFile() && !isPipe) || isDeviceName(path, process.platform)) return refuse(NOT_REGULAR);
  // What takes the place of the file meanwhile must not be waited for.
  const handle = openSync(path, constants.O_RDONLY | (isPipe ? 0 : (constants.O_NONBLOCK ?? 0)));
  const opened = attempt(() => {
    const status = fstatSync(handle, { bigint: true });
    if (isPipe) return status.isFIFO() ? readPipe(handle) : refuse(NOT_REGULAR);
    return status.isFile() ? readRegular(handle, status) : refuse(NOT_REGULAR);
  });
  if (isPipe || !opened.ok) closeSync(handle);
  return opened;
}

/** Names that are devices in every folder of Windows, whatever follows behind a dot (Microsoft, "Naming Files, Paths, and Namespaces"). */
export function isDeviceName(path: string, platform: string): boolean {
  return (
    platform === 'win32' &&
    /^(?:con|prn|aux|nul|conin\$|conout\$|(?:com|lpt)[\d\u00b9\u00b2\u00b3])(?:\s*[.:].*)?\s*$/i.test(basename(path))
  );
}

/** A pipe gives its bytes once: all of them are kept. */
function readPipe(handle: number): Result<OpenFile> {
  const parts: Buffer[] = [];
  for (let size = 0; ; ) {
    const part = Buffer.allocUnsafe(1 << 16);
    const count = readSome(handle, part);
    if (count === 0) break;
    size += count;
    if (size > LARGEST_TEXT) return refuse(tooLarge(LARGEST_TEXT));
    parts.push(part.subarray(0, count));
  }
  return done(fileOfBytes(Buffer.concat(parts), { decode }));
}

/** Waits where a pipe has nothing yet and says so instead of waiting. */
function readSome(handle: number, buffer: Buffer): number {
  for (;;) {
    try {
      return readSync(handle, buffer);
    } catch (error) {
      if (codeOf(error) === 'EOF') return 0;
      if (codeOf(error) !== 'EAGAIN') throw error;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 1);
    }
  }
}

/** A regular file, as it was when it was opened: a small one is read once, of a large one each pass reads anew. */
function readRegular(handle: number, opened: BigIntStats): Result<OpenFile> {
  const size = Number(opened.size);
  let failure: Phrase | undefined;
  const read = (buffer: Buffer, from: number): number => {
    try {
      const count = readSync(handle, buffer, 0, buffer.length, from);
      if (count === 0) failure ??= CHANGED;
      return count;
    } catch (error) {
      failure ??= whyNot(error);
      return 0;
    }
  };
  const whole = (): Buffer => {
    const buffer = Buffer.allocUnsafe(size);
    let at = 0;
    while (at < size) {
      const count = read(buffer.subarray(at), at);
      if (count === 0) break;
      at += count;
    }
    return buffer.subarray(0, at);
  };
  function* passes(): Generator<Uint8Array> {
    const buffer = Buffer.allocUnsafe(CHUNK);
    for (let at = 0; at < size; ) {
      const count = read(buffer.subarray(0, Math.min(CHUNK, size - at)), at);
      if (count === 0) return;
      yield buffer.subarray(0, count);
      at += count;
    }
  }
  const small = size <= SMALL ? whole() : undefined;
  return done({
    size,
    text: () => decode(small ?? whole()),
    chunks: small === undefined ? passes : () => [small],
    decode,
    close: () => {
      const isSame = attempt(() => {
        const now = fstatSync(handle, { bigint: true });
        return now.size === opened.size && now.mtimeNs === opened.mtimeNs && now.ctimeNs === opened.ctimeNs
          ? done(undefined)
          : refuse(CHANGED);
      });
      const closed = attempt(() => done(closeSync(handle)));
      if (failure !== undefined) return refuse(failure);
      return isSame.ok ? closed : isSame;
    },
  });
}

function decode({ buffer, byteOffset, length }: Uint8Array): string {
  return Buffer.from(buffer, byteOffset, length).toString('utf8');
}
