import { contentOf, type Row } from '../../format/row.js';
import { NAMES_OF_SUMS } from '../../format/stray.js';
import { totalLineOf } from '../../format/totalLines.js';

/** A line that is no record and has one group of bytes: it may hold a total. */
export interface PossibleTotal {
  readonly row: number;
  readonly pattern: string;
  readonly bytes: Uint8Array;
  /** Whether a word says that it is a sum, or it is behind all records. */
  readonly isLikely: boolean;
}

/** More lines than these hold no total. */
const MOST = 16;
const LONGEST = 200;

/** One to eight bytes, alone or with blanks between them. */
const BYTES = /(?<![0-9A-Za-z])(0x|\$)?((?:[0-9A-Fa-f]{2})+(?: (?:[0-9A-Fa-f]{2})+)*)(?![0-9A-Za-z])/g;

/** One word and what it is: "xor: 6C". Behind the records a single byte is no number of a page then. */
const ONE_WORD = /^[^0-9A-Za-z]*[A-Za-z]+[^0-9A-Za-z]*(?:0x)?[0-9A-Fa-f]{2}[^0-9A-Za-z]*$/;

/** The rows beside the records that may hold a total, with a pattern for each. */
export function possibleTotals(rows: readonly Row[]): readonly PossibleTotal[] {
  const found: PossibleTotal[] = [];
  const lastRecord = rows.reduce((last, { kind }, row) => (kind === 'record' ? row : last), -1);
  for (const [row, { kind, text }] of rows.entries()) {
    const isOther =
      kind === 'comment' || (kind === 'broken' && rows[row]?.problems.every(({ code }) => code === 'text-unreadable'));
    const line = contentOf(text).trim();
    if (!isOther || line.length > LONGEST || line.startsWith('#')) continue;
    const groups = [...line.matchAll(BYTES)];
    const [match] = groups;
    if (match === undefined || groups.length !== 1) continue;
    const digits = (match[2] ?? '').replaceAll(' ', '');
    const count = digits.length / 2;
    const isBehind = row > lastRecord;
    if (count > 8 || (count < 2 && !NAMES_OF_SUMS.test(line) && !(isBehind && ONE_WORD.test(line)))) continue;
    const start = match.index + (match[1]?.length ?? 0);
    const pattern = inOneBlank(`${line.slice(0, start)}{data}${line.slice(match.index + match[0].length)}`);
    if (!totalLineOf(pattern, 'total').ok) continue;
    const bytes = Uint8Array.from(digits.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));
    found.push({ row, pattern, bytes, isLikely: NAMES_OF_SUMS.test(line) || isBehind });
  }
  return found.slice(-MOST);
}

function inOneBlank(text: string): string {
  return text.replace(/\s+/g, ' ');
}
