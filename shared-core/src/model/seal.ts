import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { pageWriter } from '../base/pageWriter.js';
import { labelText } from '../format/dumpText.js';
import type { Notation } from '../format/notation.js';
import { bytesOf, type RecordRow, type Row } from '../format/row.js';
import type { PlacedHeader } from './headers.js';

/** Takes the rows of a dump one after the other, and then tells the seal over their records. */
export interface Sealer {
  /** `written` are the bytes of a record in the order in which they are written, where that is another than its own. */
  readonly take: (row: Row, written?: Uint8Array) => void;
  readonly seal: () => string;
}

/**
 * The seal of a dump: SHA-256 (FIPS 180-4) over its records as `label:HEX` lines, of a memory image as `type/label:HEX`.
 * It does not change with spacing, case, comments or line ends. Labels and hex are ASCII by the form of dumps.
 */
export function sealer(): Sealer {
  const hash = sha256.create();
  const page = pageWriter({ ascii: (bytes) => hash.update(bytes), text: (text) => hash.update(utf8ToBytes(text)) });
  const write = (text: string) => {
    for (let i = 0; i < text.length; i++) page.character(text.charCodeAt(i));
  };
  return {
    take: (row, written) => {
      if (row.kind !== 'record') return;
      const { type, label, store, from, count } = row;
      if (type !== undefined) write(`${type}/`);
      write(`${labelText(label)}:`);
      if (written !== undefined) for (const byte of written) page.byte(byte);
      else for (let i = from; i < from + count; i++) page.byte(store[i] as number);
      page.character(LINE_FEED);
    },
    seal: () => {
      page.flush();
      return `sha256:${bytesToHex(hash.digest())}`;
    },
  };
}

const LINE_FEED = 0x0a;

/**
 * The seal of a dump, as the `@seal` header holds it. Lines are sealed as they are written: which of their bytes are the
 * sum, a profile may say that came later.
 */
export function sealOf({ rows, notation }: { readonly rows: readonly Row[]; readonly notation: Notation }): string {
  const { take, seal } = sealer();
  const isAsWritten = notation.id !== 'pattern';
  for (const row of rows) take(row, isAsWritten || row.kind !== 'record' ? undefined : writtenBytes(row, notation));
  return seal();
}

/** The bytes of a record in the order in which they are written. */
function writtenBytes(record: RecordRow, notation: Notation): Uint8Array {
  const places = notation.digitPlaces(record);
  const place = (byte: number) => places[2 * byte] as number;
  const bytes = bytesOf(record);
  return Uint8Array.from(
    [...bytes.keys()].sort((a, b) => place(a) - place(b)),
    (byte) => bytes[byte] as number,
  );
}

/** Whether rows hold the same records, however these are written. */
export function sameRecords(one: readonly Row[], other: readonly Row[]): boolean {
  const digest = (rows: readonly Row[]) => {
    const { take, seal } = sealer();
    for (const row of rows) take(row);
    return seal();
  };
  return one === other || digest(one) === digest(other);
}

/**
 * Whether each seal of a dump is the one of its records, which is made only where it has one; undefined where it has none.
 */
export function sealsHold(seals: readonly PlacedHeader[], own: () => string): boolean | undefined {
  if (seals.length === 0) return undefined;
  const seal = own();
  return seals.every(({ header: { name, value } }) => name === 'seal' && value.toLowerCase() === seal);
}

/** SHA-256 (FIPS 180-4) of a whole text in UTF-8, as any tool for it gives it of the file. */
export function sha256OfText(text: string): string {
  return bytesToHex(sha256(utf8ToBytes(text)));
}
