import { type Hit, hitsIn, LEAST_DIFFERENT, type Look } from './hits.js';
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

/** A value where it was found, and what each of its characters becomes there: the half or halves of a byte. */
interface Match extends Omit<Finding, 'at' | 'count'> {
  readonly places: readonly { readonly at: number; readonly halves: readonly number[]; readonly put: Turn }[];
}

/**
 * Bytes in which no value is left that is to be masked, in whatever way it is written, and what was found. What is found of
 * one value goes before a shorter part of another: two values that begin alike stay two.
 */
export function maskedBytes(
  bytes: Uint8Array,
  masks: readonly Mask[],
): { readonly bytes: Uint8Array; readonly found: readonly Finding[]; readonly places: ReadonlySet<number> } {
  const now = Uint8Array.from(bytes);
  const matches = masks.filter(({ inBytes }) => inBytes).flatMap((mask) => matchesOf(bytes, mask));
  const known = new Set<number>();
  const found: Finding[] = [];
  // Of the same length, plain characters go before what is done to them.
  const isDone = ({ coding }: Match) => (coding === 'ascii' ? 0 : 1);
  matches.sort((a, b) => b.places.length - a.places.length || isDone(a) - isDone(b));
  for (const { places, ...match } of matches) {
    const own = places.filter(({ halves }) => !halves.some((half) => known.has(half)));
    const [first] = own;
    if (first === undefined) continue;
    // What is left of a value that is masked already.
    if (own.length < places.length && own.every(({ at, put }) => put(bytes[at] as number) === bytes[at])) continue;
    for (const { at, halves, put } of own) {
      now[at] = put(now[at] as number);
      for (const half of halves) known.add(half);
    }
    found.push({ ...match, at: Math.min(...own.map(({ at }) => at)), count: own.length });
  }
  found.sort((a, b) => a.at - b.at);
  return { bytes: now, found, places: new Set([...known].map((half) => half >> 1)) };
}

function matchesOf(bytes: Uint8Array, mask: Mask): readonly Match[] {
  const asCharacters = LOOKS.flatMap(([coding, look]) => {
    const { turn = (byte: number) => byte } = look;
    // Bytes that are parted by anything are found by chance unless the whole value is there.
    const least = look.wide === 'any' ? mask.text.length : leastOf(mask, LEAST_IN_BYTES);
    const partner = (at: number) => partnerOf(at, look.paired, bytes.length);
    const units = look.paired === undefined ? bytes : bytes.map((_, at) => bytes[partner(at)] as number);
    const hits = hitsIn(units, mask.text, { ...look, least });
    return runsOf(hits, look.wide === undefined ? 1 : 2).map(
      (run): Match => ({
        mask,
        coding,
        reversed: look.reversed === true,
        places: run.map(({ at: found, character }) => {
          const at = partner(found);
          const code = mask.mask.charCodeAt(character);
          const put = (byte: number) => {
            const was = turn(byte);
            const isSmall = was >= 0x61 && was <= 0x7a && code >= 0x41 && code <= 0x5a;
            return turn(isSmall ? code + 0x20 : code);
          };
          return { at, halves: [2 * at, 2 * at + 1], put };
        }),
      }),
    );
  });
  const asDigits = digitRuns(mask).flatMap((run) =>
    DIGIT_TURNS.flatMap(({ isTurned, turn, swapped }) => {
      const digits = halvesOf(bytes.map(turn), swapped);
      const text = run.places.map((at) => mask.text.charAt(at)).join('');
      return [false, true].flatMap((reversed) =>
        runsOf(hitsIn(digits, text, { least: run.least, reversed }), 1).map(
          (hits): Match => ({
            mask,
            coding: isTurned ? 'turned' : run.coding,
            reversed: reversed !== swapped,
            places: hits.map(({ at, character }) => {
              const value = nibbleFor(mask.mask.charAt(run.places[character] as number));
              const isHigh = (at % 2 === 0) !== swapped;
              const put = (byte: number) => {
                const was = turn(byte);
                return turn(isHigh ? (was & 0x0f) | (value << 4) : (was & 0xf0) | value);
              };
              return { at: at >> 1, halves: [(at & ~1) + (isHigh ? 0 : 1)], put };
            }),
          }),
        ),
      );
    }),
  );
  return [...asCharacters, ...asDigits];
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
  return isInPairs(text) ? [...decimal, pairs] : decimal;
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

/** What was found, cut where places or characters do not follow each other. */
export function runsOf(hits: readonly Hit[], step: number): readonly (readonly Hit[])[] {
  const runs: Hit[][] = [];
  for (const hit of hits) {
    const last = runs.at(-1);
    const before = last?.at(-1);
    if (before?.at === hit.at - step && Math.abs(hit.character - before.character) === 1) last?.push(hit);
    else runs.push([hit]);
  }
  return runs;
}
