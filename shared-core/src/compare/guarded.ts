import { digitsOf } from '../base/hex.js';
import { type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import { placeCells } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { bytesOfPlace, type Protected, protectedPlaces } from '../model/protected.js';
import { placeBefore, recordMoves } from '../model/recordMoves.js';
import { byteAt } from '../model/totals.js';
import type { Place } from '../profile/profile.js';

/** Locked or security bytes side by side that differ; a side that has no such byte holds `undefined` there. */
export interface GuardedDifference {
  readonly kind: 'locked' | 'security';
  /** Why the place is locked, or the title of the option. */
  readonly name: PhrasePart;
  /** What people call the bytes, by the later dump. */
  readonly bytes: Phrase;
  /** Which byte of the place the first one is, from 0. */
  readonly from: number;
  readonly before: readonly (number | undefined)[];
  readonly after: readonly (number | undefined)[];
}

/** What differs in places that no work changes, security first. */
export function guardedDifferences(before: Dump, after: Dump): readonly GuardedDifference[] {
  const moves = recordMoves(before, after);
  const found = protectedPlaces(after.profile).flatMap((one) => {
    const then = placeBefore(moves, one.place);
    return then === undefined ? [] : differencesIn(before, then, after, one);
  });
  return [...found.filter(({ kind }) => kind === 'security'), ...found.filter(({ kind }) => kind === 'locked')];
}

function differencesIn(
  earlier: Dump,
  then: Place,
  after: Dump,
  { place, mask, kind, name }: Protected,
): GuardedDifference[] {
  if (kind === 'volatile') return [];
  const [was, now] = [bytesAt(earlier, then), bytesAt(after, place)];
  const differs = (i: number) => {
    const [a, b] = [was[i], now[i]];
    return a === undefined || b === undefined ? a !== b : ((a ^ b) & mask) !== 0;
  };
  const found: GuardedDifference[] = [];
  for (let i = 0; i < place.count; i++) {
    if (!differs(i)) continue;
    const from = i;
    // Behind its last byte neither side holds one.
    while (differs(i + 1)) i++;
    const before = was.slice(from, i + 1);
    const bytes = bytesOfPlace(place, from, before.length, after);
    found.push({ kind, name, bytes, from, before, after: now.slice(from, i + 1) });
  }
  return found;
}

function bytesAt({ layout, rows }: Dump, place: Place): readonly (number | undefined)[] {
  return placeCells(layout, place).map((cell) => cell && byteAt(rows, cell));
}

/** That a dump must not be written, one sentence for each stretch of bytes that no work changes. */
export function guardedInWords(guarded: readonly GuardedDifference[]): readonly Phrase[] {
  return guarded.map(({ kind, name, bytes, before, after }) => {
    const [was, now] = [digitsIn(before), digitsIn(after)];
    return kind === 'security'
      ? phrase(
          'Do not write this: {0} holds "{1}", which concerns the security of the vehicle: {2} → {3}',
          bytes,
          name,
          was,
          now,
        )
      : phrase('Do not write this: {0} is locked ({1}): {2} → {3}', bytes, name, was, now);
  });
}

function digitsIn(bytes: readonly (number | undefined)[]): string {
  return bytes.map((byte) => digitsOf(byte)).join(' ');
}
