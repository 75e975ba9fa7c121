import { phrase } from '../base/phrase.js';
import { done, type Refused, type Result, refuse } from '../base/result.js';
import { inOneGo, type RunSteps } from '../base/steps.js';
import type { Contents } from '../convert/contents.js';
import { contentsOfPass, contentsOfRaw, isContent } from '../convert/contentsScan.js';
import { dumpText } from '../format/dumpText.js';
import { inWords, wordInHeaders } from '../format/inWords.js';
import type { Notation, WrittenForm } from '../format/notation.js';
import { isImage, notationWithHeaders, plainForm, type Recognition, recognise } from '../format/notationOf.js';
import { type RawBytes, rawHeaderRows, rawRows } from '../format/rawBytes.js';
import type { HeaderRow, Row } from '../format/row.js';
import { readRows } from '../format/rows.js';
import { whyUnclear } from '../format/whyUnclear.js';
import type { Word } from '../format/word.js';
import { bind, type Dump, inNotationOf } from '../model/dump.js';
import { type HeaderName, headersOf } from '../model/headers.js';
import type { Profile } from '../profile/profile.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import { type Asked, type ImageFile, MOST_WRONG_ROWS, type ScannedImage, scanInSteps } from '../scan/imageScan.js';
import { scanRawInSteps } from '../scan/rawScan.js';
import { type PassedImage, passedImage, passedRaw } from '../scan/together.js';
import type { OpenFile } from './host.js';
import { textOf } from './readFile.js';
import { tooLarge, tooWrong } from './reasons.js';
import { fileName, namedUri } from './uri.js';

/** A dump before a profile explains it. */
export interface UnboundDump {
  /** What its `@profile` headers say; of a memory image that is passed over, the first of them. */
  readonly profiles: () => readonly string[];
  readonly bind: (profile: Profile) => Result<Dump>;
}

/** The same of a file, which may take long to read. */
export interface FileToBind {
  readonly profiles: () => readonly string[] | Promise<readonly string[]>;
  readonly bind: (profile: Profile) => Result<Dump> | Promise<Result<Dump>>;
  /** What the file holds of which a dump was bound; undefined where the rows of the dump are all that there is. */
  readonly contents?: (dump: Dump) => Result<Contents> | undefined;
  /** The pass that a dump was bound by which lacks rows, where that gathered all bytes. */
  readonly passed?: (dump: Dump) => PassedImage | undefined;
}

/** Which rows of a file are wanted, and how large it may be where that is all of them. */
export interface Wanted {
  /** `'needed'`: of a memory image only those that something is wrong with, and those that the profile mentions. */
  readonly rows: 'all' | 'needed';
  readonly most: number;
  /** The form that a person says the file is written in. */
  readonly form?: WrittenForm | undefined;
  /** The words that a person says the file is written in. */
  readonly word?: SaidWord | undefined;
  /** What the file holds is wanted as well. */
  readonly contents?: boolean;
  /** How a memory image is passed over; in one go where nothing is said. */
  readonly run?: RunSteps | undefined;
}

/** Words that a person says a file is written in. */
export interface SaidWord {
  readonly word: Word;
  /** They may be those of what is made from the file, where that knows none. */
  readonly orOfResult: boolean;
}

/** Bytes at the head of a file that show its notation. */
const HEAD = 4096;

/**
 * Reads an open file as a dump. A memory image of which not all rows are wanted may be of any size. Refused where the words
 * that a person says are not those of its headers or its profile.
 */
export function readDumpFile(name: string, file: OpenFile, wanted: Wanted): Result<FileToBind> {
  const read = readAsSaid(name, file, wanted);
  const word = file.raw === undefined ? wanted.word?.word : file.raw.word;
  if (!read.ok || word === undefined) return read;
  const bind = async (profile: Profile): Promise<Result<Dump>> => {
    const bound = await read.value.bind(profile);
    const refused = bound.ok ? whyOtherWord(bound.value, word, file.raw !== undefined) : undefined;
    return refused ?? bound;
  };
  return done({ ...read.value, bind });
}

/** Why the words that a person says are not those that a dump is read in, by what its headers or its profile say. */
function whyOtherWord({ rows, profile, notation }: Dump, said: Word, isRaw: boolean): Refused | undefined {
  const inHeaders = wordInHeaders(rows);
  if (inHeaders !== undefined && inHeaders !== said)
    return refuse(
      phrase(
        '"--word {0}" contradicts its header "@word {1}". Leave "--word" out, or correct the header.',
        said,
        inHeaders,
      ),
    );
  const { word } = profile;
  if (inHeaders === undefined && word !== undefined && word !== said)
    return refuse(
      phrase(
        '"--word {0}" contradicts its profile, which says {1}. Leave "--word" out, or correct the profile.',
        said,
        word,
      ),
    );
  // Raw bytes that were passed over are in the order of their addresses already.
  const isRead = isRaw || notation.word === said || (notation.word === undefined && notation.inWords === undefined);
  if (isRead) return undefined;
  return refuse(
    phrase(
      '"--word {0}" contradicts its profile, whose notation {1} is without words. Leave "--word" out, or add "word" to the profile.',
      said,
      notation.id,
    ),
  );
}

