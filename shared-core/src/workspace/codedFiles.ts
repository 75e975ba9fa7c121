import { phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { dumpText } from '../format/dumpText.js';
import { BINARY, type BinaryView, binaryOfText, textOfBinary } from './binary.js';
import { decodeText, encodeText, encodingOf, isCutOff, isMostlyText, type OtherEncoding } from './encodings.js';
import { kindOf } from './fileKind.js';
import { HEADERS_BESIDE, type Host, type OpenFile } from './host.js';
import { isMissing } from './reasons.js';
import { fileName } from './uri.js';
import { fileOfText, type TextCodec } from './wholeFile.js';

/** How the text that a file is read as becomes its bytes again. */
export interface Coding {
  /** Whether the file holds raw bytes. */
  readonly isBinary: boolean;
  readonly encode: (text: string) => Result<Encoded>;
}

export interface Encoded {
  readonly bytes: Uint8Array;
  /** What belongs into the file beside a binary. */
  readonly headers: string;
}

export interface CodedFiles {
  readonly open: Host['open'];
  /** How a file was encoded that has been read and is no text in UTF-8. */
  readonly codingOf: (uri: string) => Coding | undefined;
  readonly hasReadBinary: () => boolean;
}

/** How raw bytes are shown where nobody says otherwise. */
export const PLAIN_VIEW: BinaryView = { offset: 0, word: undefined };

/**
 * Files as text in UTF-8, whatever they are: other encodings are turned into it, and raw bytes into lines of dump text. Bytes
 * are taken for raw ones where a person says so, or has put headers beside them, or where they are no text, nor are most of
 * them, and the name of the file promises none.
 */
export function codedFiles(
  host: Host,
  codec: TextCodec,
  view: BinaryView = PLAIN_VIEW,
  isSaidBinary: (uri: string) => boolean = () => false,
): CodedFiles {
  const codings = new Map<string, Coding>();
  const open: Host['open'] = async (uri, allowed) => {
    const opened = await host.open(uri, allowed);
    if (!opened.ok) return opened;
    const file = opened.value;
    const [head = new Uint8Array(0)] = file.chunks();
    const encoding = encodingOf(head);
    const isSaid = isSaidBinary(uri) || (await hasHeadersBeside(host, uri));
    const isBinary = isSaid || (encoding === undefined && head.length > 0 && kindOf(uri) === undefined);
    if (isBinary && !isSaid && isMostlyText(head)) {
      file.close();
      return refuse(
        phrase(
          'Most of it is text, but it holds zero bytes or control characters too. Take these out, or save it as UTF-8; if it is raw bytes, say so with "--from binary" or by a file "{0}" beside it',
          `${fileName(uri)}${HEADERS_BESIDE}`,
        ),
      );
    }
    const other = isBinary || encoding === 'utf-8' ? undefined : encoding;
    if (!isBinary && other === undefined) {
      codings.delete(uri);
      return opened;
    }
    const bytes = wholeOf(file);
    const text = other === undefined ? await textOfRaw(host, uri, bytes, view) : decodedText(bytes, other);
    if (!text.ok) {
      file.close();
      return text;
    }
    codings.set(uri, other === undefined ? binaryCoding(view) : textCoding(other));
    const read = fileOfText(text.value, { encode: codec.encode, decode: file.decode });
    return done({ ...read, close: file.close, ...(isBinary && { form: dumpText }) });
  };
  return {
    open,
    codingOf: (uri) => codings.get(uri),
    hasReadBinary: () => [...codings.values()].some(({ isBinary }) => isBinary),
  };
}

function decodedText(bytes: Uint8Array, encoding: OtherEncoding): Result<string> {
  return isCutOff(bytes, encoding)
    ? refuse(phrase('It is cut off inside a character ({0}). Get the whole file again.', encoding))
    : done(decodeText(bytes, encoding));
}

function binaryCoding(view: BinaryView): Coding {
  return { isBinary: true, encode: (text) => binaryOfText(text, view) };
}

function textCoding(encoding: OtherEncoding): Coding {
  return {
    isBinary: false,
    encode: (text) => {
      const bytes = encodeText(text, encoding);
      return bytes === undefined
        ? refuse(phrase('it holds characters that its encoding ({0}) does not have', encoding))
        : done({ bytes, headers: '' });
    },
  };
}

function wholeOf(file: OpenFile): Uint8Array {
  const chunks = [...file.chunks()].map((chunk) => chunk.slice());
  const bytes = new Uint8Array(chunks.reduce((size, chunk) => size + chunk.length, 0));
  let used = 0;
  for (const chunk of chunks) {
    bytes.set(chunk, used);
    used += chunk.length;
  }
  return bytes;
}

async function textOfRaw(host: Host, uri: string, bytes: Uint8Array, view: BinaryView): Promise<Result<string>> {
  const headers = await headersBeside(host, uri);
  return headers.ok ? textOfBinary(bytes, headers.value, view) : headers;
}

/** Whether there are headers beside a file, as only raw bytes have them. */
async function hasHeadersBeside(host: Host, uri: string): Promise<boolean> {
  if (kindOf(uri) !== undefined || uri.endsWith(HEADERS_BESIDE)) return false;
  const opened = await host.open(`${uri}${HEADERS_BESIDE}`);
  if (opened.ok) opened.value.close();
  return opened.ok || !isMissing(opened.why);
}

/** The headers of a binary, from the file beside it; none where there is no such file. */
async function headersBeside(host: Host, uri: string): Promise<Result<string>> {
  const opened = await host.open(`${uri}${HEADERS_BESIDE}`);
  if (!opened.ok)
    return isMissing(opened.why)
      ? done('')
      : refuse(phrase('the headers in the file beside it cannot be read: {0}', opened.why));
  const text = opened.value.text();
  const closed = opened.value.close();
  return closed.ok ? done(text) : closed;
}

/** The id of the form that a file is written in, for people and scripts. */
export function writtenAs(coding: Coding | undefined, form: string): string {
  return coding?.isBinary ? BINARY : form;
}
