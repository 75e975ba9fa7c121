import { maskOf } from '../../base/bits.js';
import type { Steps } from '../../base/steps.js';
import { fitsAll } from '../../profile/searchEvidence.js';
import { discoveryRates } from '../statistics/discoveryRate.js';
import { logFactorials } from '../statistics/logGamma.js';
import { type TableTest, tableTest } from '../statistics/tableTest.js';
import type { Matrix } from './matrix.js';
import { type OptionPlace, overlaps, type Partition, partitionSteps, valueAt } from './partitions.js';

/** A place that may be the option, with what speaks for it. */
export interface OptionCandidate {
  readonly place: OptionPlace;
  /** For each group the values that mark it, commonest first: those that a greater share of it has than of any other group. */
  readonly values: readonly (readonly number[])[];
  /** Probability of so good a separation at a place that has nothing to do with the equipment (two-sided). */
  readonly p: number;
  readonly method: TableTest['method'];
  /** Expected share of false ones among all places at least as good as this (Benjamini and Hochberg). */
  readonly q: number;
  /** Dumps (numbers in the matrix) that have a value of another group: wrongly labelled, or the place is the wrong one. */
  readonly exceptions: readonly number[];
  /** Places that move together with it in all these dumps. */
  readonly sameAs: readonly OptionPlace[];
  /** The hex digit that it is part of, where all dumps hold as many values in the whole of it; undefined where it is one, or more than one. */
  readonly digit: Pick<OptionCandidate, 'place' | 'values'> | undefined;
}

export interface Ranking {
  /** Best first. A place is left out where a part of it separates as well, and where all groups hold each value as often. */
  readonly candidates: readonly OptionCandidate[];
  /** In how many different ways the dumps fall apart: the number of trials that q allows for. */
  readonly tried: number;
  /** For each column of the matrix the lowest q of all places in that byte, or with it; undefined where its bytes are all alike. */
  readonly rates: readonly (number | undefined)[];
  /** For each column whether one of these places fits all dumps. */
  readonly fits: readonly boolean[];
}

/** Ranks all places by how well they separate the groups. Dumps without a group take no part. */
export function* rankSteps(matrix: Matrix, groups: number): Steps<Ranking> {
  const dumps = dumpsInGroups(matrix);
  const partitions = dumps.length < 2 ? [] : yield* partitionSteps(matrix, dumps);
  const counter = counterOf(matrix, dumps, groups);
  const logs = logFactorials(dumps.length);
  const kinds = kindsOf(matrix, dumps);
  const tests: Tested[] = [];
  // One column after the other, since the places in it are counted together.
  const columnOf = (index: number) => partitions[index]?.places[0]?.column ?? 0;
  for (const index of [...partitions.keys()].sort((i, j) => columnOf(i) - columnOf(j))) {
    yield;
    tests[index] = test(counter, groups, quietFirst(partitions[index] as Partition, kinds), logs);
  }
  const rates = discoveryRates(tests.map(({ p }) => p));
  const order = [...tests.keys()].sort((i, j) => better(tests[i] as Tested, tests[j] as Tested, kinds));
  const shown: (OptionCandidate & Pick<Partition, 'atoms'>)[] = [];
  for (const index of order) {
    if (shown.length >= MOST_CANDIDATES) break;
    const { places, atoms, p, method } = tests[index] as Tested;
    const [place, ...sameAs] = places as [OptionPlace, ...OptionPlace[]];
    const divides = (smaller: Pick<Partition, 'atoms'>) => smaller.atoms.every((atom) => atoms.includes(atom));
    if (shown.some((smaller) => overlaps(place, smaller.place) && divides(smaller))) continue;
    const values = valuesByGroup(counter(place), groups);
    // Where one group is marked by all values, the others have them as often: nobody can say what a value means.
    if (values.filter((marks) => marks.length > 0).length < 2) continue;
    const exceptions = dumps.filter((dump) => {
      const group = matrix.dumps[dump]?.group as number;
      return !values[group]?.includes(valueAt(matrix, place, dump));
    });
    const digit = digitOf(matrix, counter, place, groups);
    shown.push({ place, sameAs, digit, atoms, values, p, method, q: rates[index] as number, exceptions });
  }
  return {
    candidates: shown.map(({ atoms: _, ...one }) => one),
    tried: partitions.length,
    rates: ratesByColumn(matrix, tests, rates),
    fits: fitsByColumn(matrix, tests),
  };
}

