/** How the text of a file is encoded; a mark at its beginning is part of the text. */
export type Encoding = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';

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
  if (head.some((byte) => byte < 0x20 && !LINE_CODES.includes(byte))) return undefined;
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

/** Whether bytes of UTF-8 or UTF-16 end inside a character. */
export function isCutOff(bytes: Uint8Array, encoding: Encoding): boolean {
  if (encoding === 'utf-8') return isCutUtf8(bytes);
  if (encoding !== 'utf-16le' && encoding !== 'utf-16be') return false;
  if (bytes.length % 2 === 1) return true;
  const high = bytes[bytes.length - (encoding === 'utf-16le' ? 1 : 2)] ?? 0;
  return high >= 0xd8 && high < 0xdc;
}

/** Whether the first byte of the last character says that it has more bytes than follow (RFC 3629). */
function isCutUtf8(bytes: Uint8Array): boolean {
  const behind = bytes
    .slice(-3)
    .reverse()
    .findIndex((byte) => (byte & 0xc0) !== 0x80);
  const first = bytes[bytes.length - 1 - behind] ?? 0;
  return behind >= 0 && first >= 0xc0 && behind + 1 < (first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : 2);
}

/** Tab, line feed, form feed, carriage return, and the end that old systems set behind a text. */
const LINE_CODES = [0x09, 0x0a, 0x0c, 0x0d, 0x1a];

function isUtf8(head: Uint8Array): boolean {
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(head, { stream: true });
    return true;
  } catch {
    return false;
  }
}

/** Windows-1252 from 80 on, which differs from Latin-1 up to 9F; five codes have no character and stay as they are. */
const FROM_80 = '€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ';

export function decodeText(bytes: Uint8Array, encoding: Encoding): string {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length);
  if (encoding === 'utf-8') return buffer.toString('utf8');
  if (encoding === 'utf-16le') return buffer.toString('utf16le');
  if (encoding === 'utf-16be') return swapped(buffer).toString('utf16le');
  return buffer.toString('latin1').replace(/[\x80-\x9f]/g, (code) => FROM_80.charAt(code.charCodeAt(0) - 0x80));
}

/** The bytes of a text; undefined where it has a character that the encoding does not. */
export function encodeText(text: string, encoding: Encoding): Buffer | undefined {
  if (encoding === 'utf-8') return Buffer.from(text, 'utf8');
  if (encoding === 'utf-16le') return Buffer.from(text, 'utf16le');
  if (encoding === 'utf-16be') return swapped(Buffer.from(text, 'utf16le'));
  const bytes = Buffer.alloc(text.length);
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    const byte = code < 0x80 || (code >= 0xa0 && code <= 0xff) ? code : 0x80 + FROM_80.indexOf(text.charAt(at));
    if (byte < 0x80 && code >= 0x80) return undefined;
    bytes[at] = byte;
  }
  return bytes;
}

/** Each two bytes turned round; an odd one at the end stays. */
function swapped(buffer: Buffer): Buffer {
  const even = Buffer.from(buffer.subarray(0, buffer.length & ~1)).swap16();
  return Buffer.concat([even, buffer.subarray(even.length)]);
}