function readAsSaid(
  name: string,
  file: OpenFile,
  { rows, most, form: said, word, contents, run = inOneGo }: Wanted,
): Result<FileToBind> {
  if (file.raw !== undefined) return readRaw(file, file.raw, { rows, most, run });
  const form = file.form ?? said;
  const image = rows === 'needed' && word === undefined ? imageIn(name, file, form) : undefined;
  if (image === undefined) return readRowsOf(name, file, most, form, word);
  /** Whether the words of a file are not single bytes, by its headers or a profile. */
  const isInWords = ({ word: said }: Profile, headers: readonly Row[]) =>
    inWords(image.notation, wordInHeaders(headers) ?? said) !== image.notation;
  const keepsToo = contents ? isContent(image.notation) : undefined;
  let scanned: ScannedImage | undefined;
  const scan = async (profile?: Profile): Promise<Dump | Asked> => {
    const found = await run(scanInSteps(image, profile, keepsToo));
    if ('asks' in found) return found;
    scanned = found;
    return found.dump;
  };
  let first: Promise<Dump | Asked> | undefined;
  const withoutProfile = () => {
    first ??= scan();
    return first;
  };
  return done({
    profiles: async () => {
      const found = await withoutProfile();
      if (!('asks' in found)) return [];
      if (found.asks === 'profile') return [found.value];
      if (isTooWrong(found)) return [];
      // Only all rows show it, as they do what the file holds.
      const whole = readRowsOf(name, file, most, form);
      return whole.ok ? whole.value.profiles() : [];
    },
    bind: async (profile) => {
      if (profile === EMPTY_PROFILE) {
        const found = await withoutProfile();
        if (isTooWrong(found)) return refuse(tooWrong(MOST_WRONG_ROWS));
        if (!('asks' in found) && !isInWords(profile, headerRows(found))) return done(found);
      }
      // A profile may say that the file is written otherwise.
      const isOtherwise = profile.notation !== undefined && profile.notation.id !== image.notation.id;
      const found = isOtherwise || isInWords(profile, []) ? undefined : await scan(profile);
      if (found !== undefined && isTooWrong(found)) return refuse(tooWrong(MOST_WRONG_ROWS));
      if (found !== undefined && !('asks' in found) && !isInWords(profile, headerRows(found))) return done(found);
      const whole = readRowsOf(name, file, most, form);
      return whole.ok ? whole.value.bind(profile) : whole;
    },
    contents: (dump) => (scanned?.dump === dump ? contentsOfPass(image, scanned.pass, dump.profile) : undefined),
    passed: (dump) => (scanned?.dump === dump ? passedImage(image, dump, scanned.pass) : undefined),
  });
}

function isTooWrong(found: Dump | Asked): boolean {
  return 'asks' in found && found.asks === 'nothing';
}

function headerRows(dump: Dump): readonly Row[] {
  return headersOf(dump).map(({ header }) => header);
}

function readRaw(
  { size }: OpenFile,
  raw: RawBytes,
  { rows, most, run }: Pick<Wanted, 'rows' | 'most'> & { readonly run: RunSteps },
): Result<FileToBind> {
  const whole = (): Result<UnboundDump> =>
    size > most
      ? refuse(tooLarge(most))
      : done(unboundRows(rawRows(raw), raw.word === undefined ? dumpText : { ...dumpText, word: raw.word }));
  if (rows === 'all') return whole();
  let passedOver: Dump | undefined;
  return done({
    profiles: () => profilesNamed(rawHeaderRows(raw)),
    bind: async (profile) => {
      const scanned = await run(scanRawInSteps(raw, profile));
      if (scanned !== undefined) {
        passedOver = scanned;
        return done(scanned);
      }
      const read = whole();
      return read.ok ? read.value.bind(profile) : read;
    },
    contents: (dump) => (dump.notation === dumpText ? contentsOfRaw(raw, dump) : undefined),
    passed: (dump) => (dump === passedOver ? passedRaw(raw, dump) : undefined),
  });
}

