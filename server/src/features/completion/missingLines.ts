import { type Phrase, phrase } from '../../../../shared-core/src/base/index.js';
import { backupDump } from '../../../../shared-core/src/checks/index.js';
import { bytesOf, contentOf, type Label } from '../../../../shared-core/src/format/index.js';
import {
  type Dump,
  dataCountOf,
  labelOfRow,
  lackingSum,
  lineCalled,
  lineWriter,
  protectedPlaces,
  totalLine,
  type WantedLine,
  whyNotWritable,
} from '../../../../shared-core/src/model/index.js';
import { sumName } from '../../../../shared-core/src/profile/index.js';
import type { Analysis } from '../../session.js';
import type { Choice, CompletionPlace } from './place.js';

/** A dump that lacks more lines than these is best taken from its backup; no one reads a longer list. */
const MOST_LINES = 50;

/** Lines that the profile expects and the dump lacks, whole and with their sums right; the one that belongs here first. */
export function missingLineChoices({ session, explained, position, row, before }: CompletionPlace): Choice[] {
  const { dump } = explained;
  const content = contentOf(row.text);
  // Nothing but the beginning of a label may stand here.
  if (!LABEL_BEGUN.test(content) || !LABEL_BEGUN.test(before)) return [];
  const span = { row: position.line, start: 0, end: content.length };
  return [...missingLines(explained, position.line), ...missingTotals(dump)].map(({ line, words }) => ({
    label: line.text.trim(),
    words: session.say(words),
    text: line.text,
    filter: before.replace(/[\w./-]*$/, '') + labelWritten(dump, line),
    span,
    kind: 'line',
  }));
}

const LABEL_BEGUN = /^\s*[\w./-]*$/;

/** What people type to get a line: its number or, of several, all as they are written. */
function labelWritten({ notation }: Dump, { label, text }: WantedLine): string {
  if (typeof label === 'number') return String(label);
  const row = notation.readRow(text, { bytes: new Uint8Array(text.length), used: 0 });
  return text.slice(0, notation.labelSpan(row)?.end).trimStart();
}

interface Offered {
  readonly line: WantedLine;
  readonly words: Phrase;
}

function missingLines({ dump, backup }: Analysis, row: number): Offered[] {
  const above = lastKeyBefore(dump, row);
  const isBehind = (label: Label) => (dump.layout.keyOf(label) ?? 0) > above;
  const write = lineWriter(dump);
  if (write === undefined || whyNotWritable(dump) !== undefined) return [];
  const { missing } = dump.layout;
  const labels = [...missing.filter(isBehind), ...missing.filter((label) => !isBehind(label))].slice(0, MOST_LINES);
  const own = backupDump(dump, backup);
  return labels.flatMap((label): Offered | readonly [] => {
    const count = dataCountOf(dump, label) ?? 0;
    // What must not be changed may only be what the sealed backup holds.
    const from = own?.sealHolds === true || !holdsProtected(dump, label) ? own : undefined;
    const saved = from && dataIn(from, label, count);
    if (saved === undefined && holdsProtected(dump, label)) return [];
    const line = write(label, saved ?? new Uint8Array(count));
    return { line, words: saved === undefined ? phrase('all bytes 00') : phrase('as in the backup') };
  });
}

function holdsProtected({ profile }: Dump, label: Label): boolean {
  return protectedPlaces(profile).some(({ place }) => place.kind === 'line' && place.line === label);
}

function dataIn({ layout, rows }: Dump, label: Label, count: number): Uint8Array | undefined {
  const row = layout.rowOf(label);
  const record = row === undefined ? undefined : rows[row];
  if (row === undefined || record?.kind !== 'record') return undefined;
  return record.count === count + layout.sumCountOf(row) ? bytesOf(record, 0, count) : undefined;
}

/** Where the line above a row belongs. */
function lastKeyBefore({ rows, layout }: Dump, row: number): number {
  for (let at = row - 1; at >= 0; at--) {
    const label = labelOfRow(rows[at]);
    const key = label === undefined ? undefined : layout.keyOf(label);
    if (key !== undefined) return key;
  }
  return Number.NEGATIVE_INFINITY;
}

function missingTotals(dump: Dump): Offered[] {
  if (whyNotWritable(dump) !== undefined) return [];
  return dump.totals.flatMap(({ total }, index): Offered[] => {
    const line = totalLine(dump, index);
    return line === undefined ? [] : [{ line, words: phrase('missing: {0}', sumName(total)) }];
  });
}

/** The sum of a line that holds all its data and not yet its sum, as it is to be written at the cursor. */
export function lackingSumChoices({ session, explained, position, row }: CompletionPlace): Choice[] {
  const lacking = lackingSum(explained.dump, position.line);
  if (lacking === undefined || position.character < lacking.at || whyNotWritable(explained.dump) !== undefined)
    return [];
  // What parts the sum from the data may be typed already.
  const typed = row.text.slice(lacking.at, position.character);
  if (!/^[ \t]*\|?[ \t]*$/.test(typed)) return [];
  const digits = lacking.text.replace(/^[\s|]+/, '');
  const rest = lacking.text.startsWith(typed) ? lacking.text.slice(typed.length) : lacking.text.trimStart();
  const text = typed.includes('|') && !lacking.text.startsWith(typed) ? digits : rest;
  // A bar that is behind the cursor already is replaced by the one that is put in.
  const [barBehind = ''] = /^[ \t]*\|(?:[ \t]*$)?/.exec(contentOf(row.text).slice(position.character)) ?? [];
  const span = { row: position.line, start: position.character, end: position.character + barBehind.length };
  const words = session.say(phrase('sum of line {0}', lineCalled(explained.dump, position.line)));
  return [{ label: digits, words, text, span, kind: 'value' }];
}
