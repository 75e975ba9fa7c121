import { type Phrase, phrase } from '../../base/phrase.js';
import { contentOf, type RecordRow, type Row } from '../../format/row.js';
import type { Dump } from '../../model/dump.js';
import { isSeal } from '../../model/headers.js';
import { dayLooksIn, personalLooksIn } from './looksPersonal.js';
import { maskedText } from './maskedText.js';
import type { Mask } from './masks.js';
import { type Mirror, mirrored } from './mirrors.js';
import { KEPT_HEADERS } from './secrets.js';

/** What becomes of the rows of a dump that people wrote, and of what they wrote behind its bytes. */
export interface MaskedRows {
  /** For each row its new text; undefined where it is left out. Records keep their digits. */
  readonly texts: readonly (string | undefined)[];
  /** The values that were in them and are no longer. */
  readonly found: readonly Mask[];
  readonly says: readonly Phrase[];
  readonly looks: readonly Phrase[];
}

/** What the files that a copy names are called among the copies; undefined where they are not there. */
export interface CopiedNames {
  readonly profile: string | undefined;
  readonly backup: string | undefined;
}

/** Masks what people wrote into a dump, and leaves out headers that tell when and by whom it was read. */
export function maskedRows(
  dump: Dump,
  masks: readonly Mask[],
  names: CopiedNames,
  mirrors: readonly Mirror[],
): MaskedRows {
  const found = new Set<Mask>();
  const says: Phrase[] = [];
  const looks: Phrase[] = [];
  const invented = masks.map(({ mask }) => mask);
  const isNamed = { profile: false, backup: false };
  const texts = dump.rows.map((row, at) => {
    const text = written(row, at);
    if (text !== undefined && row.kind !== 'record') looks.push(...personalLooksIn(at, contentOf(text), invented));
    if (text !== undefined && (row.kind === 'comment' || row.kind === 'broken')) looks.push(...dayLooksIn(at, text));
    return text;
  });
  return { texts, found: [...found], says, looks };

  function written(row: Row, at: number): string | undefined {
    if (row.kind === 'blank' || row.kind === 'broken') return row.text;
    if (row.kind === 'record') return maskRecord(row, at);
    if (row.kind === 'comment') return masked(row.text, 0, row.text.length, at);
    const { name, valueSpan, text } = row;
    const put = (value: string) => text.slice(0, valueSpan.start) + value + text.slice(valueSpan.end);
    if (name === 'profile' || name === 'backup') {
      const value = isNamed[name] ? undefined : names[name];
      isNamed[name] = true;
      if (value !== undefined) return put(value);
      return leaveOut(phrase('Row {0}: "@{1}" is left out: what it names is not among the copies', at + 1, name), text);
    }
    if (isSeal(row)) return text;
    if (!KEPT_HEADERS.includes(name)) return leaveOut(phrase('Row {0}: "@{1}" is left out', at + 1, name), text);
    return masked(text, valueSpan.start, text.length, at, name);
  }

  function leaveOut(what: Phrase, text: string): undefined {
    says.push(what);
    for (const mask of maskedText(text, masks).found) found.add(mask);
  }

  function masked(text: string, from: number, end: number, at: number, name?: string): string {
    const was = text.slice(from, end);
    const { text: hidden, found: own } = maskedText(was, masks);
    const now = name === undefined ? mirrored(dump, hidden, at, mirrors) : hidden;
    for (const mask of own) found.add(mask);
    if (own.length > 0 || now !== was)
      says.push(
        name === undefined
          ? phrase('Row {0}: masked in a comment', at + 1)
          : phrase('Row {0}: "@{1}" masked', at + 1, name),
      );
    return text.slice(0, from) + now + text.slice(end);
  }

  /** What is beside the bytes of a record; its digits, and the characters that show them, follow from its bytes. */
  function maskRecord(row: RecordRow, at: number): string {
    const { notation } = dump;
    const places = new Set<number>(notation.digitPlaces(row));
    const characterAt = notation.characters?.(row);
    for (let byte = 0; characterAt !== undefined && byte < row.count; byte++) places.add(characterAt(byte) ?? -1);
    const label = notation.labelSpan(row);
    for (let place = label?.start ?? 0; place < (label?.end ?? 0); place++) places.add(place);
    let text = row.text;
    let from = 0;
    for (let end = 0; end <= row.text.length; end++) {
      if (end < row.text.length && !places.has(end)) continue;
      // Gaps between digits hold nothing that anybody wrote.
      if (end - from >= LEAST_WRITTEN) text = masked(text, from, end, at);
      from = end + 1;
    }
    return text;
  }
}

const LEAST_WRITTEN = 5;
