import { type AddressBase, NO_BASE } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import type { GatheredBytes } from './imageBytes.js';
import { addPiece, type GrowingPieces } from './imagePieces.js';
import type { ImageProblem } from './imageProblems.js';

/** Where data lie. */
export interface DataPlace {
  readonly address: number;
  readonly count: number;
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

/** Adds where a run of data bytes lies, which may be empty. */
export function addData(state: ImageState, row: number, address: number, count: number): void {
  if (count === 0) return;
  if (state.pieces !== undefined) addPiece(state.pieces, row, address, count);
  if (address < state.reach) state.rising = false;
  state.reach = Math.max(state.reach, address + count);
}
