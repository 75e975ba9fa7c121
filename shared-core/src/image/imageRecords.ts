import { NO_BASE, type RunningAddresses, roleOf, sumBytesOf } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import type { Row } from '../format/row.js';
import { takeRecord, takeStored } from './imageBytes.js';
import { byAddress, type ImagePieces, noPieces } from './imagePieces.js';
import {
  addressUnknown,
  dataAfterEnd,
  endMissing,
  endRepeated,
  foreignImage,
  type ImageProblem,
  noData,
  noRecords,
  withoutBytes,
  wrap,
  wrongCount,
  wrongEnd,
} from './imageProblems.js';
import { addData, type DataPlace, type ImageState, newImage } from './imageState.js';
import { overlaps } from './overlaps.js';

export interface ImageReading {
  /** The data, in the order of the file. */
  readonly pieces: ImagePieces;
  /** In the order of their rows. */
  readonly problems: readonly ImageProblem[];
  /** The row of the last record that says where the program starts. */
  readonly start: number | undefined;
}

/** What the rows say only together that leaves their bytes in doubt. */
function doubtsOf(rows: readonly Row[], { image }: Notation): readonly ImageProblem[] {
  const doubts = image?.doubts?.(rows) ?? [];
  return doubts.map(({ at, message }) => ({ code: 'address-unknown', row: at, message }));
}

/** The part of the records that says where data lie: absolute addresses, and what does not fit together. */
export function readImage(rows: readonly Row[], notation: Notation): ImageReading {
  const pieces = noPieces();
  const state = newImage(notation, pieces);
  for (let row = 0; row < rows.length; row++) takeRow(state, notation, row, rows[row] as Row);
  const problems = [...imageProblemsOf(state, notation), ...doubtsOf(rows, notation)];
  return { pieces, problems: problems.sort((a, b) => a.row - b.row), start: state.start };
}

/** Adds what the next row says; gives where its data lie, if it has any. */
export function takeRow(state: ImageState, notation: Notation, row: number, found: Row): DataPlace | undefined {
  if (found.kind === 'comment' || (found.kind === 'broken' && found.isStray)) {
    state.comment ??= row;
    if (found.kind === 'broken') forgetNext(state);
    return undefined;
  }
  if (found.kind !== 'record' && found.kind !== 'broken') return undefined;
  state.last = row;
  if (found.kind === 'record') state.holdsOwn = true;
  else if (found.foreign !== undefined) state.foreign ??= { row, form: found.foreign };
  const head = headOf(notation, found);
  if (head === undefined) {
    state.hasUnread = true;
    forgetNext(state);
    return undefined;
  }
  return takeHead(state, notation, row, found, head);
}

/** What is wrong with the whole once all rows are taken, in the order of the rows; without pieces, all but overlaps. */
export function imageProblemsOf(state: ImageState, notation: Notation): readonly ImageProblem[] {
  const { pieces, problems, end, last, reach, rising, comment, foreign, holdsOwn, hasUnread } = state;
  if (!holdsOwn && foreign !== undefined) return [foreignImage(notation, foreign)];
  if (last < 0 && comment !== undefined) return [noRecords(notation, comment)];
  const all = [
    ...problems,
    ...(reach === Number.NEGATIVE_INFINITY && !hasUnread ? [noData(Math.max(0, last))] : []),
    ...(end === undefined && last >= 0 && state.wantsEnd ? [endMissing(notation, last, state.closed === last)] : []),
    ...(state.unused === undefined ? [] : [withoutBytes(state.unused)]),
    ...(rising || pieces === undefined ? [] : overlaps(byAddress(pieces))),
  ];
  return all.sort((a, b) => a.row - b.row);
}

/** Adds the data of a row, also of one whose bytes cannot be read. */
function addRow(state: ImageState, row: number, address: number, count: number, found: Row): DataPlace | undefined {
  addData(state, row, address, count);
  if (state.bytes !== undefined)
    takeRecord(state.bytes, row, address, count, found.kind === 'record' && found.inDoubt !== true ? found : undefined);
  return count === 0 ? undefined : { address, count };
}

export interface Head {
  readonly type: number;
  readonly address: number;
  readonly data: number;
}

/** Type, address and data bytes of a record, also of one whose digits cannot all be read. */
export function headOf(notation: Pick<Notation, 'image'>, row: Row): Head | undefined {
  if (row.kind === 'record')
    return { type: row.type ?? 0, address: Number(row.label), data: row.count - sumBytesOf(notation) };
  if (row.kind !== 'broken' || row.head === undefined || row.label === undefined) return undefined;
  return { ...row.head, address: Number(row.label) };
}

