import { finish, type Steps } from '../base/steps.js';
import { byteStore, type Notation } from '../format/notation.js';
import { type HeaderRow, NO_PROBLEMS, type Row } from '../format/row.js';
import { alikeRows, type IsWanted, type PassedRows } from '../image/alikeRows.js';
import { linesInSteps, type Skip, STOP } from '../image/forEachLine.js';
import { noBytes } from '../image/imageBytes.js';
import { addPiece, type GrowingPieces, noPieces } from '../image/imagePieces.js';
import { imageProblemsOf, takeRow } from '../image/imageRecords.js';
import { type ImageState, newImage } from '../image/imageState.js';
import { placesOf, wantedAddresses } from '../image/profilePlaces.js';
import type { Dump } from '../model/dump.js';
import { type HeaderName, sealsOf } from '../model/headers.js';
import { layoutOfImage } from '../model/imageLayout.js';
import { lineSumRule } from '../model/lineSum.js';
import { hasRowsAsLines } from '../model/rowsAsLines.js';
import { sealer, sealsHold } from '../model/seal.js';
import { inForceIn } from '../model/slotInForce.js';
import type { Profile } from '../profile/profile.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import { canSumGathered, gatheredAgainst, totalsOfGathered } from './imageTotals.js';

/** The bytes of a file in chunks of any size; asked for again only where a row turns out to matter later. */
export type Chunks = () => Iterable<Uint8Array>;

/** A memory image as a file: its notation, and how the bytes of a line (UTF-8) become text. */
export interface ImageFile {
  readonly chunks: Chunks;
  /** How many bytes it has, where that is known. */
  readonly size?: number;
  readonly notation: Notation;
  readonly decode: (bytes: Uint8Array) => string;
}

/** The header that asks for more than a scan knows, or what else asks for all rows. */
export type Asked =
  | { readonly asks: 'profile' | 'backup' | 'seal'; readonly value: string }
  | { readonly asks: 'rows' }
  /** So many rows are wrong that no more was read. */
  | { readonly asks: 'nothing' };

/** With more wrong rows than these a file is no image that somebody could put right row by row: to list them takes minutes. */
export const MOST_WRONG_ROWS = 300_000;

/** What stands for a row that nothing is wrong with. */
const SOUND: Row = { kind: 'blank', text: '', problems: NO_PROBLEMS };

const NONE: IsWanted = () => false;

/**
 * Reads a memory image of any size in one pass over the bytes of its file, making no rows of its sound records; every
 * other line, and lines that the profile speaks of, go through the notation. The dump has all the problems that the
 * whole one would have, and no more than the rows they are in: all others stand as blank rows.
 *
 * What is asked for in its place: the profile that a header names, where none is given; or all rows, where data that a
 * profile explains overlap, or where its sums are not over addresses.
 */
export function scanImage(file: ImageFile, profile?: Profile): Dump | Asked {
  const scanned = finish(scanInSteps(file, profile));
  return 'asks' in scanned ? scanned : scanned.dump;
}

/** A dump and the pass that it was made from. */
export interface ScannedImage {
  readonly dump: Dump;
  readonly pass: Pass;
}

/**
 * The same a part of the file a step, with the pass over the file; where `keepsToo` is given, that gathers all bytes and keeps
 * these rows as well.
 */
