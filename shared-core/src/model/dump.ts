import { withItsHeaders } from '../format/behindHeaders.js';
import { isForm } from '../format/forms.js';
import { roleOf, sumBytesOf } from '../format/imageForm.js';
import { inWords, wordInHeaders } from '../format/inWords.js';
import type { Notation } from '../format/notation.js';
import { notationOf, withoutHeadersBeside } from '../format/notationOf.js';
import type { Row } from '../format/row.js';
import { type RowChange, readRows, textOfRows } from '../format/rows.js';
import type { Word } from '../format/word.js';
import type { Profile } from '../profile/profile.js';
import { isReadAs } from '../profile/slotPlaces.js';
import { sealsOf } from './headers.js';
import { layoutOf } from './imageLayout.js';
import { type Layout, labelOfRow } from './layout.js';
import { type LineSumRule, lineSumRule } from './lineSum.js';
import { movedImageLayout } from './movedImage.js';
import { sealOf, sealsHold } from './seal.js';
import { inForceIn } from './slotInForce.js';
import {
  type BoundTotal,
  bindTotals,
  isSound,
  movedTotalState,
  soundRecord,
  stateAcross,
  type TotalState,
  totalState,
} from './totals.js';

/** A dump bound to the profile that explains it: what is shown and changed is computed from this. */
export interface Dump {
  readonly rows: readonly Row[];
  readonly notation: Notation;
  readonly profile: Profile;
  readonly layout: Layout;
  readonly rule: LineSumRule | undefined;
  readonly totals: readonly BoundTotal[];
  /** The sum of each total's run, in the order of `totals`. */
  readonly states: readonly TotalState[];
  /** Rows that are headers, in rising order. */
  readonly headers: readonly number[];
  /** Whether the records are those that a `@seal` header was taken over; undefined where there is no such header. */
  readonly sealHolds: boolean | undefined;
  /** Rows with a problem of their own, in rising order. */
  readonly invalidRows: readonly number[];
  /** Rows whose line sum is wrong, in rising order. */
  readonly wrongSums: readonly number[];
  /** Rows of lines that have other than the expected number of bytes, in rising order. */
  readonly wrongLengths: readonly number[];
}

/** Rows at the head and at the end of a file that show its notation. */
const HEAD = 100;
const TAIL = 8;

/** Reads a text in the notation that the profile says or else the name of its file, and binds it. */
export function bindText(name: string, text: string, profile: Profile): Dump {
  const notation = inWords(profile.notation ?? notationOf(name, text), profile.word);
  return bind(readRows(text, notation), notation, profile);
}

/**
 * The same of a text that was read with the headers beside it, where its form has no place for them. `form` is the one that
 * is known for it, whatever its name.
 */
export function bindWithHeaders(name: string, text: string, profile: Profile, form?: Notation): Dump {
  const known = form ?? notationOf(name, withoutHeadersBeside(name, text));
  const notation = inWords(profile.notation ?? known, profile.word);
  return bind(readRows(text, withItsHeaders(notation)), notation, profile);
}

/**
 * Rows of a file in the notation that a profile says or else its head, in the words that its headers say or else the
 * profile; the same rows where they are in it already.
 */
export function inNotationOf(
  profile: Profile,
  otherwise: (head: string) => Notation,
  { rows, notation }: Pick<Dump, 'rows' | 'notation'>,
  word: Word | undefined = wordInHeaders(rows),
): Pick<Dump, 'rows' | 'notation'> {
  const wanted = inWords(profile.notation ?? otherwise(sampleOf(rows)), word ?? profile.word);
  // A form with its headers behind it goes on to be read so.
  const isBehind = isForm(wanted) && wanted.id === notation.id;
  if (wanted === notation || (isBehind && wanted.word === notation.word)) return { rows, notation };
  const whole = isBehind && notation.headers === 'own' ? withItsHeaders(wanted) : wanted;
  const read = { rows: readRows(textOfRows(rows), whole), notation: whole };
  // Only read in its own notation does a text show what its headers say.
  const own = word === undefined && whole.word === undefined ? wordInHeaders(read.rows) : undefined;
  const said = inWords(whole, own);
  return said === whole ? read : { rows: readRows(textOfRows(rows), said), notation: said };
}

/** The first rows and the last ones, by which it shows how a text is written. */
export function sampleOf(rows: readonly Row[]): string {
  return textOfRows(rows.length > HEAD + TAIL ? [...rows.slice(0, HEAD), ...rows.slice(-TAIL)] : rows);
}

/** A dump as another profile reads it; the same dump where it is read by that already. */
export function readBy(dump: Dump, profile: Profile): Dump {
  if (isReadAs(dump.profile, profile)) return dump;
  const { rows, notation } = inNotationOf(
    profile,
    (head) => (isForm(dump.notation) ? dump.notation : notationOf('', head)),
    dump,
  );
  return bind(rows, notation, profile);
}