function takeHead(
  state: ImageState,
  notation: Notation,
  row: number,
  found: Row,
  { type, address, data }: Head,
): DataPlace | undefined {
  const { problems, base, end, counted } = state;
  const record = found.kind === 'record' ? found : undefined;
  switch (roleOf(notation, type)) {
    case 'data':
      state.counted++;
      noteDataAfterEnd(state, row);
      if (notation.image?.end?.follows?.(type)) state.wantsEnd = true;
      if (notation.image?.running !== undefined)
        return takeRunning(state, notation.image.running, row, found, { type, address, data });
      if (address + data > base.room) problems.push(wrap(row, base.limit));
      return addRow(state, row, base.base + address, data, found);
    case 'base':
      if (notation.image?.running !== undefined) {
        if (notation.image.running.opens?.(type)) state.wantsEnd = true;
        if (state.unused !== undefined) problems.push(withoutBytes(state.unused));
        state.next = undefined;
        state.nextUnit = address;
        state.unused = row;
        break;
      }
      state.base = notation.image?.baseOf(type, record, base) ?? base;
      break;
    case 'count':
      if (address === counted) state.closed = row;
      else problems.push(wrongCount(row, address, counted));
      break;
    case 'end':
      if (end !== undefined) problems.push(endRepeated(row, end));
      state.end ??= row;
      if (notation.image?.end?.saysLength && address !== Math.max(0, state.reach))
        problems.push(wrongEnd(row, address));
      if (saysOtherCount(notation, address, counted)) problems.push(wrongCount(row, address, counted));
      if (record !== undefined && notation.image?.startIn(record) !== undefined) state.start = row;
      break;
    case 'length':
      if (address !== Math.max(0, state.reach)) problems.push(wrongEnd(row, address));
      break;
    case 'start':
      state.start = row;
      break;
  }
  return undefined;
}

/** Whether the end of a file says another number of data records than there are. */
function saysOtherCount({ image }: Notation, said: number, counted: number): boolean {
  const most = image?.end?.countsUpTo;
  return most !== undefined && said !== counted % (most + 1);
}

/** Adds the data of a record whose address follows from the rows before. */
function takeRunning(
  state: ImageState,
  running: RunningAddresses,
  row: number,
  found: Row,
  { type, address, data }: Head,
): DataPlace | undefined {
  const unit = running.unitOf(type);
  state.unused = undefined;
  if (running.opens?.(type)) state.wantsEnd = true;
  if (running.closes?.(type)) state.end ??= row;
  if (running.isPlaced(type)) state.nextUnit = address;
  const at = state.nextUnit === undefined ? state.next : state.nextUnit * unit;
  const sameUnit = state.unit === undefined || state.unit === unit;
  if (at === undefined || !sameUnit) {
    forgetNext(state);
    if (!state.isLost) state.problems.push(addressUnknown(row, sameUnit));
    state.isLost = true;
    return undefined;
  }
  state.unit = unit;
  state.next = at + data;
  state.nextUnit = undefined;
  if (at + data > NO_BASE.room) state.problems.push(wrap(row, NO_BASE.limit));
  return addRow(state, row, at, data, found);
}

/** Where the data of a sound record lie; -1 where there is more to say of it than that. */
export function placeOfSound(
  { base, end, unit, next, nextUnit }: ImageState,
  running: RunningAddresses | undefined,
  type: number,
  label: number,
  count: number,
): number {
  if (end !== undefined) return -1;
  if (running === undefined) return label + count > base.room ? -1 : base.base + label;
  const own = running.unitOf(type);
  if (unit !== undefined && unit !== own) return -1;
  const placed = running.isPlaced(type) ? label : nextUnit;
  const at = placed === undefined ? next : placed * own;
  return at === undefined || at + count > NO_BASE.room ? -1 : at;
}

/** Adds a sound record of which nothing is to be said but where its data lie; they are behind the used bytes. */
export function addSound(
  state: ImageState,
  { image }: Notation,
  row: number,
  type: number,
  address: number,
  count: number,
): void {
  state.last = row;
  state.holdsOwn = true;
  state.counted++;
  if (image?.end?.follows?.(type)) state.wantsEnd = true;
  if (image?.running !== undefined) {
    state.unused = undefined;
    state.unit = image.running.unitOf(type);
    state.next = address + count;
    state.nextUnit = undefined;
  }
  addData(state, row, address, count);
  if (state.bytes !== undefined) takeStored(state.bytes, row, address, count);
}

/** A row that cannot be read leaves it open where the next begins; it may hold the bytes of the address before it. */
function forgetNext(state: ImageState): void {
  state.unused = undefined;
  state.next = undefined;
  state.nextUnit = undefined;
}

/** Said once: what follows the first such record is the same mistake. */
function noteDataAfterEnd(state: ImageState, row: number): void {
  const { end, problems } = state;
  if (end === undefined || state.followed) return;
  state.followed = true;
  problems.push(dataAfterEnd(row, end));
}
