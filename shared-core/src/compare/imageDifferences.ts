import { hex } from '../bytes/hex.js';
import { addressCell } from '../dump/cell.js';
import type { Dump } from '../dump/dump.js';
import { byteAt } from '../dump/totals.js';
import { recordName } from '../notation/row.js';
import type { RawDifference, RawDifferences } from './reasons.js';

/** What differs between two memory images: by address, as the same bytes can be cut into records in many ways. */
export function imageDifferences(before: Dump, after: Dump): RawDifferences {
  const raw: RawDifference[] = [];
  const onlyAfter: string[] = [];
  const { order, keys, dataCount } = after.layout;
  order.forEach((afterRow, index) => {
    const address = keys[index] as number;
    const count = dataCount[afterRow] as number;
    let beforeRow: number | undefined;
    let lacks: number | undefined;
    for (let byte = 0; byte < count; byte++) {
      const there = addressCell(before.layout, address + byte);
      if (there === undefined) {
        lacks ??= address + byte;
        continue;
      }
      beforeRow ??= there.row;
      const was = byteAt(before.rows, there);
      const now = byteAt(after.rows, { row: afterRow, byte });
      if (was !== undefined && now !== undefined && was !== now)
        raw.push({ beforeRow: there.row, afterRow, byte, was, now });
    }
    if (lacks !== undefined) onlyAfter.push(hex(lacks, 4));
    if (beforeRow !== undefined) raw.push(...sumDifference(before, beforeRow, after, afterRow, address));
  });
  return { raw, onlyBefore: addressesOnlyIn(before, after), onlyAfter, uncompared: unread(before, after) };
}

/** Sums are compared where both images have a record of the same length at the same address. */
function sumDifference(
  before: Dump,
  beforeRow: number,
  after: Dump,
  afterRow: number,
  address: number,
): RawDifference[] {
  const byte = after.layout.dataCount[afterRow] as number;
  const first = addressCell(before.layout, address);
  if (first?.row !== beforeRow || first.byte !== 0 || before.layout.dataCount[beforeRow] !== byte) return [];
  const was = byteAt(before.rows, { row: beforeRow, byte });
  const now = byteAt(after.rows, { row: afterRow, byte });
  return was === undefined || now === undefined || was === now ? [] : [{ beforeRow, afterRow, byte, was, now }];
}

/** Of each record the first address that the other image does not hold. */
function addressesOnlyIn({ layout }: Dump, other: Dump): string[] {
  return [...layout.order].flatMap((row, index) => {
    const from = layout.keys[index] as number;
    for (let at = from; at < from + (layout.dataCount[row] as number); at++)
      if (addressCell(other.layout, at) === undefined) return hex(at, 4);
    return [];
  });
}

function unread(...dumps: readonly Dump[]): string[] {
  const names = dumps.flatMap(({ rows, troubled }) =>
    troubled.flatMap((row) => {
      const found = rows[row];
      if (found?.kind !== 'broken') return [];
      return found.label === undefined ? String(row + 1) : hex(Number(found.label), 4);
    }),
  );
  return [...new Set(names)];
}

/** What a record of an image is called: its address with the base of the records before it. */
export function imageLabel({ rows, layout }: Dump, row: number): string {
  const at = layout.order.indexOf(row);
  const record = rows[row];
  if (at >= 0) return hex(layout.keys[at] as number, 4);
  return record?.kind === 'record' ? String(recordName(record)) : '';
}
