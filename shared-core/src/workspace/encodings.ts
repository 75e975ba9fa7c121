/** How the text of a file is encoded; a mark at its beginning is part of the text. */
export type Encoding = 'utf-8' | OtherEncoding;
export type OtherEncoding = 'utf-16le' | 'utf-16be' | 'windows-1252';

/** As much of a file as shows what it is. */
const HEAD = 1 << 16;

/**
 * How a file is encoded: UTF-16 only with its mark, UTF-8 where its bytes are that, Windows-1252 where they are other text.
 * Undefined for bytes that are no text.
 */
export function encodingOf(bytes: Uint8Array): Encoding | undefined {
  const head = bytes.subarray(0, HEAD);
  if (head[0] === 0xff && head[1] === 0xfe) return 'utf-16le';
  if (head[0] === 0xfe && head[1] === 0xff) return 'utf-16be';
  // Each byte of each file passes here.
  for (let at = 0; at < head.length; at++) {
    const byte = head[at] as number;
    if (byte < 0x20 && !LINE_CODES.includes(byte)) return undefined;
  }
  return isUtf8(head) ? 'utf-8' : 'windows-1252';
}

/**
 * Whether at least half of the bytes are printable, as of a text with one damaged byte and of UTF-16 without its mark: its
 * codes are no data.
 */
export function isMostlyText(bytes: Uint8Array): boolean {
  const head = bytes.subarray(0, HEAD);
  const isText = (byte: number) => (byte >= 0x20 && byte < 0x7f) || LINE_CODES.includes(byte);
  return 2 * head.reduce((count, byte) => count + (isText(byte) ? 1 : 0), 0) >= head.length;
}

/** Whether bytes are no text: neither of UTF-8 nor of UTF-16 with its mark, and of another encoding only where most is printable. */
export function looksRaw(bytes: Uint8Array): boolean {
  const encoding = encodingOf(bytes);
  return encoding === undefined || (encoding === 'windows-1252' && !isMostlyText(bytes));
}

/** Whether bytes of UTF-8 or UTF-16 end inside a character. */
export function isCutOff(bytes: Uint8Array, encoding: Encoding): boolean {
  if (encoding === 'utf-8') return isCutUtf8(bytes);
  if (encoding === 'windows-1252') return false;
  if (bytes.length % 2 === 1) return true;
  const high = bytes[bytes.length - (encoding === 'utf-16le' ? 1 : 2)] ?? 0;
  return high >= 0xd8 && high < 0xdc;
}

/** Whether the first byte of the last character says that it has more bytes than follow (RFC 3629). */
function isCutUtf8(bytes: Uint8Array): boolean {
  // "slice" of bytes may be no copy, and they stay in their order.
  const behind = [...bytes.subarray(-3)].reverse().findIndex((byte) => (byte & 0xc0) !== 0x80);
  const first = bytes[bytes.length - 1 - behind] ?? 0;
  return behind >= 0 && first >= 0xc0 && behind + 1 < (first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : 2);
}

/** Tab, line feed, form feed, carriage return, and the end that old systems set behind a text. */
const LINE_CODES = [0x09, 0x0a, 0x0c, 0x0d, 0x1a];

/** Whether bytes are UTF-8 (RFC 3629), of which the last character may be cut off. */
function isUtf8(bytes: Uint8Array): boolean {
  for (let at = 0; at < bytes.length; ) {
    const first = bytes[at] as number;
    const more = first < 0x80 ? 0 : first < 0xc2 ? -1 : first < 0xe0 ? 1 : first < 0xf0 ? 2 : first < 0xf5 ? 3 : -1;
    if (more < 0) return false;
    for (let i = 1; i <= more && at + i < bytes.length; i++) {
      const byte = bytes[at + i] as number;
      const [least, most] = i === 1 ? secondOf(first) : [0x80, 0xbf];
      if (byte < least || byte > most) return false;
    }
    at += 1 + more;
  }
  return true;
}

/** What may follow a first byte: neither longer forms of a character than needed, nor halves of one, nor any beyond the last. */
function secondOf(first: number): readonly [number, number] {
  if (first === 0xe0) return [0xa0, 0xbf];
  if (first === 0xed) return [0x80, 0x9f];
  if (first === 0xf0) return [0x90, 0xbf];
  return first === 0xf4 ? [0x80, 0x8f] : [0x80, 0xbf];
}

/** Windows-1252 from 80 on, which differs from Latin-1 up to 9F; five codes have no character and stay as they are. */
const FROM_80 = '€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ';

/** So many codes are made characters at once: a call takes only so many values. */
const PART = 1 << 13;

export function decodeText(bytes: Uint8Array, encoding: OtherEncoding): string {
  const count = encoding === 'windows-1252' ? bytes.length : bytes.length >> 1;
  const codeAt = codesOf(bytes, encoding);
  const parts: string[] = [];
  for (let from = 0; from < count; from += PART)
    parts.push(
      String.fromCharCode(...Array.from({ length: Math.min(PART, count - from) }, (_, i) => codeAt(from + i))),
    );
  return parts.join('');
}

function codesOf(bytes: Uint8Array, encoding: OtherEncoding): (index: number) => number {
  const byteAt = (at: number) => bytes[at] as number;
  if (encoding === 'utf-16le') return (i) => byteAt(2 * i) | (byteAt(2 * i + 1) << 8);
  if (encoding === 'utf-16be') return (i) => byteAt(2 * i + 1) | (byteAt(2 * i) << 8);
  return (i) => {
    const byte = byteAt(i);
    return byte >= 0x80 && byte < 0xa0 ? FROM_80.charCodeAt(byte - 0x80) : byte;
  };
}

/** The bytes of a text; undefined where it has a character that the encoding does not. */
export function encodeText(text: string, encoding: OtherEncoding): Uint8Array | undefined {
  if (encoding === 'windows-1252') return encodeWindows(text);
  const bytes = new Uint8Array(2 * text.length);
  const low = encoding === 'utf-16le' ? 0 : 1;
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    bytes[2 * at + low] = code & 0xff;
    bytes[2 * at + 1 - low] = code >> 8;
  }
  return bytes;
}

function encodeWindows(text: string): Uint8Array | undefined {
  const bytes = new Uint8Array(text.length);
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    const byte = code < 0x80 || (code >= 0xa0 && code <= 0xff) ? code : 0x80 + FROM_80.indexOf(text.charAt(at));
    if (byte < 0x80 && code >= 0x80) return undefined;
    bytes[at] = byte;
  }
  return bytes;
}
