import { phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { apartFromHeaders, behindHeaders, withHeaders } from '../format/behindHeaders.js';
import { dumpText } from '../format/dumpText.js';
import { formOf } from '../format/forms.js';
import type { WrittenForm } from '../format/notation.js';
import { notationOf, promisedBy } from '../format/notationOf.js';
import { readRows } from '../format/rows.js';
import { BINARY, type BinaryView, binaryOfText, HEADERS_BESIDE, textOfBinary } from './binary.js';
import {
  decodeText,
  type Encoding,
  encodeText,
  encodingOf,
  isCutOff,
  isMostlyText,
  type OtherEncoding,
} from './encodings.js';
import { kindOf } from './fileKind.js';
import type { Host, OpenFile } from './host.js';
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
  /** What belongs into the file beside one that has no place for headers. */
  readonly headers: string;
}

interface ReadText {
  readonly text: string;
  /** The form of the text, where the name of the file does not promise it. */
  readonly form: WrittenForm | undefined;
  readonly coding: Coding;
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
 * are taken for raw ones where a person says so, or where they are no text, nor are most of them, and the name of the file promises none.
 */
export function codedFiles(
  host: Host,
  codec: TextCodec,
  view: BinaryView = PLAIN_VIEW,
  saidForm: (uri: string) => string | undefined = () => undefined,
): CodedFiles {
  const codings = new Map<string, Coding>();
  const readCoded = async (
    file: OpenFile,
    uri: string,
    encoding: Encoding | undefined,
    mayHaveHeaders: boolean,
  ): Promise<Result<ReadText>> => {
    const headers = mayHaveHeaders ? await headersBeside(host, uri) : done('');
    if (!headers.ok) return headers;
    if (encoding === undefined) {
      const text = textOfBinary(wholeOf(file), headers.value, view);
      return text.ok ? done({ text: text.value, form: dumpText, coding: binaryCoding(view) }) : text;
    }
    const text = encoding === 'utf-8' ? done(file.text()) : decodedText(wholeOf(file), encoding);
    if (!text.ok) return text;
    const form = formOf(saidForm(uri) ?? '') ?? notationOf(fileName(uri), text.value);
    const coding = encoding === 'utf-8' ? utf8Coding(codec) : textCoding(encoding);
    if (!mayHaveHeaders || form.headers !== 'none') return done({ text: text.value, form: undefined, coding });
    return done({
      text: withHeaders(headers.value, text.value),
      form: behindHeaders(form),
      coding: codingBehindHeaders(coding),
    });
  };
  const open: Host['open'] = async (uri, allowed) => {
    const opened = await host.open(uri, allowed);
    if (!opened.ok) return opened;
    const file = opened.value;
    const [head = new Uint8Array(0)] = file.chunks();
    const encoding = encodingOf(head);
    const isSaid = saidForm(uri) === BINARY;
    const isBinary = isSaid || (encoding === undefined && head.length > 0 && kindOf(uri) === undefined);
    if (isBinary && !isSaid && isMostlyText(head)) {
      file.close();
      return refuse(
        phrase(
          'Most of it is text, but it holds zero bytes or control characters too. Take these out, or save it as UTF-8; if it is raw bytes, say so with "--from binary".',
        ),
      );
    }
    const mayHaveHeaders = isBinary || (hasNoPlace(uri, saidForm(uri)) && (await host.kindAt(besideOf(uri))).ok);
    if (encoding === 'utf-8' && !mayHaveHeaders) {
      codings.delete(uri);
      return opened;
    }
    const read = await readCoded(file, uri, isBinary ? undefined : encoding, mayHaveHeaders);
    if (!read.ok) {
      file.close();
      return read;
    }
    const { text, form, coding } = read.value;
    codings.set(uri, coding);
    const whole = fileOfText(text, { encode: codec.encode, decode: file.decode });
    return done({ ...whole, close: file.close, ...(form !== undefined && { form }) });
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

function utf8Coding({ encode }: TextCodec): Coding {
  return { isBinary: false, encode: (text) => done({ bytes: encode(text), headers: '' }) };
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

/** The same of a text that stands behind the headers of the file beside it. */
function codingBehindHeaders({ encode }: Coding): Coding {
  return {
    isBinary: false,
    encode: (whole) => {
      const { headers, text } = apartFromHeaders(whole);
      const encoded = encode(text);
      return encoded.ok ? done({ ...encoded.value, headers }) : encoded;
    },
  };
}

/** Whether the text of a file may be in a form that has no place for headers: its name promises none, or one of these. */
function hasNoPlace(uri: string, said: string | undefined): boolean {
  const form = formOf(said ?? '') ?? promisedBy(uri);
  if (form !== undefined) return form.headers === 'none';
  return kindOf(uri) === undefined;
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

function besideOf(uri: string): string {
  return `${uri}${HEADERS_BESIDE}`;
}

/** The headers of a file, from the one beside it; none where there is no such file. */
async function headersBeside(host: Host, uri: string): Promise<Result<string>> {
  const beside = besideOf(uri);
  const opened = await host.open(beside);
  if (!opened.ok)
    return (await host.kindAt(beside)).ok
      ? refuse(phrase('the headers in the file beside it cannot be read: {0}', opened.why))
      : done('');
  const text = opened.value.text();
  const closed = opened.value.close();
  if (!closed.ok) return closed;
  const stray = readRows(text, dumpText).findIndex(
    ({ kind }) => kind !== 'header' && kind !== 'comment' && kind !== 'blank',
  );
  return stray < 0
    ? done(text)
    : refuse(
        phrase(
          'row {0} of {1} is no header (@name value) and no comment (# text). Correct it, or take it out.',
          stray + 1,
          fileName(beside),
        ),
      );
}

/** The id of the form that a file is written in, for people and scripts. */
export function writtenAs(coding: Coding | undefined, form: string): string {
  return coding?.isBinary ? BINARY : form;
}