export function* scanInSteps(
  file: ImageFile,
  profile?: Profile,
  keepsToo?: (row: Row) => boolean,
): Steps<ScannedImage | Asked> {
  const { notation } = file;
  const bound = profile ?? EMPTY_PROFILE;
  if (!canSumGathered(bound) || hasRowsAsLines(notation, bound)) return { asks: 'rows' };
  const isWanted = profile === undefined ? NONE : wantedAddresses(placesOf(profile));
  const isGathered =
    keepsToo !== undefined || bound.totals.length + bound.slots.length > 0 || bound.geometry?.kind === 'addresses';
  const bytes = isGathered ? noBytes(file.size) : undefined;
  const asks = profile === undefined ? askedBy : undefined;
  const pass = yield* passInSteps(file, newImage(file.notation, undefined, bytes), {
    isWanted,
    keeps: (row) => row.kind === 'header' || keepsToo?.(row) === true,
    ...(asks && { asks }),
  });
  if (pass.asked !== undefined) return pass.asked;
  const { state, kept, count, wrongSums, found } = pass;
  const problems = yield* problemsInSteps(file, state);
  // Which of two records counts for an address that both hold, only all rows together say.
  if (profile !== undefined && problems.some(({ code }) => code === 'overlap')) return { asks: 'rows' };
  const invalidRows = [...kept].flatMap(([row, one]) => (one.problems.length > 0 ? [row] : []));
  const against = gatheredAgainst(bound, bytes ?? noBytes(), state.last);
  const other = [...problems, ...against.gaps].map(({ row }) => row).filter((row) => !kept.has(row));
  yield* keepToo(kept, new Set(other), file);
  yield;
  const rows = new Array<Row>(count).fill(SOUND);
  for (const [row, one] of kept) rows[row] = one;
  yield;
  const layout = layoutOfImage(rows, notation, { pieces: found, problems }, against);
  yield;
  const headers = [...kept].flatMap(([row, { kind }]) => (kind === 'header' ? [row] : []));
  const inForce = inForceIn({ rows, layout }, bound);
  const sums = yield* totalsOfGathered(inForce, layout, bytes ?? noBytes());
  const rule = lineSumRule(bound, notation);
  const seals = sealsOf({ rows, headers });
  // Of rows that stand for others, a seal needs all of those.
  if (seals.length > 0 && notation.complete !== undefined) return { asks: 'rows' };
  const seal = seals.length > 0 ? yield* sealOfFile(file) : '';
  const sealHolds = sealsHold(seals, () => seal);
  const dump = {
    rows,
    notation,
    profile: inForce,
    layout,
    rule,
    headers,
    invalidRows,
    wrongSums,
    wrongLengths: [],
    sealHolds,
    ...sums,
  };
  return { dump, pass };
}

/** All problems between the records; where data are not in the order of their addresses, their places are read again. */
export function* problemsInSteps(file: ImageFile, state: ImageState): Steps<ReturnType<typeof imageProblemsOf>> {
  // Nearly all files have their data in order, so that none overlap; only others are worth keeping places for.
  if (state.rising) return imageProblemsOf(state, file.notation);
  const again = yield* passInSteps(file, newImage(file.notation, noPieces()), {});
  return imageProblemsOf(again.state, file.notation);
}

/** One pass over all rows of a file. */
export interface Pass {
  readonly state: ImageState;
  /** Rows that something is wrong with by themselves, rows that are wanted, and those that `keeps` says. */
  readonly kept: Map<number, Row>;
  readonly wrongSums: readonly number[];
  /** Where wanted rows lie. */
  readonly found: GrowingPieces;
  /** Rows of the file. */
  readonly count: number;
  /** What a header asked for, after which no more was read. */
  readonly asked: Asked | undefined;
  readonly passed: readonly PassedRows[];
}

/** Which rows a pass is to keep, and when it is to stop. */
export interface PassPlan {
  readonly isWanted?: IsWanted;
  readonly keeps?: (row: Row) => boolean;
  readonly asks?: (header: HeaderRow) => Asked | undefined;
  /** What a pass before this one has passed over. */
  readonly known?: readonly PassedRows[];
}

