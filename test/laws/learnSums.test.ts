import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { hexBytes } from '../../shared-core/src/bytes/hex.js';
import type { LineToLearn } from '../../shared-core/src/learn/learnSums/line.js';
import { type LineRule, storedBy } from '../../shared-core/src/learn/learnSums/lineRule.js';
import { learnLineSums } from '../../shared-core/src/learn/learnSums/lineSums.js';
import { numbers } from '../shared-core/learn/dumps.js';
import { testLines, testRules } from '../shared-core/learn/families.js';

/** Does the learned rule sum lines right that it has not seen? */
function decidesRight(rule: LineRule | undefined, unseen: readonly LineToLearn[]): boolean {
  if (rule === undefined) return false;
  return unseen.every(({ label, bytes }) => {
    const data = bytes.length - rule.width;
    return hexBytes(storedBy(rule, label, bytes.subarray(0, data))) === hexBytes(bytes.subarray(data));
  });
}

describe('laws of learning sums', () => {
  // Every sixth rule of a few lots: each method with its parameters comes up, and the whole stays short.
  for (const lot of [1, 2]) {
    it(`lot ${lot}: of all methods, with hidden constants and one damaged line, the right rule comes first`, () => {
      const next = numbers(lot);
      const rules = testRules(next).filter((_, i) => i % 6 === lot);
      const missed = rules.filter((rule) => {
        const lines = testLines(rule, 14, 6, next);
        (lines[next(14)] as LineToLearn).bytes[next(6)]! ^= 1 << next(8);
        const { rules: found, undecided } = learnLineSums(lines, undefined);
        const unseen = testLines(rule, 14, 6, next);
        if (decidesRight(found[0], unseen)) return false;
        // What these lines leave open must be said.
        return !undecided.some((rival) => decidesRight(rival.rule, unseen));
      });
      assert.deepEqual(
        missed.map(({ name }) => name),
        [],
      );
    });
  }
});
