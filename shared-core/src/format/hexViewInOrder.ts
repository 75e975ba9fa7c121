import { hasCharacters, isOtherBase, mayBeOtherBase, wordOrder } from './hexViewDoubts.js';
import { HEX_VIEW_TYPE, hexViewShape } from './hexViewRow.js';
import type { RowsInOrder } from './imageForm.js';
import type { RecordRow } from './row.js';

const TYPE = HEX_VIEW_TYPE;

/**
 * Looks at the rows of a hex view one after the other. All rows are asked for where one does not go on as the first one
 * began; what is taken to its end is in none of the doubts of `hexViewDoubts`.
 */
export function hexViewInOrder(): RowsInOrder {
  let first: RecordRow | undefined;
  let before: { readonly label: number; readonly count: number; readonly isRepeated: boolean } | undefined;
  /** Whether a short row has come, which only the last one may be, and whether the length that ends a listing has. */
  let isShort = false;
  let isEnded = false;
  let mayBeOther = false;
  let isHex = false;
  let isOfBytes = true;
  let isOrderUnknown = false;
  let isOrderShown = false;

  const follows = (label: number) =>
    !isShort && !isEnded && before !== undefined && label === before.label + before.count;
  const note = (label: number, count: number, isRepeated: boolean) => {
    if (!isHex && before !== undefined && !before.isRepeated && !isRepeated && before.count > 0)
      isHex = label - before.label === before.count && !isOtherBase(before, { label });
    before = { label, count, isRepeated };
  };
  const takesData = (row: RecordRow): boolean => {
    if (first !== undefined && !(follows(Number(row.label)) && isLike(row, first))) return false;
    first ??= row;
    isShort = row.count < first.count;
    mayBeOther ||= mayBeOtherBase(row);
    isOfBytes &&= hasSingleBytes(row);
    const order = wordOrder(row);
    isOrderShown ||= order === 'shown';
    isOrderUnknown ||= order === 'unknown';
    return !isEnded;
  };
  return {
    takes: (row) => {
      if (row.kind !== 'record') return row.kind !== 'broken';
      const isRepeated = row.type === TYPE.repeated;
      const isEnd = row.type === TYPE.end;
      const isTaken = isEnd
        ? !isEnded && first?.type !== TYPE.xxd
        : isRepeated
          ? follows(Number(row.label))
          : takesData(row);
      isEnded ||= isEnd;
      note(Number(row.label), row.count, isRepeated);
      return isTaken;
    },
    takesAlike: (label, store, from, count) => {
      if (!follows(label) || count !== first?.count) return false;
      // In what order the bytes of words are, one row in which it matters shows for all.
      if (!isOfBytes && !isOrderShown && !isOneByte(store, from, count)) return false;
      note(label, count, false);
      return true;
    },
    isSure: () => (isHex || !mayBeOther) && (isOrderShown || !isOrderUnknown),
  };
}

function isLike(row: RecordRow, first: RecordRow): boolean {
  return row.type === first.type && row.count <= first.count && hasCharacters(row) === hasCharacters(first);
}

function hasSingleBytes({ text }: RecordRow): boolean {
  const shape = hexViewShape(text);
  return shape !== undefined && !/[^ \t]{3}/.test(text.slice(shape.start, shape.end));
}

/** Whether all bytes are one, as where a memory is erased: in any order they are the same. */
function isOneByte(store: Uint8Array, from: number, count: number): boolean {
  for (let i = from + 1; i < from + count; i++) if (store[i] !== store[from]) return false;
  return true;
}
