import { bytesOf, type RecordRow, type Row } from '../../format/row.js';
import type { LineToLearn } from '../learnSums/line.js';

/** The records of one text, sorted into lines with numbers and others. */
export interface RecordsOfText {
  readonly name: string;
  /** In rising order of labels. */
  readonly lines: readonly { readonly label: number; readonly bytes: Uint8Array }[];
  readonly others: readonly { readonly label: number | string; readonly bytes: Uint8Array }[];
  /** What the header says the module's number is. */
  readonly module: number | undefined;
}

/**
 * Which records are the lines of the dump, and which stand beside them. Lines have numbers; one at the very end that is
 * much shorter than the others holds a sum over them rather than data.
 */
export function recordsOf(name: string, rows: readonly Row[]): RecordsOfText {
  const records = rows.filter((row): row is RecordRow => row.kind === 'record' && row.count > 0);
  const numbered = records.flatMap((row) =>
    typeof row.label === 'number' ? [{ label: row.label, bytes: bytesOf(row) }] : [],
  );
  const words = records.flatMap((row) =>
    typeof row.label === 'string' ? [{ label: row.label, bytes: bytesOf(row) }] : [],
  );
  const first = new Map<number, { label: number; bytes: Uint8Array }>();
  for (const line of numbered) if (!first.has(line.label)) first.set(line.label, line);
  const lines = [...first.values()].sort((a, b) => a.label - b.label);
  const last = lines.at(-1);
  const beside = last !== undefined && lines.length > 2 && isShort(last, lines) ? lines.splice(-1) : [];
  return { name, lines, others: [...words, ...beside], module: moduleOf(rows) };
}

function isShort(last: { bytes: Uint8Array }, lines: readonly { bytes: Uint8Array }[]): boolean {
  return last.bytes.length <= 4 && lines.slice(0, -1).every(({ bytes }) => bytes.length > last.bytes.length);
}

function moduleOf(rows: readonly Row[]): number | undefined {
  const header = rows.find((row) => row.kind === 'header' && row.name === 'module');
  const value = header?.kind === 'header' ? header.value : '';
  return /^(?:0x[0-9a-f]{1,4}|\d{1,5})$/i.test(value) && Number(value) <= 0xffff ? Number(value) : undefined;
}

/** Dumps of one shape: the same labels, and as many bytes in each line. */
export interface ShapeGroup {
  readonly dumps: readonly RecordsOfText[];
}

/** The texts by shape, those of most texts first. */
export function byShape(texts: readonly RecordsOfText[]): readonly ShapeGroup[] {
  const groups = new Map<string, RecordsOfText[]>();
  for (const text of texts) {
    const shape = text.lines.map(({ label, bytes }) => `${label}:${bytes.length}`).join(' ');
    groups.set(shape, [...(groups.get(shape) ?? []), text]);
  }
  return [...groups.values()].sort((a, b) => b.length - a.length).map((dumps) => ({ dumps }));
}

export function linesOf(dumps: readonly RecordsOfText[]): readonly LineToLearn[] {
  return dumps.flatMap(({ lines }, dump) => lines.map(({ label, bytes }) => ({ dump, label, bytes })));
}
