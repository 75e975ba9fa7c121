import type { HeaderRow, Label, RecordRow } from '../../format/row.js';
import { presentCells } from '../../model/cell.js';
import type { Dump } from '../../model/dump.js';
import { headersOf } from '../../model/headers.js';
import { type Layout, labelOfRow } from '../../model/layout.js';
import { storedValue } from '../../model/totals.js';
import { inAllCopies } from '../../profile/copiedPlaces.js';

/** What comparing dumps needs of one: bytes, which take a tenth of the memory of rows, so that thousands can be compared. */
export interface ComparedDump extends Pick<Dump, 'profile' | 'headers'> {
  /** Its headers alone. */
  readonly rows: readonly HeaderRow[];
  readonly shape: Shape;
  /** The bytes of all records, those of their sums too, in the order of the file. */
  readonly bytes: Uint8Array;
  /** Whether all lines could be read. */
  readonly isWhole: boolean;
  /** Which of the bytes are stored totals or in volatile places. */
  readonly left: ReadonlySet<number>;
  /** Which of the bytes are balance places. */
  readonly balance: ReadonlySet<number>;
  /** What each total holds, where it is right. */
  readonly rightTotals: readonly (bigint | undefined)[];
}

/** Where the bytes of a dump belong; dumps of one kind share it. */
export interface Shape {
  readonly kind: Layout['kind'];
  /** The labels and lengths of all records, in the order of the file. */
  readonly records: readonly Pick<RecordRow, 'label' | 'count'>[];
  readonly lines: readonly Line[];
  /** The same for lines of the same labels and lengths. */
  readonly key: string;
}

export interface Line {
  /** What the line is called; of an image its address. */
  readonly label: Label;
  /** Where its data bytes begin. */
  readonly from: number;
  readonly count: number;
}

/** What is compared of a dump. Of one before it, `like`, the shape is taken where it is the same. */
export function comparedDump(dump: Dump, like?: ComparedDump): ComparedDump {
  const { layout, rows, profile, totals } = dump;
  const records = rows.filter((row) => row.kind === 'record');
  const starts = new Map<number, number>();
  let size = 0;
  rows.forEach((row, index) => {
    if (row.kind !== 'record') return;
    starts.set(index, size);
    size += row.count;
  });
  const bytes = new Uint8Array(size);
  let from = 0;
  for (const { store, from: start, count } of records) {
    bytes.set(store.subarray(start, start + count), from);
    from += count;
  }
  const lineOf = (index: number): Line => {
    const row = layout.order[index] as number;
    return { label: labelOfLine(dump, index), from: starts.get(row) ?? 0, count: layout.dataCount[row] as number };
  };
  const positions = (cells: readonly { readonly row: number; readonly byte: number }[]) =>
    new Set(cells.flatMap(({ row, byte }) => (starts.has(row) ? [(starts.get(row) as number) + byte] : [])));
  const headers = headersOf(dump).map(({ header }) => header);
  return {
    profile,
    rows: headers,
    headers: headers.map((_, i) => i),
    shape: sameShape(like?.shape, layout, records, lineOf) ?? shapeOf(layout, records, lineOf),
    bytes,
    isWhole: layout.order.every((row) => {
      const record = rows[row];
      return record?.kind === 'record' && record.count >= (layout.dataCount[row] as number);
    }),
    left: positions([
      ...totals.flatMap(({ stored }) => stored ?? []),
      ...inAllCopies(profile, profile.volatile).flatMap(({ place }) => presentCells(layout, place)),
    ]),
    balance: positions(profile.balance.flatMap(({ place }) => presentCells(layout, place))),
    rightTotals: totals.map((bound, i) => {
      const state = dump.states[i];
      if (state === undefined || state.unreadable > 0) return undefined;
      const stored = storedValue(bound, rows);
      return stored !== undefined && bound.total.checksum.valueOf(state.state) === stored ? stored : undefined;
    }),
  };
}

function labelOfLine({ layout, rows }: Dump, index: number): Label {
  const key = layout.keys[index] as number;
  return layout.kind === 'image' ? key : (labelOfRow(rows[layout.order[index] as number]) ?? key);
}

type Records = readonly Pick<RecordRow, 'label' | 'count'>[];

function sameShape(
  shape: Shape | undefined,
  { kind, order }: Layout,
  records: Records,
  lineOf: (index: number) => Line,
): Shape | undefined {
  if (shape === undefined || shape.kind !== kind || shape.lines.length !== order.length) return undefined;
  if (!sameRecords(shape.records, records)) return undefined;
  const isSame = shape.lines.every((line, index) => {
    const { label, from, count } = lineOf(index);
    return line.label === label && line.from === from && line.count === count;
  });
  return isSame ? shape : undefined;
}

/** Whether records have the same labels and lengths. */
export function sameRecords(one: Records, other: Records): boolean {
  return (
    one.length === other.length &&
    one.every(({ label, count }, i) => label === other[i]?.label && count === other[i]?.count)
  );
}

function shapeOf({ kind, order }: Layout, records: Records, lineOf: (index: number) => Line): Shape {
  const lines = Array.from(order, (_, index) => lineOf(index));
  return {
    kind,
    records: records.map(({ label, count }) => ({ label, count })),
    lines,
    key: lines.map(({ label, count }) => `${label}:${count}`).join(' '),
  };
}
