import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Refused, type Result, refuse } from '../base/result.js';
import {
  apartFromHeaders,
  type BehindHeaders,
  behindHeaders,
  lineLikeHeader,
  withHeaders,
} from '../format/behindHeaders.js';
import { dumpText } from '../format/dumpText.js';
import { formOf } from '../format/forms.js';
import type { Notation, WrittenForm } from '../format/notation.js';
import { notationOf, promisedBy } from '../format/notationOf.js';
import { isTextOfHex } from '../format/readings.js';
import { readRows } from '../format/rows.js';
import { BINARY, type BinaryView, binaryOfText, rawBytesOf } from './binary.js';
import {
  decodeText,
  type Encoding,
  encodeText,
  encodingOf,
  isCutOff,
  isMostlyText,
  looksRaw,
  type OtherEncoding,
} from './encodings.js';
import { kindOf } from './fileKind.js';
import { HEADERS_BESIDE, type Host, LARGEST_TEXT, type OpenFile } from './host.js';
import { otherKindOf } from './otherKind.js';
import { isMissing, tooLarge } from './reasons.js';
import { fileName } from './uri.js';
import { fileOfRaw, fileOfText, type TextCodec } from './wholeFile.js';

/** How the text that a file is read as becomes its bytes again. */
export interface Coding {
  /** Whether the file holds raw bytes. */
  readonly isBinary: boolean;
  /** The first row that is of the file beside it, where its headers stand behind its text. */
  readonly headersFrom?: number;
  readonly encode: (text: string) => Result<Encoded>;
}

export interface Encoded {
  readonly bytes: Uint8Array;
  /** What belongs into the file beside one that has no place for headers. */
  readonly headers: string;
}

interface ReadFile {
  readonly whole: OpenFile;
  readonly coding: Coding;
}

export interface CodedFiles {
  readonly open: Host['open'];
  /** How a file was encoded that has been read and is no text in UTF-8. */
  readonly codingOf: (uri: string) => Coding | undefined;
  readonly hasReadBinary: () => boolean;
}

/** How files are to be read as text. */
export interface HowCoded {
  /** How raw bytes are shown. */
  readonly view?: BinaryView;
  /** The form that a person says a file is written in. */
  readonly saidForm?: (uri: string) => string | undefined;
  /** Whether a person can say it by an option, as on the command line. */
  readonly hasOption?: boolean;
}

/** How raw bytes are shown where nobody says otherwise. */
export const PLAIN_VIEW: BinaryView = { offset: 0, word: undefined };

/**
 * Files as text in UTF-8, whatever they are: other encodings are turned into it, and raw bytes into lines of dump text. Bytes
 * are taken for raw ones where a person says so, or where they are no text and the name of the file promises none: for sure
 * where headers are beside them, else unless most of them are text, or they begin as a file of another kind does.
 */
