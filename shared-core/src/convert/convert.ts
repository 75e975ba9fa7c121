import { asciiText } from '../base/asciiText.js';
import { hex } from '../base/hex.js';
import { pageWriter, type TextSink } from '../base/pageWriter.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Refused, type Result, refuse } from '../base/result.js';
import { type FormId, formOf } from '../format/forms.js';
import type { WrittenForm } from '../format/notation.js';
import type { ContentsToWrite } from '../format/toWrite.js';
import type { Word } from '../format/word.js';
import type { Dump } from '../model/dump.js';
import { isSeal } from '../model/headers.js';
import { whyWordUnclear } from '../model/wordHeader.js';
import { type Contents, contentsOf, type Part } from './contents.js';
import { lineCutter } from './lineCutter.js';

/** Forms that a dump can be written in. */
export type ConvertTarget = FormId;

/** A dump in another notation. */
export interface Conversion {
  readonly write: (sink: TextSink) => void;
  /** What the other notation has no place for. No bytes and no addresses are ever among it. */
  readonly lost: readonly Phrase[];
  /** What belongs into the file beside one that has no place for headers. */
  readonly headers?: string;
}

/** Data bytes of a line, unless another number is asked for. Programs that read lines of any length write this one. */
const WIDTH = 16;

/** The most that every notation has room for: the length byte of an S-record counts five bytes more. */
export const MOST_WIDTH = 250;

/**
 * The same bytes at the same addresses in another form, with right sums, the line ends of the original and, where
 * it says so, the start address. Refused where a byte or an address of the original is in doubt.
 */
export function conversionOf(
  from: string,
  contents: () => Result<Contents>,
  target: ConvertTarget,
  width: number = WIDTH,
  words: SourceWords = {},
): Result<Conversion> {
  const plain = formOf(target);
  if (plain === undefined || (from === target && words.source === undefined)) return whyAlready();
  const found = contents();
  const resolved = found.ok ? inSingleBytes(found.value, plain.inWords !== undefined, words.profile) : found;
  if (!resolved.ok) return resolved;
  const { contents: held, lost } = resolved.value;
  const unheld = whyNotHeld(held, plain);
  if (unheld !== undefined) return unheld;
  const write = (sink: TextSink) => writeContents(held, plain, width, sink);
  if (plain.headers !== 'none') return done({ write, lost: [...lost, ...lostIn(held, plain)] });
  return done({
    write,
    lost: [...lost, ...lostIn(held, { ...plain, headers: 'commented' })],
    headers: headersText(held),
  });
}

/** The words in which the source is read, and those of the profile that its headers name. */
export interface SourceWords {
  readonly source?: Word | undefined;
  readonly profile?: Word | undefined;
}

/**
 * Contents without the headers by which single bytes would be read as words: "@word", and "@profile" where its profile
 * says words and the form of the result knows them. Refused where it is unclear which words the source is in.
 */
export function inSingleBytes(
  contents: Contents,
  knowsWords: boolean,
  profile: Word | undefined,
): Result<{ readonly contents: Contents; readonly lost: readonly Phrase[] }> {
  const headers = contents.parts.flatMap((part) => (part.kind === 'header' ? [part] : []));
  const unclear = whyWordUnclear(headers.map((header) => ({ row: header.row, header })));
  if (unclear !== undefined) return unclear;
  const isLeft = ({ name }: { readonly name: string }) => name === 'profile' && knowsWords && profile !== undefined;
  const lost = headers
    .filter(isLeft)
    .map(({ row, value }) =>
      phrase(
        'Row {0}: the header "@profile {1}", whose profile says that bytes are stored in words; here each byte is at its own address',
        row + 1,
        value,
      ),
    );
  const parts = contents.parts.filter((part) => part.kind !== 'header' || !(part.name === 'word' || isLeft(part)));
  return done({ contents: { ...contents, parts }, lost });
}

/** The same of a dump that is at hand, as a text. */
export function convert(
  dump: Dump,
  target: ConvertTarget,
  width?: number,
): Result<{ readonly text: string; readonly lost: readonly Phrase[] }> {
  const converted = conversionOf(dump.notation.id, () => contentsOf(dump), target, width, {
    source: dump.notation.word,
    profile: dump.profile.word,
  });
  if (!converted.ok) return converted;
  const texts: string[] = [];
  const { write, lost, headers } = converted.value;
  write({ ascii: (bytes) => texts.push(asciiText(bytes)), text: (text) => texts.push(text) });
  // There is no file beside a text that is at hand.
  const lines = (headers ?? '').split('\n').filter((line) => line !== '');
  return done({ text: texts.join(''), lost: [...lost, ...lines.map((line) => phrase('The header "{0}"', line))] });
}

