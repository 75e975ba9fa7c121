import { lowerBound } from '../base/lowerBound.js';
import type { Label, Row } from '../format/row.js';
import type { ImageProblem } from '../image/imageProblems.js';
import type { AddressRange, Profile } from '../profile/profile.js';
import { dataBytes, hasLine } from '../profile/readGeometry.js';
import type { AddressGap } from './addressGaps.js';

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
  /** Rows of the fewest lines without which the labels of all others rise. */
  readonly outOfOrder: readonly number[];
  /** Labels that the profile expects and no row has, in rising order. */
  readonly missing: readonly number[];
  /** Rows with a number for a label that the profile does not expect, and rows with a word that names no total. */
  readonly unknown: readonly number[];
  /** Of an image: addresses that the profile expects and no record holds, in rising order. */
  readonly gaps: readonly AddressGap[];
  /** Of an image: addresses of data that the profile says nothing of, in rising order. */
  readonly beyond: readonly AddressRange[];
  /** Of an image: what does not fit together between its records. */
  readonly imageProblems: readonly ImageProblem[];
}

/** The label of a record, also of one whose bytes cannot be read. */
export function labelOfRow(row: Row | undefined): Label | undefined {
  return row?.kind === 'record' || row?.kind === 'broken' ? row.label : undefined;
}

/** The layout of a dump in lines with labels; without a geometry every record with a number is a line of data alone. */
export function layoutOfLines(rows: readonly Row[], profile: Profile): Layout {
  const geometry = profile.geometry?.kind === 'lines' ? profile.geometry : undefined;
  const found = labelIndex(geometry);
  const repeated: number[] = [];
  const unknown: number[] = [];
  const dataCount = new Int32Array(rows.length);
  const named = new Set(profile.totals.map(({ stored }) => (stored.kind === 'record' ? stored.label : undefined)));
  // Plain columns: an object for each of 100,000 lines would cost more than all that is read from it.
  const order = new Int32Array(rows.length);
  const keys = new Float64Array(rows.length);
  let lines = 0;
  let highest = Number.NEGATIVE_INFINITY;
  let isRising = true;

  for (let row = 0; row < rows.length; row++) {
    const label = labelOfRow(rows[row]);
    if (label === undefined) continue;
    if (!found.claim(label, row)) {
      repeated.push(row);
      continue;
    }
    if (named.has(label)) continue;
    const count = typeof label === 'number' ? lineCount(geometry, label, rows[row] as Row) : undefined;
    if (typeof label !== 'number' || count === undefined) {
      if (geometry !== undefined) unknown.push(row);
      continue;
    }
    dataCount[row] = count;
    if (label < highest) isRising = false;
    else highest = label;
    order[lines] = row;
    keys[lines++] = label;
  }

  const [inFile, labels] = [order.subarray(0, lines), keys.subarray(0, lines)];
  return {
    kind: 'lines',
    ...inLabelOrder(inFile, labels, !isRising),
    dataCount,
    sumCount: geometry?.sum ?? 0,
    rowOf: found.rowOf,
    repeated,
    outOfOrder: isRising ? [] : outsideRisingRun(labels).map((at) => inFile[at] as number),
    missing: found.missing(),
    unknown,
    gaps: [],
    beyond: [],
    imageProblems: [],
  };
}

/** Indexes of the fewest numbers without which all others rise: one line with a wrong number is one line out of order. */
function outsideRisingRun(numbers: Float64Array): number[] {
  // For each length of a rising run, the index of the lowest number that ends one; and for each number, the one before it.
  const ends: number[] = [];
  const before = new Int32Array(numbers.length).fill(-1);
  for (let i = 0; i < numbers.length; i++) {
    const number = numbers[i] as number;
    const length = lowerBound(ends.length, (at) => (numbers[ends[at] as number] as number) < number);
    before[i] = length === 0 ? -1 : (ends[length - 1] as number);
    ends[length] = i;
  }
  const isKept = new Uint8Array(numbers.length);
  for (let at = ends.at(-1) ?? -1; at >= 0; at = before[at] as number) isKept[at] = 1;
  return [...numbers.keys()].filter((at) => isKept[at] === 0);
}

function inLabelOrder(order: Int32Array, keys: Float64Array, shuffled: boolean): Pick<Layout, 'order' | 'keys'> {
  if (!shuffled) return { order, keys };
  const places = order.map((_, at) => at).sort((a, b) => (keys[a] as number) - (keys[b] as number));
  return { order: places.map((at) => order[at] as number), keys: keys.slice().sort() };
}

/**
 * Label → row. The labels that a geometry expects lie side by side in a table, which for 100,000 lines is built in a
 * tenth of the time of a map; all others are in a map.
 */
function labelIndex(geometry: LineGeometry | undefined): {
  rowOf: Layout['rowOf'];
  /** Gives the label to a row, but where a row before it has it already. */
  claim: (label: Label, row: number) => boolean;
  /** Labels that the geometry expects and no row has claimed. */
  missing: () => number[];
} {
  const from = geometry?.from ?? 0;
  const step = geometry?.step ?? 1;
  const expected = new Int32Array(geometry === undefined ? 0 : (geometry.to - from) / step + 1).fill(NO_ROW);
  const others = new Map<Label, number>();
  const isExpected = (label: Label): label is number =>
    typeof label === 'number' && geometry !== undefined && hasLine(geometry, label);
  const indexOf = (label: number) => (label - from) / step;
  let open = expected.length;
  return {
    rowOf: (label) => {
      if (!isExpected(label)) return others.get(label);
      const row = expected[indexOf(label)] as number;
      return row === NO_ROW ? undefined : row;
    },
    claim: (label, row) => {
      if (isExpected(label)) {
        if (expected[indexOf(label)] !== NO_ROW) return false;
        expected[indexOf(label)] = row;
        open--;
      } else {
        if (others.has(label)) return false;
        others.set(label, row);
      }
      return true;
    },
    missing: () => {
      const labels: number[] = [];
      if (open > 0) for (const [at, row] of expected.entries()) if (row === NO_ROW) labels.push(from + at * step);
      return labels;
    },
  };
}

const NO_ROW = -1;

type LineGeometry = Extract<Profile['geometry'], { kind: 'lines' }>;

function lineCount(geometry: LineGeometry | undefined, label: number, row: Row): number | undefined {
  if (geometry === undefined) return row.kind === 'record' ? row.count : 0;
  return hasLine(geometry, label) ? dataBytes(geometry, label) : undefined;
}

/** Place in `order` of the line with this label or, of an image, of the row that holds this address; -1 where none does. */
export function orderIndexOf(layout: Layout, key: number): number {
  const index = lastIndexUpTo(layout, key);
  const reach = layout.kind === 'lines' ? 1 : (layout.dataCount[layout.order[index] as number] as number);
  return index >= 0 && key < (layout.keys[index] as number) + reach ? index : -1;
}

/** Place in `order` of the last line whose label (address) is not above this one; -1 where all are. */
export function lastIndexUpTo({ keys }: Layout, key: number): number {
  return lowerBound(keys.length, (at) => (keys[at] as number) <= key) - 1;
}
