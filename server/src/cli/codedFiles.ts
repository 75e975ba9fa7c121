import {
  BINARY,
  type BinaryView,
  binaryOfText,
  done,
  fileOfBytes,
  HEADERS_BESIDE,
  type Host,
  kindOf,
  type OpenFile,
  phrase,
  type Result,
  refuse,
  textOfBinary,
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
    if (!isBinary && (encoding === undefined || encoding === 'utf-8')) return opened;
    const bytes = wholeOf(file);
    const text = isBinary
      ? textOfBinary(bytes, await headersBeside(host, uri), view)
      : decodedText(bytes, encoding as Encoding);
    if (!text.ok) {
      file.close();
      return text;
    }
    codings.set(uri, isBinary ? binaryCoding(view) : textCoding(encoding as Encoding));
    return done({ ...fileOfBytes(Buffer.from(text.value), { decode: file.decode }), close: file.close });
  };
  return {
    open,
    codingOf: (uri) => codings.get(uri),
    hasReadBinary: () => [...codings.values()].some(({ isBinary }) => isBinary),
  };
}

function decodedText(bytes: Uint8Array, encoding: Encoding): Result<string> {
  return isCutOff(bytes, encoding)
    ? refuse(phrase('It is cut off inside a character ({0}). Get the whole file again.', encoding))
    : done(decodeText(bytes, encoding));
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

function wholeOf(file: OpenFile): Uint8Array {
  return Buffer.concat([...file.chunks()].map((chunk) => Buffer.from(chunk)));
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
