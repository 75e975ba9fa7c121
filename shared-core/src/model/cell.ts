import { lowerBound } from '../base/lowerBound.js';
import type { Label } from '../format/row.js';
import type { Option, Place } from '../profile/profile.js';
import { type Layout, lastIndexUpTo, orderIndexOf, rowOfLine } from './layout.js';

/** One byte of a dump: 0-based row of the text, 0-based byte of that row's record (data bytes, then sum bytes). */
export interface Cell {
  readonly row: number;
  readonly byte: number;
}

/** Where each byte of a place of the profile is in this dump; undefined for each that the dump does not have. */
export function placeCells(layout: Layout, place: Place): readonly (Cell | undefined)[] {
  return Array.from({ length: place.count }, (_, i) =>
    place.kind === 'line' ? lineCell(layout, place.line, place.byte + i) : addressCell(layout, place.address + i),
  );
}

/** The bytes of a place that this dump has. */
export function presentCells(layout: Layout, place: Place): readonly Cell[] {
  return placeCells(layout, place).filter((cell) => cell !== undefined);
}

/** The bytes of an option that this dump has. */
export function cellsOfOption(layout: Layout, { parts }: Option): readonly Cell[] {
  return parts.flatMap(({ place }) => presentCells(layout, place));
}

/** How many bytes of a place this dump has. */
export function presentBytes(layout: Layout, place: Place): number {
  if (place.kind === 'line') {
    const last = lineCell(layout, place.line, place.byte + place.count - 1);
    return last === undefined ? presentCells(layout, place).length : place.count;
  }
  if (layout.kind !== 'image') return 0;
  const end = place.address + place.count;
  let [present, reached] = [0, place.address];
  for (let i = Math.max(0, lastIndexUpTo(layout, place.address)); i < layout.order.length; i++) {
    const from = Math.max(reached, layout.keys[i] as number);
    const to = Math.min(end, (layout.keys[i] as number) + (layout.dataCount[layout.order[i] as number] as number));
    if (from >= end) break;
    present += Math.max(0, to - from);
    reached = Math.max(reached, to);
  }
  return present;
}

/** All bytes of a place; undefined where the dump does not have every one of them. */
export function wholePlace(layout: Layout, place: Place): readonly Cell[] | undefined {
  const cells = presentCells(layout, place);
  return cells.length === place.count ? cells : undefined;
}

/** The byte of a line as people count, from 1. */
export function lineCell(layout: Layout, line: Label, byte: number): Cell | undefined {
  const row = rowOfLine(layout, line);
  return row !== undefined && byte >= 1 && byte <= (layout.dataCount[row] as number) + layout.sumCountOf(row)
    ? { row, byte: byte - 1 }
    : undefined;
}

export function addressCell(layout: Layout, address: number): Cell | undefined {
  const index = layout.kind === 'image' ? orderIndexOf(layout, address) : -1;
  const row = layout.order[index];
  return row === undefined ? undefined : { row, byte: address - (layout.keys[index] as number) };
}

/** The address of a byte of a memory image; undefined in a dump in lines, and for rows that hold no data. */
export function addressOf({ kind, order, keys }: Layout, { row, byte }: Cell): number | undefined {
  if (kind !== 'image') return undefined;
  // Records stand in the order of their addresses as a rule: thousands of them are asked for one after the other.
  const near = lowerBound(order.length, (i) => (order[i] as number) < row);
  const at = order[near] === row ? near : order.indexOf(row);
  return at < 0 ? undefined : (keys[at] as number) + byte;
}

/** A whole number for each cell, for sets and maps. */
export function cellKey(cell: Cell): number {
  return cell.row * 0x10000 + cell.byte;
}
