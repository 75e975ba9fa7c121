import { finish, type Steps } from '../../base/steps.js';
import type { Label } from '../../format/row.js';
import type { ComparedDump } from './comparedDump.js';
import type { LabelledDump } from './labelledDump.js';
import { vehicleSteps } from './vehicles.js';

/** Where a column of the matrix stands: `line` is the label (of an image the address of the record), `byte` counts from 1. */
export interface ColumnPlace {
  readonly line: Label;
  readonly byte: number;
}

/** Dumps of one shape, byte by byte: each column holds what all dumps have in one place. */
export interface Matrix {
  readonly places: readonly ColumnPlace[];
  /** For each place the byte of each dump. */
  readonly columns: readonly Uint8Array[];
  readonly dumps: readonly LabelledDump[];
  /** Dumps that are left out because their lines differ in number or length. */
  readonly others: readonly LabelledDump[];
  /** Dumps that are left out because another one of the same vehicle and group is compared. */
  readonly further: readonly LabelledDump[];
  /** For each place the byte of each of these. */
  readonly furtherColumns: readonly Uint8Array[];
  /** Dumps that are left out because a line of theirs cannot be read. */
  readonly unreadable: readonly LabelledDump[];
}

/**
 * Puts dumps side by side. Of several shapes the one with most labelled dumps is taken. Line sums, stored totals and
 * volatile places are left out: they follow other bytes or change by themselves.
 */
export function matrixOf(all: readonly LabelledDump[]): Matrix {
  return finish(matrixSteps(all));
}

export function* matrixSteps(all: readonly LabelledDump[]): Steps<Matrix> {
  const readable = all.filter(({ dump }) => dump.shape.lines.length > 0 && dump.isWhole);
  const shapes = new Map<string, LabelledDump[]>();
  for (const one of readable) {
    yield;
    const alike = shapes.get(one.dump.shape.key);
    if (alike === undefined) shapes.set(one.dump.shape.key, [one]);
    else alike.push(one);
  }
  const labelled = (dumps: readonly LabelledDump[]) => dumps.filter(({ group }) => group !== undefined).length;
  const alike = [...shapes.values()].reduce(
    (most, next) => (labelled(next) > labelled(most) ? next : most),
    shapes.values().next().value ?? [],
  );
  const { dumps, further } = yield* vehicleSteps(alike);
  const [first] = dumps;
  const { places, columns } = yield* columnsOf(first?.dump, dumps);
  const { columns: furtherColumns } = yield* columnsOf(first?.dump, further);
  const [others, unreadable] = [without(readable, alike), without(all, readable)];
  return { places, columns, dumps, others, further, furtherColumns, unreadable };
}

function without(all: readonly LabelledDump[], some: readonly LabelledDump[]): readonly LabelledDump[] {
  const left = new Set(some);
  return all.filter((one) => !left.has(one));
}

function* columnsOf(
  first: ComparedDump | undefined,
  dumps: readonly LabelledDump[],
): Steps<Pick<Matrix, 'places' | 'columns'>> {
  const places: ColumnPlace[] = [];
  const columns: Uint8Array[] = [];
  for (const [index, { label, from, count }] of (first?.shape.lines ?? []).entries()) {
    yield;
    const ofLine = Array.from({ length: count }, () => new Uint8Array(dumps.length));
    // A line at once, since going to another dump costs more than taking a byte.
    for (let i = 0; i < dumps.length; i++) {
      const { shape, bytes } = (dumps[i] as LabelledDump).dump;
      const start = shape.lines[index]?.from ?? 0;
      for (let byte = 0; byte < count; byte++) (ofLine[byte] as Uint8Array)[i] = bytes[start + byte] as number;
    }
    for (const [byte, column] of ofLine.entries()) {
      if (first?.left.has(from + byte)) continue;
      places.push({ line: label, byte: byte + 1 });
      columns.push(column);
    }
  }
  return { places, columns };
}
