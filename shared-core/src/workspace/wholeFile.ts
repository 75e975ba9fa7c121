import { done } from '../base/result.js';
import { type RawBytes, rawText, rawTextLength } from '../format/rawBytes.js';
import type { OpenFile } from './host.js';

/** How text becomes bytes (UTF-8) and back; a byte-order mark stays. */
export interface TextCodec {
  readonly encode: (text: string) => Uint8Array;
  readonly decode: (bytes: Uint8Array) => string;
}

/** A file that is at hand as a whole. */
export function fileOfBytes(bytes: Uint8Array, { decode }: Pick<TextCodec, 'decode'>): OpenFile {
  const text = () => decode(bytes);
  return { size: bytes.length, text, chunks: () => chunksOf(bytes), decode, close: () => done(undefined) };
}

/** As much as is passed over in a millisecond or two. */
const CHUNK = 1 << 18;

function* chunksOf(bytes: Uint8Array): Generator<Uint8Array> {
  for (let at = 0; at < bytes.length; at += CHUNK) yield bytes.subarray(at, at + CHUNK);
}

/** Raw bytes as the text of their lines, which is made only where it is asked for. */
export function fileOfRaw(raw: RawBytes, { encode, decode }: TextCodec): OpenFile {
  const text = () => rawText(raw);
  return { size: rawTextLength(raw), text, chunks: () => [encode(text())], decode, raw, close: () => done(undefined) };
}

/** The same of a text, as editors have it. Its size is that of a text in ASCII. */
export function fileOfText(text: string, { encode, decode }: TextCodec): OpenFile {
  return {
    size: text.length,
    text: () => text,
    chunks: () => chunksOf(encode(text)),
    decode,
    close: () => done(undefined),
  };
}
