import { isBinary, solveBinary } from './binary.js';
import { hasEqualWeights, solveEqualWeights } from './equalWeights.js';
import { solveByMeeting } from './meeting.js';
import type { Answer, Budget, System } from './system.js';

/**
 * The change of the fewest free bytes that leads to an accepted outcome; of several, the smallest change. Work is
 * bounded by the budget: when that is used up, the answer is that it gave up, never a wrong byte.
 */
export function solve(system: System, budget: Budget): Answer {
  if (hasEqualWeights(system)) return solveEqualWeights(system, budget);
  return isBinary(system) ? solveBinary(system, budget) : solveByMeeting(system, budget);
}
