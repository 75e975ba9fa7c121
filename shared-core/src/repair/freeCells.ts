import { type Cell, cellKey, presentCells } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { labelOfRow, lastIndexUpTo } from '../model/layout.js';
import { protectedCells } from '../model/protected.js';
import { byteAt } from '../model/totals.js';
import type { AddressRange } from '../profile/profile.js';

/**
 * The bytes of a line that may balance: data bytes that are not protected and hold no sum. A byte that holds an option
 * is among them only where the profile lists it under "balance"; such bytes come last.
 */
export function freeCells(dump: Dump, row: number): readonly Cell[] {
  return freeOf(dump, cellsOfRow(dump, row, 0, dump.layout.dataCount[row] ?? 0));
}

/** The same of a range of addresses in a memory image. */
export function freeCellsAt(dump: Dump, { from, to }: AddressRange): readonly Cell[] {
  const { kind, order, keys, dataCount } = dump.layout;
  if (kind !== 'image') return [];
  const cells: Cell[] = [];
  for (let i = Math.max(0, lastIndexUpTo(dump.layout, from)); i < order.length && (keys[i] as number) <= to; i++) {
    const [row, key] = [order[i] as number, keys[i] as number];
    cells.push(...cellsOfRow(dump, row, Math.max(0, from - key), Math.min(dataCount[row] as number, to + 1 - key)));
  }
  return freeOf(dump, cells);
}

/** "1F0..1FF" or "0x1F0-0x1FF" or one address alone, in hex; undefined for any other text. */
export function readAddressRange(text: string): AddressRange | undefined {
  const match = /^\s*(?:0x)?([0-9a-f]{1,8})(?:\s*(?:\.\.+|[-\u2013\u2026])\s*(?:0x)?([0-9a-f]{1,8}))?\s*$/i.exec(text);
  const from = Number.parseInt(match?.[1] ?? '', 16);
  const to = Number.parseInt(match?.[2] ?? match?.[1] ?? '', 16);
  return from <= to ? { from, to } : undefined;
}

function cellsOfRow(dump: Dump, row: number, from: number, end: number): readonly Cell[] {
  return Array.from({ length: Math.max(0, end - from) }, (_, i) => ({ row, byte: from + i })).filter(
    (cell) => byteAt(dump.rows, cell) !== undefined,
  );
}

function freeOf(dump: Dump, cells: readonly Cell[]): readonly Cell[] {
  const listed = new Set(balanceGroups(dump).flat().map(cellKey));
  const [mayNever, options] = [neverFree(dump), optionCells(dump, cells)];
  const free = cells.filter((cell) => {
    const key = cellKey(cell);
    return !mayNever.has(key) && (listed.has(key) || !options.has(key));
  });
  const rank = (cell: Cell) => (options.has(cellKey(cell)) ? 2 : listed.has(cellKey(cell)) ? 0 : 1);
  return [...free].sort((a, b) => rank(a) - rank(b));
}

/**
 * The profile's balance places as groups of one line each, best first, without protected bytes, sums, and the bytes that
 * are `fixed` in this repair.
 */
export function balanceGroups(dump: Dump, fixed: readonly Cell[] = []): readonly (readonly Cell[])[] {
  const { layout, rows, profile } = dump;
  const mayNever = new Set([...neverFree(dump), ...fixed.map(cellKey)]);
  const groups = new Map<number, Map<number, Cell>>();
  for (const { place } of profile.balance) {
    for (const cell of presentCells(layout, place)) {
      const isData = cell.byte < (layout.dataCount[cell.row] as number) && byteAt(rows, cell) !== undefined;
      if (!isData || mayNever.has(cellKey(cell))) continue;
      const group = groups.get(cell.row) ?? new Map<number, Cell>();
      groups.set(cell.row, group.set(cellKey(cell), cell));
    }
  }
  return [...groups.values()].map((group) => [...group.values()]);
}

/** The keys of those among some bytes that hold bits of an option. */
export function optionCells({ rows, layout, profile }: Dump, cells: readonly Cell[]): ReadonlySet<number> {
  // A profile may have thousands of options, and only those in these lines matter.
  const lines = new Set([...new Set(cells.map(({ row }) => row))].map((row) => labelOfRow(rows[row])));
  const near = profile.options
    .flatMap(({ parts }) => parts)
    .filter(({ place }) => place.kind === 'address' || lines.has(place.line));
  const held = new Set(near.flatMap(({ place }) => presentCells(layout, place).map(cellKey)));
  return new Set(cells.map(cellKey).filter((key) => held.has(key)));
}

/** The keys of bytes that no repair takes for balancing: those that are protected, those of stored totals, and copies. */
function neverFree(dump: Dump): ReadonlySet<number> {
  const { layout, profile, totals } = dump;
  const copied = profile.copies.flatMap(({ places }) => places.flat()).flatMap((run) => presentCells(layout, run));
  const stored = totals.flatMap((total) => total.stored ?? []);
  return new Set([...protectedCells(dump), ...[...stored, ...copied].map(cellKey)]);
}
