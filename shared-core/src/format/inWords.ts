import { type Phrase, phrase } from '../base/phrase.js';
import type { Notation, PrintedRecord, WrittenForm } from './notation.js';
import type { RecordRow, Row } from './row.js';
import type { ContentsToWrite } from './toWrite.js';
import { bytesOfWord, turnedBytes, turnedPlace, type Word, wordOf } from './word.js';

/** A notation whose units are words, where it knows any and is not read in words already. */
export function inWords(notation: WrittenForm, word: Word | undefined): WrittenForm;
export function inWords(notation: Notation, word: Word | undefined): Notation;
export function inWords(notation: Notation, word: Word | undefined): Notation {
  return word === undefined || notation.word !== undefined ? notation : (notation.inWords?.(word) ?? notation);
}

/** The word that the header of a file says it is written in. */
export function wordInHeaders(rows: readonly Row[]): Word | undefined {
  for (const row of rows) if (row.kind === 'header' && row.name === 'word') return wordOf(row.value);
  return undefined;
}

/** Whether a row holds whole words only. */
type HoldsWords = (row: RecordRow, word: Word) => boolean;

/** A form of bytes at addresses whose bytes are stored as words: all but the text of its rows goes by addresses. */
export function storedInWords<Id extends string>(
  form: WrittenForm<Id>,
  word: Word,
  holdsWords?: HoldsWords,
): WrittenForm<Id> {
  return {
    ...form,
    ...readInWords(form, word, holdsWords),
    write: (contents, page) => form.write(turnedContents(contents, word), page),
  };
}

/** The same of what is no written form: how its rows are read and where their digits are. */
export function readInWords(
  notation: Notation,
  word: Word,
  holdsWords: HoldsWords = isAtWords,
): Pick<Notation, 'readRow' | 'digitPlaces' | 'print'> & { readonly word: Word } {
  return {
    word,
    readRow: (text, store) => {
      const row = notation.readRow(text, store);
      return row.kind === 'record' ? turnedRow(row, word, holdsWords) : row;
    },
    digitPlaces: (row) => {
      const all = notation.digitPlaces(row);
      return all.map((_, i) => all[2 * turnedPlace(i >> 1, word) + (i & 1)] as number);
    },
    print: (record, widths) => notation.print(turnedRecord(record, word), widths),
  };
}

/** Whether a row begins at an address of a word, and has whole ones. */
export function isAtWords({ label, count }: RecordRow, word: Word): boolean {
  const size = bytesOfWord(word);
  return typeof label === 'number' && label % size === 0 && count % size === 0;
}

export function noWholeWords(word: Word): Phrase {
  return phrase(
    'The bytes are stored as words of {0}, and this row has no whole ones. Put the bytes of each word in one row, at an address that is a multiple of {0}.',
    bytesOfWord(word),
  );
}

function turnedRow(row: RecordRow, word: Word, holdsWords: HoldsWords): Row {
  if (!holdsWords(row, word))
    return {
      kind: 'broken',
      text: row.text,
      label: row.label,
      problems: [
        {
          code: 'text-unreadable',
          start: 0,
          end: row.text.trimEnd().length,
          message: noWholeWords(word),
        },
      ],
    };
  const own = row.store.subarray(row.from, row.from + row.count);
  own.set(turnedBytes(own, word));
  return row;
}

function turnedRecord(record: PrintedRecord, word: Word): PrintedRecord {
  const isWhole = record.data.length % bytesOfWord(word) === 0;
  return isWhole ? { ...record, data: turnedBytes(record.data, word) } : record;
}

function turnedContents(contents: ContentsToWrite, word: Word): ContentsToWrite {
  return {
    ...contents,
    forEachLine: (give, remark) =>
      contents.forEachLine((address, data) => give(address, turnedBytes(data, word)), remark),
  };
}
