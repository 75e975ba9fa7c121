import { createHash } from 'node:crypto';
import type { ProfileJson } from './profileJson.js';

export type FormId = 'dump-text' | 'pattern' | 'pattern-of-two' | 'intel-hex' | 's-record';

export type Label = number | string;

/** A record of a text. `bytes` is undefined where they cannot be read. */
export interface OracleRecord {
  readonly row: number;
  readonly label: Label;
  /** Of an image: the type of the record. */
  readonly type?: number;
  readonly bytes: readonly number[] | undefined;
  /** Of an image: where the first data byte belongs; undefined for records that hold no data. */
  readonly address?: number;
}

/** What the oracle reads in a text. */
export interface OracleDump {
  readonly form: FormId;
  readonly headers: ReadonlyMap<string, string>;
  readonly records: readonly OracleRecord[];
}

/** The form in which the texts of a profile are written. */
export function formOf({ notation, addresses }: ProfileJson): FormId {
  if (typeof notation === 'object') return notation.pattern === PATTERN_OF_TWO ? 'pattern-of-two' : 'pattern';
  if (notation === 'intel-hex' || notation === 's-record') return notation;
  return addresses === undefined ? 'dump-text' : 'intel-hex';
}

/** The one pattern of the fixtures, for which the oracle has a reader of its own. */
export const PATTERN = '<{label:hex}> {data} = {sum} ;{skip}';
/** The same for labels of two numbers, the first of them in hex. */
export const PATTERN_OF_TWO = '<{label:hex}.{label}> {data} = {sum} ;{skip}';
const PATTERN_LINE = /^\s*<\s*([0-9a-f]+)\s*>\s*([^=]*?)\s*=\s*([^;]*?)\s*;.*$/i;
const PATTERN_OF_TWO_LINE =
  /^\s*<\s*([0-9a-f]{1,8})\s*\.\s*(\d{1,10}|0x[0-9a-f]{1,8})\s*>\s*([^=]*?)\s*=\s*([^;]*?)\s*;.*$/i;

export function readText(text: string, form: FormId): OracleDump {
  const headers = new Map<string, string>();
  const records: OracleRecord[] = [];
  let base = 0;
  for (const [row, raw] of text
    .replace(/^\ufeff/, '')
    .split(/\r\n|\n|\r/)
    .entries()) {
    const line = raw.trim();
    const header = (form === 'dump-text' ? /^@(\S+)\s*(.*)$/ : /^[;#]?\s*@(\S+)\s*(.*)$/).exec(line);
    if (header !== null) {
      const [, name = '', value = ''] = header;
      if (!headers.has(name)) headers.set(name, value.trim());
    } else if (form === 'dump-text') {
      const [, label, bytes = ''] = /^([\w.-]+)\s*:([^#]*)/.exec(line) ?? [];
      if (label !== undefined && !line.startsWith('#'))
        records.push({ row, label: labelOf(label), bytes: pairsOf(bytes.replace('|', ' ')) });
    } else if (form === 'pattern') {
      const [, label, data = '', sum = ''] = PATTERN_LINE.exec(line) ?? [];
      if (label !== undefined)
        records.push({ row, label: Number.parseInt(label, 16), bytes: pairsOf(`${data} ${sum}`) });
    } else if (form === 'pattern-of-two') {
      const [, first, second = '', data = '', sum = ''] = PATTERN_OF_TWO_LINE.exec(line) ?? [];
      const label = `${Number.parseInt(first ?? '', 16)}-${Number(second)}`;
      if (first !== undefined) records.push({ row, label, bytes: pairsOf(`${data} ${sum}`) });
    } else if (form === 'intel-hex') {
      const record = intelHexRecord(row, line, base);
      if (record?.type === 4) base = ((record.bytes?.[0] ?? 0) * 256 + (record.bytes?.[1] ?? 0)) * 0x10000;
      if (record?.type === 2) base = ((record.bytes?.[0] ?? 0) * 256 + (record.bytes?.[1] ?? 0)) * 16;
      if (record !== undefined) records.push(record);
    } else {
      const record = sRecord(row, line);
      if (record !== undefined) records.push(record);
    }
  }
  return { form, headers, records };
}

function labelOf(written: string): Label {
  return /^(?:\d+|0x[0-9a-f]+)$/i.test(written) ? Number(written) : written;
}

/** Bytes of hex digits in pairs, blanks between them at will; undefined where they are none. */
function pairsOf(text: string): readonly number[] | undefined {
  const groups = text.trim().split(/\s+/).filter(Boolean);
  if (!groups.every((group) => /^(?:[0-9a-f]{2})+$/i.test(group))) return undefined;
  return (groups.join('').match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16));
}

function intelHexRecord(row: number, line: string, base: number): OracleRecord | undefined {
  if (!line.startsWith(':')) return undefined;
  const [count = Number.NaN, high = 0, low = 0, type = Number.NaN, ...bytes] = pairsOf(line.slice(1)) ?? [];
  const label = high * 256 + low;
  if (bytes.length !== count + 1) return { row, label, bytes: undefined };
  return { row, label, type, bytes, ...(type === 0 && { address: base + label }) };
}

function sRecord(row: number, line: string): OracleRecord | undefined {
  const kind = /^S([0-9])/i.exec(line)?.[1];
  if (kind === undefined) return undefined;
  const type = Number(kind);
  const [count, ...rest] = pairsOf(line.slice(2)) ?? [];
  const wide = { 2: 3, 6: 3, 8: 3, 3: 4, 7: 4 }[type] ?? 2;
  const label = rest.slice(0, wide).reduce((all, byte) => all * 256 + byte, 0);
  if (count === undefined || rest.length !== count || count <= wide) return { row, label, bytes: undefined };
  const isData = type >= 1 && type <= 3;
  return { row, label, type, bytes: rest.slice(wide), ...(isData && { address: label }) };
}

/** Whether the sum that a record of an image ends in is right. */
export function recordSumIsRight({ form }: OracleDump, record: OracleRecord): boolean {
  const { label, type, bytes } = record;
  if (bytes === undefined || type === undefined) return false;
  const number = Number(label);
  const add = (all: number, byte: number) => (all + byte) % 256;
  if (form === 'intel-hex')
    return [bytes.length - 1, Math.floor(number / 256), number % 256, type, ...bytes].reduce(add, 0) === 0;
  const wide = { 2: 3, 6: 3, 8: 3, 3: 4, 7: 4 }[type] ?? 2;
  const address = Array.from({ length: wide }, (_, i) => Math.floor(number / 256 ** (wide - 1 - i)) % 256);
  return [wide + bytes.length, ...address, ...bytes].reduce(add, 0) === 0xff;
}

/** SHA-256 over the canonical text of all records, as `@seal` holds it. */
export function sealOfText(text: string, form: FormId): string {
  const hash = createHash('sha256');
  for (const { label, type, bytes } of readText(text, form).records) {
    if (bytes === undefined) continue;
    const hex = Buffer.from(bytes).toString('hex').toUpperCase();
    hash.update(`${type === undefined ? '' : `${type}/`}${label}:${hex}\n`);
  }
  return `sha256:${hash.digest('hex')}`;
}
