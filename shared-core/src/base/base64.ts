import { asciiText } from './asciiText.js';

const DIGITS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
const CODES = Uint8Array.from(DIGITS, (digit) => digit.charCodeAt(0));
const PAD = 0x3d;

/** Bytes as text that any message can carry (RFC 4648, section 4). */
export function base64Of(bytes: Uint8Array): string {
  const codes = new Uint8Array(4 * Math.ceil(bytes.length / 3)).fill(PAD);
  for (let at = 0, to = 0; at < bytes.length; at += 3, to += 4) {
    const [a = 0, b = 0, c = 0] = [bytes[at], bytes[at + 1], bytes[at + 2]];
    codes[to] = CODES[a >> 2] as number;
    codes[to + 1] = CODES[((a & 3) << 4) | (b >> 4)] as number;
    if (at + 1 < bytes.length) codes[to + 2] = CODES[((b & 15) << 2) | (c >> 6)] as number;
    if (at + 2 < bytes.length) codes[to + 3] = CODES[c & 63] as number;
  }
  return asciiText(codes);
}

const VALUES = Uint8Array.from({ length: 128 }, (_, code) => Math.max(0, CODES.indexOf(code)));

/** Whether a text is bytes written so, with nothing else in it. */
export function isBase64(text: string): boolean {
  return text.length % 4 === 0 && /^[A-Za-z0-9+/]*={0,2}$/.test(text);
}

/** The bytes of such a text. */
export function bytesOfBase64(text: string): Uint8Array {
  const padding = text.endsWith('==') ? 2 : text.endsWith('=') ? 1 : 0;
  const bytes = new Uint8Array((text.length >> 2) * 3 - padding);
  const value = (at: number) => VALUES[text.charCodeAt(at)] as number;
  for (let at = 0, to = 0; at < text.length; at += 4, to += 3) {
    const [b, c] = [value(at + 1), value(at + 2)];
    bytes[to] = (value(at) << 2) | (b >> 4);
    bytes[to + 1] = (b << 4) | (c >> 2);
    bytes[to + 2] = (c << 6) | value(at + 3);
  }
  return bytes;
}
