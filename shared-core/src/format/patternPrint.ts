import { hex, hexBytes } from '../base/hex.js';
import { shownCharacter } from './hexViewRow.js';
import { numbersOf } from './label.js';
import type { PrintedRecord } from './notation.js';
import { printedBytes } from './patternBytes.js';
import { isLabel, isNumber, matchPattern, type PatternParts } from './patternMatch.js';
import { FIELD, fieldOf } from './patternParts.js';
import type { Label, Row } from './row.js';

/** Records that are looked at for how wide their labels are; of a longer dump they are spread over all of it. */
const SAMPLE = 500;

/** As many digits as labels have that begin with a zero; where none does, hex has as many as the shortest one. */
export function labelWidths(rows: readonly Row[], parts: PatternParts): readonly number[] {
  const fields = parts.fields.filter(({ field }) => isNumber(field) || isLabel(field));
  const padded = fields.map(() => 0);
  const shortest = fields.map(() => Number.POSITIVE_INFINITY);
  const step = Math.ceil(rows.length / SAMPLE);
  for (let at = 0; at < rows.length; at += step) {
    const text = rows[at]?.kind === 'record' ? (rows[at] as Row).text : '';
    const match = matchPattern(text, parts);
    for (const [i, { start, end }] of (match?.numbers ?? (match ? [match.label] : [])).entries()) {
      const digits = text.slice(start, end);
      const isPadded = /hex$/.test(fields[i]?.field ?? '') ? /^0[0-9a-f]+$/i : /^0\d+$/;
      if (isPadded.test(digits)) padded[i] = Math.max(padded[i] as number, digits.length);
      shortest[i] = Math.min(shortest[i] as number, digits.length);
    }
  }
  if (shortest.includes(Number.POSITIVE_INFINITY)) return [];
  return fields.map(({ field }, i) => padded[i] || (/hex$/.test(field) ? (shortest[i] as number) : 1));
}

/** A record as the pattern writes it; each number of its label has so many digits at least. */
export function print({ label, data, sum }: PrintedRecord, pattern: string, widths: readonly number[] = []): string {
  const numbers = numbersIn(label, pattern);
  let next = 0;
  const written = (as: (number: number, width: number | undefined) => string) => {
    const number = numbers[next];
    return number === undefined ? String(label) : as(number, widths[next++]);
  };
  const all = Uint8Array.of(...data, ...sum);
  return printed(pattern, {
    label: () => written((number, width = 1) => String(number).padStart(width, '0')),
    'label:hex': () => written((number, width = numbers.length > 1 ? 2 : 4) => hex(number, width)),
    data: () => hexBytes(/\{sum[:}]/.test(pattern) ? data : all, ' '),
    sum: () => hexBytes(sum, ' '),
    characters: () => Array.from(all, shownCharacter).join(''),
  });
}

/** A pattern with texts in place of its fields; bytes are given with blanks between them. */
export function printed(pattern: string, texts: Readonly<Record<string, () => string>>): string {
  return pattern.trim().replace(new RegExp(FIELD, 'g'), (_, written: string) => {
    const { field, between } = fieldOf(written);
    const text = texts[field]?.() ?? '';
    return between === undefined ? text : printedBytes(text.split(' '), between, written);
  });
}

/** The numbers of a label, as many as the pattern has fields for; none of a word. */
function numbersIn(label: Label, pattern: string): readonly number[] {
  const numbers = numbersOf(label) ?? [];
  return pattern.match(/\{label(?::hex)?\}/g)?.length === numbers.length ? numbers : [];
}
