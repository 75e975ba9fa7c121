import { bytesOfNumber } from '../base/number.js';
import type { Steps } from '../base/steps.js';
import { type Cell, cellKey } from '../model/cell.js';
import { type TiedCells, tiedCells, withTied } from '../model/copies.js';
import { type Dump, ruleOf } from '../model/dump.js';
import { readTotal } from '../model/totalReading.js';
import { type BoundTotal, byteAt, soundRecord } from '../model/totals.js';
import type { FreeCell } from './freeCells.js';
import type { Demand, DependentSum, RunSum, SumTask } from './solver/sums.js';
import { turnsOf } from './solver/system.js';
import { protectionOf } from './totals.js';

/** A stored sum of a dump that changes with other bytes: where it is stored, and where a byte stands in its run. */
interface Dependent {
  readonly key: string;
  readonly cells: readonly Cell[];
  readonly placesOf: (cell: Cell) => readonly number[];
  readonly sum: Omit<DependentSum, 'places'>;
}

/**
 * What it takes to bring totals to their stored values by the given cells. The line sums of changed lines, and totals
 * that are not kept, follow the change; they must be right already. Undefined where sums cover each other in a circle.
 */
export function* taskOf(dump: Dump, cells: readonly FreeCell[], totals: readonly number[]): Steps<SumTask | undefined> {
  const demanded = totals.flatMap((index) => {
    const reading = readTotal(dump, index);
    const state = dump.states[index];
    return reading && state ? [{ ...reading, state: state.state }] : [];
  });
  const tied = tiedCells(dump);
  const isCovered = (cell: Cell) =>
    withTied(dump, [cell], tied).some((one) => demanded.some(({ bound }) => placesInRun(bound, one).length > 0));
  const dependentSums = dependentSumsOf(dump, cells, totals, isCovered, tied);
  if (dependentSums === undefined) return undefined;
  const numbered: readonly Cell[] = [...cells, ...dependentSums.flatMap((dependentSum) => dependentSum.cells)];
  const own = new Set(numbered.map(cellKey));
  /** What moves with a numbered byte and has no number itself. */
  const beside = (all: readonly Cell[]) => all.filter((cell) => !own.has(cellKey(cell)));
  const isDue = turnsOf();
  function* placed<Sum>(sum: Sum, placesOf: Dependent['placesOf']): Steps<Sum & Pick<RunSum, 'places' | 'turned'>> {
    const places: (readonly number[])[] = [];
    const turned: (readonly number[])[] = [];
    for (const cell of numbered) {
      const { same, inverted } = tied.get(cellKey(cell)) ?? NONE_TIED;
      places.push([cell, ...beside(same)].flatMap(placesOf));
      turned.push(beside(inverted).flatMap(placesOf));
      if (isDue(STEPS_PER_PLACE)) yield;
    }
    return { ...sum, places, ...(tied.size > 0 && { turned }) };
  }
  const demands: Demand[] = [];
  for (const { bound, state, stored } of demanded) {
    const demand = { checksum: bound.total.checksum, state, length: bound.run.length, wanted: stored };
    demands.push(yield* placed(demand, (cell) => placesInRun(bound, cell)));
  }
  const dependents: DependentSum[] = [];
  for (const { sum, placesOf } of dependentSums) dependents.push(yield* placed(sum, placesOf));
  const free = cells.map((cell) => ({ value: byteAt(dump.rows, cell) ?? 0, mask: cell.mask ?? 0xff }));
  return { free, dependentSums: dependents, demands };
}

const NONE_TIED: TiedCells = { same: [], inverted: [] };

/** What it takes to look up where a byte stands in a run. */
const STEPS_PER_PLACE = 2;

/** Sums that change with the cells and matter to a demand, each after those that it covers. */
function dependentSumsOf(
  dump: Dump,
  cells: readonly Cell[],
  totals: readonly number[],
  isCovered: (cell: Cell) => boolean,
  tied: ReadonlyMap<number, TiedCells>,
): readonly Dependent[] | undefined {
  const rewritten = [...dump.totals.keys()]
    .filter((index) => !totals.includes(index) && isRewritten(dump, index))
    .flatMap((index) => totalAt(dump, index) ?? []);
  const visited = new Map<string, 'open' | 'done'>();
  const found: Dependent[] = [];
  /** Goes on from a changed cell to all sums over it; false where that comes round to a sum on the way. */
  function follow(changed: Cell): boolean {
    const moving = withTied(dump, [changed], tied);
    for (const dependent of [
      ...moving.flatMap((cell) => lineSumOver(dump, cell) ?? []),
      ...rewritten.filter(({ placesOf }) => moving.some((cell) => placesOf(cell).length > 0)),
    ]) {
      const mark = visited.get(dependent.key);
      if (mark === 'open') return false;
      if (mark === 'done') continue;
      visited.set(dependent.key, 'open');
      if (!dependent.cells.every(follow)) return false;
      visited.set(dependent.key, 'done');
      found.push(dependent);
    }
    return true;
  }
  if (!cells.every(follow)) return undefined;
  // Each was added after all that cover it: those that no demand or later dependent sum covers do not matter.
  const needed: Dependent[] = [];
  for (const dependent of found) {
    const matters = (cell: Cell) =>
      isCovered(cell) ||
      needed.some(({ placesOf }) => withTied(dump, [cell], tied).some((one) => placesOf(one).length > 0));
    if (dependent.cells.some(matters)) needed.unshift(dependent);
  }
  return needed;
}

/** Whether a total changes with the bytes it covers: it is not kept, and not in a place that is never written. */
function isRewritten(dump: Dump, index: number): boolean {
  const total = dump.totals[index]?.total;
  return total !== undefined && !total.keep && protectionOf(dump, total) === undefined;
}

/** The sum of the line that a data byte is in. */
function lineSumOver(dump: Dump, { row, byte }: Cell): Dependent | undefined {
  const { layout, rows } = dump;
  const rule = ruleOf(dump, row);
  const count = layout.dataCount[row] ?? 0;
  const record = rule && byte < count ? soundRecord(layout, rows, row) : undefined;
  if (rule === undefined || record === undefined || !rule.isOfBytes) return undefined;
  const { checksum, width, bytesOfValue: bytesOf } = rule;
  const { bytes, placeOf } = rule.runOf(record);
  return {
    key: `line ${row}`,
    cells: Array.from({ length: width }, (_, i) => ({ row, byte: count + i })),
    placesOf: (cell) => {
      const place = cell.row === row && cell.byte < count ? placeOf(cell.byte) : undefined;
      return place === undefined ? [] : [place];
    },
    sum: { checksum, state: checksum.stateOf(bytes), length: bytes.length, bytesOf },
  };
}

/** A total as a sum that is rewritten; undefined where it cannot be read. */
function totalAt(dump: Dump, index: number): Dependent | undefined {
  const bound = readTotal(dump, index)?.bound;
  const state = dump.states[index];
  if (bound?.stored === undefined || state === undefined) return undefined;
  const { checksum, order } = bound.total;
  const bytesOf = (value: bigint) => bytesOfNumber(value, bound.width, order);
  return {
    key: `total ${index}`,
    cells: bound.stored,
    placesOf: (cell) => placesInRun(bound, cell),
    sum: { checksum, state: state.state, length: bound.run.length, bytesOf },
  };
}

/** Where a cell stands in a total's run: once as a rule, not at all where it is not covered. */
function placesInRun({ run }: BoundTotal, { row, byte }: Cell): readonly number[] {
  return run
    .piecesIn(row)
    .filter(({ from, count }) => byte >= from && byte < from + count)
    .map(({ from, start }) => start + byte - from);
}
