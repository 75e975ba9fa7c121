import { phrase } from '../base/phrase.js';
import type { ProblemCode } from './diagnostics.js';
import { type Problem, problem } from './problem.js';

/** More marks than these help nobody and cost time in every editor. */
const MOST_SHOWN = 1000;

/** What must not be missed, however much else is wrong: of the first kind none may give way to the second. */
const FIRST: readonly ReadonlySet<ProblemCode>[] = [new Set(['security-changed']), new Set(['locked-changed'])];

/**
 * The problems of a dump to be listed: all, or of many the first in the order of the text, where errors of security and
 * locked bytes go before others, and before them how many there are. Nothing may be decided by what is shown.
 */
export function shownProblems(problems: readonly Problem[], most = MOST_SHOWN): readonly Problem[] {
  const [first] = problems;
  if (first === undefined || problems.length <= most) return problems;
  const message = phrase(
    '{0} problems in this file; {1} are shown, those of security and locked bytes before others.',
    problems.length,
    most,
  );
  return [problem('more-problems', first, message), ...mostUrgent(problems, most)];
}

/** So many of some problems, in their order: those of security and locked bytes are among them before others. */
export function mostUrgent(problems: readonly Problem[], most: number): readonly Problem[] {
  const ranked: Problem[][] = [...FIRST.map(() => []), []];
  for (const one of problems) {
    const at = FIRST.findIndex((codes) => codes.has(one.code));
    ranked[at < 0 ? FIRST.length : at]?.push(one);
  }
  const kept = new Set(ranked.flat().slice(0, most));
  return problems.filter((one) => kept.has(one));
}
