import { finish } from '../../shared-core/src/base/steps.js';
import type { LineToLearn } from '../../shared-core/src/learn/learnSums/line.js';
import { type LineSumSearch, type LineSumWish, lineSumSteps } from '../../shared-core/src/learn/learnSums/lineSums.js';

/** The search for line sums in one go. */
export function learnLineSums(
  lines: readonly LineToLearn[],
  module: number | undefined,
  wish: Partial<LineSumWish> = {},
): LineSumSearch {
  return finish(lineSumSteps(lines, module, wish));
}
