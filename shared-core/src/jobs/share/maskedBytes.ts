import { hitsIn, LEAST_DIFFERENT, type Look } from './hits.js';
import { BETWEEN, isInPairs, LEAST_IN_BYTES, type Mask, nibbleFor } from './masks.js';

/** How a value was written where it was found. */
export type Coding =
  | 'ascii'
  | 'utf-16'
  | 'parted'
  | 'bcd'
  | 'hex'
  | 'inverted'
  | 'swapped'
  | 'mirrored'
  | 'paired'
  | 'turned';

/** A value that was found. */
export interface Finding {
  readonly mask: Mask;
  readonly coding: Coding;
  readonly reversed: boolean;
  /** The first byte of it. */
  readonly at: number;
  /** How many characters of it are there side by side. */
  readonly count: number;
}

type Turn = (byte: number) => number;

/** What may be done to each byte; done twice it changes nothing. */
const TURNS: readonly (readonly [Coding | undefined, Turn])[] = [
  [undefined, (byte) => byte],
  ['inverted', (byte) => byte ^ 0xff],
  ['swapped', (byte) => ((byte & 0x0f) << 4) | (byte >> 4)],
  ['mirrored', mirrored],
];

/** How characters are written; `paired`: the bytes of each pair are exchanged, pairs beginning at even places (0) or odd ones. */
interface Way extends Omit<Look, 'least'> {
  readonly paired?: 0 | 1;
}

/** Every way to write characters, of bytes that are turned in every way. */
const WRITTEN: readonly (readonly [Coding, Way])[] = [
  ...TURNS.flatMap(([turned, turn]): (readonly [Coding, Way])[] => [
    [turned ?? 'ascii', { turn }],
    [turned === undefined ? 'utf-16' : 'turned', { turn, wide: 'little' }],
    [turned === undefined ? 'utf-16' : 'turned', { turn, wide: 'big' }],
    [turned === undefined ? 'paired' : 'turned', { turn, paired: 0 }],
    [turned === undefined ? 'paired' : 'turned', { turn, paired: 1 }],
  ]),
  // Last, as UTF-16 is the same with zeros between.
  ['parted', { wide: 'any' }],
];

const LOOKS: typeof WRITTEN = WRITTEN.flatMap(([coding, look]) => [
  [coding, look],
  [coding, { ...look, reversed: true }],
]);

/** A byte with its bits from last to first. */
function mirrored(byte: number): number {
  let turned = 0;
  for (let bit = 0; bit < 8; bit++) turned |= ((byte >> bit) & 1) << (7 - bit);
  return turned;
}

/** The same of digits, of which two are in a byte: either of them may be first. */
const DIGIT_TURNS = TURNS.filter(([turned]) => turned !== 'swapped').flatMap(([turned, turn]) =>
  [false, true].map((swapped) => ({ isTurned: turned !== undefined, turn, swapped })),
);

/** Digits that count where they are found side by side. */
const LEAST_DIGITS = 6;

const HEX = Array.from('0123456789ABCDEF', (digit) => digit.charCodeAt(0));

