import { vinCheckDigit } from '../../checks/vin.js';
import { hitsIn } from './hits.js';

/** A value that tells whose car it is, and what stands for it in all copies, character by character. */
export interface Mask {
  readonly text: string;
  readonly mask: string;
  /** Whether a part of it tells something too. */
  readonly inParts: boolean;
  /** Whether it is looked for in bytes as well, not only in what people wrote. */
  readonly inBytes: boolean;
}

export type Secret = Omit<Mask, 'mask'>;

/** What people put between characters that belong together. */
export const BETWEEN = /[\s._:/\\|,;'"()[\]-]/;

/** A text without what is between its characters. */
export function joined(text: string): string {
  return text.split(BETWEEN).join('');
}

/** Whether a value is bytes as a dump shows them, in pairs of hex digits: without blanks only long ones with letters are no number. */
export function isInPairs(text: string): boolean {
  const parts = text.split(BETWEEN).filter((part) => part !== '');
  const isApart = parts.length > 1 || (text.length >= LEAST_UNPARTED && /[A-F]/i.test(text));
  return isApart && parts.every((part) => /^(?:[0-9A-F]{2})+$/i.test(part));
}

const LEAST_UNPARTED = 6;

/** Seventeen characters that may be a vehicle identification number (ISO 3779). */
export function isVin(text: string): boolean {
  return /^[A-HJ-NPR-Z0-9]{17}$/i.test(text) && /\d/.test(text);
}

/** A mask for each value, of the same form: letters for letters, digits for digits, and another one for each value. */
export function masksOf(secrets: readonly Secret[]): readonly Mask[] {
  const masks: Mask[] = [];
  const taken = new Set<string>();
  for (const secret of longestFirst(secrets)) {
    const { text } = secret;
    if (masks.some((one) => one.text.toUpperCase() === text.toUpperCase())) continue;
    let number = 1;
    let mask = countedMask(text, number);
    while ((taken.has(mask) || !hidesAll(secrets, text, mask)) && number < MOST_TRIES)
      mask = countedMask(text, ++number);
    taken.add(mask);
    masks.push({ ...secret, mask });
  }
  return masks;
}

const MOST_TRIES = 10_000;

function longestFirst(secrets: readonly Secret[]): readonly Secret[] {
  return [...secrets].sort((a, b) => b.text.length - a.text.length);
}

/** Whether nothing of any value is left in what stands for one of them, and a VIN stays one. */
function hidesAll(secrets: readonly Secret[], text: string, mask: string): boolean {
  // What is between characters hides nothing.
  const codes = Array.from(joined(mask), (character) => character.charCodeAt(0));
  const isOpen = secrets.some((secret) => {
    const wanted = joined(secret.text);
    const least = secret.inParts ? LEAST_IN_BYTES : wanted.length;
    return [false, true].some((reversed) => hitsIn(codes, wanted, { least, reversed }).length > 0);
  });
  return !isOpen && mask !== text && (!isVin(text) || !hasCheckDigit(text) || hasCheckDigit(mask));
}

/** Characters of a value that count where they are found side by side in bytes. */
export const LEAST_IN_BYTES = 4;

/** Whether a value may be in any bytes by chance, and so is looked for in what people wrote alone. */
export function isTooShort(text: string): boolean {
  return joined(text).length < LEAST_IN_BYTES;
}

function hasCheckDigit(vin: string): boolean {
  return vin.charAt(8).toUpperCase() === vinCheckDigit(vin.toUpperCase());
}

/** The hex digit for a character of a mask: X, which most letters become, is none of the hex letters it stands for. */
export function nibbleFor(character: string): number {
  return /\d/.test(character) ? Number(character) : LETTERS.indexOf(character.toUpperCase()) & 15;
}

const LETTERS = 'XYZABCDEFGHJKLMNPRSTUVW';

/** X for each letter, 0 for each digit, and a number in the last digits, or letters where there are none. */
function countedMask(text: string, number: number): string {
  const characters = Array.from(text, (character) =>
    /\p{Nd}/u.test(character) ? '0' : /\p{Lu}/u.test(character) ? 'X' : /\p{L}/u.test(character) ? 'x' : character,
  );
  const places = [...characters.keys()].reverse();
  // The 9th character of a VIN is its check digit.
  const free = isVin(text) ? places.filter((at) => at !== 8) : places;
  const digits = free.filter((at) => characters[at] === '0');
  const letters = free.filter((at) => /x/i.test(characters[at] ?? ''));
  let left = number;
  for (const at of [...digits, ...letters]) {
    const isDigit = characters[at] === '0';
    const base = isDigit ? 10 : LETTERS.length;
    const letter = LETTERS.charAt(left % base);
    characters[at] = isDigit ? String(left % base) : characters[at] === 'x' ? letter.toLowerCase() : letter;
    left = Math.floor(left / base);
  }
  if (isVin(text) && hasCheckDigit(text)) {
    const digit = vinCheckDigit(characters.join('').toUpperCase());
    if ((digit === 'X') === /x/i.test(characters[8] ?? '')) characters[8] = digit;
  }
  return characters.join('');
}
