import { phrase } from '../base/phrase.js';
import { withoutComments } from './codeComments.js';
import { ARRAY, areGroups, bytesOfType, HEX_LIST_TYPE, itemsOf, wordItems } from './hexListItems.js';
import type { RowsDoubt, RowsInOrder } from './imageForm.js';
import type { RecordRow, Row } from './row.js';
import { wordsInDoubt } from './whyWords.js';
import { bytesOfWord, type Word } from './word.js';

/** What all rows together leave in doubt: numbers that are decimal in C, elements of several bytes, a size that is not theirs. */
export function hexListDoubts(rows: readonly Row[], word: Word | undefined): readonly RowsDoubt[] {
  const found = rows.flatMap((row, at): DoubtRow[] => (row.kind === 'record' ? [{ at, row }] : []));
  const isCode = found.some(({ row }) => showsCode(row));
  const plain = found.find(({ row }) => holdsPlainNumbers(row));
  const decimal = isCode ? plain : undefined;
  const unclear = isCode || found.some(({ row }) => showsHex(row)) ? undefined : plain;
  const heads = found.filter(({ row }) => isHead(row));
  const countFrom = (at: number) => found.reduce((sum, one) => sum + (one.at < at ? 0 : one.row.count), 0);
  const groups = found.find(({ row }) => holdsGroups(row));
  const element = word === undefined ? undefined : found.find(({ row }) => row.count > 0);
  const kindOf = ({ row }: DoubtRow) => word && wordItems(itemsOf(row.text), word);
  const other = element && found.find((one) => one.row.count > 0 && kindOf(one) !== kindOf(element));
  const size = word !== undefined && element !== undefined && kindOf(element) === 'words' ? bytesOfWord(word) : 1;
  return [
    ...(other === undefined
      ? []
      : [
          {
            at: other.at,
            message: phrase(
              'This row is printed in another way than those before it. It may be cut off, or from another file.',
            ),
          },
        ]),
    ...(groups === undefined || word !== undefined ? [] : [{ at: groups.at, message: wordsInDoubt() }]),
    ...(decimal === undefined
      ? []
      : [
          {
            at: decimal.at,
            message: phrase('Numbers without 0x are decimal in C. Write all numbers in hex: 0x10 for 16.'),
          },
        ]),
    ...(unclear === undefined
      ? []
      : [
          {
            at: unclear.at,
            message: phrase(
              'These numbers may be decimal or hex, and none of them shows which. If they are hex, write 0x before each.',
            ),
          },
        ]),
    ...(rows.some(({ kind }) => kind === 'broken')
      ? []
      : heads.flatMap(({ at, row }) => wrongHead(at, row, countFrom(at), size) ?? [])),
  ];
}

/** The same a row at a time: there is a doubt only where a row cannot be read, or at the end. */
export function hexListInOrder(): RowsInOrder {
  const heads: { readonly row: RecordRow; readonly before: number }[] = [];
  let [isCode, hasPlain, isHex, count] = [false, false, false, 0];
  return {
    takes: (row) => {
      if (row.kind !== 'record') return row.kind !== 'broken';
      if (holdsGroups(row)) return false;
      if (isHead(row)) heads.push({ row, before: count });
      isCode ||= showsCode(row);
      hasPlain ||= holdsPlainNumbers(row);
      isHex ||= showsHex(row);
      count += row.count;
      return true;
    },
    takesAlike: (_label, store, from, more) => {
      for (let i = from; i < from + more && !isHex; i++) isHex = isHexForSure(store[i] as number);
      count += more;
      return true;
    },
    isSure: () =>
      !(hasPlain && (isCode || !isHex)) &&
      heads.every(({ row, before }) => wrongHead(0, row, count - before, 1) === undefined),
  };
}

function isHead({ text }: RecordRow): boolean {
  return ARRAY.test(withoutComments(text));
}

/** Whether a row shows that its text is code. */
function showsCode(row: RecordRow): boolean {
  const { type } = row;
  return (
    type === HEX_LIST_TYPE.end ||
    type === HEX_LIST_TYPE.last ||
    isHead(row) ||
    itemsOf(row.text).some(({ isNumber }) => isNumber)
  );
}

function holdsPlainNumbers({ text, count }: RecordRow): boolean {
  return count > 0 && itemsOf(text).some(({ isNumber }) => !isNumber);
}

function holdsGroups({ text, count }: RecordRow): boolean {
  return count > 0 && areGroups(itemsOf(text));
}

/** Whether numbers without 0x are hex for sure: they are longer than decimal ones of a byte, or have digits that these have not. */
function showsHex({ text }: RecordRow): boolean {
  return itemsOf(text).some(({ digits }) => digits.length > 2 || /[A-F]|^0/i.test(digits));
}

/** The same of the two digits of a byte: no decimal number begins with 0, or has a letter. */
function isHexForSure(byte: number): boolean {
  return byte < 0x10 || byte >= 0xa0 || (byte & 15) > 9;
}

interface DoubtRow {
  readonly at: number;
  readonly row: RecordRow;
}

/** Why the bytes behind the head of an array may not be all of it. */
function wrongHead(at: number, row: RecordRow, count: number, element: number): RowsDoubt | undefined {
  const head = /^([^[]*)\[\s*(\w*)\s*\]\s*(\[)?/.exec(withoutComments(row.text).replace('\ufeff', ''));
  const [, before = '', size = '', second] = head ?? [];
  const type = before.replace(/\w+\s*$/, '');
  if (!bytesOfType(type).includes(element) || second !== undefined) {
    const message =
      element === 1
        ? phrase(
            'The elements of this array may have more than one byte each. Write it as an array of "unsigned char".',
          )
        : phrase('The elements of this array may have another number of bytes than {0}, as "word" says.', element);
    return { at, message };
  }
  if (!/^\d/.test(size)) return undefined;
  if (/^(?:0x[0-9A-F]+|[1-9]\d*)$/i.test(size) && Number(size) * element === count) return undefined;
  return {
    at,
    message: phrase(
      'This array has the size {0}, and {1} bytes follow. Bytes are missing or too many, or the size is wrong.',
      size,
      count,
    ),
  };
}
