import { withoutComments } from './codeComments.js';
import { bytesOfWord, type Word } from './word.js';

/** Bytes, the head of an array, bytes behind one, its end, the length that `xxd -i` says, and bytes with the end behind them. */
export const HEX_LIST_TYPE = { bytes: 0, array: 1, first: 2, end: 3, length: 4, last: 5, whole: 6 } as const;

/** The head of an array in C, up to its brace or its equals sign. */
export const ARRAY = /^[\s\ufeff]*[A-Za-z_][\w\s*]*\[\s*\w*\s*\][^={}]*=\s*(?:\{|$)/;
export const ARRAY_END = /\}\s*;?\s*$/;
const ITEM = /[^\s,;]+/g;

/** An item of a list by its digits, and where they are. */
export interface ListItem {
  readonly at: number;
  readonly digits: string;
  readonly isNumber: boolean;
}

/** The items of a line. */
export function itemsOf(text: string): readonly ListItem[] {
  const plain = withoutComments(text).replace('\ufeff', ' ');
  const start = ARRAY.exec(plain)?.[0].length ?? 0;
  const end = ARRAY_END.exec(plain)?.index ?? plain.length;
  return [...plain.slice(start, Math.max(start, end)).matchAll(ITEM)].map(({ 0: item, index }) => {
    const isNumber = /^0x/i.test(item);
    return { at: start + index + (isNumber ? 2 : 0), digits: isNumber ? item.slice(2) : item, isNumber };
  });
}

/** Whether items hold whole words as single bytes, or as words; undefined where some of them are none. */
export function wordItems(items: readonly ListItem[], word: Word): 'bytes' | 'words' | undefined {
  const size = bytesOfWord(word);
  if (items.every(({ digits }) => digits.length === 2 * size)) return 'words';
  if (items.every(({ digits }) => digits.length === 2)) return items.length % size === 0 ? 'bytes' : undefined;
  const [only] = items;
  const isString = items.length === 1 && only !== undefined && !only.isNumber;
  return isString && only.digits.length % (2 * size) === 0 ? 'words' : undefined;
}

/** Whether items are groups of several bytes whose order nothing shows. */
export function areGroups(items: readonly ListItem[]): boolean {
  return items.length > 1 && items.every(({ digits, isNumber }) => !isNumber && digits.length > 2);
}

/** How many bytes the elements of an array in C may have, by the words of its type. */
export function bytesOfType(type: string): readonly number[] {
  const has = (words: string) => new RegExp(`(?:^|\\s)(?:${words})\\s`, 'i').test(type);
  if (/\*/.test(type) || has('float|double|long\\s+long|u?int64(?:_t)?|[us]64')) return [];
  if (has('short|ushort|u?int16(?:_t)?|[us]16')) return [2];
  if (has('u?long|u?int32(?:_t)?|[us]32|dword')) return [4];
  if (has('int|uint|word')) return [2, 4];
  if (has('char|uchar|byte|u?int8(?:_t)?|[us]8')) return [1];
  return has('unsigned|signed') ? [2, 4] : [];
}
