import { type Phrase, phrase } from '../base/phrase.js';

/** How files of another kind begin. */
interface Signature {
  readonly kind: Phrase;
  readonly begins: readonly number[];
  /** What else has to be there, where its first bytes alone may be those of a dump. */
  readonly also?: (head: Uint8Array) => boolean;
}

const codes = (text: string) => [...text].map((sign) => sign.charCodeAt(0));

/** The first bytes of common files as their standards give them. */
const SIGNATURES: readonly Signature[] = [
  // ISO/IEC 15948, 5.2
  { kind: phrase('a picture ({0})', 'PNG'), begins: [0x89, ...codes('PNG\r\n\x1a\n')] },
  // ITU-T T.81, B.1.1.3: the start of the image, and then another marker.
  {
    kind: phrase('a picture ({0})', 'JPEG'),
    begins: [0xff, 0xd8, 0xff],
    also: ([, , , marker = 0]) => marker >= 0xc0 && marker < 0xff,
  },
  // GIF89a specification, 17
  { kind: phrase('a picture ({0})', 'GIF'), begins: codes('GIF87a') },
  { kind: phrase('a picture ({0})', 'GIF'), begins: codes('GIF89a') },
  // ISO 32000-1, 7.5.2
  { kind: phrase('a document ({0})', 'PDF'), begins: codes('%PDF-') },
  // PKWARE APPNOTE, 4.3.7 and 4.3.16: the first file, or the end of an archive without any.
  { kind: phrase('an archive or a document packed as one ({0})', 'ZIP'), begins: codes('PK\x03\x04') },
  { kind: phrase('an archive or a document packed as one ({0})', 'ZIP'), begins: codes('PK\x05\x06') },
  // RFC 1952, 2.3.1: deflate is the only method, and three flags are reserved.
  {
    kind: phrase('a packed file ({0})', 'gzip'),
    begins: [0x1f, 0x8b, 0x08],
    also: ([, , , flags = 0xff]) => (flags & 0xe0) === 0,
  },
  // 7z format description, "SignatureHeader"
  { kind: phrase('a packed file ({0})', '7z'), begins: [...codes('7z'), 0xbc, 0xaf, 0x27, 0x1c] },
  // System V ABI, chapter 4, "ELF Identification"
  { kind: phrase('a program ({0})', 'ELF'), begins: [0x7f, ...codes('ELF')] },
  // Microsoft PE format, "MS-DOS Stub" and "Signature"
  { kind: phrase('a program ({0})', 'Windows'), begins: codes('MZ'), also: hasPortableHeader },
  // SQLite database file format, 1.3.1
  { kind: phrase('a database ({0})', 'SQLite'), begins: codes('SQLite format 3\0') },
];

/** Where a program for Windows has the place of its signature. */
const PLACE_OF_SIGNATURE = 0x3c;

function hasPortableHeader(head: Uint8Array): boolean {
  if (head.length < PLACE_OF_SIGNATURE + 4) return false;
  const at = new DataView(head.buffer, head.byteOffset, head.length).getUint32(PLACE_OF_SIGNATURE, true);
  return beginsWith(head.subarray(at), codes('PE\0\0'));
}

function beginsWith(bytes: Uint8Array, begins: readonly number[]): boolean {
  return begins.every((byte, at) => bytes[at] === byte);
}

/** What a file plainly is that is no dump, by its first bytes; undefined where these may be of a dump. */
export function otherKindOf(head: Uint8Array): Phrase | undefined {
  return SIGNATURES.find(({ begins, also }) => beginsWith(head, begins) && (also?.(head) ?? true))?.kind;
}
