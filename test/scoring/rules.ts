import { hexBytes } from '../../shared-core/src/base/hex.js';
import type { LineToLearn } from '../../shared-core/src/learn/learnSums/line.js';
import { type LineRule, storedBy } from '../../shared-core/src/learn/learnSums/lineRule.js';
import { type TestRule, testLines } from '../shared-core/learn/families.js';
import { learnLineSums } from '../support/learnLineSums.js';

/** `first`: the best rule sums unseen lines right; `undecided`: another does, and was named as one that fits as well. */
export type Outcome = 'first' | 'undecided' | 'missed';

const LINES = 14;
const DATA = 6;

/** Learns a rule from one dump with a damaged line, and judges what was learned by lines that it has not seen. */
export function scoreRule(rule: TestRule, next: (below: number) => number): Outcome {
  const lines = testLines(rule, LINES, DATA, next);
  (lines[next(LINES)] as LineToLearn).bytes[next(DATA)]! ^= 1 << next(8);
  const { rules, undecided } = learnLineSums(lines, undefined);
  const unseen = testLines(rule, LINES, DATA, next);
  if (decidesRight(rules[0], unseen)) return 'first';
  return undecided.some((rival) => decidesRight(rival.rule, unseen)) ? 'undecided' : 'missed';
}

function decidesRight(rule: LineRule | undefined, unseen: readonly LineToLearn[]): boolean {
  if (rule === undefined) return false;
  return unseen.every(({ label, bytes }) => {
    const data = bytes.length - rule.width;
    return hexBytes(storedBy(rule, label, bytes.subarray(0, data))) === hexBytes(bytes.subarray(data));
  });
}
