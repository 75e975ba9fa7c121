import { addressCell, type Cell, cellKey, presentCells } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { byteAt } from '../model/totals.js';
import type { AddressRange } from '../profile/profile.js';
import { isSecured } from '../profile/secured.js';

/** The bytes of a line that may take up a difference: data that is not locked, holds no option and no sum, and does not change by itself. */
export function freeCells(dump: Dump, row: number): readonly Cell[] {
  return freeOf(
    dump,
    Array.from({ length: dump.layout.dataCount[row] ?? 0 }, (_, byte) => ({ row, byte })),
  );
}

/** The same of a range of addresses in a memory image. */
export function freeCellsAt(dump: Dump, { from, to }: AddressRange): readonly Cell[] {
  const addresses = Array.from({ length: Math.min(to - from + 1, MOST_ADDRESSES) }, (_, i) => from + i);
  return freeOf(
    dump,
    addresses.flatMap((address) => addressCell(dump.layout, address) ?? []),
  );
}

/** More bytes than these are not looked at: any sum comes right with far fewer. */
const MOST_ADDRESSES = 4096;

/** "1F0..1FF" or "0x1F0-0x1FF" or one address alone, in hex; undefined for any other text. */
export function readAddressRange(text: string): AddressRange | undefined {
  const match = /^\s*(?:0x)?([0-9a-f]{1,8})(?:\s*(?:\.\.+|[-\u2013\u2026])\s*(?:0x)?([0-9a-f]{1,8}))?\s*$/i.exec(text);
  const from = Number.parseInt(match?.[1] ?? '', 16);
  const to = Number.parseInt(match?.[2] ?? match?.[1] ?? '', 16);
  return from <= to ? { from, to } : undefined;
}

function freeOf(dump: Dump, cells: readonly Cell[]): readonly Cell[] {
  const { profile, layout } = dump;
  const keys = (all: readonly Cell[]) => new Set(all.map(cellKey));
  const listed = balanceGroups(dump).flat();
  const taken = keys(
    [...profile.options, ...profile.locked, ...profile.volatile]
      .flatMap(({ place }) => presentCells(layout, place))
      .concat(dump.totals.flatMap(({ stored }) => stored ?? [])),
  );
  const wanted = keys(cells);
  const isListed = keys(listed);
  const preferred = listed.filter((cell) => wanted.has(cellKey(cell)));
  const others = cells.filter((cell) => !taken.has(cellKey(cell)) && !isListed.has(cellKey(cell)));
  return [...preferred, ...others].filter((cell) => byteAt(dump.rows, cell) !== undefined);
}

/** The profile's balance places, as groups of one line each, best first; none that holds an option that no command changes. */
export function balanceGroups({ layout, profile }: Dump): readonly (readonly Cell[])[] {
  const secured = profile.options.filter(isSecured);
  const kept = new Set(secured.flatMap(({ place }) => presentCells(layout, place)).map(cellKey));
  const groups = new Map<number, Cell[]>();
  for (const { place } of profile.balance) {
    for (const cell of presentCells(layout, place))
      if (!kept.has(cellKey(cell))) groups.set(cell.row, [...(groups.get(cell.row) ?? []), cell]);
  }
  return [...groups.values()];
}
