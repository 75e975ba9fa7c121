import type { Steps } from '../../base/steps.js';
import { incumbentOf } from './incumbent.js';
import { bringsAbout, type SumTask } from './sums.js';
import { type Answer, type Budget, type Change, type FreeByte, type System, spend, turnsOf } from './system.js';
import { changesCount, flipsOfAll } from './tables.js';

/** A trial computes all sums that move. */
const STEPS_PER_TRIAL = 100;

/**
 * Tries every change of one byte, then of two and so on, by the sums themselves: for dependent sums that are too wide to
 * list their values. It looks at all changes of a size or at none of them.
 */
export function* forwardTrial(task: SumTask, budget: Budget): Steps<Answer> {
  const { free, demands } = task;
  const measure = demands.every(({ checksum }) => checksum.law.kind === 'binary') ? 'bits' : 'growth';
  const system: System = { free, equations: [], accepted: [], measure };
  const flips = flipsOfAll(free);
  const isDue = turnsOf();
  if (bringsAbout(task, [])) return { kind: 'solved', change: [], unique: true, fewest: true };
  for (let size = 1; size <= free.length; size++) {
    if (STEPS_PER_TRIAL * changesCount(flips, size) > budget.steps) return { kind: 'gave-up', size };
    const incumbent = incumbentOf(system);
    for (const change of changesOf(task, flips, size, 0)) {
      if (!spend(budget, STEPS_PER_TRIAL)) return incumbent.answer(false) ?? { kind: 'gave-up', size };
      if (bringsAbout(task, change)) incumbent.found(change);
      if (isDue(STEPS_PER_TRIAL)) yield;
    }
    const answer = incumbent.answer(true);
    if (answer !== undefined) return answer;
  }
  return { kind: 'impossible', proof: { kind: 'tried' } };
}

function* changesOf(task: SumTask, flips: readonly Uint8Array[], size: number, from: number): Iterable<Change> {
  if (size === 0) {
    yield [];
    return;
  }
  for (let index = from; index <= flips.length - size; index++) {
    const { value } = task.free[index] as FreeByte;
    for (const flipped of flips[index] as Uint8Array) {
      for (const more of changesOf(task, flips, size - 1, index + 1))
        yield [{ index, value: value ^ flipped }, ...more];
    }
  }
}
