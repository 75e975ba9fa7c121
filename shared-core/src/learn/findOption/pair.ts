import { type Phrase, phrase } from '../../base/phrase.js';
import { finish } from '../../base/steps.js';
import { otherVehicle } from '../../model/vehicle.js';
import type { ComparedDump } from './comparedDump.js';
import type { LabelledDump } from './labelledDump.js';
import { type ColumnPlace, matrixOf } from './matrix.js';
import { furtherSaid, vehicleSteps } from './vehicles.js';

/**
 * What a changed data byte may be. The sums decide: a byte is a balance only where a total was to stay as it was. It is
 * the option only where nothing else of one car differs; `maybe` is one of several, or of two cars.
 */
export type PairRole = 'option' | 'maybe' | 'balance' | 'option-or-balance';

export interface PairDifference extends ColumnPlace {
  readonly before: number;
  readonly after: number;
  readonly role: PairRole;
}

export interface PairSearch {
  /** Data bytes that differ, those that are most likely the option first; sums and volatile places are not among them. */
  readonly differences: readonly PairDifference[];
  readonly remarks: readonly Phrase[];
}

/** Dumps in two groups, with the equipment (0) and without it, as one car before and after; undefined where one of them has more than one car. */
export function pairIn(all: readonly LabelledDump[]): PairSearch | undefined {
  const { dumps: labelled, further } = finish(vehicleSteps(all));
  const [after, ...others] = labelled.filter(({ group }) => group === 0);
  const [before, ...more] = labelled.filter(({ group }) => group === 1);
  if (after === undefined || before === undefined || others.length + more.length > 0) return undefined;
  const { differences, remarks } = explainPair(before.dump, after.dump);
  return { differences, remarks: [...furtherSaid(further), ...remarks] };
}

/**
 * Reads one module's dump before and after a single option was changed. Line sums and totals follow the data and are
 * left out. Where a total was kept although data under it changed, some of the changed bytes only make up for the
 * others: those that the profile names as balance places, or else any one of them.
 */
export function explainPair(before: ComparedDump, after: ComparedDump): PairSearch {
  const matrix = matrixOf([
    { name: 'before', dump: before, group: 0 },
    { name: 'after', dump: after, group: 1 },
  ]);
  if (matrix.dumps.length < 2) {
    return {
      differences: [],
      remarks: [phrase('The two dumps have different lines, so their bytes cannot be compared.')],
    };
  }
  const changed = matrix.places.flatMap((place, column) => {
    const [was, now] = matrix.columns[column] as Uint8Array;
    return was === now ? [] : [{ ...place, before: was as number, after: now as number }];
  });
  const kept = after.rightTotals.some((_, total) => wasKept(before, after, total));
  const named = balanceKeys(after);
  const isNamed = ({ line, byte }: ColumnPlace) => named.has(`${line}:${byte}`);
  const isBalanced = kept && changed.length > 1;
  const others = isBalanced ? changed.filter((place) => !isNamed(place)) : changed;
  const alone: PairRole = others.length === 1 && !otherVehicle(before, after) ? 'option' : 'maybe';
  const roleOf = (place: ColumnPlace): PairRole => {
    if (!isBalanced) return alone;
    if (others.length < changed.length) return isNamed(place) ? 'balance' : alone;
    return 'option-or-balance';
  };
  const order: readonly PairRole[] = ['option', 'maybe', 'option-or-balance', 'balance'];
  const differences = changed
    .map((place) => ({ ...place, role: roleOf(place) }))
    .sort((a, b) => order.indexOf(a.role) - order.indexOf(b.role));
  const cars = otherVehicle(before, after)
    ? [phrase('These dumps are of two cars, whose bytes may differ for many reasons. Dumps of more cars tell more.')]
    : [];
  return { differences, remarks: [...cars, ...remarksOn(differences, after, kept)] };
}

function remarksOn(differences: readonly PairDifference[], { rightTotals }: ComparedDump, kept: boolean): Phrase[] {
  if (differences.length === 0) return [phrase('No data byte differs: only sums or volatile places do, if anything.')];
  if (rightTotals.length === 0)
    return [phrase('No file sum is known, so a balance place among these bytes cannot be told apart.')];
  if (kept && differences.some(({ role }) => role === 'option-or-balance')) {
    return [
      phrase(
        'The file sum stayed the same although data changed: one of these bytes makes up for the others. A second pair with another option shows which one, as the balance place is likely to change there too.',
      ),
    ];
  }
  return [];
}

/** Does a total hold the same value in both dumps, rightly in both, over data that differ? */
function wasKept(before: ComparedDump, after: ComparedDump, total: number): boolean {
  const value = after.rightTotals[total];
  return value !== undefined && value === before.rightTotals[total];
}

function balanceKeys({ shape, balance }: ComparedDump): ReadonlySet<string> {
  const named = new Set<string>();
  for (const { label, from, count } of shape.lines)
    for (let byte = 0; byte < count; byte++) if (balance.has(from + byte)) named.add(`${label}:${byte + 1}`);
  return named;
}
