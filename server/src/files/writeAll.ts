import { writeSync } from 'node:fs';
import { codeOf } from './failure.js';

/** Writes all bytes: a pipe takes as much as it has room for, and until there is some, a millisecond is waited. */
export function writeAll(handle: number, bytes: Uint8Array, write = writeSync): void {
  for (let at = 0; at < bytes.length; ) {
    try {
      at += write(handle, bytes, at);
    } catch (error) {
      if (codeOf(error) !== 'EAGAIN') throw error;
      wait(1);
    }
  }
}

/** Waits without doing anything else. */
export function wait(milliseconds: number): void {
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, milliseconds);
}
