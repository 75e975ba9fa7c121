import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { hexBytes } from '../bytes/hex.js';
import { labelText } from '../notation/dumpText.js';
import { bytesOf, type Row } from '../notation/row.js';

/**
 * The records of a dump as `label:HEX` lines, of a memory image as `type/label:HEX`: what a seal is taken over. It does
 * not change with spacing, case, comments or line ends.
 */
export function canonicalText(rows: readonly Row[]): string {
  return rows
    .map((row) => {
      if (row.kind !== 'record') return '';
      const type = row.type === undefined ? '' : `${row.type}/`;
      return `${type}${labelText(row.label)}:${hexBytes(bytesOf(row))}\n`;
    })
    .join('');
}

/** The seal of a dump: SHA-256 (FIPS 180-4) over the canonical text of its records, as the `@seal` header holds it. */
export function sealOf(rows: readonly Row[]): string {
  return `sha256:${hexBytes(sha256(utf8(canonicalText(rows)))).toLowerCase()}`;
}

/** Whether a `@seal` value fits the records; its hex may be in either case. */
export function sealHolds(rows: readonly Row[], seal: string): boolean {
  return seal.toLowerCase() === sealOf(rows);
}

/** SHA-256 (FIPS 180-4) of a whole text in UTF-8, as any tool for it gives it of the file. */
export function sha256OfText(text: string): string {
  return bytesToHex(sha256(utf8ToBytes(text)));
}

/** Labels and hex are ASCII by the form of dump text, so that one unit is one byte. */
function utf8(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}
