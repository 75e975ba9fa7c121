import { utf8ToBytes } from '@noble/hashes/utils.js';
import { type Phrase, phrase } from '../../base/phrase.js';
import { done, type Refused, type Result, refuse } from '../../base/result.js';
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
  /** Whether it counts in what people wrote as a whole word alone, and never in a rule of a profile. */
  readonly asWord?: boolean;
  /** The value that it is another form or a part of. */
  readonly of?: string;
  /** How a text is coded of which each byte is a character here, and how many characters it has itself. */
  readonly coded?: { readonly as: 'UTF-8' | 'UTF-16'; readonly count: number };
}

export type Secret = Omit<Mask, 'mask'>;

/** What people put between characters that belong together. */
export const BETWEEN = /[\s\p{Cf}._:/\\|,;'"()[\]-]/u;

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

/**
 * A mask for each value, of the same form: letters for letters, digits for digits, and another one for each value.
 * Refused where a value is left without one.
 */
export function masksOf(secrets: readonly Secret[]): Result<readonly Mask[]> {
  const masks: Mask[] = [];
  const taken = new Set<string>();
  const known = new Set<string>();
  for (const secret of longestFirst(secrets)) {
    const { text } = secret;
    if (known.has(text.toUpperCase())) continue;
    known.add(text.toUpperCase());
    let number = 1;
    let mask = countedMask(text, number);
    while (taken.has(unchecked(mask)) || !hidesAll(secrets, text, mask)) {
      if (++number > MOST_TRIES) return nothingFor(text);
      mask = countedMask(text, number);
    }
    taken.add(unchecked(mask));
    masks.push({ ...secret, mask });
  }
  return done([...masks, ...masks.flatMap(inOtherBytes)]);
}

const MOST_TRIES = 10_000;

/** Why a value cannot be masked: what stands for two values would tell that two cars are one. */
export function nothingFor(value: string | Phrase): Refused {
  return refuse(phrase('Nothing can be put in place of "{0}" that stands for nothing else.', value));
}

/** A mask without the check digit of a VIN, which alone tells no two cars apart. */
function unchecked(mask: string): string {
  return isVin(mask) ? mask.slice(0, 8) + mask.slice(9) : mask;
}

/** A value as each of its bytes is a character: in UTF-8 beyond ASCII, in UTF-16 beyond Latin-1, which is searched as it is. */
function inOtherBytes(whole: Mask): readonly Mask[] {
  const { text, mask, inBytes } = whole;
  if (!inBytes || /^[\0-\x7f]*$/.test(text)) return [];
  const utf16 = (isBig: boolean) => (one: string) => {
    const code = one.charCodeAt(0);
    return isBig ? [code >> 8, code & 0xff] : [code & 0xff, code >> 8];
  };
  const forms = [utf8ToBytes, ...(/^[\0-\xff]*$/.test(text) ? [] : [utf16(false), utf16(true)])];
  // Letters beyond ASCII have other bytes as capitals, and no search takes these for the same.
  const small = text.toLowerCase();
  const titled = small.replace(/(?<!\p{L})\p{L}/gu, (letter) => letter.toUpperCase());
  return [...new Set([text, text.toUpperCase(), small, titled])].flatMap((written) =>
    written.length === mask.length
      ? forms.map((bytesOf, form): Mask => {
          const parts = written.split('').map((own, at) => {
            const put = mask.charAt(at);
            const bytes = String.fromCharCode(...bytesOf(own));
            const now = own === put || form > 0 ? String.fromCharCode(...bytesOf(put)) : put.repeat(bytes.length);
            return [bytes, now] as const;
          });
          const [from = '', to = ''] = [0, 1].map((which) => parts.map((part) => part[which]).join(''));
          const coded = { as: form === 0 ? 'UTF-8' : 'UTF-16', count: mask.length } as const;
          return { ...whole, text: from, mask: to, inParts: false, of: whole.of ?? text, coded };
        })
      : [],
  );
}

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

/**
 * A letter for each letter, 0 for each digit while that will do, and a number in the last digits, or letters where there are none. The
 * letters beside digits are others for each number too, so that parts of a value stay apart, and those of a text
 * without any for each round of the last one.
 */
export function countedMask(text: string, number: number): string {
  const hasDigits = /\p{Nd}/u.test(text);
  const round = hasDigits ? number - 1 : Math.floor(number / LETTERS.length);
  const own = LETTERS.charAt(round % LETTERS.length);
  const filler = String(Math.floor(number / 1000) % 10);
  const characters = Array.from(text, (character) =>
    /\p{Nd}/u.test(character)
      ? filler
      : /\p{Lu}/u.test(character)
        ? own
        : /[\p{L}\p{M}]/u.test(character)
          ? own.toLowerCase()
          : character,
  );
  const places = [...characters.keys()].reverse();
  // The 9th character of a VIN is its check digit.
  const free = isVin(text) ? places.filter((at) => at !== 8) : places;
  const digits = free.filter((at) => characters[at] === filler);
  const letters = free.filter((at) => characters[at]?.toUpperCase() === own);
  let left = number;
  for (const at of [...digits, ...letters]) {
    if (left === 0) break;
    const isDigit = characters[at] === filler;
    const base = isDigit ? 10 : LETTERS.length;
    const letter = LETTERS.charAt((LETTERS.indexOf(own) + left) % base);
    characters[at] = isDigit ? String(left % base) : characters[at] === own ? letter : letter.toLowerCase();
    left = Math.floor(left / base);
  }
  if (isVin(text) && hasCheckDigit(text)) {
    const digit = vinCheckDigit(characters.join('').toUpperCase());
    if ((digit === 'X') === /[a-z]/i.test(characters[8] ?? '')) characters[8] = digit;
  }
  return characters.join('');
}
