import { bytesOfNumber } from '../../base/number.js';
import type { Label } from '../../format/row.js';
import { independentRuns } from './evidence.js';
import { type LineRule, storedBy } from './lineRule.js';

/** A line of which it is known which bytes are data and which its sum. */
interface SummedLine {
  readonly label: Label;
  readonly data: Uint8Array;
  readonly sum: Uint8Array;
}

/** So many dumps with any data show which bits of a value are free: more than the widest sum has. */
const MADE_UP = 72;

/** Bytes of the widest sum. */
const WIDEST = 8;

/** Bits of a value over lines: those that the data decide, and those that the rule for the lines fixes whatever they are. */
export interface FreedomOfValue {
  readonly free: number;
  readonly fixed: number;
}

/**
 * What the rule for the lines leaves free of a value over them and their sums. Lines that come to zero each make a file
 * that does so too; two bytes that are alike in each line are alike in the whole; and of two CRCs whose polynomials have
 * a factor in common one fixes a bit of the other. A fixed bit is nothing that was found out. `gapOf` is what a value
 * differs by from what is stored; it is compared with what it would be over any sums.
 */
export function freedomOfValue(
  lines: readonly SummedLine[],
  rule: LineRule,
  gapOf: (lines: readonly SummedLine[]) => bigint,
): FreedomOfValue {
  let state = 1;
  // The high bits of a linear congruential generator: any bytes will do, as long as they are the same each time.
  const next = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state >>> 24;
  };
  const freeBits = (sumOf: (label: Label, data: Uint8Array) => Uint8Array) => {
    const gaps = Array.from({ length: MADE_UP }, () =>
      gapOf(
        lines.map(({ label, data: { length } }) => {
          const data = Uint8Array.from({ length }, next);
          return { label, data, sum: sumOf(label, data) };
        }),
      ),
    );
    return -1 + independentRuns(gaps.map((gap) => bytesOfNumber(gap, WIDEST, 'big')));
  };
  const byRule = freeBits((label, data) => storedBy(rule, label, data));
  const byAny = freeBits(() => Uint8Array.from({ length: rule.width }, next));
  return { free: byRule, fixed: Math.max(0, byAny - byRule) };
}