export function codedFiles(
  host: Host,
  codec: TextCodec,
  { view = PLAIN_VIEW, saidForm = () => undefined, hasOption = false }: HowCoded = {},
): CodedFiles {
  const codings = new Map<string, Coding>();
  const readCoded = async (
    file: OpenFile,
    uri: string,
    encoding: Encoding | undefined,
    mayHaveHeaders: boolean,
    most: number,
  ): Promise<Result<ReadFile>> => {
    if (file.size > most) return refuse(tooLarge(most));
    const headers = mayHaveHeaders ? await headersBeside(host, uri) : done('');
    if (!headers.ok) return headers;
    if (encoding === undefined) {
      const raw = rawBytesOf(wholeOf(file), headers.value, view);
      if (!raw.ok) return raw;
      const whole = { ...fileOfRaw(raw.value, codec), form: dumpText };
      return done({ whole, coding: binaryCoding(view) });
    }
    const text = encoding === 'utf-8' ? done(file.text()) : decodedText(wholeOf(file), encoding);
    if (!text.ok) return text;
    const form = formOf(saidForm(uri) ?? '') ?? notationOf(fileName(uri), text.value);
    const coding = encoding === 'utf-8' ? utf8Coding(codec) : textCoding(encoding);
    const { decode } = file;
    if (mayHaveHeaders && form.headers !== 'none') return headersUnread(uri, form);
    if (!mayHaveHeaders) return done({ whole: fileOfText(text.value, { encode: codec.encode, decode }), coding });
    const stray = lineLikeHeader(text.value);
    if (stray >= 0) return likeHeader(stray, form);
    const joined = withHeaders(headers.value, text.value);
    const whole = fileOfText(joined.whole, { encode: codec.encode, decode });
    return done({ whole: { ...whole, form: behindHeaders(form) }, coding: codingBehindHeaders(coding, joined, form) });
  };
  /** Whether there are headers beside a file, or nobody can tell. */
  const hasHeaders = async (uri: string): Promise<boolean> => {
    const opened = await host.open(besideOf(uri));
    if (opened.ok) opened.value.close();
    return opened.ok || !isMissing(opened.why);
  };
  const open: Host['open'] = async (uri, allowed) => {
    const opened = await host.open(uri, allowed);
    if (!opened.ok) return opened;
    const [head = new Uint8Array(0)] = opened.value.chunks();
    const encoding = encodingOf(head);
    const file = encoding === 'utf-8' && saidForm(uri) !== BINARY ? wholeCharacters(opened.value) : opened.value;
    const isSaid = saidForm(uri) === BINARY;
    const isText = saidForm(uri) !== undefined && encoding !== undefined;
    const kind = isSaid ? undefined : otherKindOf(head);
    if (kind !== undefined && !(await hasHeaders(uri))) {
      file.close();
      return refuse(
        phrase(
          'It is {0}, not a dump. If it holds raw bytes of a module all the same, say so by {1}.',
          kind,
          howToSay(uri, hasOption),
        ),
      );
    }
    const isBinary = isSaid || (!isText && holdsRawBytes(fileName(uri), head));
    if (isBinary && !isSaid && encoding === undefined && isMostlyText(head) && !(await hasHeaders(uri))) {
      file.close();
      return refuse(
        phrase(
          'Most of it is text, but it holds zero bytes or control characters too. Take these out, or save it as UTF-8; if it is raw bytes, say so by {0}.',
          howToSay(uri, hasOption),
        ),
      );
    }
    if (saidForm(uri) === undefined && isDigitsOnly(fileName(uri), head)) {
      file.close();
      const how = hasOption
        ? phrase('Say which with "--from binary" or "--from hex-list", or give its name the ending of a form.')
        : phrase('Give its name the ending of a form.');
      return refuse(phrase('It holds hex digits and nothing else, so it may be raw bytes or text in hex. {0}', how));
    }
    const mayHaveHeaders = isBinary || (hasNoPlace(uri, saidForm(uri)) && (await hasHeaders(uri)));
    const ownHeaders = isBinary ? undefined : formWithHeaders(uri, saidForm(uri));
    if (ownHeaders !== undefined && (await isFileBeside(host, uri))) {
      file.close();
      return headersUnread(uri, ownHeaders);
    }
    // Bytes that are no text, under a name that promises text, are told from it where they are read.
    if (!isBinary && (encoding === undefined || (encoding === 'utf-8' && !mayHaveHeaders))) {
      codings.delete(uri);
      return done(file);
    }
    const most = allowed?.most ?? LARGEST_TEXT;
    const read = await readCoded(file, uri, isBinary ? undefined : encoding, mayHaveHeaders, most);
    if (!read.ok) {
      file.close();
      return read;
    }
    const { whole, coding } = read.value;
    codings.set(uri, coding);
    return done({ ...whole, close: file.close });
  };
  return {
    open,
    codingOf: (uri) => codings.get(uri),
    hasReadBinary: () => [...codings.values()].some(({ isBinary }) => isBinary),
  };
}

/** How a person says that a file holds raw bytes. */
function howToSay(uri: string, hasOption: boolean): Phrase {
  const beside = `${fileName(uri)}${HEADERS_BESIDE}`;
  return hasOption
    ? phrase('"--from binary" or a file "{0}" beside it', beside)
    : phrase('a file "{0}" beside it', beside);
}

/**
 * Whether a file whose name promises no text holds raw bytes: bytes that are no text, and under ".bin" a text of which no row is
 * one of a dump in hex.
 */
export function holdsRawBytes(name: string, bytes: Uint8Array): boolean {
  if (kindOf(name) !== undefined) return false;
  return looksRaw(bytes) || (/\.bin$/i.test(name) && bytes.length > 0 && !isTextOfHex(textOfFile(bytes)));
}

