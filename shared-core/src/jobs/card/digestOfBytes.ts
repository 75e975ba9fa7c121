import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import { dumpText } from '../../format/dumpText.js';
import { bytesOf } from '../../format/row.js';
import type { Dump } from '../../model/dump.js';

/**
 * SHA-256 (FIPS 180-4) of the bytes of dump text with addresses, as of a file that holds just these; undefined where they do
 * not follow each other, or are called otherwise.
 */
export function digestOfBytes({
  rows,
  layout,
  notation,
}: Pick<Dump, 'rows' | 'layout' | 'notation'>): string | undefined {
  if (layout.kind !== 'image' || notation !== dumpText || layout.order.length === 0) return undefined;
  if (layout.repeated.length + layout.imageProblems.length > 0) return undefined;
  const hash = sha256.create();
  let next = layout.keys[0] as number;
  for (const [at, index] of layout.order.entries()) {
    const row = rows[index];
    if (row?.kind !== 'record' || row.count !== layout.dataCount[index] || layout.keys[at] !== next) return undefined;
    hash.update(bytesOf(row));
    next = next + row.count;
  }
  return bytesToHex(hash.digest());
}