/** Why a form cannot hold some contents: they have gaps, or, of one without addresses, do not begin at 0. */
function whyNotHeld({ parts }: Contents, form: WrittenForm): Refused | undefined {
  const above = form.keeps.top === undefined ? undefined : partAbove(parts, form.keeps.top);
  if (above !== undefined)
    return refuse(
      phrase(
        'Row {0}: {1} has no addresses above {2}; here are data up to {3}.',
        above.row + 1,
        form.title,
        hex((form.keeps.top ?? 0) - 1, 4),
        hex(above.address + above.bytes.count - 1, 4),
      ),
      above.row,
    );
  if (form.keeps.addresses && form.keeps.gaps !== false) return undefined;
  let next = form.keeps.addresses ? undefined : 0;
  for (const part of parts) {
    if (part.kind !== 'data') continue;
    if (part.address !== (next ?? part.address)) {
      const [row, address] = [part.row + 1, hex(part.address, 4)];
      const why = form.keeps.addresses
        ? phrase('Row {0}: {1} holds only data without gaps; here they go on at {2}.', row, form.title, address)
        : phrase(
            'Row {0}: {1} has no addresses, so it holds only data that begin at 0 and have no gaps; here they go on at {2}.',
            row,
            form.title,
            address,
          );
      return refuse(why, part.row);
    }
    next = part.address + part.bytes.count;
  }
  return undefined;
}

function partAbove(parts: Contents['parts'], top: number): Extract<Part, { readonly kind: 'data' }> | undefined {
  for (const part of parts) if (part.kind === 'data' && part.address + part.bytes.count > top) return part;
  return undefined;
}

export function whyAlready(): Refused {
  return refuse(phrase('This file is written in that form already.'), 0);
}

/** Writes the contents of a dump in a form, of any size. */
function writeContents(contents: Contents, form: WrittenForm, width: number, sink: TextSink): void {
  const page = pageWriter(sink);
  form.write(toWrite(contents, Math.min(Math.max(Math.trunc(width), 1), MOST_WIDTH)), page);
  page.flush();
}

function toWrite(contents: Contents, width: number): ContentsToWrite {
  const { parts, start, lineEnd } = contents;
  return {
    top: topOf(contents),
    start: start?.address,
    width,
    lineEnd,
    headers: parts.flatMap((part) => (part.kind === 'header' && isKept(part) ? [part] : [])),
    forEachLine: (give, remark) => {
      const { add, flush } = lineCutter(width, give);
      for (const part of parts) {
        if (part.kind === 'data') add(part.address, part.bytes);
        else if (remark !== undefined) {
          flush();
          if (part.kind !== 'start' && !(part.kind === 'header' && isSeal(part))) remark(part);
        }
      }
      flush();
    },
  };
}

/** The headers of a dump for the file beside one that has no place for them; a seal is that of the dump as it was. */
export function headersText({ parts }: Pick<Contents, 'parts'>): string {
  return parts
    .flatMap((part) => (part.kind === 'header' && isKept(part) ? `@${part.name} ${part.value}`.trimEnd() : []))
    .map((line) => `${line}\n`)
    .join('');
}

/** A seal is that of the records as they were; where the program starts has a record of its own. */
function isKept(header: Extract<Part, { readonly kind: 'header' }>): boolean {
  return !isSeal(header) && header.name !== 'start';
}

/** The address after the highest that anything is at. */
function topOf({ parts, start }: Contents): number {
  let top = (start?.address ?? 0) + 1;
  for (const part of parts) if (part.kind === 'data') top = Math.max(top, part.address + part.bytes.count);
  return top;
}

/** What a form has a place for. */
export type Places = Pick<WrittenForm, 'title' | 'keeps' | 'headers'>;

/** What the other form has no place for. */
export function lostIn({ parts, start }: Contents, places: Places): readonly Phrase[] {
  const { keeps, title } = places;
  const lost = parts.flatMap((part) => whatIsLost(part, places));
  if (start === undefined || keeps.start === 'any') return lost;
  if (keeps.start === 'none')
    return [...lost, phrase('Row {0}: the start address {1}', start.row + 1, hex(start.address, 4))];
  return start.address === 0
    ? [...lost, phrase('Row {0}: the start address 0, which {1} cannot tell from none', start.row + 1, title)]
    : lost;
}

function whatIsLost(part: Part, { keeps, headers }: Places): Phrase[] {
  const row = part.row + 1;
  switch (part.kind) {
    case 'comment':
      return keeps.comments ? [] : [phrase('Row {0}: the comment "{1}"', row, part.text.trim())];
    case 'header': {
      const isWritten = headers !== 'none' && !isSeal(part) && (keeps.comments || isKept(part));
      return isWritten ? [] : [phrase('Row {0}: the header "@{1} {2}"', row, part.name, part.value)];
    }
    case 'title':
      return keeps.comments ? [] : [phrase('Row {0}: the text of the S0 record', row)];
    case 'start':
      return [phrase('Row {0}: a start address that a later row replaces', row)];
    case 'data':
      return [];
  }
}