/** Binds rows to a profile from scratch, what moves from slot to slot where the slots in force have it. */
export function bind(rows: readonly Row[], notation: Notation, profile: Profile): Dump {
  return withSlotsInForce(bindAs(rows, notation, profile));
}

/** A dump with the slots in force that its bytes say now; the same dump where they are the same. */
export function withSlotsInForce(dump: Dump): Dump {
  const { rows, notation, profile } = dump;
  const moved = inForceIn(dump, profile);
  return moved === profile ? dump : bindAs(rows, notation, moved);
}

/** The same with the slots in force that the profile has already: a record that is being written stays in force. */
export function bindAs(rows: readonly Row[], notation: Notation, profile: Profile): Dump {
  const layout = layoutOf(rows, notation, profile);
  const rule = lineSumRule(profile, notation);
  const totals = bindTotals(layout, rows, profile);
  const states = totals.map((bound) => totalState(bound, layout, rows));
  const dump = { rows, notation, profile, layout, rule, totals, states };
  const lists = {
    headers: [] as number[],
    invalidRows: [] as number[],
    wrongSums: [] as number[],
    wrongLengths: [] as number[],
  };
  for (let row = 0; row < rows.length; row++) {
    const { kind, problems } = rows[row] as Row;
    if (kind === 'header') lists.headers.push(row);
    if (problems.length > 0) lists.invalidRows.push(row);
    const fault = faultOf(dump, row);
    if (fault === 'sum') lists.wrongSums.push(row);
    else if (fault === 'length') lists.wrongLengths.push(row);
  }
  return { ...dump, ...lists, sealHolds: checkedSeal({ ...dump, headers: lists.headers }) };
}

/** A seal is checked when rows are bound, once for all who ask: it takes as long as all else. */
function checkedSeal(dump: Pick<Dump, 'rows' | 'notation' | 'headers'>): boolean | undefined {
  return sealsHold(sealsOf(dump), () => sealOf(dump));
}

/**
 * Binds the rows after an edit. Equal to `bind`, at the cost of the touched rows where the edit leaves the layout as it
 * is: the same labels in the same rows.
 */
export function rebind(before: Dump, rows: readonly Row[], change: RowChange): Dump {
  return withSlotsInForce(rebindAs(before, rows, change));
}

/** The same with the slots in force as they were: what is written piece by piece is not whole in between. */
export function rebindAs(before: Dump, rows: readonly Row[], change: RowChange): Dump {
  const { layout, notation, profile } = before;
  const touched = Array.from({ length: change.added }, (_, i) => change.row + i);
  if (change.added !== change.removed || !touched.every((row) => keepsLayout(before, rows, row))) {
    return rebindMoved(before, rows, change) ?? bindAs(rows, notation, profile);
  }
  const states = before.totals.map((bound, i) =>
    touched.reduce(
      (state, row) =>
        movedTotalState(bound, state, row, soundRecord(layout, before.rows, row), soundRecord(layout, rows, row)),
      before.states[i] as TotalState,
    ),
  );
  const dump = { ...before, rows, states };
  return {
    ...dump,
    sealHolds: checkedSeal(dump),
    invalidRows: refresh(before.invalidRows, touched, (row) => (rows[row] as Row).problems.length > 0),
    wrongSums: refresh(before.wrongSums, touched, (row) => faultOf(dump, row) === 'sum'),
    wrongLengths: refresh(before.wrongLengths, touched, (row) => faultOf(dump, row) === 'length'),
  };
}

/** Binds an image after an edit that moves its rows; undefined where it must be bound from scratch. */
function rebindMoved(before: Dump, rows: readonly Row[], change: RowChange): Dump | undefined {
  const { profile } = before;
  const layout = movedImageLayout(before.rows, before.layout, before, rows, change);
  if (layout === undefined) return undefined;
  const totals = bindTotals(layout, rows, profile);
  const states = totals.map(
    (bound, i) => stateAcross(before, i, bound, layout, rows, change) ?? totalState(bound, layout, rows),
  );
  const dump = { ...before, rows, layout, totals, states };
  const moved = (list: readonly number[], holds: (row: number) => boolean) => movedRows(list, change, holds);
  const headers = moved(before.headers, (row) => rows[row]?.kind === 'header');
  return {
    ...dump,
    headers,
    sealHolds: checkedSeal({ ...dump, headers }),
    invalidRows: moved(before.invalidRows, (row) => (rows[row] as Row).problems.length > 0),
    wrongSums: moved(before.wrongSums, (row) => faultOf(dump, row) === 'sum'),
    wrongLengths: moved(before.wrongLengths, (row) => faultOf(dump, row) === 'length'),
  };
}

