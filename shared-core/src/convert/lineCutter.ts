import type { ByteRun } from './contents.js';

/** Cuts a run of bytes into lines. */
export interface LineCutter {
  readonly add: (address: number, bytes: ByteRun) => void;
  /** Ends the line that is begun, so that what is added next begins a new one. */
  readonly flush: () => void;
}

/**
 * Gives lines of at most `width` bytes that begin at multiples of it, never run over a multiple of 64 KiB, and join
 * what was added in as many calls as it may be. The bytes hold only during the call.
 */
export function lineCutter(width: number, give: (address: number, bytes: Uint8Array) => void): LineCutter {
  const line = new Uint8Array(width);
  const isEven = 0x10000 % width === 0;
  let from = 0;
  let used = 0;
  /** How many bytes the line that is begun has room for. */
  let room = 0;
  const flush = () => {
    if (used > 0) give(from, used === width ? line : line.subarray(0, used));
    used = 0;
  };
  const add = (address: number, { store, from: first, count }: ByteRun) => {
    if (address !== from + used) flush();
    for (let done = 0; done < count; ) {
      if (used === 0) {
        from = address + done;
        // Behind a full line the next one is full too, where lines do not run over a multiple of 64 KiB anyway.
        room = isEven && done > 0 ? width : Math.min(width - (from % width), 0x10000 - (from % 0x10000));
      }
      const taken = Math.min(room - used, count - done);
      for (let i = 0; i < taken; i++) line[used + i] = store[first + done + i] as number;
      used += taken;
      done += taken;
      if (used === room) flush();
    }
  };
  return { add, flush };
}
