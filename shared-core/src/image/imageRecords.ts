import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { formOf } from '../format/forms.js';
import { type AddressBase, NO_BASE, type RunningAddresses, roleOf, sumBytesOf } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import type { Row } from '../format/row.js';
import { type GatheredBytes, takeRecord } from './imageBytes.js';
import { addPiece, byAddress, type GrowingPieces, type ImagePieces, noPieces } from './imagePieces.js';

/** What can be wrong with the records of a memory image as a whole. */
export type ImageProblemCode =
  | 'no-data'
  | 'end-missing'
  | 'end-counted'
  | 'end-repeated'
  | 'data-after-end'
  | 'overlap'
  | 'record-count'
  | 'address-wrap'
  | 'address-unknown'
  | 'text-unreadable';

export interface ImageProblem {
  readonly code: ImageProblemCode;
  readonly row: number;
  readonly message: Phrase;
  /** The id of the form that the file is written in, where it is none of what its name promises. */
  readonly written?: string;
}

/** Whether a problem leaves bytes or addresses in doubt. A count of the records shows as well as an end record that nothing was cut off. */
export function leavesDoubt({ code }: ImageProblem): boolean {
  return code !== 'end-counted';
}

export interface ImageReading {
  /** The data, in the order of the file. */
  readonly pieces: ImagePieces;
  /** In the order of their rows. */
  readonly problems: readonly ImageProblem[];
  /** The row of the last record that says where the program starts. */
  readonly start: number | undefined;
}

/** What the records read so far say of those that follow. */
export interface ImageState {
  /** The data so far; undefined where only their being in order matters. */
  readonly pieces: GrowingPieces | undefined;
  /** The bytes so far, where they are wanted. */
  readonly bytes: GatheredBytes | undefined;
  readonly problems: ImageProblem[];
  /** Where the data so far end, and whether each began at or after the end of those before. */
  reach: number;
  rising: boolean;
  /** What is added to the address of each record, and how far that may reach. */
  base: AddressBase;
  /** Of records that begin where those before end: the address of the next, or its number in units; undefined where that is not known. */
  next: number | undefined;
  nextUnit: number | undefined;
  /** The row that says this number, while no data follow it. */
  unused: number | undefined;
  /** Bytes of a unit of addresses so far. */
  unit: number | undefined;
  /** Where the last data were, as written. */
  before: DataPlace | undefined;
  /** Whether it was said that the address of a record is not known. */
  isLost: boolean;
  /** Row of the first end record. */
  end: number | undefined;
  /** Whether there are data that an end record must follow. */
  wantsEnd: boolean;
  /** Whether data follow it. */
  followed: boolean;
  start: number | undefined;
  /** How many data records there were. */
  counted: number;
  /** Row of the last record, also of one that cannot be read; -1 where there is none. */
  last: number;
  /** The row of a count record that is right: where it is the last record, nothing was cut off, though no end record follows. */
  closed: number | undefined;
  /** Whether there is a record of which not even type and length can be read. */
  hasUnread: boolean;
  /** The first row with text that is no record. */
  comment: number | undefined;
  /** The first row with a record of another form and the id of that, and whether there is any of this form. */
  foreign: { readonly row: number; readonly form: string } | undefined;
  holdsOwn: boolean;
}

export function newImage(
  { image }: Pick<Notation, 'image'>,
  pieces: GrowingPieces | undefined,
  bytes?: GatheredBytes,
): ImageState {
  return {
    pieces,
    bytes,
    problems: [],
    reach: Number.NEGATIVE_INFINITY,
    rising: true,
    base: image?.firstBase ?? NO_BASE,
    next: image?.running?.first,
    nextUnit: undefined,
    unused: undefined,
    unit: undefined,
    isLost: false,
    before: undefined,
    end: undefined,
    wantsEnd: image?.end !== undefined && image.end.follows === undefined,
    followed: false,
    start: undefined,
    counted: 0,
    last: -1,
    closed: undefined,
    hasUnread: false,
    comment: undefined,
    foreign: undefined,
    holdsOwn: false,
  };
}

/** The part of the records that says where data lie: absolute addresses, and what does not fit together. */
export function readImage(rows: readonly Row[], notation: Notation): ImageReading {
  const pieces = noPieces();
  const state = newImage(notation, pieces);
  for (let row = 0; row < rows.length; row++) takeRow(state, notation, row, rows[row] as Row);
  return { pieces, problems: imageProblemsOf(state, notation), start: state.start };
}

