import { hex } from '../../base/hex.js';
import { type Phrase, phrase } from '../../base/phrase.js';
import { sumBytesOf } from '../../format/imageForm.js';
import { byteOf } from '../../format/row.js';
import { addressOf, type Cell } from '../../model/cell.js';
import type { Dump } from '../../model/dump.js';
import { labelOfRow } from '../../model/layout.js';
import { lineCalled } from '../../model/lineName.js';

/** Bytes of a dump one after the other, as somebody may look through them. */
export interface AddressedBytes {
  readonly bytes: Uint8Array;
  readonly cellAt: (index: number) => Cell;
  readonly nameOf: (index: number) => Phrase;
}

/**
 * The bytes of a dump in the orders in which a text may run through them: the data by labels or addresses, so that it
 * goes on from line to line, and all records as they are in the file, without and with their sums.
 */
export function bytesInOrders(dump: Dump): readonly AddressedBytes[] {
  const { rows, layout, notation } = dump;
  const inFile = rows.flatMap((row, at) => (row.kind === 'record' ? at : []));
  const ofImage = sumBytesOf(notation);
  const dataOf = (row: number) => {
    const record = rows[row];
    if (record?.kind !== 'record') return 0;
    return Math.max(0, record.count - (layout.kind === 'image' ? ofImage : layout.sumCountOf(row)));
  };
  const wholeOf = (row: number) => {
    const record = rows[row];
    return record?.kind === 'record' ? record.count : 0;
  };
  return [inRows(dump, Array.from(layout.order), dataOf), inRows(dump, inFile, dataOf), inRows(dump, inFile, wholeOf)];
}

function inRows(dump: Dump, order: readonly number[], countOf: (row: number) => number): AddressedBytes {
  const { rows } = dump;
  const starts: number[] = [];
  let length = 0;
  for (const row of order) {
    starts.push(length);
    length += countOf(row);
  }
  const bytes = new Uint8Array(length);
  for (const [i, row] of order.entries()) {
    const record = rows[row];
    const count = countOf(row);
    for (let byte = 0; record?.kind === 'record' && byte < count; byte++)
      bytes[(starts[i] as number) + byte] = byteOf(record, byte);
  }
  const cellAt = (index: number): Cell => {
    let [low, high] = [0, starts.length - 1];
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((starts[middle] as number) <= index) low = middle;
      else high = middle - 1;
    }
    return { row: order[low] ?? 0, byte: index - (starts[low] ?? 0) };
  };
  return { bytes, cellAt, nameOf: (index) => nameOfCell(dump, cellAt(index)) };
}

/** What people call a byte of a dump. */
function nameOfCell(dump: Dump, cell: Cell): Phrase {
  // The sum of a record of an image is at no address.
  const isData = cell.byte < (dump.layout.dataCount[cell.row] ?? 0);
  const address = isData ? addressOf(dump.layout, cell) : undefined;
  if (address !== undefined) return phrase('Address {0}', hex(address, 4));
  const label = labelOfRow(dump.rows[cell.row]);
  return label === undefined || dump.layout.kind === 'image'
    ? phrase('Row {0}, byte {1}', cell.row + 1, cell.byte + 1)
    : phrase('Line {0}, byte {1}', lineCalled(dump, cell.row), cell.byte + 1);
}
