import { lowerBound } from '../base/lowerBound.js';
import { compareNumbers, numbersOf } from '../format/label.js';
import type { Label, Row } from '../format/row.js';
import type { ImageProblem } from '../image/imageProblems.js';
import { dataBytes, labelAt, orderOf, positionOf, sumBytes } from '../profile/lineLabels.js';
import type { AddressRange, LineGeometry, Profile } from '../profile/profile.js';
import type { AddressGap } from './addressGaps.js';

/**
 * Which row holds which line of the dump, and how many of its bytes are data. It depends on labels and counts only, so
 * an edit of bytes leaves it as it is and versions share it.
 */
export interface Layout {
  readonly kind: 'lines' | 'image';
  /** Rows that hold data, in label order (of an image: in address order). */
  readonly order: Int32Array;
  /**
   * For each entry of `order` a number by which they are sorted: of an image the absolute address of its first data byte,
   * of lines what `keyOf` gives. It is the label only where labels have one number: what a line is called, its row says.
   */
  readonly keys: Float64Array;
  /** Where a label belongs among `keys`, also one that no row has; undefined for a word. */
  readonly keyOf: (label: Label) => number | undefined;
  /** For each row: how many data bytes it should hold; 0 where it holds none. */
  readonly dataCount: Int32Array;
  /** Sum bytes that follow the data bytes of a line. */
  readonly sumCountOf: (row: number) => number;
  /** Label → the first row that has it; of an image, only words. */
  readonly rowOf: (label: Label) => number | undefined;
  /** Rows whose label a row before them has already. */
  readonly repeated: readonly number[];
  /** Rows of the fewest lines without which the labels of all others rise. */
  readonly outOfOrder: readonly number[];
  /** Labels that the profile expects and no row has, in rising order. */
  readonly missing: readonly Label[];
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

/**
 * The layout of a dump in lines with labels; without a geometry every record whose label is a number, or several, is a
 * line of data alone.
 */
export function layoutOfLines(rows: readonly Row[], profile: Profile): Layout {
  const geometry = profile.geometry?.kind === 'lines' ? profile.geometry : undefined;
  const numbering = numberingOf(rows, geometry);
  const found = labelIndex(geometry, numbering.placeOf);
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
    const place = numbering.placeOf(label);
    if (!found.claim(label, place, row)) {
      repeated.push(row);
      continue;
    }
    if (named.has(label)) continue;
    const key = numbering.lineKey(label, place);
    if (key === undefined) {
      if (geometry !== undefined) unknown.push(row);
      continue;
    }
    dataCount[row] = numbering.countOf(label, rows[row] as Row);
    if (key < highest) isRising = false;
    else highest = key;
    order[lines] = row;
    keys[lines++] = key;
  }

