import type { Layout } from './layout.js';

/** A run of addresses that an image holds without a gap. */
export interface MemoryRegion {
  readonly address: number;
  /** Bytes. */
  readonly size: number;
  /** The first and the last row of the text that hold bytes of it. */
  readonly firstRow: number;
  readonly lastRow: number;
}

/** The contiguous regions of a memory image, in the order of their addresses; of a dump in lines, none. */
export function regionsOf({ kind, order, keys, dataCount }: Layout): readonly MemoryRegion[] {
  const regions: MemoryRegion[] = [];
  if (kind !== 'image') return regions;
  let last: { -readonly [Key in keyof MemoryRegion]: MemoryRegion[Key] } | undefined;
  for (let i = 0; i < order.length; i++) {
    const row = order[i] as number;
    const address = keys[i] as number;
    const end = address + (dataCount[row] as number);
    if (last === undefined || address > last.address + last.size) {
      last = { address, size: end - address, firstRow: row, lastRow: row };
      regions.push(last);
      continue;
    }
    last.size = Math.max(last.size, end - last.address);
    last.firstRow = Math.min(last.firstRow, row);
    last.lastRow = Math.max(last.lastRow, row);
  }
  return regions;
}
