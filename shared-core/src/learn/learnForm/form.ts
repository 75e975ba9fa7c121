import { dumpText } from '../../format/dumpText.js';
import { FORMS } from '../../format/forms.js';
import { hexList } from '../../format/hexList.js';
import { numbersOf } from '../../format/label.js';
import type { Notation } from '../../format/notation.js';
import { notationOfText } from '../../format/notationOf.js';
import { compilePattern } from '../../format/pattern.js';
import { bytesOf, type Row } from '../../format/row.js';
import { readRows, splitLines } from '../../format/rows.js';
import { NAMES_OF_SUMS } from '../../format/stray.js';
import { commonest } from './dumps.js';
import { headingsOf, markOf, mostBytesIn, titlesAmong } from './headings.js';
import { evenSteps } from './labelColumns.js';
import { patternsOfLines } from './patternsOfLines.js';
import { possibleTotals } from './possibleTotals.js';

/** How a text is written: in a notation that is known, or by a pattern that was found in it. */
export interface LearnedForm {
  readonly notation: Notation;
  readonly pattern: string | undefined;
  /** Lines that look like hex and hold no data. */
  readonly headings: readonly string[];
}

/** More ways than these to read a text are not tried. */
const MOST_FORMS = 6;

/** The likeliest way in which a text is written. */
export function learnForm(text: string): LearnedForm | undefined {
  return learnForms(text)[0];
}

/**
 * Finds out how a text may be written, likeliest first. A known notation is taken where most lines that are no comments
 * are records of it; else the lines themselves show which of their characters are label, data and filler. Empty where
 * there are no lines with a number and hex digits.
 */
export function learnForms(text: string): readonly LearnedForm[] {
  const known = [notationOfText(text), ...FORMS.filter(hasMarks)].find(
    (notation) => notation !== undefined && isWrittenIn(readRows(text, notation)),
  );
  const form = known && { notation: known, pattern: undefined, headings: [] };
  // A list of hex has no marks of its own: its first numbers may be those of lines.
  if (form !== undefined && known !== dumpText && known !== hexList) return [form];
  if (form !== undefined && known === dumpText && isClean(readRows(text, dumpText))) return [form];
  const patterns = patternForms(text, known === dumpText && hasHexLabels(readRows(text, dumpText)));
  return form === undefined
    ? patterns
    : [...patterns.filter(({ pattern }) => known === dumpText || pattern !== undefined), form];
}

/** The first line of a text that is likeliest written as numbered lines of its own: what its number is, and its bytes. */
export function firstNumberedLine(text: string): { readonly number: string; readonly bytes: Uint8Array } | undefined {
  const head = text.length <= HEAD ? text : text.slice(0, text.lastIndexOf('\n', HEAD) + 1);
  const form = learnForm(head);
  if (form?.pattern === undefined) return undefined;
  const row = readRows(head, form.notation).find((one) => one.kind === 'record');
  const span = row && form.notation.labelSpan(row);
  return row && span && { number: row.text.slice(span.start, span.end), bytes: bytesOf(row) };
}

/** As much of a text shows it. */
const HEAD = 1 << 16;

/** So many lines show how a text is written. */
const SAMPLE = 2000;

function patternForms(text: string, inHex: boolean): readonly LearnedForm[] {
  const lines = splitLines(text);
  const sample = lines.slice(0, SAMPLE);
  const headings = headingsOf(lines);
  const heads = new Set(headings);
  const read = patternsOfLines(sample.filter((line) => !heads.has(line.trim()))).flatMap((pattern) => {
    const compiled = compilePattern(pattern, 'keep', headings);
    if (!compiled.ok || (inHex && !pattern.includes('{label:hex}'))) return [];
    const form = { notation: compiled.value, pattern, headings };
    return { form, count: numberedLines(readRows(sample.join(''), compiled.value)) };
  });
  const most = read.reduce((count, one) => Math.max(count, one.count), 0);
  return read
    .filter(({ count }) => count > 1 && count * 10 >= most * 9)
    .sort((a, b) => b.count - a.count)
    .slice(0, MOST_FORMS)
    .map(({ form }) => withTitles(text, form));
}

/**
 * The form with the titles that look like lines of hex, and like no line of the dump: those that stand before its first
 * line or behind its last one, wherever else they are repeated, and those with a mark that begins no line of the dump.
 */
