import { HEX_VIEW_ADDRESS, HEX_VIEW_TYPE, hexViewShape, shownCharacter } from './hexViewRow.js';
import { bytesOf, type RecordRow } from './row.js';

/** Digits of an address as `od -A x` prints it; octal and decimal ones of `od` have seven. */
const DIGITS_OF_OD = 6;

/** Whether `od` may have printed the address of a row in octal, as it does by itself, or in decimal. */
export function mayBeOtherBase({ text, type }: RecordRow): boolean {
  const [found = '', blanks = ''] = HEX_VIEW_ADDRESS.exec(text) ?? [];
  return type === HEX_VIEW_TYPE.od && found.length - blanks.length !== DIGITS_OF_OD;
}

/**
 * What a row shows of the order of the bytes in its groups: `xxd -e` prints words with the last byte first, and the
 * characters beside them in the order of the bytes. Of a row that was read they are those of its digits from left to right.
 */
export function wordOrder(row: RecordRow): 'shown' | 'unknown' | 'same' {
  const bytes = bytesOf(row);
  const reversed = reversedGroups(row);
  if (reversed.every((byte, i) => byte === bytes[i])) return 'same';
  const shape = hexViewShape(row.text);
  const isShown =
    shape?.characters !== undefined &&
    reversed.some((byte, i) => shownCharacter(byte) !== shownCharacter(bytes[i] as number));
  return isShown ? 'shown' : 'unknown';
}

/** The bytes of a row if each group is a word that is printed backwards. */
function reversedGroups({ text }: RecordRow): readonly number[] {
  const shape = hexViewShape(text);
  const groups = shape === undefined ? [] : (text.slice(shape.start, shape.end).match(/[0-9A-F]+/gi) ?? []);
  return groups.flatMap((group) => (group.match(/../g) ?? []).reverse().map((pair) => Number.parseInt(pair, 16)));
}
