import type { Label, Row } from '../notation/row.js';
import type { Profile } from '../profile/profile.js';

/**
 * Which row holds which line of the dump, and how many of its bytes are data. It depends on labels and counts only, so
 * an edit of bytes leaves it as it is and versions share it.
 */
export interface Layout {
  readonly kind: 'lines' | 'image';
  /** Rows that hold data, in label order (of an image: in address order). */
  readonly order: Int32Array;
  /** For each entry of `order`: the label, of an image the absolute address of its first data byte. */
  readonly keys: Float64Array;
  /** For each row: how many data bytes it should hold; 0 where it holds none. */
  readonly dataCount: Int32Array;
  /** Sum bytes that follow the data bytes of each line. */
  readonly sumCount: number;
  /** Label → the first row that has it; of an image, only words. */
  readonly rowOf: (label: Label) => number | undefined;
  /** Rows whose label a row before them has already. */
  readonly repeated: readonly number[];
  /** Rows of lines whose label is lower than that of a line before them. */
  readonly outOfOrder: readonly number[];
  /** Labels that the profile expects and no row has, in rising order. */
  readonly missing: readonly number[];
  /** Rows with a number for a label that the profile does not expect, and rows with a word that names no total. */
  readonly unknown: readonly number[];
}

/** The label of a record, also of one whose bytes cannot be read. */
export function labelOfRow(row: Row | undefined): Label | undefined {
  return row?.kind === 'record' || row?.kind === 'broken' ? row.label : undefined;
}

/** The layout of a dump in lines with labels; without a geometry every record with a number is a line of data alone. */
export function layoutOfLines(rows: readonly Row[], profile: Profile): Layout {
  const geometry = profile.geometry?.kind === 'lines' ? profile.geometry : undefined;
  const first = new Map<Label, number>();
  const repeated: number[] = [];
  const unknown: number[] = [];
  const dataCount = new Int32Array(rows.length);
  const named = new Set(profile.totals.map(({ stored }) => (stored.kind === 'record' ? stored.label : undefined)));
  const labels: number[] = [];

  rows.forEach((row, index) => {
    const label = labelOfRow(row);
    if (label === undefined) return;
    if (first.has(label)) {
      repeated.push(index);
      return;
    }
    first.set(label, index);
    if (named.has(label)) return;
    const count = typeof label === 'number' ? lineCount(geometry, label, row) : undefined;
    if (count === undefined) {
      if (geometry !== undefined) unknown.push(index);
      return;
    }
    dataCount[index] = count;
    labels.push(label as number);
  });

  const outOfOrder = fallingLabels(labels).map((label) => first.get(label) as number);
  if (outOfOrder.length > 0) labels.sort((a, b) => a - b);
  return {
    kind: 'lines',
    order: Int32Array.from(labels, (label) => first.get(label) as number),
    keys: Float64Array.from(labels),
    dataCount,
    sumCount: geometry?.sum ?? 0,
    rowOf: (label) => first.get(label),
    repeated,
    outOfOrder,
    missing: geometry === undefined ? [] : missingLabels(geometry.from, geometry.to, first),
    unknown,
  };
}

type LineGeometry = Extract<Profile['geometry'], { kind: 'lines' }>;

function lineCount(geometry: LineGeometry | undefined, label: number, row: Row): number | undefined {
  if (geometry === undefined) return row.kind === 'record' ? row.count : 0;
  if (label < geometry.from || label > geometry.to) return undefined;
  return typeof geometry.data === 'number' ? geometry.data : geometry.data.get(label);
}

function fallingLabels(labels: readonly number[]): number[] {
  let highest = Number.NEGATIVE_INFINITY;
  return labels.filter((label) => {
    const falls = label < highest;
    highest = Math.max(highest, label);
    return falls;
  });
}

function missingLabels(from: number, to: number, first: ReadonlyMap<Label, number>): number[] {
  const missing: number[] = [];
  for (let label = from; label <= to; label++) if (!first.has(label)) missing.push(label);
  return missing;
}

/** Place in `order` of the line with this label or, of an image, of the row that holds this address; -1 where none does. */
export function orderIndexOf(layout: Layout, key: number): number {
  let low = 0;
  let high = layout.keys.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((layout.keys[middle] as number) <= key) low = middle;
    else high = middle - 1;
  }
  const found = layout.keys[low];
  if (found === undefined || found > key) return -1;
  const reach = layout.kind === 'lines' ? 1 : (layout.dataCount[layout.order[low] as number] as number);
  return key < found + reach ? low : -1;
}