/**
 * What gives for each group the values that mark it in a place, commonest first. Each value marks one group alone; what
 * only dumps without a group hold marks none.
 */
export function markingValues(matrix: Matrix, groups: number): (place: OptionPlace) => OptionCandidate['values'] {
  const counter = counterOf(matrix, dumpsInGroups(matrix), groups);
  return (place) => valuesByGroup(counter(place), groups);
}

function dumpsInGroups({ dumps }: Matrix): readonly number[] {
  return [...dumps.keys()].filter((dump) => dumps[dump]?.group !== undefined);
}

/** The whole digit around bits of one, where no other bit of it ever changes: people read and write digits. */
function digitOf(matrix: Matrix, counter: Counter, place: OptionPlace, groups: number): OptionCandidate['digit'] {
  const { bits, count } = place;
  const low = bits.low & 4;
  if (count !== 1 || (bits.high & 4) !== low || bits.high - bits.low === 3) return undefined;
  const digit = { ...place, bits: { high: low + 3, low } };
  const values = valuesByGroup(counter(digit), groups);
  const known = values.flat();
  const isSame = known.length === counter(place).values.length;
  const isAll = [...matrix.dumps.keys()].every((dump) => known.includes(valueAt(matrix, digit, dump)));
  return isSame && isAll ? { place: digit, values } : undefined;
}

function ratesByColumn(
  { places }: Matrix,
  tests: readonly Tested[],
  rates: readonly number[],
): readonly (number | undefined)[] {
  const lowest = new Array<number | undefined>(places.length).fill(undefined);
  for (const [index, { places: alike }] of tests.entries()) {
    for (const { column, count } of alike) {
      for (let at = column; at < column + count; at++) {
        lowest[at] = Math.min(lowest[at] ?? 1, rates[index] as number);
      }
    }
  }
  return lowest;
}

function fitsByColumn({ places }: Matrix, tests: readonly Tested[]): readonly boolean[] {
  const fits = new Array<boolean>(places.length).fill(false);
  for (const { places: alike, p, wrong } of tests)
    if (fitsAll({ p, exceptions: wrong }))
      for (const { column, count } of alike) for (let at = column; at < column + count; at++) fits[at] = true;
  return fits;
}

/** Probabilities are sums of many terms: beyond these parts of their logarithm they differ by rounding alone. */
const SURE_PARTS = 1e7;

function better(a: Tested, b: Tested, kinds: Kinds): number {
  const [one, other] = [a.places[0] as OptionPlace, b.places[0] as OptionPlace];
  return (
    Math.round(a.log * SURE_PARTS) - Math.round(b.log * SURE_PARTS) ||
    a.wrong - b.wrong ||
    kinds(one) - kinds(other) ||
    simpler(one, other)
  );
}

/** In how many ways the bytes of a place are filled: where all else in them stays, a place is an option rather than part of a number. */
type Kinds = (place: OptionPlace) => number;

function kindsOf({ columns }: Matrix, dumps: readonly number[]): Kinds {
  const counts = columns.map((column) => new Set(dumps.map((dump) => column[dump])).size);
  return ({ column, count }) => (counts[column] as number) * (count === 2 ? (counts[column + 1] as number) : 1);
}

/** Of places that move together, those first in whose bytes little else moves. */
function quietFirst({ places, atoms }: Partition, kinds: Kinds): Partition {
  return { places: [...places].sort((a, b) => kinds(a) - kinds(b)), atoms };
}

/** Nobody tries more; a list of thousands would only hide the good ones. */
const MOST_CANDIDATES = 100;

interface Tested extends TableTest, Partition {
  /** How many dumps have a value of another group. */
  readonly wrong: number;
}

function test(counter: Counter, groups: number, { places, atoms }: Partition, logs: Float64Array): Tested {
  const count = counter(places[0] as OptionPlace);
  const marked = markedGroups(count, groups);
  let wrong = 0;
  const table: number[][] = [];
  for (let group = 0; group < groups; group++) {
    const row = new Array<number>(marked.length);
    for (let i = 0; i < row.length; i++) {
      const number = count.counts[i * groups + group] as number;
      row[i] = number;
      if (marked[i] !== group) wrong += number;
    }
    table.push(row);
  }
  const { p, log, method } = tableTest(table, logs);
  return { places, atoms, wrong, p, log, method };
}

