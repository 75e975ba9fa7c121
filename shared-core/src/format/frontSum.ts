import type { Notation } from './notation.js';
import { bytesOf, type Label, type Row } from './row.js';

/**
 * A notation in which the sum of a line is before its data. A record has its data first all the same, so that nobody
 * else need know. `widthOf` says how many bytes the sum of a line has; 0 for others, such as one that holds a total.
 */
export function withFrontSum(notation: Notation, widthOf: (label: Label) => number): Notation {
  return {
    ...notation,
    id: 'pattern',
    blanks: 'kept',
    readRow: (text, store) => {
      const from = store.used;
      const row = notation.readRow(text, store);
      const width = sumIn(row, widthOf);
      if (width > 0) {
        const sum = store.bytes.slice(from, from + width);
        store.bytes.copyWithin(from, from + width, store.used);
        store.bytes.set(sum, store.used - width);
      }
      return row;
    },
    digitPlaces: (row) => {
      const places = notation.digitPlaces(row);
      const width = sumIn(row, widthOf);
      return [...places.slice(2 * width), ...places.slice(0, 2 * width)];
    },
    characters: (row) => {
      const width = sumIn(row, widthOf);
      // The characters stand beside the bytes as they are written.
      const written = Uint8Array.of(...bytesOf(row, row.count - width), ...bytesOf(row, 0, row.count - width));
      const places = notation.characters?.({ ...row, store: written, from: 0 });
      return places && ((byte) => places(byte < row.count - width ? byte + width : byte - row.count + width));
    },
    print: (record, widths) =>
      notation.print(
        record.sum.length === 0 ? record : { ...record, data: Uint8Array.of(...record.sum, ...record.data), sum: NONE },
        widths,
      ),
  };
}

const NONE = new Uint8Array(0);

function sumIn(row: Row, widthOf: (label: Label) => number): number {
  const width = row.kind === 'record' ? widthOf(row.label) : 0;
  return row.kind === 'record' && row.count > width ? width : 0;
}
