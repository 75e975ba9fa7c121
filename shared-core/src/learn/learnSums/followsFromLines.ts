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

/**
 * Whether a value over lines and their sums is fixed, in all of its bits or in some, by the rule for the lines alone:
 * lines that come to zero each make a file that does so too, and two bytes that are alike in each line are alike in the
 * whole. Nothing is stored then that could be wrong while the lines are right. `gapOf` is what a value differs by from
 * what is stored; it is compared with what it would be over any sums.
 */
export function followsFromLines(
  lines: readonly SummedLine[],
  rule: LineRule,
  gapOf: (lines: readonly SummedLine[]) => bigint,
): boolean {
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
    return independentRuns(gaps.map((gap) => bytesOfNumber(gap, WIDEST, 'big')));
  };
  const byRule = freeBits((label, data) => storedBy(rule, label, data));
  const byAny = freeBits(() => Uint8Array.from({ length: rule.width }, next));
  return byRule < byAny;
}
