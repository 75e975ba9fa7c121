import { compareLabels, numbersOf } from '../../format/label.js';
import type { Notation } from '../../format/notation.js';
import { bytesOf, type Label, type RecordRow, type Row } from '../../format/row.js';
import { holdsBytes } from '../../format/stray.js';
import { layoutOfLines } from '../../model/layout.js';
import { lineNamer } from '../../model/lineName.js';
import { EMPTY_PROFILE } from '../../profile/readProfile.js';
import type { LineToLearn } from '../learnSums/line.js';
import { type PossibleTotal, possibleTotals } from './possibleTotals.js';

export interface LineOfText {
  readonly label: Label;
  /** Counted from 0. */
  readonly row: number;
  readonly bytes: Uint8Array;
}

/** The records of one text, sorted into lines with numbers and others, and the rows that are none. */
export interface RecordsOfText {
  readonly name: string;
  /** What the text itself calls its lines: it is worked out with each call, for a function that names many. */
  readonly namer: () => (label: Label) => string;
  /** In rising order of labels. */
  readonly lines: readonly LineOfText[];
  readonly others: readonly { readonly label: Label; readonly bytes: Uint8Array }[];
  /** Labels of lines whose bytes cannot be read. */
  readonly torn: readonly Label[];
  /** Rows of hex that cannot be read. */
  readonly unread: readonly number[];
  /** Rows that hold hex digits and are taken for text. */
  readonly passed: readonly number[];
  /** Those of them that neither a comment sign nor a heading of the form says to be text. */
  readonly unmarked: readonly number[];
  /** Rows that may hold a total and are written unlike the lines. */
  readonly possible: readonly PossibleTotal[];
  /** What the header says the module's number is. */
  readonly module: number | undefined;
}

/**
 * Which records are the lines of the dump, and which are beside them. Lines have numbers; one at the very end that is
 * much shorter than the others holds a sum over them rather than data.
 */
export function recordsOf(name: string, rows: readonly Row[], notation: Notation): RecordsOfText {
  const records = rows.flatMap((row, at) => (isRead(row) ? [{ label: row.label, row: at, bytes: bytesOf(row) }] : []));
  const numbers = commonest(records.flatMap(({ label }) => numbersOf(label)?.length ?? []));
  const isLine = ({ label }: LineOfText) => numbers !== undefined && numbersOf(label)?.length === numbers;
  const first = new Map<Label, LineOfText>();
  const repeated: number[] = [];
  for (const line of records.filter(isLine)) {
    if (first.has(line.label)) repeated.push(line.row);
    else first.set(line.label, line);
  }
  const lines = [...first.values()].sort((a, b) => compareLabels(a.label, b.label));
  const last = lines.at(-1);
  const beside = last !== undefined && lines.length > 2 && isShort(last, lines) ? lines.splice(-1) : [];
  const unread = rows.flatMap((row, at) => (isUnread(row) ? at : []));
  return {
    name,
    namer: () => lineNamer({ rows, notation, layout: layoutOfLines(rows, EMPTY_PROFILE) }),
    lines,
    others: [...records.filter((record) => !isLine(record)), ...beside],
    torn: rows.flatMap((row) => (row.kind === 'broken' && row.label !== undefined ? row.label : [])),
    unread: [...unread, ...repeated].sort((a, b) => a - b),
    passed: rows.flatMap((row, at) => (row.kind === 'comment' && holdsBytes(row.text) ? at : [])),
    unmarked: rows.flatMap((row, at) => (row.kind === 'comment' && row.isPassed ? at : [])),
    possible: possibleTotals(rows),
    module: moduleOf(rows),
  };
}

function isRead(row: Row): row is RecordRow {
  return row.kind === 'record' && row.count > 0 && row.inDoubt !== true;
}

function isUnread(row: Row): boolean {
  return row.kind === 'broken' || (row.kind === 'record' && !isRead(row));
}

export function commonest<T>(values: readonly T[]): T | undefined {
  const counts = new Map<T, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts].reduce<readonly [T, number] | undefined>(
    (most, next) => (most === undefined || next[1] > most[1] ? next : most),
    undefined,
  )?.[0];
}

function isShort(last: LineOfText, lines: readonly LineOfText[]): boolean {
  return last.bytes.length <= 4 && lines.slice(0, -1).every(({ bytes }) => bytes.length > last.bytes.length);
}

function moduleOf(rows: readonly Row[]): number | undefined {
  const header = rows.find((row) => row.kind === 'header' && row.name === 'module');
  const value = header?.kind === 'header' ? header.value : '';
  return /^(?:0x[0-9a-f]{1,4}|\d{1,5})$/i.test(value) && Number(value) <= 0xffff ? Number(value) : undefined;
}

/** Dumps of one shape: nearly all labels are the same, with as many bytes in each line. */
export interface ShapeGroup {
  readonly dumps: readonly RecordsOfText[];
}

/** So many lines of two dumps are alike; the others may be damaged. */
const ALIKE = 0.8;

/** The texts by shape, those of most texts first. */
export function byShape(texts: readonly RecordsOfText[]): readonly ShapeGroup[] {
  const groups: { readonly lengths: ReadonlyMap<Label, number>; readonly dumps: RecordsOfText[] }[] = [];
  for (const text of texts) {
    const lengths = new Map(text.lines.map(({ label, bytes }) => [label, bytes.length]));
    const group = groups.find((one) => areAlike(one.lengths, lengths));
    if (group === undefined) groups.push({ lengths, dumps: [text] });
    else group.dumps.push(text);
  }
  return groups.sort((a, b) => b.dumps.length - a.dumps.length);
}

function areAlike(one: ReadonlyMap<Label, number>, other: ReadonlyMap<Label, number>): boolean {
  const same = [...one].filter(([label, length]) => other.get(label) === length).length;
  return same >= ALIKE * Math.max(one.size, other.size);
}

export function linesOf(dumps: readonly RecordsOfText[]): readonly LineToLearn[] {
  return dumps.flatMap(({ lines }, dump) => lines.map(({ label, bytes }) => ({ dump, label, bytes })));
}

/** Lines of a length that is rare among all, the last line aside: bytes may be missing or too many. */
export function oddLines(dumps: readonly RecordsOfText[]): ReadonlySet<LineOfText> {
  const counts = new Map<number, number>();
  let all = 0;
  for (const { lines } of dumps)
    for (const { bytes } of lines) {
      counts.set(bytes.length, (counts.get(bytes.length) ?? 0) + 1);
      all++;
    }
  const isRare = ({ bytes }: LineOfText) => (counts.get(bytes.length) ?? 0) <= Math.max(dumps.length, RARE * all);
  const odd = dumps.flatMap(({ lines }) => lines.slice(0, -1).filter(isRare));
  return new Set(odd.length <= (1 - ALIKE) * all ? odd : []);
}

/** A length that so few of the lines have is rare. */
const RARE = 0.1;
