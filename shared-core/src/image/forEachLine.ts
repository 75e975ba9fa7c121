import { finish, type Steps } from '../base/steps.js';

const LF = 0x0a;
const CR = 0x0d;

/** What a function gives that wants no more lines. */
export const STOP = Symbol('stop');

/** A place in a chunk of bytes: the number of the line that begins there. */
export interface LinePlace {
  at: number;
  row: number;
}

/** Moves a place over as many whole lines as it can settle by itself. */
export type Skip = (chunk: Uint8Array, place: LinePlace) => void;

export type TakeLine = (line: Uint8Array, row: number) => typeof STOP | undefined;

/**
 * Gives the bytes of each line, its line end included, that `skip` does not pass over, and how many lines there are.
 * Lines are those of `splitLines`: the last one has no line end. They are views that hold only during the call.
 */
export function forEachLine(chunks: Iterable<Uint8Array>, skip: Skip | undefined, take: TakeLine): number {
  return finish(linesInSteps(chunks, skip, take));
}

/** Lines that are given in one step: whatever is done with them takes less than a few milliseconds. */
const LINES = 256;

/** The same in steps, of which none is longer than a chunk. */
export function* linesInSteps(chunks: Iterable<Uint8Array>, skip: Skip | undefined, take: TakeLine): Steps<number> {
  const place: LinePlace = { at: 0, row: 0 };
  let given = 0;
  // The beginning of a line that runs on in the next chunk, in as many parts as there were chunks.
  let begun: Uint8Array[] = [];
  for (const chunk of chunks) {
    place.at = 0;
    if (begun.length > 0) {
      const end = endOfBegun(begun, chunk);
      if (end === undefined) {
        begun.push(new Uint8Array(chunk));
        yield;
        continue;
      }
      if (take(joined([...begun, chunk.subarray(0, end)]), place.row++) === STOP) return place.row;
      begun = [];
      place.at = end;
    }
    while (place.at < chunk.length) {
      skip?.(chunk, place);
      const end = lineEnd(chunk, place.at);
      if (end === undefined) break;
      if (take(chunk.subarray(place.at, end), place.row++) === STOP) return place.row;
      place.at = end;
      if (++given % LINES === 0) yield;
    }
    // A copy: whoever reads files fills the same buffer again, and a Node Buffer's own slice() would be a view of it.
    if (place.at < chunk.length) begun.push(new Uint8Array(chunk.subarray(place.at)));
    yield;
  }
  const last = joined(begun);
  if (last.at(-1) === CR && take(last, place.row++) === STOP) return place.row;
  take(last.at(-1) === CR ? last.subarray(last.length) : last, place.row++);
  return place.row;
}

/** Where in the next chunk a begun line ends; undefined where it runs on to yet another. */
function endOfBegun(begun: readonly Uint8Array[], chunk: Uint8Array): number | undefined {
  if (begun.at(-1)?.at(-1) === CR && chunk.length > 0) return chunk[0] === LF ? 1 : 0;
  return lineEnd(chunk, 0);
}

/** Where the line that begins at `at` ends, its line end included; undefined where the chunk does not show it. */
function lineEnd(chunk: Uint8Array, at: number): number | undefined {
  for (let end = at; end < chunk.length; end++) {
    const byte = chunk[end];
    if (byte === LF) return end + 1;
    // Whether a line feed belongs to it, only the next byte shows.
    if (byte === CR) return end + 1 === chunk.length ? undefined : chunk[end + 1] === LF ? end + 2 : end + 1;
  }
  return undefined;
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((length, part) => length + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
