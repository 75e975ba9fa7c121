import {
  BINARY,
  type BinaryView,
  binaryOfText,
  done,
  fileOfBytes,
  fileOfRaw,
  HEADERS_BESIDE,
  type Host,
  kindOf,
  type OpenFile,
  phrase,
  type RawBytes,
  type Refused,
  type Result,
  rawBytesOf,
  refuse,
} from '../../../shared-core/src/index.js';
import { decodeText, type Encoding, encodeText, encodingOf, isCutOff, isMostlyText } from './encodings.js';

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

/**
 * Files as text in UTF-8, whatever they are: other encodings are turned into it, and raw bytes into lines of dump text. Bytes
 * are taken for raw ones where a person says so, or where they are no text, nor are most of them, and the name of the file promises none.
 */
export function codedFiles(host: Host, view: BinaryView, isSaidBinary: (uri: string) => boolean): CodedFiles {
  const codings = new Map<string, Coding>();
  const open: Host['open'] = async (uri, allowed) => {
    const opened = await host.open(uri, allowed);
    if (!opened.ok) return opened;
    const file = opened.value;
    const [head = new Uint8Array(0)] = file.chunks();
    const encoding = encodingOf(head);
    const isSaid = isSaidBinary(uri);
    const isBinary = isSaid || (encoding === undefined && head.length > 0 && kindOf(uri) === undefined);
    if (isBinary && !isSaid && isMostlyText(head)) {
      file.close();
      return refuse(
        phrase(
          'Most of it is text, but it holds zero bytes or control characters too. Take these out, or save it as UTF-8; if it is raw bytes, say so with "--from binary".',
        ),
      );
    }
    if (!isBinary && (encoding === undefined || encoding === 'utf-8')) return done(wholeCharacters(file));
    const bytes = wholeOf(file);
    const read = isBinary
      ? rawFile(rawBytesOf(bytes, await headersBeside(host, uri), view), file)
      : textFile(decodedText(bytes, encoding as Encoding), file);
    if (!read.ok) {
      file.close();
      return read;
    }
    codings.set(uri, isBinary ? binaryCoding(view) : textCoding(encoding as Encoding));
    return done({ ...read.value, close: file.close });
  };
  return {
    open,
    codingOf: (uri) => codings.get(uri),
    hasReadBinary: () => [...codings.values()].some(({ isBinary }) => isBinary),
  };
}

/** A file in UTF-8, of which nothing is to be relied on where it ends inside a character. */
function wholeCharacters(file: OpenFile): OpenFile {
  let end: Uint8Array = new Uint8Array(0);
  function* chunks(): Generator<Uint8Array> {
    for (const chunk of file.chunks()) {
      end = Uint8Array.from(chunk.subarray(-4));
      yield chunk;
    }
  }
  const text = () => {
    const whole = file.text();
    // What cannot be decoded is shown as this character, which a file may hold itself too.
    if (whole.endsWith('\ufffd')) for (const _ of chunks());
    return whole;
  };
  const close = () => {
    const closed = file.close();
    return closed.ok && isCutOff(end, 'utf-8') ? whyCutOff('utf-8') : closed;
  };
  return { ...file, chunks, text, close };
}

function whyCutOff(encoding: Encoding): Refused {
  return refuse(phrase('It is cut off inside a character ({0}). Get the whole file again.', encoding));
}

function rawFile(raw: Result<RawBytes>, { decode }: OpenFile): Result<OpenFile> {
  return raw.ok ? done(fileOfRaw(raw.value, { encode: (text) => Buffer.from(text), decode })) : raw;
}

function textFile(text: Result<string>, { decode }: OpenFile): Result<OpenFile> {
  return text.ok ? done(fileOfBytes(Buffer.from(text.value), { decode })) : text;
}

function decodedText(bytes: Uint8Array, encoding: Encoding): Result<string> {
  return isCutOff(bytes, encoding) ? whyCutOff(encoding) : done(decodeText(bytes, encoding));
}

function binaryCoding(view: BinaryView): Coding {
  return { isBinary: true, encode: (text) => binaryOfText(text, view) };
}

function textCoding(encoding: Encoding): Coding {
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

function wholeOf({ size, chunks }: OpenFile): Uint8Array {
  const whole = new Uint8Array(size);
  let at = 0;
  for (const chunk of chunks()) {
    whole.set(chunk, at);
    at += chunk.length;
  }
  return whole.subarray(0, at);
}

/** The headers of a binary, from the file beside it; none where there is no such file. */
async function headersBeside(host: Host, uri: string): Promise<string> {
  const opened = await host.open(`${uri}${HEADERS_BESIDE}`);
  if (!opened.ok) return '';
  const text = opened.value.text();
  opened.value.close();
  return text;
}

/** The id of the form that a file is written in, for people and scripts. */
export function writtenAs(coding: Coding | undefined, form: string): string {
  return coding?.isBinary ? BINARY : form;
}
