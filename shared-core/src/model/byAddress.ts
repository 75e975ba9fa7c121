import { lowerBound } from '../base/lowerBound.js';
import { byteOf } from '../format/row.js';
import type { AddressRange } from '../profile/profile.js';
import type { Dump } from './dump.js';
import { labelOfRow } from './layout.js';

/** Bytes at successive addresses that stand in one row from its byte `byte` (0-based) on. */
export interface AddressSpan {
  readonly address: number;
  readonly count: number;
  readonly row: number;
  readonly byte: number;
}

/** A dump as bytes at addresses. */
export interface AddressView {
  /** In the order of the addresses; no two of them share one. */
  readonly spans: readonly AddressSpan[];
  /** Addresses whose bytes are in doubt: their row cannot be read, or several rows hold them. */
  readonly unsure: readonly AddressRange[];
  /** Rows of which not even the address is known. */
  readonly unplaced: number;
}

/**
 * A memory image by its addresses; of a dump in lines, labels of one number are taken for addresses. `withSums`: the sums
 * of its lines lie at the addresses behind their data, as in raw bytes.
 */
export function viewByAddress({ rows, layout }: Pick<Dump, 'rows' | 'layout'>, withSums = false): AddressView {
  const { order, keys, dataCount } = layout;
  const sumCount = (row: number) => (withSums && layout.kind === 'lines' ? layout.sumCountOf(row) : 0);
  const spans: AddressSpan[] = [];
  const unsure: AddressRange[] = [];
  let reached = Number.NEGATIVE_INFINITY;
  let unplaced =
    layout.kind === 'image' ? rows.filter((row) => row.kind === 'broken' && row.head === undefined).length : 0;
  for (let i = 0; i < order.length; i++) {
    const row = order[i] as number;
    if (layout.kind === 'lines' && typeof labelOfRow(rows[row]) !== 'number') {
      unplaced++;
      continue;
    }
    const first = keys[i] as number;
    const end = first + (dataCount[row] as number) + sumCount(row);
    if (rows[row]?.kind !== 'record') unsure.push({ from: first, to: end - 1 });
    if (first < reached) unsure.push({ from: first, to: Math.min(end, reached) - 1 });
    const address = Math.max(first, reached);
    if (address < end) spans.push({ address, count: end - address, row, byte: address - first });
    reached = Math.max(reached, end);
  }
  return { spans, unsure, unplaced };
}

/** The one of some stretches, in the order of their addresses, that holds an address. */
export function spanAt<Span extends Pick<AddressSpan, 'address' | 'count'>>(
  spans: readonly Span[],
  address: number,
): Span | undefined {
  const endOf = ({ address: first, count }: Span) => first + count;
  const span = spans[lowerBound(spans.length, (at) => endOf(spans[at] as Span) <= address)];
  return span !== undefined && span.address <= address ? span : undefined;
}

/** The byte at an address of a dump; undefined where there is none, or it cannot be read. */
export function byteAtAddress({ rows }: Pick<Dump, 'rows'>, view: AddressView, address: number): number | undefined {
  const span = spanAt(view.spans, address);
  if (span === undefined) return undefined;
  const record = rows[span.row];
  return record?.kind === 'record' ? byteOf(record, span.byte + address - span.address) : undefined;
}

export function isWithin(ranges: readonly AddressRange[], address: number): boolean {
  return ranges.some(({ from, to }) => address >= from && address <= to);
}
