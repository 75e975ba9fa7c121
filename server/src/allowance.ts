import type { Steps } from '../../shared-core/src/base/index.js';
import type { Allowance } from '../../shared-core/src/repair/index.js';

/**
 * Steps of search that one request may take: a third of a second at most. Counted, not timed, so that what is offered
 * does not depend on what else the computer does.
 */
const STEPS = 2_000_000;

export function allowanceOfRequest(): Allowance {
  return { left: STEPS };
}

/** Does one of `count` pieces of work that are left with an equal share of what is left of an allowance. */
export function* withShare<T>(allowance: Allowance, count: number, work: (share: Allowance) => Steps<T>): Steps<T> {
  const given = Math.max(0, Math.floor(allowance.left / count));
  const share: Allowance = { left: given };
  const result = yield* work(share);
  allowance.left -= given - Math.max(0, share.left);
  return result;
}
