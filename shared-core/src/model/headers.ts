import { isDay, readIsoTime } from '../base/isoTime.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { byteStore } from '../format/notation.js';
import { notationWithHeaders } from '../format/notationOf.js';
import type { HeaderRow, Row } from '../format/row.js';
import { splitLines } from '../format/rows.js';

/** Header names that dump text gives a meaning. */
export const HEADER_NAMES = [
  'profile',
  'backup',
  'vehicle',
  'vin',
  'part',
  'software',
  'module',
  'taken',
  'fitted',
  'absent',
  'seal',
  'start',
  'word',
  'use',
  'note',
] as const;

export type HeaderName = (typeof HEADER_NAMES)[number];

/** A dump as far as its headers go. */
export interface Headed {
  readonly rows: readonly Row[];
  /** Rows that are headers, in rising order. */
  readonly headers: readonly number[];
}

export interface PlacedHeader {
  readonly row: number;
  readonly header: HeaderRow;
}

/** All headers of a dump, in order. */
export function headersOf({ rows, headers }: Headed): readonly PlacedHeader[] {
  return headers.map((row) => ({ row, header: rows[row] as HeaderRow }));
}

/** The first header of this name that has a value. */
export function headerOf(dump: Headed, name: HeaderName): PlacedHeader | undefined {
  return headersOf(dump).find(({ header }) => header.name === name && header.value !== '');
}

/** All values of the headers of this name, in order. */
export function headerValues({ rows, headers }: Headed, name: HeaderName): readonly string[] {
  const values: string[] = [];
  // Over many cars this is asked more often than anything else.
  for (const row of headers) {
    const header = rows[row] as HeaderRow;
    if (header.name === name && header.value !== '') values.push(header.value);
  }
  return values;
}

/** What a header says of a vehicle or module, in the spelling in which it is compared: blanks and case tell no two apart. */
export function spelledAlike(name: string, value: string): string {
  // A VIN has no blanks.
  return value
    .trim()
    .replace(/\s+/g, name === 'vin' ? '' : ' ')
    .toUpperCase();
}

/** Headers that may be given several times, or whose second one is a problem of what they name. */
const MAY_REPEAT: readonly HeaderName[] = ['note', 'fitted', 'absent', 'profile', 'backup'];

/** Headers that may be given once and are given again with another value. */
export function repeatedHeaders(dump: Headed): readonly PlacedHeader[] {
  const first = new Map<string, string>();
  return headersOf(dump).filter(({ header: { name, value } }) => {
    if (!HEADER_NAMES.some((known) => known === name && !MAY_REPEAT.includes(known)) || value === '') return false;
    const said = spelledAlike(name, value);
    const known = first.get(name);
    if (known === undefined) first.set(name, said);
    return known !== undefined && known !== said;
  });
}

/** The second of two headers that name a file each, where one alone may be named: which one explains or keeps the dump, nobody knows. */
export function doubledFile(dump: Headed): PlacedHeader | undefined {
  return (['profile', 'backup'] as const)
    .map((name) => headersOf(dump).filter(({ header }) => header.name === name && header.value !== '')[1])
    .find((one) => one !== undefined);
}

export function whyDoubled({ header }: PlacedHeader): Phrase {
  return phrase('"@{0}" is given twice, and only one of them can count.', header.name);
}

/** The seals of a dump. One in another spelling proves nothing, and yet somebody has sealed the file. */
export function sealsOf(dump: Headed): readonly PlacedHeader[] {
  return headersOf(dump).filter(({ header }) => isSeal(header));
}

/** Whether headers in lines of their own hold a seal. */
export function holdsSeal(headers: string): boolean {
  return headersIn('headers.cfgdump', headers).some(({ header }) => isSeal(header));
}

/** Whether a dump is sealed, and so is never written. */
export function isSealed(dump: Headed): boolean {
  return sealsOf(dump).length > 0;
}

/** Whether a header is a seal, in whatever spelling. */
export function isSeal({ name, value }: Pick<HeaderRow, 'name' | 'value'>): boolean {
  return name === '' ? /^seal(?:\s|$)/i.test(value) : /^seal$/i.test(name);
}

export function headerValue(dump: Headed, name: HeaderName): string | undefined {
  return headerOf(dump, name)?.header.value;
}

/** The day on which a dump was taken, where its header says it in full. */
export function dayTaken(dump: Headed): string | undefined {
  const taken = headerValue(dump, 'taken')?.trim() ?? '';
  const day = taken.slice(0, 10);
  return isDay(day) && readIsoTime(taken) !== undefined ? day : undefined;
}

/** A text as far as its headers go. */
export function headIn(name: string, text: string): Headed {
  const rows = headersIn(name, text).map(({ header }) => header);
  return { rows, headers: [...rows.keys()] };
}

/**
 * All headers of a text, in order, without reading its records: it is done for each dump of a folder. Every header has
 * an "@", and few other lines do.
 */
export function headersIn(name: string, text: string): readonly PlacedHeader[] {
  if (!text.includes('@')) return [];
  const notation = notationWithHeaders(name, text);
  return splitLines(text).flatMap((line, row) => {
    const header = line.includes('@') ? notation.readRow(line, byteStore((line.length >> 1) + 1)) : undefined;
    return header?.kind === 'header' ? [{ row, header }] : [];
  });
}
