import { type Cell, cellKey, presentCells } from '../model/cell.js';
import { doesAgree, readCopies, tiedCells, withTied } from '../model/copies.js';
import type { Dump } from '../model/dump.js';
import { labelOfRow, lastIndexUpTo } from '../model/layout.js';
import { protectedBits } from '../model/protected.js';
import { byteAt } from '../model/totals.js';
import { copiesOfPlace } from '../profile/copiedPlaces.js';
import { partMask } from '../profile/places.js';
import type { AddressRange } from '../profile/profile.js';

/** A byte that may balance. */
export interface FreeCell extends Cell {
  /** Which of its bits may change, where not all of them may. */
  readonly mask?: number;
}

/**
 * The bytes of a line that may balance: data bytes that are not protected and hold no sum. Of a byte that holds an option
 * or protected bits, the other bits are free; those of an option only where the profile lists the byte under "balance".
 * Bytes that hold an option come last.
 */
export function freeCells(dump: Dump, row: number): readonly FreeCell[] {
  return freeOf(dump, cellsOfRow(dump, row, 0, dump.layout.dataCount[row] ?? 0));
}

/** The same of a range of addresses in a memory image. */
export function freeCellsAt(dump: Dump, { from, to }: AddressRange): readonly FreeCell[] {
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

function freeOf(dump: Dump, cells: readonly Cell[]): readonly FreeCell[] {
  const listed = new Set(balanceGroups(dump).flat().map(cellKey));
  const [never, options, copied] = [neverFree(dump), bitsOfOptions(dump, cells), tiedCells(dump)];
  const free = cells.flatMap((cell) => {
    const key = cellKey(cell);
    // Of bytes that are there several times only those balance that the profile lists.
    const unlisted = copied.has(key) ? 0xff : (options.get(key) ?? 0);
    const taken = (never.get(key) ?? 0) | (listed.has(key) ? 0 : unlisted);
    return withMask(cell, 0xff & ~taken);
  });
  const rank = (cell: FreeCell) => {
    if (!options.has(cellKey(cell))) return listed.has(cellKey(cell)) ? 0 : 1;
    return cell.mask === undefined ? 3 : 2;
  };
  return [...free].sort((a, b) => rank(a) - rank(b));
}

function withMask({ row, byte }: Cell, mask: number): readonly FreeCell[] {
  if (mask === 0) return [];
  return [mask === 0xff ? { row, byte } : { row, byte, mask }];
}

/**
 * The profile's balance places as groups of one line each, best first, without protected bytes, sums, and the bytes that
 * are `fixed` in this repair.
 */
export function balanceGroups(dump: Dump, fixed: readonly Cell[] = []): readonly (readonly FreeCell[])[] {
  const { layout, rows, profile } = dump;
  const never = neverFree(dump);
  const kept = new Set([...withTied(dump, fixed), ...apartCells(dump)].map(cellKey));
  const groups = new Map<number, Map<number, FreeCell>>();
  for (const { place } of profile.balance) {
    for (const cell of presentCells(layout, place)) {
      const isData = cell.byte < (layout.dataCount[cell.row] as number) && byteAt(rows, cell) !== undefined;
      if (!isData || kept.has(cellKey(cell))) continue;
      for (const free of withMask(cell, 0xff & ~(never.get(cellKey(cell)) ?? 0))) {
        const group = groups.get(cell.row) ?? new Map<number, FreeCell>();
        groups.set(cell.row, group.set(cellKey(cell), free));
      }
    }
  }
  return [...groups.values()].map((group) => [...group.values()]);
}

/** The keys of those among some bytes that hold bits of an option. */
export function optionCells(dump: Dump, cells: readonly Cell[]): ReadonlySet<number> {
  return new Set(bitsOfOptions(dump, cells).keys());
}

/** Bytes of copies that do not agree, or cannot all be read: nobody can tell what they hold. */
function apartCells(dump: Dump): readonly Cell[] {
  return dump.profile.copies.flatMap((copies) =>
    readCopies(dump, copies)
      .filter((byte) => !doesAgree(byte) || byte.values.includes(undefined))
      .flatMap(({ cells }) => cells.filter((cell) => cell !== undefined)),
  );
}

/** The bits of options in some bytes, by the keys of these. */
function bitsOfOptions({ rows, layout, profile }: Dump, cells: readonly Cell[]): ReadonlyMap<number, number> {
  // A profile may have thousands of options, and only those in these lines matter.
  const lines = new Set([...new Set(cells.map(({ row }) => row))].map((row) => labelOfRow(rows[row])));
  const wanted = new Set(cells.map(cellKey));
  const held = new Map<number, number>();
  for (const part of profile.options.flatMap(({ parts }) => parts)) {
    for (const place of [part.place, ...copiesOfPlace(profile, part.place)]) {
      if (place.kind === 'line' && !lines.has(place.line)) continue;
      for (const key of presentCells(layout, place).map(cellKey))
        if (wanted.has(key)) held.set(key, (held.get(key) ?? 0) | partMask(part));
    }
  }
  return held;
}

/** The bits that no repair takes for balancing, by the keys of their bytes: protected ones, and bytes of stored totals. */
function neverFree(dump: Dump): ReadonlyMap<number, number> {
  const stored = dump.totals.flatMap((total) => total.stored ?? []);
  return new Map([...protectedBits(dump), ...withTied(dump, stored).map((cell) => [cellKey(cell), 0xff] as const)]);
}
