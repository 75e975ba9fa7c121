import { phrase } from '../base/phrase.js';
import type { Notation, PrintedRecord, WrittenForm } from './notation.js';
import type { RecordRow, Row } from './row.js';
import type { ContentsToWrite } from './toWrite.js';
import { bytesOfWord, turnedBytes, turnedPlace, type Word, wordOf } from './word.js';

/** A notation whose units are words, where it knows any and is not read in words already. */
export function inWords<N extends Notation>(notation: N, word: Word | undefined): N | WrittenForm {
  return word === undefined || notation.word !== undefined ? notation : (notation.inWords?.(word) ?? notation);
}

/** The word that the header of a file says it is written in. */
export function wordInHeaders(rows: readonly Row[]): Word | undefined {
  for (const row of rows) if (row.kind === 'header' && row.name === 'word') return wordOf(row.value);
  return undefined;
}

/** A form of single bytes at addresses whose bytes are stored as words: all but the text of its rows goes by addresses. */
export function storedInWords<Id extends string>(form: WrittenForm<Id>, word: Word): WrittenForm<Id> {
  const places = (row: RecordRow): readonly number[] => {
    const all = form.digitPlaces(row);
    return all.map((_, i) => all[2 * turnedPlace(i >> 1, word) + (i & 1)] as number);
  };
  return {
    ...form,
    word,
    readRow: (text, store) => {
      const row = form.readRow(text, store);
      return row.kind === 'record' ? turnedRow(row, word) : row;
    },
    digitPlaces: places,
    print: (record, widths) => form.print(turnedRecord(record, word), widths),
    write: (contents, page) => form.write(turnedContents(contents, word), page),
  };
}

function turnedRow(row: RecordRow, word: Word): Row {
  const count = bytesOfWord(word);
  if (typeof row.label !== 'number' || row.label % count !== 0 || row.count % count !== 0)
    return {
      kind: 'broken',
      text: row.text,
      label: row.label,
      problems: [
        {
          code: 'text-unreadable',
          start: 0,
          end: row.text.trimEnd().length,
          message: phrase(
            'The bytes are stored as words of {0}, and this row has no whole ones. Put the bytes of each word in one row, at an address that is a multiple of {0}.',
            count,
          ),
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
