import { numbersOf } from '../format/label.js';
import type { RecordRow, Row } from '../format/row.js';
import { contentOf } from '../format/row.js';
import { type Dump, isLine } from './dump.js';
import { isSound } from './totals.js';

/** Blanks that formatting sets between the bytes of dump text. */
export const SPACINGS = ['asMostLines', 'bytes', 'pairs', 'none', 'keep'] as const;
export type Spacing = (typeof SPACINGS)[number];

/** A record of dump text in parts: one after the other they are its line without the line end. */
export interface RecordParts {
  /** Before the label: blanks, of the first line perhaps a byte-order mark. */
  readonly lead: string;
  readonly label: string;
  /** Between the label and the colon. */
  readonly beforeColon: string;
  /** Digits of each byte. */
  readonly bytes: readonly string[];
  /** Behind the colon and behind each byte; the last one is what stands before the comment or the end of the line. */
  readonly gaps: readonly string[];
  /** With its number sign; empty where there is none. */
  readonly comment: string;
}

function inTextOrder(places: readonly number[]): readonly number[] {
  return [...places].sort((a, b) => a - b);
}

export function partsOfRecord({ notation }: Pick<Dump, 'notation'>, row: RecordRow): RecordParts {
  const text = contentOf(row.text);
  const label = notation.labelSpan(row) ?? { start: 0, end: 0 };
  const colon = text.indexOf(':', label.end);
  const comment = text.indexOf('#', colon);
  const end = comment < 0 ? text.length : comment;
  // The bytes of a word are in another order than their addresses.
  const places = notation.word === undefined ? notation.digitPlaces(row) : inTextOrder(notation.digitPlaces(row));
  const bytes: string[] = [];
  const gaps: string[] = [];
  let at = colon + 1;
  for (let digit = 0; digit < places.length; digit += 2) {
    const start = places[digit] as number;
    gaps.push(text.slice(at, start));
    at = (places[digit + 1] as number) + 1;
    bytes.push(text.slice(start, at));
  }
  gaps.push(text.slice(at, end));
  return {
    lead: text.slice(0, label.start),
    label: text.slice(label.start, label.end),
    beforeColon: text.slice(label.end, colon),
    bytes,
    gaps,
    comment: comment < 0 ? '' : text.slice(comment),
  };
}

/** How the lines of a dump are to be spaced. */
export interface SpacingRule {
  /** Where the colons of numbered lines stand in one column: the blanks before the label, or behind it. */
  readonly aligned: 'right' | 'left' | 'no';
  /** Characters of the longest label that is a number, or several. */
  readonly width: number;
  readonly beforeComment: string;
  /** The gaps of a record, as many as it has. */
  readonly gapsOf: (row: number, record: RecordRow, parts: RecordParts) => readonly string[];
}

/** Records that are looked at to learn how most are spaced; of a longer dump they are spread over all of it. */
const SAMPLE = 2000;

export function spacingRule(dump: Dump, spacing: Exclude<Spacing, 'keep'>): SpacingRule {
  const { rows } = dump;
  const width = rows.reduce((most, row) => Math.max(most, numberLength(dump, row)), 0);
  if (spacing !== 'asMostLines') {
    const gapsOf = (row: number, record: RecordRow, parts: RecordParts) => evenGaps(dump, row, record, parts, spacing);
    return { aligned: 'right', width, beforeComment: '  ', gapsOf };
  }
  const shapes = new Map<string, Votes<readonly string[]>>();
  const aligned = votes<SpacingRule['aligned']>();
  const beforeComment = votes<string>();
  const step = Math.ceil(rows.length / SAMPLE);
  for (let row = 0; row < rows.length; row += step) {
    const record = rows[row];
    if (record?.kind !== 'record') continue;
    const parts = partsOfRecord(dump, record);
    const gaps = [...parts.gaps.slice(0, -1), (parts.gaps.at(-1) ?? '').trimEnd()];
    const shape = shapes.get(shapeKey(record)) ?? votes();
    shapes.set(shapeKey(record), shape);
    shape.add(gaps.join('\n'), gaps);
    if (parts.comment !== '') beforeComment.add(parts.gaps.at(-1) ?? '', blanksIn(parts.gaps.at(-1) ?? ''));
    if (isNumbered(record) && parts.label.length < width) {
      const how = parts.beforeColon !== '' ? 'left' : parts.lead.replace('\ufeff', '') !== '' ? 'right' : 'no';
      aligned.add(how, how);
    }
  }
  return {
    aligned: aligned.most() ?? 'no',
    width,
    beforeComment: beforeComment.most() ?? '  ',
    gapsOf: (_, record, { gaps }) => shapes.get(shapeKey(record))?.most() ?? gaps,
  };
}

/** Lines are alike that have as many bytes; a total is no line. */
function shapeKey(record: RecordRow): string {
  return `${isNumbered(record)} ${record.count}`;
}

/** Whether a record has a number for a label, or several, as lines have. */
export function isNumbered({ label }: Pick<RecordRow, 'label'>): boolean {
  return typeof label === 'number' || numbersOf(label) !== undefined;
}

function numberLength({ notation }: Dump, row: Row): number {
  if ((row.kind !== 'record' && row.kind !== 'broken') || row.label === undefined) return 0;
  if (!isNumbered({ label: row.label })) return 0;
  const { start, end } = notation.labelSpan(row) ?? { start: 0, end: 0 };
  return end - start;
}

function evenGaps(
  dump: Dump,
  row: number,
  record: RecordRow,
  { gaps }: RecordParts,
  spacing: 'bytes' | 'pairs' | 'none',
): readonly string[] {
  const { dataCount, sumCountOf } = dump.layout;
  const hasSum = isLine(dump, row) && sumCountOf(row) > 0 && isSound(dump.layout, row, record);
  const divider = hasSum ? (dataCount[row] as number) : gaps.findIndex((gap) => gap.includes('|'));
  return gaps.map((_, at) => {
    const last = at === record.count;
    if (at === divider) return last ? ' |' : ' | ';
    if (last) return '';
    const inGroup = at > divider && divider >= 0 ? at - divider : at;
    return at === 0 || spacing === 'bytes' || (spacing === 'pairs' && inGroup % 2 === 0) ? ' ' : '';
  });
}

function blanksIn(gap: string): string {
  return gap.slice(gap.trimEnd().length);
}

/** Counts what is seen most; of several seen as often, the one seen first. */
interface Votes<T> {
  readonly add: (key: string, value: T) => void;
  readonly most: () => T | undefined;
}

function votes<T>(): Votes<T> {
  const counts = new Map<string, { readonly value: T; count: number }>();
  return {
    add: (key, value) => {
      const seen = counts.get(key);
      if (seen === undefined) counts.set(key, { value, count: 1 });
      else seen.count++;
    },
    most: () => {
      let best: { readonly value: T; readonly count: number } | undefined;
      for (const seen of counts.values()) if (best === undefined || seen.count > best.count) best = seen;
      return best?.value;
    },
  };
}
