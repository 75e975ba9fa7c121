import type { BitField } from '../base/bits.js';
import type { RowSpan, Span } from '../base/span.js';
import type { RecordRow } from '../format/row.js';
import type { Cell } from './cell.js';
import type { Dump } from './dump.js';

type Placed = Pick<Dump, 'rows' | 'notation'>;

/** Where `count` bytes of a record stand in the text, from the first digit to the last; undefined where the row holds fewer. */
export function bytesSpan({ rows, notation }: Placed, row: number, byte: number, count: number): RowSpan | undefined {
  const record = rows[row];
  if (record?.kind !== 'record' || count === 0) return undefined;
  const places = notation.digitPlaces(record);
  const start = places[2 * byte];
  const end = places[2 * (byte + count) - 1];
  if (start === undefined || end === undefined) return undefined;
  // The sum of a record may be before its data, and the bytes of a word in another order than their addresses.
  const [from, to] = [2 * byte, notation.word === undefined ? 2 * byte : 2 * (byte + count)];
  return { row, ...hull(places.slice(from, to), { start: Math.min(start, end), end: Math.max(start, end) + 1 }) };
}

/** A span that is made so wide that it holds the digits at some places too. */
function hull(places: readonly number[], span: Span): Span {
  return places.reduce(
    ({ start, end }, place) => ({ start: Math.min(start, place), end: Math.max(end, place + 1) }),
    span,
  );
}

/** Where one byte stands: both digits, or the one digit that holds all the named bits. */
export function cellSpan(dump: Placed, { row, byte }: Cell, bits?: BitField): RowSpan | undefined {
  const span = bytesSpan(dump, row, byte, 1);
  if (span === undefined || bits === undefined || span.end - span.start !== 2) return span;
  if (bits.low >= 4) return { ...span, end: span.start + 1 };
  return bits.high < 4 ? { ...span, start: span.start + 1 } : span;
}

/** Where the label of a row stands, or the whole content of the row where it has none. */
export function labelSpanOf({ rows, notation }: Placed, row: number): RowSpan {
  const found = rows[row];
  const span = found && notation.labelSpan(found);
  return { row, ...(span ?? { start: 0, end: found?.text.trimEnd().length ?? 0 }) };
}

/** The byte of a record on or after which a column stands (a cursor between two digits belongs to the byte). */
export function byteAtColumn(
  { notation }: Pick<Dump, 'notation'>,
  record: RecordRow,
  column: number,
): number | undefined {
  const places = notation.digitPlaces(record);
  for (let byte = 0; 2 * byte < places.length; byte++) {
    if (column >= (places[2 * byte] as number) && column <= (places[2 * byte + 1] as number) + 1) {
      // Right behind a byte that the next one touches, the cursor belongs to the next.
      const next = places[2 * byte + 2];
      return next === column ? byte + 1 : byte;
    }
  }
  return undefined;
}
