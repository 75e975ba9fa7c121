import type { ByteRun } from './contents.js';

/** Cuts a run of bytes into lines. */
export interface LineCutter {
  readonly add: (address: number, bytes: ByteRun) => void;
  /** Ends the line that is begun, so that what is added next begins a new one. */
  readonly flush: () => void;
}

/**
 * Gives lines of at most `width` bytes that begin at multiples of it, never run over a multiple of 64 KiB, and join
 * what was added in as many calls as it may be.
 */
export function lineCutter(width: number, give: (address: number, bytes: Uint8Array) => void): LineCutter {
  const line = new Uint8Array(width);
  let from = 0;
  let used = 0;
  const flush = () => {
    if (used > 0) give(from, line.slice(0, used));
    used = 0;
  };
  const add = (address: number, bytes: ByteRun) => {
    if (address !== from + used) flush();
    for (let i = 0; i < bytes.count; i++) {
      if (used === 0) from = address + i;
      line[used++] = bytes.store[bytes.from + i] as number;
      if ((from + used) % width === 0 || (from + used) % 0x10000 === 0) flush();
    }
  };
  return { add, flush };
}
