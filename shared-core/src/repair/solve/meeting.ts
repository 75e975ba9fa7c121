import { subsets } from './subsets.js';
import {
  type Answer,
  type Budget,
  type Change,
  cheaper,
  combine,
  effectOf,
  type FreeByte,
  isNothing,
  type Outcome,
  otherValues,
  rest,
  type System,
  spend,
} from './system.js';

/** Changes of more bytes than this are not searched for: each half of four has some 65,000 forms for two bytes. */
const MOST_BYTES = 4;

interface Partial {
  readonly change: Change;
  readonly outcome: Outcome;
}

/**
 * Any mix of sums, by meeting in the middle: all changes of half of the chosen bytes are listed by what they do, and
 * each change of the other half looks up what is left to do. Exact for up to four bytes, whatever the equations are.
 */
export function solveByMeeting(system: System, budget: Budget): Answer {
  if (system.accepted.some(isNothing)) return { kind: 'solved', change: [], unique: false };
  const { free } = system;
  const most = Math.min(MOST_BYTES, free.length);
  for (let size = 1; size <= most; size++) {
    let best: Change | undefined;
    let found = 0;
    for (const chosen of subsets(free.length, size)) {
      const half = chosen.length >> 1;
      const first = formsOf(system, chosen.slice(0, half), budget);
      const second = formsOf(system, chosen.slice(half), budget);
      if (first === undefined || second === undefined || !spend(budget, second.length * system.accepted.length)) {
        return best === undefined ? { kind: 'gave-up', steps: size } : { kind: 'solved', change: best, unique: false };
      }
      const byOutcome = new Map<string, Change[]>();
      for (const { change, outcome } of first) {
        const key = outcome.join();
        byOutcome.set(key, [...(byOutcome.get(key) ?? []), change]);
      }
      for (const { change, outcome } of second) {
        for (const wanted of system.accepted) {
          for (const other of byOutcome.get(rest(system, wanted, outcome).join()) ?? []) {
            found++;
            best = cheaper(system, best, [...other, ...change]);
          }
        }
      }
    }
    if (best !== undefined) return { kind: 'solved', change: best, unique: found === 1 };
  }
  return most < free.length ? { kind: 'gave-up', steps: most } : { kind: 'impossible', reach: { kind: 'tried' } };
}

/** Every way to change all of the chosen bytes, with what it does. */
function formsOf(system: System, chosen: readonly number[], budget: Budget): readonly Partial[] | undefined {
  let forms: readonly Partial[] = [{ change: [], outcome: system.equations.map(() => 0n) }];
  for (const index of chosen) {
    const values = otherValues(system.free[index] as FreeByte);
    if (!spend(budget, 4 * forms.length * values.length)) return undefined;
    const effects = values.map((value) => ({ value, effect: effectOf(system, index, value) }));
    forms = forms.flatMap(({ change, outcome }) =>
      effects.map(({ value, effect }) => ({
        change: [...change, { index, value }],
        outcome: combine(system, outcome, effect),
      })),
    );
  }
  return forms;
}