/** Reads all rows of a file into a state. */
export function* passInSteps(
  file: ImageFile,
  state: ImageState,
  { isWanted = NONE, keeps = () => false, asks, known }: PassPlan,
): Steps<Pass> {
  const { notation } = file;
  const rule = lineSumRule(EMPTY_PROFILE, notation);
  const kept = new Map<number, Row>();
  const wrongSums: number[] = [];
  let wrong = 0;
  const found = noPieces();
  const inOrder = notation.image?.inOrder?.();
  const alike = alikeRows(notation, state, isWanted, inOrder, known);
  let asked: Asked | undefined;
  /** The last record that was read by itself, and a row behind it that stands for others. */
  let read: PlacedRow | undefined;
  let repeat: PlacedRow | undefined;
  const take = (row: number, one: Row) => {
    if (inOrder?.takes(one) === false) asked = ALL_ROWS;
    const at = takeRow(state, notation, row, one);
    const wrongSum = one.kind === 'record' && rule?.isRight(one) === false;
    if (wrongSum) wrongSums.push(row);
    // What is said of a wrong sum names the address that its record is at.
    const isPlaced = at !== undefined && (wrongSum || isWanted(at.address, at.count));
    if (isPlaced) addPiece(found, row, at.address, at.count);
    if ((wrongSum || one.problems.length > 0) && ++wrong > MOST_WRONG_ROWS) asked ??= TOO_WRONG;
    const isKept = keeps(one);
    if (isKept && state.bytes !== undefined) state.bytes.cut = true;
    if (wrongSum || isPlaced || one.problems.length > 0 || isKept) kept.set(row, one);
    else if (one.kind === 'record' && at !== undefined) alike.learn(one);
    if (one.kind === 'record') read = { row, one };
    if (one.kind === 'header') asked ??= asks?.(one);
  };
  const takeRepeat = ({ row, one }: PlacedRow, behind: Row) => {
    const before = [read, alike.last()].reduce((a, b) => ((a?.row ?? -1) > (b?.row ?? -1) ? a : b));
    const completed = before && notation.complete?.([before.one, one, behind])[1];
    if (completed?.kind === 'record') take(row, completed);
    else asked = ALL_ROWS;
    repeat = undefined;
  };
  const skip: Skip = (chunk, place) => {
    if (repeat === undefined) alike.skip(chunk, place);
  };
  const count = yield* linesInSteps(file.chunks(), skip, (line, row) => {
    const one = readLine(file, line);
    if (notation.complete !== undefined && one.kind === 'broken' && one.isStray && repeat === undefined) {
      repeat = { row, one };
      return undefined;
    }
    if (repeat !== undefined && (one.kind === 'record' || one.kind === 'broken')) takeRepeat(repeat, one);
    take(row, one);
    return asked && STOP;
  });
  if (repeat !== undefined || inOrder?.isSure() === false) asked ??= ALL_ROWS;
  return { state, kept, found, count, wrongSums, asked, passed: alike.passed };
}

/** A row and its number in the file. */
interface PlacedRow {
  readonly row: number;
  readonly one: Row;
}

const ALL_ROWS: Asked = { asks: 'rows' };
const TOO_WRONG: Asked = { asks: 'nothing' };

function readLine({ notation, decode }: ImageFile, line: Uint8Array): Row {
  return notation.readRow(decode(line), byteStore((line.length >> 1) + 1));
}

function askedBy({ name, value }: HeaderRow): Asked | undefined {
  const profile: HeaderName = 'profile';
  return name === profile && value !== '' ? { asks: profile, value } : undefined;
}

/** Whether the seal of a file holds: all its records are read once more, none is kept. */
function* sealOfFile(file: ImageFile): Steps<string> {
  const { take, seal } = sealer();
  yield* linesInSteps(file.chunks(), undefined, (line) => {
    take(readLine(file, line));
    return undefined;
  });
  return seal();
}

/** Keeps other rows as well, which only the whole file showed to matter. */
function* keepToo(kept: Map<number, Row>, wanted: Set<number>, file: ImageFile): Steps<void> {
  if (wanted.size === 0) return;
  yield* linesInSteps(file.chunks(), undefined, (line, row) => {
    if (wanted.delete(row)) kept.set(row, readLine(file, line));
    return wanted.size === 0 ? STOP : undefined;
  });
}
