import { commonEnds } from '../base/commonEnds.js';
import type { TextEdit } from '../base/span.js';
import { byteStore, type PrintedRecord } from '../format/notation.js';
import { contentOf, type RecordRow, type Row } from '../format/row.js';
import type { Dump } from './dump.js';
import { isNumbered, partsOfRecord, type Spacing, type SpacingRule, spacingRule } from './spacing.js';

export const LETTER_CASES = ['keep', 'upper', 'lower'] as const;
export type LetterCase = (typeof LETTER_CASES)[number];

export interface Format {
  readonly letterCase: LetterCase;
  readonly spacing: Spacing;
}

/**
 * Edits that give the rows from `first` to `last` even spacing and one letter case. Bytes, labels, headers and comments
 * stay what they are, and rows that cannot be read stay as they are. Records of memory images and lines of other
 * programs have a spacing of their own: there the letter case is all that changes, and blanks at the ends of lines.
 */
export function formatRows(dump: Dump, first: number, last: number, format: Format): readonly TextEdit[] {
  const spacing =
    dump.notation.blanks === 'free' && format.spacing !== 'keep' ? spacingRule(dump, format.spacing) : undefined;
  const edits: TextEdit[] = [];
  for (let row = Math.max(0, first); row <= Math.min(last, dump.rows.length - 1); row++) {
    const found = dump.rows[row] as Row;
    const before = contentOf(found.text);
    const after = formatted(dump, row, found, before, format, spacing);
    // Emptied, a line that follows a lone carriage return would give it a line feed, and be gone.
    const joins = after === '' && dump.rows[row - 1]?.text.endsWith('\r') === true;
    if (after !== before && !joins) edits.push(smallestEdit(row, before, after));
  }
  return edits;
}

function formatted(
  dump: Dump,
  row: number,
  found: Row,
  text: string,
  { letterCase, spacing }: Format,
  rule: SpacingRule | undefined,
): string {
  if (found.kind === 'broken') return text;
  const trimmed = spacing === 'keep' || dump.notation.blanks === 'kept' ? text : trimmedEnd(text);
  if (found.kind === 'header' && rule !== undefined) {
    const lead = text.startsWith('\ufeff') ? '\ufeff' : '';
    const sign = text.slice(0, found.nameSpan.start).trim();
    return `${lead}${sign}${sign === '' ? '' : ' '}@${found.name}${found.value === '' ? '' : ` ${found.value}`}`;
  }
  if (found.kind !== 'record') return trimmed;
  if (rule === undefined) return inLetterCase(dump, found, trimmed, letterCase);
  return spaced(dump, row, found, rule, letterCase);
}

/** Without blanks at the end; a byte-order mark is none of them. */
function trimmedEnd(text: string): string {
  return text.startsWith('\ufeff') && text.trim() === '' ? '\ufeff' : text.trimEnd();
}

/** Prints records in the spacing that most lines of a dump have, without line ends. */
export function printerLike(dump: Dump): (record: PrintedRecord) => string {
  const { notation, rows } = dump;
  if (notation.blanks !== 'free') {
    const widths = notation.labelWidths?.(rows);
    return (record) => notation.print(record, widths);
  }
  const rule = spacingRule(dump, 'asMostLines');
  return (record) => {
    const text = notation.print(record);
    const row = notation.readRow(text, byteStore(text.length));
    return row.kind === 'record' ? spaced(dump, NO_ROW, row, rule, 'keep') : text;
  };
}

/** The row of a record that is not in the dump; as most lines are spaced does not depend on it. */
const NO_ROW = -1;

function spaced(dump: Dump, row: number, record: RecordRow, rule: SpacingRule, letterCase: LetterCase): string {
  const parts = partsOfRecord(dump, record);
  const { label, bytes, comment } = parts;
  const gaps = rule.gapsOf(row, record, parts);
  const lead = parts.lead.startsWith('\ufeff') ? '\ufeff' : '';
  const pad = ' '.repeat(isNumbered(record) ? Math.max(0, rule.width - label.length) : 0);
  const [before, after] = rule.aligned === 'right' ? [pad, ''] : rule.aligned === 'left' ? ['', pad] : ['', ''];
  const digits = bytes.map((byte, i) => gaps[i] + inCase(byte, letterCase)).join('');
  const line = `${lead}${before}${label}${after}:${digits}${gaps.at(-1) ?? ''}`.trimEnd();
  return comment === '' ? line : `${line}${rule.beforeComment}${comment.trimEnd()}`;
}

/** The digits of a record in one letter case; of an image also those of its length, address and type. */
function inLetterCase({ notation }: Dump, record: RecordRow, text: string, letterCase: LetterCase): string {
  if (letterCase === 'keep' || notation.capitals) return text;
  const places = notation.digitPlaces(record);
  const units = text.split('');
  const turn = (place: number) => {
    units[place] = inCase(units[place] ?? '', letterCase);
  };
  // The head of a record of an image ends where its data begin, and begins with the length, before the address.
  const address = record.type === undefined ? undefined : notation.labelSpan(record)?.start;
  if (address !== undefined) for (let place = address - 2; place < (places[0] ?? 0); place++) turn(place);
  places.forEach(turn);
  return units.join('');
}

function inCase(digits: string, letterCase: LetterCase): string {
  if (letterCase === 'keep') return digits;
  return letterCase === 'upper' ? digits.toUpperCase() : digits.toLowerCase();
}

/** Replaces what lies between what both texts begin and end with. */
function smallestEdit(row: number, before: string, after: string): TextEdit {
  const { start, end } = commonEnds(before, after);
  return { row, start, end: before.length - end, text: after.slice(start, after.length - end) };
}