  const [inFile, labels] = [order.subarray(0, lines), keys.subarray(0, lines)];
  return {
    kind: 'lines',
    ...inLabelOrder(inFile, labels, !isRising),
    keyOf: numbering.keyOf,
    dataCount,
    sumCountOf: sumCounts(rows, geometry),
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

/** How the lines of a dump are sorted, and how many data bytes each has. */
interface Numbering {
  /** Which of the expected lines a label is; -1 where it is none. */
  readonly placeOf: (label: Label) => number;
  /** By what a line is sorted; undefined for a label that is none. */
  readonly lineKey: (label: Label, place: number) => number | undefined;
  readonly countOf: (label: Label, row: Row) => number;
  readonly keyOf: Layout['keyOf'];
}

function numberingOf(rows: readonly Row[], geometry: LineGeometry | undefined): Numbering {
  if (geometry === undefined) {
    const keyOf = keysOfLabels(rows);
    return { placeOf: () => -1, lineKey: keyOf, countOf: (_, row) => (row.kind === 'record' ? row.count : 0), keyOf };
  }
  const [first, ...others] = geometry.stretches;
  const count = others.length === 0 && typeof first?.data === 'number' ? first.data : undefined;
  return {
    placeOf: (label) => positionOf(geometry, label),
    lineKey: (label, place) => (place < 0 ? undefined : typeof label === 'number' ? label : place),
    countOf: (label) => count ?? dataBytes(geometry, label),
    keyOf: (label) => orderOf(geometry, label),
  };
}

/** Sorts labels without a geometry: by their number or, where some have several, among those that are there. */
function keysOfLabels(rows: readonly Row[]): Layout['keyOf'] {
  const all = new Map<Label, readonly number[]>();
  let isOfSeveral = false;
  for (const row of rows) {
    const label = labelOfRow(row);
    const numbers = typeof label !== 'string' || all.has(label) ? undefined : numbersOf(label);
    if (label === undefined || numbers === undefined) continue;
    all.set(label, numbers);
    isOfSeveral = true;
  }
  if (!isOfSeveral) return (label) => (typeof label === 'number' ? label : undefined);
  for (const row of rows) {
    const label = labelOfRow(row);
    if (typeof label === 'number') all.set(label, [label]);
  }
  const sorted = [...all].sort(([, a], [, b]) => compareNumbers(a, b));
  const places = new Map(sorted.map(([label], at) => [label, at]));
  return (label) => {
    const place = places.get(label);
    const numbers = place === undefined ? numbersOf(label) : undefined;
    if (numbers === undefined) return place;
    return lowerBound(sorted.length, (at) => compareNumbers((sorted[at] as (typeof sorted)[0])[1], numbers) < 0) - 0.5;
  };
}

function sumCounts(rows: readonly Row[], geometry: LineGeometry | undefined): Layout['sumCountOf'] {
  const [first, ...others] = geometry?.stretches ?? [];
  const count = first?.sum ?? 0;
  if (geometry === undefined || others.every(({ sum }) => sum === count)) return () => count;
  const counts = Uint8Array.from(rows, (row) => sumBytes(geometry, labelOfRow(row) ?? ''));
  return (row) => counts[row] ?? 0;
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
function labelIndex(
  geometry: LineGeometry | undefined,
  placeOf: Numbering['placeOf'],
): {
  rowOf: Layout['rowOf'];
  /** Gives the label, which has a place among those that are expected, to a row, but where a row before it has it already. */
  claim: (label: Label, place: number, row: number) => boolean;
  /** Labels that the geometry expects and no row has claimed. */
  missing: () => Label[];
} {
  const expected = new Int32Array(geometry?.count ?? 0).fill(NO_ROW);
  const others = new Map<Label, number>();
  let open = expected.length;
  return {
    rowOf: (label) => {
      const place = placeOf(label);
      if (place < 0) return others.get(label);
      const row = expected[place] as number;
      return row === NO_ROW ? undefined : row;
    },
    claim: (label, place, row) => {
      if (place >= 0) {
        if (expected[place] !== NO_ROW) return false;
        expected[place] = row;
        open--;
      } else {
        if (others.has(label)) return false;
        others.set(label, row);
      }
      return true;
    },
    missing: () => {
      const labels: Label[] = [];
      if (open > 0 && geometry !== undefined)
        for (const [at, row] of expected.entries()) if (row === NO_ROW) labels.push(labelAt(geometry, at));
      return labels;
    },
  };
}

const NO_ROW = -1;

/** The row of the line of data with this label; undefined where there is none, as of a record that holds a total. */
export function rowOfLine({ kind, rowOf, dataCount }: Layout, label: Label): number | undefined {
  const row = kind === 'lines' ? rowOf(label) : undefined;
  return row === undefined || dataCount[row] === 0 ? undefined : row;
}

/** Place in `order` of the row of an image that holds this address; -1 where none does. */
export function orderIndexOf(layout: Layout, address: number): number {
  const index = lastIndexUpTo(layout, address);
  const reach = layout.dataCount[layout.order[index] as number] as number;
  return index >= 0 && address < (layout.keys[index] as number) + reach ? index : -1;
}

/** Place in `order` of the last row of an image whose address is not above this one; -1 where all are. */
export function lastIndexUpTo({ keys }: Layout, key: number): number {
  return lowerBound(keys.length, (at) => (keys[at] as number) <= key) - 1;
}
