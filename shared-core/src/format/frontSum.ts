import type { Notation } from './notation.js';
import type { Label, Row } from './row.js';

/**
 * A notation in which the sum of a line is before its data. A record has its data first all the same, so that nobody
 * else need know. `isLine` tells the lines that have a sum from others, such as one that holds a total.
 */
export function withFrontSum(notation: Notation, width: number, isLine: (label: Label) => boolean): Notation {
  return {
    ...notation,
    id: 'pattern',
    blanks: 'kept',
    readRow: (text, store) => {
      const from = store.used;
      const row = notation.readRow(text, store);
      if (isSummed(row, width, isLine)) {
        const sum = store.bytes.slice(from, from + width);
        store.bytes.copyWithin(from, from + width, store.used);
        store.bytes.set(sum, store.used - width);
      }
      return row;
    },
    digitPlaces: (row) => {
      const places = notation.digitPlaces(row);
      return isSummed(row, width, isLine) ? [...places.slice(2 * width), ...places.slice(0, 2 * width)] : places;
    },
    characters: (row) => {
      const places = notation.characters?.(row);
      if (places === undefined || !isSummed(row, width, isLine)) return places;
      return (byte) => places(byte < row.count - width ? byte + width : byte - row.count + width);
    },
    print: (record) =>
      notation.print(
        record.sum.length === 0 ? record : { ...record, data: Uint8Array.of(...record.sum, ...record.data), sum: NONE },
      ),
  };
}

const NONE = new Uint8Array(0);

function isSummed(row: Row, width: number, isLine: (label: Label) => boolean): boolean {
  return row.kind === 'record' && row.count > width && isLine(row.label);
}