/** For each value that occurs, the group of which the greatest share has it. */
function markedGroups({ values, counts }: Count, groups: number): number[] {
  const sizes = new Array<number>(groups).fill(0);
  for (let i = 0; i < values.length; i++)
    for (let group = 0; group < groups; group++)
      sizes[group] = (sizes[group] as number) + (counts[i * groups + group] as number);
  return values.map((_, i) => {
    let best = 0;
    for (let group = 1; group < groups; group++) {
      const share = (counts[i * groups + group] as number) * (sizes[best] as number);
      if (share > (counts[i * groups + best] as number) * (sizes[group] as number)) best = group;
    }
    return best;
  });
}

/** For each group the values that mark it, commonest first. */
function valuesByGroup(count: Count, groups: number): number[][] {
  const marked = markedGroups(count, groups);
  return Array.from({ length: groups }, (_, group) => {
    const often = (i: number) => count.counts[i * groups + group] as number;
    const value = (i: number) => count.values[i] as number;
    return [...marked.keys()]
      .filter((i) => marked[i] === group)
      .sort((i, j) => often(j) - often(i) || value(i) - value(j))
      .map(value);
  });
}

/** The values that occur in a place, and how often each does in each group: `groups` numbers for each value. */
interface Count {
  readonly values: readonly number[];
  readonly counts: readonly number[];
}

type Counter = (place: OptionPlace) => Count;

/**
 * Counts in one table for all places: allocating it for each would cost more than the counting. What a byte holds is
 * counted once, and that gives the counts of all bits in it.
 */
function counterOf({ columns, dumps: all }: Matrix, dumps: readonly number[], groups: number): Counter {
  const groupOf = Uint8Array.from(dumps, (dump) => all[dump]?.group ?? 0);
  const table = new Uint32Array(0x10000 * groups);
  const cellOf = Uint32Array.from(dumps);
  const countCells = (): Count => {
    const seen: number[] = [];
    for (let i = 0; i < cellOf.length; i++) {
      const cell = (cellOf[i] as number) * groups + (groupOf[i] as number);
      if (table[cell] === 0) seen.push(cellOf[i] as number);
      table[cell] = (table[cell] as number) + 1;
    }
    return taken(seen);
  };
  // A value that several groups have was seen once in each.
  const taken = (seen: readonly number[]): Count => {
    const [values, counts]: [number[], number[]] = [[], []];
    for (const value of seen) {
      const from = value * groups;
      let sum = 0;
      for (let group = 0; group < groups; group++) sum += table[from + group] as number;
      if (sum === 0) continue;
      values.push(value);
      for (let group = 0; group < groups; group++) {
        counts.push(table[from + group] as number);
        table[from + group] = 0;
      }
    }
    return { values, counts };
  };
  let last: (Count & { readonly column: number }) | undefined;
  const bytesIn = (column: number): Count => {
    if (last?.column === column) return last;
    const bytes = columns[column] as Uint8Array;
    for (let i = 0; i < cellOf.length; i++) cellOf[i] = bytes[dumps[i] as number] as number;
    last = { ...countCells(), column };
    return last;
  };
  return ({ column, count, bits }) => {
    if (count === 2) {
      const [high, low] = [columns[column] as Uint8Array, columns[column + 1] as Uint8Array];
      for (let i = 0; i < cellOf.length; i++) {
        const dump = dumps[i] as number;
        cellOf[i] = ((high[dump] as number) << 8) | (low[dump] as number);
      }
      return countCells();
    }
    const bytes = bytesIn(column);
    const mask = maskOf(bits);
    if (mask === 0xff) return bytes;
    const seen: number[] = [];
    for (const [i, byte] of bytes.values.entries()) {
      const value = (byte & mask) >> bits.low;
      seen.push(value);
      for (let group = 0; group < groups; group++)
        table[value * groups + group] =
          (table[value * groups + group] as number) + (bytes.counts[i * groups + group] as number);
    }
    return taken(seen);
  };
}

/** Fewer bits first, then the order of the dump. */
function simpler(a: OptionPlace, b: OptionPlace): number {
  const width = ({ count, bits }: OptionPlace) => (count - 1) * 8 + bits.high - bits.low;
  return width(a) - width(b) || a.column - b.column || b.bits.high - a.bits.high;
}
