import { type AddressBase, roleOf, sumBytesOf } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import { isImage } from '../format/notationOf.js';
import type { Row } from '../format/row.js';
import type { RowChange } from '../format/rows.js';
import { type ImageProblem, wrongCount } from '../image/imageProblems.js';
import { headOf } from '../image/imageRecords.js';
import type { Profile } from '../profile/profile.js';
import { againstProfileOf, dataBytesOf, layoutOfPlaces } from './imageLayout.js';
import { type Layout, lastIndexUpTo } from './layout.js';

/** Data of a row at their absolute address. */
interface PlacedRow {
  readonly row: number;
  readonly address: number;
  readonly count: number;
}

/**
 * The layout of an image after an edit that adds, removes or cuts rows of data or of text between them, made from the
 * one before: as if all rows had been read again. Undefined where the edit reaches further: at records that place
 * others or end the file, where data would overlap or run over a limit, or where the image had such faults before.
 */
export function movedImageLayout(
  before: readonly Row[],
  layout: Layout,
  { notation, profile }: { readonly notation: Notation; readonly profile: Profile },
  rows: readonly Row[],
  { row, removed, added }: RowChange,
): Layout | undefined {
  // Where addresses follow from the rows before, or the end says how many there are, an edit reaches further.
  const { running, end } = notation.image ?? {};
  if (
    layout.kind !== 'image' ||
    !isImage(notation) ||
    running !== undefined ||
    end?.saysLength ||
    end?.countsUpTo !== undefined
  )
    return undefined;
  if (layout.imageProblems.some(({ code }) => code !== 'record-count')) return undefined;
  // Of a file without any sound record other things are said.
  if (layout.order.length === 0 || !rows.some(({ kind }) => kind === 'record')) return undefined;
  const old = placesAt(before, notation, row, removed);
  const fresh = placesAt(rows, notation, row, added);
  if (old === undefined || fresh === undefined) return undefined;
  if (fresh.records + old.records > 0 && !endsBehind(rows, notation, row + added)) return undefined;
  const at = placeInOrder(layout, old.places, fresh.places);
  if (at === undefined) return undefined;
  const delta = added - removed;
  const moved = (index: number) => {
    const held = layout.order[index] as number;
    return held >= row + removed ? held + delta : held;
  };
  const length = layout.order.length - old.places.length + fresh.places.length;
  if (length === 0) return undefined;
  const order = new Int32Array(length);
  const keys = new Float64Array(length);
  for (let i = 0; i < at; i++) order[i] = moved(i);
  keys.set(layout.keys.subarray(0, at));
  for (const [i, place] of fresh.places.entries()) {
    order[at + i] = place.row;
    keys[at + i] = place.address;
  }
  const [from, to] = [at + old.places.length, at + fresh.places.length];
  for (let i = from; i < layout.order.length; i++) order[to + i - from] = moved(i);
  keys.set(layout.keys.subarray(from), to);
  const dataCount = new Int32Array(rows.length);
  dataCount.set(layout.dataCount.subarray(0, row));
  for (let i = row; i < row + added; i++) dataCount[i] = dataBytesOf(notation, rows[i] as Row);
  dataCount.set(layout.dataCount.subarray(row + removed), row + added);
  return layoutOfPlaces({
    order,
    keys,
    dataCount,
    sumCount: sumBytesOf(notation),
    problems: countProblems(rows, notation),
    against: againstProfileOf({ order, keys, dataCount }, rows, profile),
  });
}

/** The data of some rows, and how many records of data these are, empty ones too; undefined where a row is more than data or text, or its data run over a limit. */
function placesAt(
  rows: readonly Row[],
  notation: Notation,
  first: number,
  count: number,
): { readonly places: readonly PlacedRow[]; readonly records: number } | undefined {
  const places: PlacedRow[] = [];
  let records = 0;
  let segment: AddressBase | undefined;
  for (let row = first; row < first + count; row++) {
    const head = headOf(notation, rows[row] as Row);
    if (head === undefined) continue;
    if (roleOf(notation, head.type) !== 'data') return undefined;
    segment ??= baseBefore(rows, notation, first);
    if (segment === undefined || head.address + head.data > segment.room) return undefined;
    records++;
    if (head.data > 0) places.push({ row, address: segment.base + head.address, count: head.data });
  }
  return { places, records };
}

/** What is added to the addresses of records from a row on, and how far these may reach; undefined where that cannot be read. */
function baseBefore(rows: readonly Row[], notation: Notation, before: number): AddressBase | undefined {
  const { image } = notation;
  if (image === undefined || !image.roles.includes('base')) return image?.firstBase;
  for (let row = before - 1; row >= 0; row--) {
    const found = rows[row] as Row;
    if (found.kind !== 'record' && found.kind !== 'broken') continue;
    const type = headOf(notation, found)?.type;
    if (type === undefined || roleOf(notation, type) !== 'base') continue;
    return found.kind === 'broken' ? undefined : image.baseOf(type, found, image.firstBase);
  }
  return image.firstBase;
}

/** Whether the end record stands at a row or behind it. */
function endsBehind(rows: readonly Row[], notation: Notation, from: number): boolean {
  for (let row = rows.length - 1; row >= from; row--)
    if (roleOf(notation, headOf(notation, rows[row] as Row)?.type) === 'end') return true;
  return false;
}

/** Where in the order of addresses the fresh places stand in for the old ones; undefined where they do not fit in there. */
function placeInOrder(layout: Layout, old: readonly PlacedRow[], fresh: readonly PlacedRow[]): number | undefined {
  const { order, keys, dataCount } = layout;
  const [firstOld, firstFresh] = [old[0], fresh[0]];
  const at =
    firstOld !== undefined
      ? lastIndexUpTo(layout, firstOld.address)
      : firstFresh !== undefined
        ? lastIndexUpTo(layout, firstFresh.address) + 1
        : 0;
  if (at < 0 || old.some(({ row }, i) => order[at + i] !== row)) return undefined;
  let reached =
    at === 0 ? Number.NEGATIVE_INFINITY : (keys[at - 1] as number) + (dataCount[order[at - 1] as number] as number);
  for (const { address, count } of fresh) {
    if (address < reached) return undefined;
    reached = address + count;
  }
  return reached > (keys[at + old.length] ?? Number.POSITIVE_INFINITY) ? undefined : at;
}

/** Counts of records that are wrong. */
function countProblems(rows: readonly Row[], notation: Notation): readonly ImageProblem[] {
  if (notation.image?.roles.includes('count') !== true) return [];
  const problems: ImageProblem[] = [];
  let counted = 0;
  for (let row = 0; row < rows.length; row++) {
    const found = rows[row] as Row;
    const type = found.kind === 'record' ? found.type : found.kind === 'broken' ? found.head?.type : undefined;
    const role = roleOf(notation, type);
    if (role === 'data') counted++;
    if (role !== 'count') continue;
    const head = headOf(notation, found);
    if (head !== undefined && head.address !== counted) problems.push(wrongCount(row, head.address, counted));
  }
  return problems;
}
