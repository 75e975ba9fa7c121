import { createHash } from 'node:crypto';
import type { Fs } from './machine.js';

/** Bytes that are read at once. */
const CHUNK = 1 << 20;

/** As many at first: of a fleet thousands of small files are looked at, and large buffers for them keep the memory busy. */
const FIRST = 1 << 14;

const LF = 0x0a;
const CR = 0x0d;

/** What tells the content of a file from any other. */
export function digestOf(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

/** The same of a file of any size, all of which is shown to `look` on the way, as `lookThrough` does. */
export function digestOfFile(fs: Reading, path: string, look: (lines: Buffer) => void): string {
  const hash = createHash('sha256');
  lookThrough(fs, path, (lines) => {
    hash.update(lines);
    look(lines);
  });
  return hash.digest('hex');
}

type Reading = Pick<Fs, 'openSync' | 'readSync' | 'closeSync'>;

/** Shows all bytes of a file of any size, in pieces of whole lines, which hold during the call. */
export function lookThrough(fs: Reading, path: string, look: (lines: Buffer) => void): void {
  const handle = fs.openSync(path, 'r');
  try {
    let buffer = Buffer.allocUnsafe(FIRST);
    // Bytes at the front of the buffer whose line has not ended yet.
    let begun = 0;
    for (let at = 0; ; ) {
      if (begun === buffer.length || at === FIRST)
        buffer = Buffer.concat([buffer.subarray(0, begun)], Math.max(CHUNK, 2 * begun));
      const count = fs.readSync(handle, buffer, begun, buffer.length - begun, at);
      const read = buffer.subarray(0, begun + count);
      if (count === 0) {
        look(read);
        return;
      }
      at += count;
      const end = Math.max(read.lastIndexOf(LF), read.lastIndexOf(CR)) + 1;
      if (end > 0) look(read.subarray(0, end));
      read.copyWithin(0, end);
      begun = read.length - end;
    }
  } finally {
    fs.closeSync(handle);
  }
}