function withTitles(text: string, form: LearnedForm & { readonly pattern: string }): LearnedForm {
  const word = /^[A-Za-z]+/.exec(form.pattern)?.[0];
  const rows = readRows(text, form.notation);
  const sums = new Set(possibleTotals(rows).flatMap(({ row, isLikely }) => (isLikely ? row : [])));
  const first = rows.findIndex(({ kind }) => kind === 'record');
  const last = rows.reduce((end, { kind }, at) => (kind === 'record' ? at : end), -1);
  const marks = marksOfTitles(rows);
  const bytes = commonest(rows.flatMap((row) => (row.kind === 'record' ? row.count : []))) ?? 0;
  // A line that begins as the lines of the dump do, or holds as many bytes, is a damaged one; one with the name of a sum holds it.
  const around = rows.filter((row, at) => {
    const isBetween = at > first && at < last && !marks.has(markOf(row.text));
    if (isBetween || sums.has(at) || NAMES_OF_SUMS.test(row.text)) return false;
    if (4 * mostBytesIn(row.text) >= 3 * bytes) return false;
    if (row.kind === 'comment') return row.isPassed === true;
    return row.kind === 'broken' && row.isStray && (word === undefined || !row.text.trimStart().startsWith(word));
  });
  return withHeadings(form, titlesAmong(around.map((row) => row.text)));
}

/** A form with more headings. */
export function withHeadings(form: LearnedForm, more: readonly string[]): LearnedForm {
  const headings = [...new Set([...form.headings, ...more])];
  if (form.pattern === undefined || headings.length === form.headings.length) return form;
  const compiled = compilePattern(form.pattern, 'keep', headings);
  return compiled.ok ? { ...form, notation: compiled.value, headings } : form;
}

/** Marks that begin at least two lines of a text, and no record. */
function marksOfTitles(rows: readonly Row[]): ReadonlySet<string> {
  const marksIn = (some: readonly Row[]) => some.map(({ text }) => markOf(text)).filter((mark) => mark !== '');
  const ofRecords = new Set(marksIn(rows.filter(({ kind }) => kind === 'record')));
  const others = marksIn(rows.filter(({ kind }) => kind !== 'record'));
  return new Set(others.filter((mark, i) => others.indexOf(mark) < i && !ofRecords.has(mark)));
}

/** How many different numbers lines have. */
function numberedLines(rows: readonly Row[]): number {
  const labels = rows.flatMap((row) => (row.kind === 'record' && row.inDoubt !== true ? row.label : []));
  return new Set(labels.filter((label) => numbersOf(label) !== undefined)).size;
}

/** Whether rows of a form show by marks of their own what they are; digits alone may be numbers of lines. */
function hasMarks({ image }: Notation): boolean {
  return image === undefined || image.sum !== undefined;
}

/** Whether dump text is all that a text holds: bare digits are decimal there, and every line has a label. */
function isClean(rows: readonly Row[]): boolean {
  const labels = rows.flatMap((row) => (row.kind === 'record' ? row.label : []));
  const numbered = labels.filter((label) => numbersOf(label) !== undefined).length;
  return (
    !hasHexLabels(rows) &&
    labels.length - numbered <= Math.max(2, labels.length / 5) &&
    numbered > 0 &&
    rows.every((row) => row.kind !== 'broken' || row.label !== undefined)
  );
}

/** Dump text takes bare digits for decimal: lines that go from 09 to 0A, or from 08 to 10, are numbered otherwise. */
function hasHexLabels(rows: readonly Row[]): boolean {
  const labels = rows.flatMap((row) => (row.kind === 'record' ? String(row.label) : []));
  if (labels.some((label) => /^\d*[a-f][\da-f]*$/i.test(label))) return true;
  const digits = labels.filter((label) => /^\d{1,8}$/.test(label));
  const stepsIn = (radix: 10 | 16) => evenSteps(digits.map((label) => Number.parseInt(label, radix)));
  return digits.length >= labels.length - 2 && stepsIn(16) > stepsIn(10);
}

/** Are at least two lines records, and hardly any of the others neither comment nor header? */
function isWrittenIn(rows: readonly Row[]): boolean {
  const records = rows.filter(({ kind }) => kind === 'record').length;
  const broken = rows.filter(({ kind }) => kind === 'broken').length;
  const kept = rows.filter((row) => row.kind === 'comment' && !/^\s*[#;]/.test(row.text)).length;
  return records > 1 && records >= 4 * (broken + kept);
}