/** Where data lie. */
export interface DataPlace {
  readonly address: number;
  readonly count: number;
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

function endMissing({ image }: Notation, row: number, isCounted: boolean): ImageProblem {
  const end = image?.end;
  const message = (isCounted ? end?.missingButCounted : undefined) ?? end?.missing ?? phrase('The end is missing.');
  return { code: isCounted ? 'end-counted' : 'end-missing', row, message };
}

function noData(row: number): ImageProblem {
  return { code: 'no-data', row, message: phrase('There are no data in this file.') };
}

/** Adds where a run of data bytes lies, which may be empty. */
export function addData(state: ImageState, row: number, address: number, count: number): void {
  if (count === 0) return;
  if (state.pieces !== undefined) addPiece(state.pieces, row, address, count);
  if (address < state.reach) state.rising = false;
  state.reach = Math.max(state.reach, address + count);
}

/** Adds the data of a row, also of one whose bytes cannot be read. */
function addRow(state: ImageState, row: number, address: number, count: number, found: Row): DataPlace | undefined {
  addData(state, row, address, count);
  if (state.bytes !== undefined)
    takeRecord(state.bytes, row, address, count, found.kind === 'record' ? found : undefined);
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
      dataAfterEnd(state, row);
      if (notation.image?.end?.follows?.(type)) state.wantsEnd = true;
      if (notation.image?.running !== undefined)
        return takeRunning(state, notation.image.running, row, found, { type, address, data });
      if (notation.image?.mayBeDecimal && !state.isLost && isDecimal(state.before, address)) {
        problems.push(notInHex(row));
        state.isLost = true;
      }
      state.before = { address, count: data };
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

/** Whether an address follows the data before it not as it is read, in hex, but as a decimal or octal number of the same digits. */
function isDecimal(before: DataPlace | undefined, address: number): boolean {
  if (before === undefined || address === before.address + before.count) return false;
  const follows = (base: 8 | 10) => {
    const [last, next] = [before.address, address].map((one) => {
      const digits = one.toString(16);
      return (base === 8 ? /^[0-7]+$/ : /^\d+$/).test(digits) ? Number.parseInt(digits, base) : Number.NaN;
    });
    return Number(next) - Number(last) === before.count;
  };
  return follows(10) || follows(8);
}

function notInHex(row: number): ImageProblem {
  const message = phrase(
    'This address follows the row before it as a decimal or octal number, and here addresses are hex. Print them in hex: xxd without -d, od with -A x.',
  );
  return { code: 'address-unknown', row, message };
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

/** A row that cannot be read leaves it open where the next begins. */
function forgetNext(state: ImageState): void {
  state.next = undefined;
  state.nextUnit = undefined;
}

function wrongEnd(row: number, address: number): ImageProblem {
  const message = phrase(
    'This row says that the data end at {0}, and they do not. Rows are missing or too many, or its number is wrong.',
    hex(address, 4),
  );
  return { code: 'record-count', row, message };
}

function withoutBytes(row: number): ImageProblem {
  return {
    code: 'address-unknown',
    row,
    message: phrase('No bytes follow this address. Put them in, or take it out.'),
  };
}

function addressUnknown(row: number, sameUnit: boolean): ImageProblem {
  const message = sameUnit
    ? phrase('The address of these bytes is not known: no row before them says it, or one before them cannot be read.')
    : phrase('The words of this row have another number of digits than those before, so its address is not known.');
  return { code: 'address-unknown', row, message };
}

/**
 * Pieces, in the order of their addresses, that begin inside one before them. Records on successive rows make one
 * problem: a block that stands in a file twice is one mistake, however many rows it has.
 */
export function overlaps({ length, rows, addresses, counts }: ImagePieces): ImageProblem[] {
  const found: number[] = [];
  const holders = new Map<number, number>();
  let reach = Number.NEGATIVE_INFINITY;
  let holder = 0;
  for (let i = 0; i < length; i++) {
    if ((addresses[i] as number) < reach) {
      found.push(i);
      holders.set(i, holder);
    }
    const end = (addresses[i] as number) + (counts[i] as number);
    if (end > reach) {
      reach = end;
      holder = rows[i] as number;
    }
  }
  found.sort((a, b) => (rows[a] as number) - (rows[b] as number));
  const problems: ImageProblem[] = [];
  for (let from = 0; from < found.length; ) {
    const first = found[from] as number;
    const row = rows[first] as number;
    let to = from + 1;
    while (to < found.length && rows[found[to] as number] === row + to - from) to++;
    problems.push(overlap(row, addresses[first] as number, holders.get(first) as number, to - from));
    from = to;
  }
  return problems;
}

function overlap(row: number, address: number, holder: number, count: number): ImageProblem {
  const message =
    count === 1
      ? phrase('Address {0} is held by the record in row {1} too. Remove one of them.', hex(address, 4), holder + 1)
      : phrase(
          'Address {0} is held by the record in row {1} too; all {2} records from here on repeat addresses of others. Remove one copy.',
          hex(address, 4),
          holder + 1,
          count,
        );
  return { code: 'overlap', row, message };
}

function noRecords({ id }: Notation, row: number): ImageProblem {
  const message = phrase(
    'No line of this file can be read as {0}. If it is written in another form, give its name the ending of that.',
    formOf(id)?.title ?? id,
  );
  return { code: 'text-unreadable', row, message };
}

function foreignImage({ id }: Notation, { row, form }: NonNullable<ImageState['foreign']>): ImageProblem {
  const [own, other] = [formOf(id), formOf(form)];
  const message = phrase(
    'This file holds {0}, not {1} as its name says. Give its name the ending "{2}".',
    other?.title ?? form,
    own?.title ?? id,
    `.${other?.endings[0] ?? ''}`,
  );
  return { code: 'text-unreadable', row, written: form, message };
}

export function wrongCount(row: number, said: number, counted: number): ImageProblem {
  const message = phrase(
    'This record counts {0} (hex) data records; there are {1} (hex) before it.',
    hex(said),
    hex(counted),
  );
  return { code: 'record-count', row, message };
}

function endRepeated(row: number, first: number): ImageProblem {
  return {
    code: 'end-repeated',
    row,
    message: phrase('A second end record; the first is in row {0}. Remove one.', first + 1),
  };
}

/** Said once: what follows the first such record is the same mistake. */
function dataAfterEnd(state: ImageState, row: number): void {
  const { end, problems } = state;
  if (end === undefined || state.followed) return;
  state.followed = true;
  const message = phrase('Data after the end record in row {0}: most programs will not read them.', end + 1);
  problems.push({ code: 'data-after-end', row, message });
}

function wrap(row: number, limit: string): ImageProblem {
  return {
    code: 'address-wrap',
    row,
    message: phrase(
      'This record runs over the {0} limit of its addresses; programs differ in what they make of it. Split it.',
      limit,
    ),
  };
}
