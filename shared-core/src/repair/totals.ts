import { bytesOfNumber } from '../base/number.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { afterWrites, type ByteWrite } from '../model/byteWrite.js';
import { copiesInDoubt, withCopies } from '../model/copies.js';
import type { Dump } from '../model/dump.js';
import { type Protected, protectedPlaces } from '../model/protected.js';
import { readTotal } from '../model/totalReading.js';
import type { BoundTotal } from '../model/totals.js';
import { overlap, placeOfTotal, storedPlace } from '../profile/places.js';
import type { Total } from '../profile/profile.js';
import { sumName } from '../profile/sumName.js';
import { withLineSums } from './lineSums.js';

/** Writes that store the computed value of a total, and right the sum of the line that holds it; none in a protected place. */
export function rewriteTotal(dump: Dump, index: number): readonly ByteWrite[] {
  const reading = readTotal(dump, index);
  if (reading === undefined || reading.stored === reading.computed) return [];
  const { stored, total, width } = reading.bound;
  if (protectionOf(dump, total) !== undefined || storedInDoubt(dump, total) !== undefined) return [];
  const bytes = bytesOfNumber(reading.computed, width, total.order);
  const writes = (stored ?? []).map((cell, i) => ({ ...cell, value: bytes[i] as number, reason: 'total' as const }));
  return withLineSums(dump, withCopies(dump, writes));
}

/** Why a total that is stored among copies stays as it is: they do not agree. */
export function storedInDoubt(dump: Dump, total: Total): Phrase | undefined {
  const place = placeOfTotal(total);
  return place && copiesInDoubt(dump, [place]);
}

/** Rewrites all wrong totals that `which` allows, each after those whose places it covers (the profile's order). */
export function rewriteTotals(dump: Dump, which: (bound: BoundTotal) => boolean): readonly ByteWrite[] {
  const writes: ByteWrite[] = [];
  let now = dump;
  /** Writes that no total has met yet: with thousands of totals, the dump is not made anew for each. */
  let pending: ByteWrite[] = [];
  const rows = new Set<number>();
  const settle = () => {
    now = afterWrites(now, pending);
    pending = [];
    rows.clear();
  };
  for (const [index, bound] of dump.totals.entries()) {
    if (!which(bound)) continue;
    if ([...rows].some((row) => bound.run.piecesIn(row).length > 0)) settle();
    let step = rewriteTotal(now, index);
    if (step.some(({ row }) => rows.has(row))) {
      settle();
      step = rewriteTotal(now, index);
    }
    for (const { row } of step) rows.add(row);
    pending.push(...step);
    writes.push(...step);
  }
  return writes;
}

/** What protects the place where a total is stored, so that it is checked and never written; undefined where nothing does. */
export function protectionOf({ profile }: Pick<Dump, 'profile'>, total: Total): Protected | undefined {
  // A record of its own may be locked as a line of that label.
  const stored = storedPlace(total);
  return stored && protectedPlaces(profile).find(({ place }) => overlap(place, stored));
}

/** Why a total is never rewritten. */
export function whyNeverRewritten(total: Total, { kind, name: why }: Protected): Phrase {
  const name = sumName(total);
  switch (kind) {
    case 'locked':
      return phrase('The {0} is stored in a locked place ({1}), so it is never rewritten.', name, why);
    case 'security':
      return phrase(
        'The {0} is stored in bytes of "{1}", which concerns the security of the vehicle, so it is never rewritten.',
        name,
        why,
      );
    case 'volatile':
      return phrase(
        'The {0} is stored in bytes that change by themselves in the module ({1}), so it is never rewritten.',
        name,
        why,
      );
  }
}

/** The first total that was right and is wrong, or cannot be told any more; undefined where there is none. */
export function brokenTotal(before: Dump, after: Dump): Total | undefined {
  const isRight = (dump: Dump, index: number) => {
    const reading = readTotal(dump, index);
    return reading !== undefined && reading.stored === reading.computed;
  };
  return before.totals.find((_, index) => isRight(before, index) && !isRight(after, index))?.total;
}