/** Bytes in which no value is left that is to be masked, in whatever way it is written, and what was found. */
export function maskedBytes(
  bytes: Uint8Array,
  masks: readonly Mask[],
): { readonly bytes: Uint8Array; readonly found: readonly Finding[] } {
  const now = Uint8Array.from(bytes);
  const found: Finding[] = [];
  for (const mask of masks.filter(({ inBytes }) => inBytes)) {
    const known = new Set<number>();
    for (const [coding, look] of LOOKS) {
      const { turn = (byte: number) => byte } = look;
      // Bytes that are parted by anything are found by chance unless the whole value is there.
      const least = look.wide === 'any' ? mask.text.length : leastOf(mask, LEAST_IN_BYTES);
      const partner = (at: number) => partnerOf(at, look.paired, bytes.length);
      const units = look.paired === undefined ? bytes : bytes.map((_, at) => bytes[partner(at)] as number);
      const hits = hitsIn(units, mask.text, { ...look, least }).filter((hit) => !known.has(partner(hit.at)));
      for (const { at: found, character } of hits) {
        const at = partner(found);
        known.add(at);
        const code = mask.mask.charCodeAt(character);
        const was = turn(bytes[at] as number);
        const isSmall = was >= 0x61 && was <= 0x7a && code >= 0x41 && code <= 0x5a;
        now[at] = turn(isSmall ? code + 0x20 : code);
      }
      const step = look.wide === undefined ? 1 : 2;
      for (const [at, count] of runsOf(
        hits.map((hit) => hit.at),
        step,
      ))
        found.push({ mask, coding, reversed: look.reversed === true, at, count });
    }
    for (const run of digitRuns(mask)) {
      const digitsOf = (text: string) => run.places.map((at) => text.charAt(at)).join('');
      for (const { isTurned, turn, swapped } of DIGIT_TURNS) {
        const digits = halvesOf(bytes.map(turn), swapped);
        for (const reversed of [false, true]) {
          const hits = hitsIn(digits, digitsOf(mask.text), { least: run.least, reversed });
          for (const { at, character } of hits) {
            const value = nibbleFor(mask.mask.charAt(run.places[character] as number));
            const isHigh = (at % 2 === 0) !== swapped;
            const was = turn(now[at >> 1] as number);
            now[at >> 1] = turn(isHigh ? (was & 0x0f) | (value << 4) : (was & 0xf0) | value);
          }
          for (const [at, count] of runsOf(
            hits.map((hit) => hit.at),
            1,
          ))
            found.push({
              mask,
              coding: isTurned ? 'turned' : run.coding,
              reversed: reversed !== swapped,
              at: at >> 1,
              count,
            });
        }
      }
    }
  }
  return { bytes: now, found };
}

/** The other place of the pair that a place is in; the place itself where pairs are not exchanged, or it has no other. */
function partnerOf(at: number, paired: Way['paired'], length: number): number {
  if (paired === undefined || at < paired) return at;
  const other = ((at - paired) ^ 1) + paired;
  return other < length ? other : at;
}

/** How many of the characters of a value count, all where nothing else is said. */
function leastOf({ text, inParts }: Mask, least: number, count = text.length): number {
  return inParts ? Math.min(least, count) : count;
}

/** Digits of a value that two by two may be bytes. */
interface DigitRun {
  /** Where they are in its text. */
  readonly places: readonly number[];
  readonly least: number;
  readonly coding: 'bcd' | 'hex';
}

/** A value that is hex digits only, as a dump shows bytes, and stretches of decimal digits that are long enough to be known again. */
function digitRuns(mask: Mask): readonly DigitRun[] {
  const { text } = mask;
  const all = text.split('').flatMap((character, at) => (BETWEEN.test(character) ? [] : at));
  const coding = /[a-f]/i.test(text) ? 'hex' : 'bcd';
  const pairs: DigitRun = { places: all, least: leastOf(mask, LEAST_DIGITS, all.length), coding };
  const decimal = [...text.matchAll(/\d+/g)].flatMap(({ index, 0: digits }): readonly DigitRun[] => {
    const isWhole = digits.length === text.length;
    const least = isWhole ? leastOf(mask, LEAST_DIGITS) : LEAST_DIGITS;
    const isTelling = new Set(digits).size >= LEAST_DIFFERENT || digits.length > 2 * LEAST_DIGITS;
    const places = Array.from(digits, (_, at) => index + at);
    return isTelling && digits.length >= least && digits.length >= LEAST_IN_BYTES && (isWhole || mask.inParts)
      ? [{ places, least, coding: 'bcd' }]
      : [];
  });
  return isInPairs(text) ? [pairs, ...decimal] : decimal;
}

/** The halves of all bytes as the codes of hex digits. */
function halvesOf(bytes: Uint8Array, swapped: boolean): Uint8Array {
  const halves = new Uint8Array(2 * bytes.length);
  const shift = swapped ? 0 : 4;
  for (let i = 0; i < bytes.length; i++) {
    halves[2 * i] = HEX[((bytes[i] as number) >> shift) & 15] as number;
    halves[2 * i + 1] = HEX[((bytes[i] as number) >> (4 - shift)) & 15] as number;
  }
  return halves;
}

function runsOf(places: readonly number[], step: number): readonly (readonly [at: number, count: number])[] {
  const runs: [number, number][] = [];
  for (const at of places) {
    const last = runs.at(-1);
    if (last !== undefined && last[0] + last[1] * step === at) last[1]++;
    else runs.push([at, 1]);
  }
  return runs;
}
