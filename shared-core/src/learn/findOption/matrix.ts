import { finish, type Steps } from '../../base/steps.js';
import type { Label } from '../../format/row.js';
import { cellKey, presentCells } from '../../model/cell.js';
import type { Dump } from '../../model/dump.js';
import { labelOfRow } from '../../model/layout.js';
import { byteAt } from '../../model/totals.js';
import { inAllCopies } from '../../profile/copiedPlaces.js';
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
  const readable = all.filter(({ dump }) => dump.layout.order.length > 0 && isWhole(dump));
  const shapes = new Map<string, LabelledDump[]>();
  for (const one of readable) {
    yield;
    const shape = shapeOf(one.dump);
    const alike = shapes.get(shape);
    if (alike === undefined) shapes.set(shape, [one]);
    else alike.push(one);
  }
  const labelled = (dumps: readonly LabelledDump[]) => dumps.filter(({ group }) => group !== undefined).length;
  const alike = [...shapes.values()].reduce(
    (most, next) => (labelled(next) > labelled(most) ? next : most),
    shapes.values().next().value ?? [],
  );
  const { dumps, further } = yield* vehicleSteps(alike);
  const [first] = dumps;
  const places = first === undefined ? [] : placesOf(first.dump);
  return {
    places,
    columns: yield* columnsOf(dumps, places),
    dumps,
    others: without(readable, alike),
    further,
    unreadable: without(all, readable),
  };
}

function without(all: readonly LabelledDump[], some: readonly LabelledDump[]): readonly LabelledDump[] {
  const left = new Set(some);
  return all.filter((one) => !left.has(one));
}

function isWhole({ layout, rows }: Dump): boolean {
  return layout.order.every((row) => {
    const record = rows[row];
    return record?.kind === 'record' && record.count >= (layout.dataCount[row] as number);
  });
}

/** Labels and lengths of all lines, as text. */
function shapeOf(dump: Dump): string {
  const { order, dataCount } = dump.layout;
  return Array.from(order, (row, i) => `${lineAt(dump, i)}:${dataCount[row]}`).join(' ');
}

/** What the line at a place in the order of lines is called; of an image its address. */
export function lineAt({ layout, rows }: Dump, index: number): Label {
  const key = layout.keys[index] as number;
  return layout.kind === 'image' ? key : (labelOfRow(rows[layout.order[index] as number]) ?? key);
}

function placesOf(dump: Dump): ColumnPlace[] {
  const { layout, profile } = dump;
  const left = new Set([
    ...dump.totals.flatMap(({ stored }) => (stored ?? []).map(cellKey)),
    ...inAllCopies(profile, profile.volatile).flatMap(({ place }) => presentCells(layout, place).map(cellKey)),
  ]);
  const places: ColumnPlace[] = [];
  layout.order.forEach((row, index) => {
    const line = lineAt(dump, index);
    for (let byte = 0; byte < (layout.dataCount[row] as number); byte++) {
      if (!left.has(cellKey({ row, byte }))) places.push({ line, byte: byte + 1 });
    }
  });
  return places;
}

function* columnsOf(dumps: readonly LabelledDump[], places: readonly ColumnPlace[]): Steps<Uint8Array[]> {
  const columns = places.map(() => new Uint8Array(dumps.length));
  for (const [index, { dump }] of dumps.entries()) {
    yield;
    const { layout, rows } = dump;
    let line: Label | undefined;
    let row = 0;
    let at = -1;
    places.forEach((place, column) => {
      // Places are in the order of lines, and so is the layout.
      while (line !== place.line) {
        line = lineAt(dump, ++at);
        row = layout.order[at] as number;
      }
      (columns[column] as Uint8Array)[index] = byteAt(rows, { row, byte: place.byte - 1 }) ?? 0;
    });
  }
  return columns;
}