/** An open file as a memory image; undefined where it is none, or its head does not show it. */
export function imageIn(
  name: string,
  { chunks, size, decode, form, raw }: OpenFile,
  said?: WrittenForm,
): ImageFile | undefined {
  if (raw !== undefined) return undefined;
  const [first = new Uint8Array(0)] = chunks();
  const notation = form ?? said ?? sureForm(recognise(name, decode(first.subarray(0, HEAD))));
  if (notation === undefined) return undefined;
  const { image } = notation;
  // Where rows leave each other in doubt, all of them are needed, unless the form says how to look at them in order.
  const isInOrder = image?.doubts === undefined || image.inOrder !== undefined;
  return isImage(notation) && isInOrder ? { chunks, size, notation, decode } : undefined;
}

function sureForm(found: Recognition): WrittenForm | undefined {
  return found.kind === 'form' ? found.form : undefined;
}

function readRowsOf(
  name: string,
  file: OpenFile,
  most: number,
  form: WrittenForm | undefined,
  word?: SaidWord,
): Result<UnboundDump> {
  const text = textOf(file, most);
  if (!text.ok) return text;
  if (word === undefined) return done(dumpOfText(name, text.value, form));
  const found = formInWords(form === undefined ? recognise(name, text.value) : { kind: 'form', form }, word);
  return found.ok ? done(dumpOfText(name, text.value, found.value)) : found;
}

/** The form of a text in the words that a person says; undefined where that does not tell how the text is written. */
function formInWords(found: Recognition, { word, orOfResult }: SaidWord): Result<WrittenForm | undefined> {
  if (found.kind === 'unclear') return done(found.forms.find((form) => form.word === word));
  if (found.form.inWords !== undefined) return done(inWords(found.form, word));
  return orOfResult ? done(found.form) : refuse(phrase('{0} has no words. Leave "--word" out.', found.form.title));
}

/** A text as the dump that it would be in a file of this name. */
export function dumpOfText(name: string, text: string, form?: WrittenForm): UnboundDump {
  if (form !== undefined) return unboundRows(readRows(text, form), form);
  const found = recognise(name, text);
  if (found.kind === 'form') return unboundRows(readRows(text, found.form), found.form);
  const notation = plainForm(found.forms) ?? dumpText;
  const unclear = { why: refuse(whyUnclear(found.forms, text)), forms: found.forms };
  return unboundRows(readRows(text, notation), notation, unclear);
}

/** Why a text is not read in its form, before somebody says which it is or which words it has. */
interface Unclear {
  readonly why: Refused;
  readonly forms: readonly WrittenForm[];
}

/** Rows in their own form, where a profile does not say another; without that, a form that is unclear is refused. */
function unboundRows(rows: readonly Row[], notation: Notation, unclear?: Unclear): UnboundDump {
  return {
    profiles: () => profilesNamed(rows),
    bind: (profile) => {
      const word = wordInHeaders(rows) ?? profile.word;
      const isSaid =
        profile.notation !== undefined ||
        unclear?.forms.some((form) => form.id === notation.id && form.word !== undefined && form.word === word);
      if (unclear !== undefined && !isSaid) return unclear.why;
      const read = inNotationOf(profile, () => notation, { rows, notation });
      const bound = bind(read.rows, read.notation, profile);
      const isImage = bound.layout.kind === 'image';
      return isImage && bound.invalidRows.length + bound.wrongSums.length > MOST_WRONG_ROWS
        ? refuse(tooWrong(MOST_WRONG_ROWS))
        : done(bound);
    },
  };
}

/** The files that the headers of a dump name: its profile and its backup. */
export function filesNamedBy(file: string, text: string): readonly string[] {
  const notation = notationWithHeaders(fileName(file), text);
  // A text may have a million lines, and only a few can be such headers.
  const lines = NAMING_HEADERS.flatMap((name) => linesWith(`@${name}`, text));
  return readRows(lines.join('\n'), notation).flatMap((row) => {
    const named =
      row.kind === 'header' && row.value !== '' && (NAMING_HEADERS as readonly string[]).includes(row.name)
        ? namedUri(file, row.value)
        : undefined;
    return named?.ok === true ? named.value : [];
  });
}

/** The headers that name other files. */
export const NAMING_HEADERS: readonly HeaderName[] = ['profile', 'backup'];

function linesWith(part: string, text: string): readonly string[] {
  const lines: string[] = [];
  for (let at = text.indexOf(part); at >= 0; at = text.indexOf(part, at)) {
    const start = Math.max(text.lastIndexOf('\n', at), text.lastIndexOf('\r', at)) + 1;
    const end = text.slice(at).search(/[\r\n]|$/) + at;
    lines.push(text.slice(start, end));
    at = end;
  }
  return lines;
}

/** The values of all `@profile` headers of some rows, each once. */
export function profilesNamed(rows: readonly Row[]): readonly string[] {
  const isNaming = (row: Row): row is HeaderRow => row.kind === 'header' && row.name === 'profile' && row.value !== '';
  return [...new Set(rows.filter(isNaming).map(({ value }) => value))];
}