/** A sorted list of rows after some gave way to others. */
function movedRows(
  list: readonly number[],
  { row, removed, added }: RowChange,
  holds: (row: number) => boolean,
): readonly number[] {
  const fresh = Array.from({ length: added }, (_, i) => row + i).filter(holds);
  if (list.length === 0) return fresh;
  const behind = list.filter((one) => one >= row + removed).map((one) => one + added - removed);
  return [...list.filter((one) => one < row), ...fresh, ...behind];
}

type Bound = Pick<Dump, 'rows' | 'layout' | 'rule' | 'profile'>;

function keepsLayout(before: Dump, rows: readonly Row[], row: number): boolean {
  const old = before.rows[row] as Row;
  const now = rows[row] as Row;
  if (old.kind === 'header' || now.kind === 'header') return false;
  const label = labelOfRow(old);
  if (label !== labelOfRow(now)) return false;
  if (before.layout.kind === 'image')
    return (
      // Whether rows leave each other in doubt, only all of them say.
      before.notation.image?.doubts === undefined &&
      sameImagePlace(before.notation, old, now) &&
      isStray(old) === isStray(now) &&
      ((old.kind === now.kind && isForeign(old) === isForeign(now)) || staysImage(before, rows))
    );
  // What lies between the rows of an image, only all of them say.
  if (before.notation.image !== undefined) return false;
  const isLine = before.layout.dataCount[row] !== 0 && before.profile.geometry !== undefined;
  // Where the profile does not set the counts, or the row stores a total, the layout follows the record itself.
  return label === undefined || isLine || (old.kind === 'record' && now.kind === 'record' && old.count === now.count);
}

function isForeign(row: Row): boolean {
  return row.kind === 'broken' && row.foreign !== undefined;
}

function isStray(row: Row): boolean {
  return row.kind === 'broken' && row.isStray === true;
}

/** Whether a file has a sound record of its kind and had one: of one that has none, other things are said. */
function staysImage({ layout }: Dump, rows: readonly Row[]): boolean {
  return (
    rows.some(({ kind }) => kind === 'record') && !layout.imageProblems.some(({ code }) => code === 'text-unreadable')
  );
}

/** Whether two records of an image hold data of the same length at the same place; the data of all others place others. */
function sameImagePlace(notation: Notation, old: Row, now: Row): boolean {
  const [a, b] = [placeOf(notation, old), placeOf(notation, now)];
  return a === undefined
    ? b === undefined && old.kind === now.kind
    : isOfData(notation, a.type) && a.type === b?.type && a.data === b.data;
}

/** Whether records of a type hold data; in text by address all do. */
function isOfData(notation: Notation, type: number): boolean {
  return notation.image === undefined || roleOf(notation, type) === 'data';
}

function placeOf(notation: Notation, row: Row): { readonly type: number; readonly data: number } | undefined {
  if (row.kind === 'record') return { type: row.type ?? 0, data: row.count - sumBytesOf(notation) };
  return row.kind === 'broken' ? row.head : undefined;
}

/** Whether a row is one of those that may end in a sum of their own: the lines of the profile, and all records of an image. */
export function isLine({ layout, rows }: Pick<Dump, 'layout' | 'rows'>, row: number): boolean {
  return (layout.dataCount[row] as number) > 0 || (layout.kind === 'image' && rows[row]?.kind === 'record');
}

/** How the sum at the end of a row is made; undefined where the row has none, or nobody knows. */
export function ruleOf(dump: Pick<Dump, 'layout' | 'rows' | 'rule'>, row: number): LineSumRule | undefined {
  return dump.rule !== undefined && dump.layout.sumCountOf(row) > 0 && isLine(dump, row) ? dump.rule : undefined;
}

/** What is wrong with a line that can be read: it has other than the expected number of bytes, or else its sum is wrong. */
function faultOf(dump: Bound, row: number): 'sum' | 'length' | undefined {
  const record = dump.rows[row] as Row;
  if (record.kind !== 'record' || !isLine(dump, row)) return undefined;
  if (!isSound(dump.layout, row, record)) return 'length';
  return dump.rule === undefined || dump.layout.sumCountOf(row) === 0 || dump.rule.isRight(record) ? undefined : 'sum';
}

/** A sorted list of rows after some were looked at again. */
function refresh(
  rows: readonly number[],
  touched: readonly number[],
  holds: (row: number) => boolean,
): readonly number[] {
  const fresh = touched.filter(holds);
  const stale = rows.some((row) => touched.includes(row));
  if (!stale && fresh.length === 0) return rows;
  const first = touched[0] as number;
  const last = touched.at(-1) as number;
  return [...rows.filter((row) => row < first), ...fresh, ...rows.filter((row) => row > last)];
}
