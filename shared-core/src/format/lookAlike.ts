/**
 * Characters that hands, eyes and text recognition put where a hex digit was meant, with that digit. Letters of other
 * alphabets that look the same come from copying out of documents. Common practice, no published source.
 */
const MEANT_DIGIT: Readonly<Record<string, string>> = {
  O: '0',
  o: '0',
  Q: '0',
  О: '0',
  о: '0',
  Ο: '0',
  l: '1',
  I: '1',
  i: '1',
  '!': '1',
  Z: '2',
  z: '2',
  З: '3',
  S: '5',
  s: '5',
  G: '6',
  T: '7',
  g: '9',
  q: '9',
  А: 'A',
  а: 'A',
  Α: 'A',
  В: 'B',
  Β: 'B',
  ß: 'B',
  С: 'C',
  с: 'C',
  '(': 'C',
  Е: 'E',
  е: 'E',
  Ε: 'E',
};

/** Hex digits that are taken for each other when a dump is copied by hand; both are digits, so only a sum can tell. */
const CONFUSED_DIGITS: Readonly<Record<string, readonly string[]>> = {
  '0': ['8', 'D'],
  '8': ['B', '0', '3'],
  B: ['8'],
  D: ['0'],
  '5': ['6'],
  '6': ['5', 'B'],
  '1': ['7'],
  '7': ['1'],
  '3': ['8'],
};

/** The hex digit that was probably meant by a character that is none. */
export function meantDigit(character: string): string | undefined {
  return MEANT_DIGIT[character];
}

/** Hex digits that this (upper-case) hex digit may have been before it was copied. */
export function confusedWith(digit: string): readonly string[] {
  return CONFUSED_DIGITS[digit] ?? [];
}
