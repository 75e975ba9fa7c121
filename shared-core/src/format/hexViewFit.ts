import { HEX_VIEW_TYPE, hexViewShape, readHexViewRow } from './hexViewRow.js';
import { byteStore, type Fit } from './notation.js';
import { tellingLines } from './pairs.js';
import { bytesOf, type RecordRow } from './row.js';

interface ListedRow {
  readonly row: RecordRow;
  /** Behind `*`, or at the end of a text of which the middle was not looked at. */
  readonly isApart: boolean;
}

/**
 * Whether a text is what a viewer of bytes prints: all rows are of one kind, the characters beside the bytes are theirs,
 * and the addresses are hex. Read as decimal or octal they would follow each other as well, so that nothing else is sure.
 */
export function fitsHexView(text: string): Fit {
  const { head, tail } = tellingLines(text);
  const lines = [...head, ...tail];
  const rows: ListedRow[] = [];
  for (const [i, line] of lines.entries()) {
    if (line.trim() === '*') continue;
    const row = readHexViewRow(line, byteStore(line.length));
    if (row.kind !== 'record' || row.problems.length > 0) return 'no';
    rows.push({ row, isApart: i === head.length || (i > 0 && lines[i - 1]?.trim() === '*') });
  }
  const data = rows.filter(({ row }) => row.type !== HEX_VIEW_TYPE.end);
  const type = data[0]?.row.type;
  if (type === undefined || data.some(({ row }) => row.type !== type)) return 'no';
  const hasCharacters = data.every(({ row }) => hexViewShape(row.text)?.characters !== undefined || isBlank(row));
  if (type === HEX_VIEW_TYPE.xxd && !hasCharacters) return 'no';
  if (follow(rows, 16)) return 'yes';
  return hasCharacters && !follow(rows, 10) && !follow(rows, 8) && rises(rows) ? 'yes' : 'no';
}

/** Whether each row begins where the one before ends, with addresses read to a base. */
function follow(rows: readonly ListedRow[], base: number): boolean {
  return rows.every(({ row, isApart }, i) => {
    const before = rows[i - 1]?.row;
    return before === undefined || isApart || addressOf(row, base) === addressOf(before, base) + before.count;
  });
}

function rises(rows: readonly ListedRow[]): boolean {
  return rows.every(({ row }, i) => {
    const before = rows[i - 1]?.row;
    return before === undefined || Number(row.label) >= Number(before.label) + before.count;
  });
}

/** Whether all characters of a row are blanks, which editors take away at the ends of lines. */
function isBlank(row: RecordRow): boolean {
  return bytesOf(row).every((byte) => byte === 0x20);
}

function addressOf({ text }: RecordRow, base: number): number {
  const digits = /^\s*([0-9A-F]+)/i.exec(text)?.[1] ?? '';
  const isOfBase = (base === 8 ? /^[0-7]+$/ : base === 10 ? /^\d+$/ : /./).test(digits);
  return isOfBase ? Number.parseInt(digits, base) : Number.NaN;
}
