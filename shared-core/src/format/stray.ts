import { isHexDigit, isHexWord } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { contentOf } from './row.js';

/**
 * Why a line that is no record must not be passed over as a comment; undefined where it may be. Three kinds of line
 * are in doubt, unless they begin with a comment sign:
 *
 * - lines of hex: two bytes or more, as most of the line or as all that follows a label (`isHexLine`);
 * - `*`, by which a listing leaves out lines that repeat the one before;
 * - lines with zero bytes, which are no text.
 *
 * Prose may hold a few bytes ("Added 02 FF by hand"), and so may a value under a name ("Checksum: 1A2B").
 */
export function whyStray(text: string, commentSign: string): Phrase | undefined {
  const content = contentOf(text).replace('\ufeff', '').trim();
  if (content.includes('\0'))
    return phrase('This line holds zero bytes, so it is no text. Save the file as UTF-8 text, or take the line out.');
  if (/^\*+$/.test(content))
    return phrase('"*" leaves out lines that repeat the one before, so their bytes are not read. Write them out.');
  return isHexLine(content) ? whyUnread(commentSign) : undefined;
}

export function whyUnread(commentSign: string): Phrase {
  return phrase(
    'This line is no valid record, so it is not read. Correct it, or put "{0}" before it if it is a comment.',
    commentSign,
  );
}

/** Words by which people and programs call sums. */
export const NAMES_OF_SUMS = /sum|total|crc|check|\bcs\b|bcc|lrc|parity/i;

/**
 * Whether a line that is no record holds bytes all the same: groups of hex digits, a digit from 0 to 9 among them, so
 * many capitals that they are no word, or nothing else; or the name of a sum with a number of five digits or more.
 */
export function holdsBytes(text: string): boolean {
  const groups = contentOf(text)
    .normalize('NFKC')
    .split(/[^0-9A-Za-z]+/)
    .filter((group) => group !== '');
  const bytes = groups.filter((group) => /^(?:0?x)?(?:[0-9a-f]{2})+h?$/i.test(group));
  return (
    bytes.length > 1 ||
    bytes.some((group) => /\d/.test(group) || /^[A-F]{6,}$/.test(group)) ||
    (NAMES_OF_SUMS.test(text) && groups.some((group) => /^\d{5,}$/.test(group))) ||
    (groups.length > 0 && groups.every(isHexWord))
  );
}

/** What parts one group of digits from the next, besides blanks. */
const BETWEEN = /[\s|,;<>[\](){}"']+/;

/** Whether a line is one of hex: most of its characters or of its groups are bytes, or all that follow a label are. */
function isHexLine(content: string): boolean {
  const groups = groupsOf(content.replace(/\s#.*$/, ''));
  const hex = groups.filter(isHexGroup);
  const digits = lengthOf(hex);
  // Words such as "face" and "added" are written in hex digits too.
  const looksLikeBytes = hex.some((group) => /\d/.test(group)) || groups.every((group) => group.length === 2);
  if (digits < 4 || !looksLikeBytes || isNamedValue(groups, hex)) return false;
  const isMost = 5 * digits >= 3 * lengthOf(groups) || 2 * hex.length > groups.length;
  return isMost || followLabel(content);
}

/** The groups of a line; a label or name is parted from what follows by ":" or "=". */
function groupsOf(content: string): readonly string[] {
  return content
    .replace(/^([^\s:=]*)[:=]/, '$1 ')
    .split(BETWEEN)
    .map(withoutMark)
    .filter((group) => /[0-9a-z]/i.test(group));
}

/** A group without the ":", "=" or "." behind it. A pattern for them would try each place of a long run of dots. */
function withoutMark(group: string): string {
  let end = group.length;
  while (end > 0 && ':=.'.includes(group.charAt(end - 1))) end--;
  return group.slice(0, end);
}

/** Whether two groups or more follow the last ":" or "=" of a line, and all are bytes. */
function followLabel(content: string): boolean {
  const groups = groupsOf(/[:=]([^:=]*)$/.exec(content)?.[1] ?? '');
  return groups.length > 1 && groups.every(isHexGroup);
}

/** One number behind words alone, such as the checksum or the size that a program puts over its lines. */
function isNamedValue(groups: readonly string[], hex: readonly string[]): boolean {
  const [name, value] = [groups.slice(0, -1), groups.at(-1)];
  return (
    hex.length === 1 &&
    hex[0] === value &&
    lengthOf(hex) <= 17 &&
    name.every((group) => !/\d/.test(group)) &&
    name.some((group) => /^[a-z]{2}/i.test(group))
  );
}

function lengthOf(groups: readonly string[]): number {
  return groups.reduce((sum, group) => sum + group.length, 0);
}

/** Whether a group is hex digits in pairs, or was once: a digit too many, or one character in five that is none. */
export function isHexGroup(group: string): boolean {
  const digits = group.replace(/^0x/i, '');
  const count = Array.from(digits).filter((digit) => isHexDigit(digit.charCodeAt(0))).length;
  if (count === digits.length && count > 0 && count % 2 === 0) return true;
  if (!/\d/.test(digits)) return false;
  return count === digits.length ? count > 4 : digits.length > 7 && 5 * count >= 4 * digits.length;
}
