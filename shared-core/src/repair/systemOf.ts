import type { Checksum } from '../checksum/checksum.js';
import type { Cell } from '../dump/cell.js';
import type { Dump } from '../dump/dump.js';
import { type BoundTotal, byteAt } from '../dump/totals.js';
import { bytesOf, type RecordRow } from '../notation/row.js';
import { combine, type Equation, modulo, type Outcome, rest, type System } from './solve/system.js';
import { readTotal } from './totals.js';

/** Line sums of up to this many bits are gone through value by value where a total covers them. */
const MOST_LINE_SUM_BITS = 16;

/**
 * The equations by which changes of the given cells act on totals that must reach their stored values. Where a total
 * covers line sums as well, each value that the changed line's sum can take is an outcome of its own; undefined where
 * that would be too many.
 */
export function systemOf(dump: Dump, cells: readonly Cell[], totals: readonly number[]): System | undefined {
  const free = cells.map((cell) => ({ value: byteAt(dump.rows, cell) ?? 0, mask: 0xff }));
  const readings = totals.flatMap((index) => readTotal(dump, index) ?? []);
  const equations = readings.flatMap(({ bound }) =>
    equationsOf(
      bound.total.checksum,
      bound.run.length,
      cells.map((cell) => placesInRun(bound, cell)),
    ),
  );
  const wanted = readings.flatMap(({ bound, computed, stored }) => wantedOf(bound.total.checksum, computed, stored));
  const system: System = { free, equations, accepted: [wanted] };
  const rows = [...new Set(cells.map(({ row }) => row))];
  const covered = rows.filter((row) =>
    readings.some(({ bound }) => sumCells(dump, row).some((cell) => placesInRun(bound, cell).length > 0)),
  );
  if (covered.length === 0) return system;
  const [row] = covered;
  if (rows.length > 1 || row === undefined || dump.rule === undefined) return undefined;
  return withLineSum(
    dump,
    dump.rule,
    system,
    cells,
    row,
    readings.map(({ bound }) => bound),
  );
}

/** Adds the equations of the line's own sum, and an outcome for each value that it can take. */
function withLineSum(
  dump: Dump,
  rule: NonNullable<Dump['rule']>,
  system: System,
  cells: readonly Cell[],
  row: number,
  bounds: readonly BoundTotal[],
): System | undefined {
  const { checksum } = rule;
  const record = dump.rows[row] as RecordRow;
  if (checksum.bits > MOST_LINE_SUM_BITS) return undefined;
  const run = rule.runOf(record);
  const own = equationsOf(
    checksum,
    run.bytes.length,
    cells.map(({ byte }) => [run.dataAt + byte]),
  );
  const now = checksum.valueOf(checksum.stateOf(run.bytes));
  const sums = sumCells(dump, row);
  const before = bytesOf(record, record.count - rule.width);
  const totalsOnly: System = { ...system, free: [], accepted: [] };
  const nothing: Outcome = system.equations.map(() => 0n);
  const accepted: Outcome[] = [];
  for (let value = 0n; value < 1n << BigInt(checksum.bits); value++) {
    const after = rule.bytesOfValue(value);
    const moved = sums.map((cell, i) =>
      bounds.flatMap((bound) => effectOn(bound, cell, before[i] as number, after[i] as number)),
    );
    const bySums = moved.reduce<Outcome>((a, b) => combine(totalsOnly, a, b), nothing);
    accepted.push([...wantedOf(checksum, now, value), ...rest(totalsOnly, system.accepted[0] as Outcome, bySums)]);
  }
  return { free: system.free, equations: [...own, ...system.equations], accepted };
}

function sumCells({ layout, rule }: Dump, row: number): readonly Cell[] {
  return Array.from({ length: rule?.width ?? 0 }, (_, i) => ({ row, byte: (layout.dataCount[row] as number) + i }));
}

/** Where a cell stands in a total's run: once as a rule, not at all where it is not covered. */
function placesInRun({ run }: BoundTotal, { row, byte }: Cell): readonly number[] {
  return run
    .piecesIn(row)
    .filter(({ from, count }) => byte >= from && byte < from + count)
    .map(({ from, start }) => start + byte - from);
}

/** A checksum's equations over free bytes, each of which stands at the given places of the run. */
function equationsOf({ law }: Checksum, length: number, places: readonly (readonly number[])[]): Equation[] {
  if (law.kind === 'modular') {
    return law.equations.map(({ modulus, coefficient }) => ({
      kind: 'modular',
      modulus,
      weights: places.map((all) => all.reduce((sum, at) => (sum + coefficient(at, length)) % modulus, 0n)),
    }));
  }
  const bits = [0, 1, 2, 3, 4, 5, 6, 7];
  const effects = places.map((all) =>
    bits.map((bit) => all.reduce((sum, at) => sum ^ law.effect(at, length, 1 << bit), 0n)),
  );
  return [{ kind: 'binary', effects }];
}

/** What the equations of a checksum must bring about for its value to go from one to the other. */
function wantedOf({ law }: Checksum, from: bigint, to: bigint): Outcome {
  return law.kind === 'modular' ? law.equations.map(({ gap }) => gap(from, to)) : [from ^ to];
}

/** What a change of one covered byte does to a total. */
function effectOn(bound: BoundTotal, cell: Cell, before: number, after: number): Outcome {
  const { run } = bound;
  const { law } = bound.total.checksum;
  const places = placesInRun(bound, cell);
  if (law.kind === 'binary') return [places.reduce((sum, at) => sum ^ law.effect(at, run.length, before ^ after), 0n)];
  return law.equations.map(({ modulus, coefficient }) => {
    const growth = places.reduce((sum, at) => sum + coefficient(at, run.length) * BigInt(after - before), 0n);
    return modulo(growth, modulus);
  });
}
