import type { BitField } from '../base/bits.js';
import type { Place } from '../profile/profile.js';
import type { Dump } from './dump.js';
import { isLine } from './dump.js';
import { lastIndexUpTo, rowOfLine } from './layout.js';

/** What a digit of a dump is for. */
export type Role = 'data' | 'option' | 'locked' | 'volatile' | 'balance' | 'sum';

/** A run of digits of one record that are for the same; digits are counted from 0, two for each byte. */
export interface RoleRun {
  readonly role: Role;
  readonly from: number;
  /** Exclusive. */
  readonly to: number;
}

/** Bytes of one row: 0-based, `count` of them. */
interface Stretch {
  readonly row: number;
  readonly byte: number;
  readonly count: number;
}

/**
 * What the digits of the rows from `first` to `last` are for, as a function of the row. Where a digit is more than one
 * thing, what forbids most counts: a sum, then locked, option, volatile, balance place.
 */
export function rolesIn(dump: Dump, first: number, last: number): (row: number) => readonly RoleRun[] {
  const marked = new Map<number, Role[]>();
  const mark = (role: Role, { row, byte, count }: Stretch, bits?: BitField) => {
    if (row < first || row > last) return;
    const digits = marked.get(row) ?? [];
    marked.set(row, digits);
    const [from, to] = digitsOf(byte, count, bits);
    for (let digit = from; digit < to; digit++) digits[digit] = role;
  };
  const { profile, layout } = dump;
  const markPlaces = (role: Role, places: readonly { place: Place; bits?: BitField | undefined }[]) => {
    for (const { place, bits } of places)
      for (const stretch of stretchesOf(layout, place)) mark(role, stretch, place.count === 1 ? bits : undefined);
  };
  markPlaces('balance', profile.balance);
  markPlaces('volatile', profile.volatile);
  markPlaces(
    'option',
    profile.options.flatMap(({ parts }) => parts),
  );
  markPlaces('locked', profile.locked);
  for (const { stored } of dump.totals) for (const cell of stored ?? []) mark('sum', { ...cell, count: 1 });
  return (row) => runsOf(dump, row, marked.get(row));
}

function runsOf(dump: Dump, row: number, marked: readonly Role[] | undefined): readonly RoleRun[] {
  const record = dump.rows[row];
  if (record?.kind !== 'record' || record.count === 0) return [];
  const end = 2 * record.count;
  const sumAt = isLine(dump, row) ? Math.min(end, 2 * (dump.layout.dataCount[row] as number)) : end;
  const runs: RoleRun[] = [];
  if (marked === undefined) {
    if (sumAt > 0) runs.push({ role: 'data', from: 0, to: sumAt });
    if (sumAt < end) runs.push({ role: 'sum', from: sumAt, to: end });
    return runs;
  }
  const roleAt = (digit: number): Role => (digit >= sumAt ? 'sum' : (marked[digit] ?? 'data'));
  for (let from = 0; from < end; ) {
    const role = roleAt(from);
    let to = from + 1;
    while (to < end && roleAt(to) === role) to++;
    runs.push({ role, from, to });
    from = to;
  }
  return runs;
}

/** The digits of some bytes; of one byte only those that hold the named bits. */
function digitsOf(byte: number, count: number, bits: BitField | undefined): readonly [from: number, to: number] {
  const [from, to] = [2 * byte, 2 * (byte + count)];
  if (bits === undefined) return [from, to];
  return [bits.high < 4 ? from + 1 : from, bits.low >= 4 ? to - 1 : to];
}

/** The bytes of a place that the dump has, row by row. */
function* stretchesOf(layout: Dump['layout'], place: Place): Generator<Stretch> {
  const { order, keys, dataCount } = layout;
  if (place.kind === 'line') {
    const row = rowOfLine(layout, place.line);
    if (row !== undefined) yield { row, byte: place.byte - 1, count: place.count };
    return;
  }
  if (layout.kind !== 'image') return;
  const end = place.address + place.count;
  for (let i = Math.max(0, lastIndexUpTo(layout, place.address)); i < order.length; i++) {
    const row = order[i] as number;
    const address = keys[i] as number;
    if (address >= end) return;
    const from = Math.max(address, place.address);
    const to = Math.min(address + (dataCount[row] as number), end);
    if (from < to) yield { row, byte: from - address, count: to - from };
  }
}