/** Whether bytes under a name that promises no text are hex digits without any line end: raw bytes may be such by chance. */
function isDigitsOnly(name: string, bytes: Uint8Array): boolean {
  return kindOf(name) === undefined && bytes.length > 0 && bytes.every(isHexDigit);
}

function isHexDigit(byte: number): boolean {
  return (byte >= 0x30 && byte <= 0x39) || (byte >= 0x41 && byte <= 0x46) || (byte >= 0x61 && byte <= 0x66);
}

/** The text of bytes that are some. */
export function textOfFile(bytes: Uint8Array): string {
  const encoding = encodingOf(bytes);
  // In hex there are no signs beyond ASCII.
  return decodeText(bytes, encoding === undefined || encoding === 'utf-8' ? 'windows-1252' : encoding);
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

function decodedText(bytes: Uint8Array, encoding: OtherEncoding): Result<string> {
  return isCutOff(bytes, encoding) ? whyCutOff(encoding) : done(decodeText(bytes, encoding));
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

/** The same of a text that has the headers of the file beside it behind it. */
function codingBehindHeaders({ encode }: Coding, joined: BehindHeaders, form: WrittenForm): Coding {
  const own = joined.whole.slice(0, joined.whole.length - joined.rest.length);
  return {
    isBinary: false,
    headersFrom: own.split(/\r\n?|\n/).length - 1,
    encode: (whole) => {
      const { headers, text } = apartFromHeaders(whole, joined);
      // What stands behind such a row is data of the dump, which are no headers.
      if (strayInHeaders(headers) >= 0) return likeHeader(lineLikeHeader(whole), form);
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

/** The form that a file is said or named to be in, where its headers are in its own text. */
function formWithHeaders(uri: string, said: string | undefined): WrittenForm | undefined {
  const form = formOf(said ?? '') ?? promisedBy(uri);
  return form === undefined || form.headers === 'none' ? undefined : form;
}

/** Whether there is a file with headers beside one, as far as that can be told without opening it. */
export async function isFileBeside(host: Host, uri: string): Promise<boolean> {
  const beside = await host.kindAt(besideOf(uri));
  return beside.ok && beside.value !== 'folder';
}

/** Headers beside a file that has its own in its text: they may hold its seal or its profile, and nobody would see them. */
export function headersUnread(uri: string, { id }: Pick<Notation, 'id'>): Refused {
  return refuse(
    phrase(
      '{0} has its headers in its own text, so those in {1} would not be read. Write them into the text of {2}, and delete {1}',
      (formOf(id) ?? dumpText).title,
      fileName(besideOf(uri)),
      fileName(uri),
    ),
  );
}

function wholeOf(file: OpenFile): Uint8Array {
  let whole = new Uint8Array(file.size);
  let filled = 0;
  // A chunk holds only until the next is asked for.
  for (const chunk of file.chunks()) {
    if (filled + chunk.length > whole.length) {
      const larger = new Uint8Array(2 * (filled + chunk.length));
      larger.set(whole.subarray(0, filled));
      whole = larger;
    }
    whole.set(chunk, filled);
    filled += chunk.length;
  }
  return filled === whole.length ? whole : whole.slice(0, filled);
}

function besideOf(uri: string): string {
  // What stands behind a file in its address, as for standard input, is no part of its name.
  return uri.replace(/(?=\?|$)/, HEADERS_BESIDE);
}

function likeHeader(row: number, { title }: WrittenForm): Refused {
  return refuse(
    phrase('row {0} begins with "@" or "#", and {1} has no headers and no comments. Take it out.', row + 1, title),
  );
}

/** The first row that is none of headers; below 0 where all are. */
function strayInHeaders(text: string): number {
  return readRows(text, dumpText).findIndex(({ kind }) => kind !== 'header' && kind !== 'comment' && kind !== 'blank');
}

/** The headers of a file, from the one beside it; none where there is no such file. */
export async function headersBeside(host: Host, uri: string): Promise<Result<string>> {
  const beside = besideOf(uri);
  const opened = await host.open(beside);
  if (!opened.ok)
    return isMissing(opened.why)
      ? done('')
      : refuse(phrase('the headers in the file beside it cannot be read: {0}', opened.why));
  const text = opened.value.text();
  const closed = opened.value.close();
  if (!closed.ok) return closed;
  const stray = strayInHeaders(text);
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
