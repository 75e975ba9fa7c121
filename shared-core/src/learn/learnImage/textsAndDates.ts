import type { Steps } from '../../base/steps.js';
import { chanceOfBits } from './imageEvidence.js';
import type { Images } from './images.js';
import type { Run } from './naturalEnds.js';

export interface FoundText extends Run {
  /** What the first image holds. */
  readonly text: string;
  readonly chance: number;
}

export interface FoundDate extends Run {
  /** As a profile writes it. */
  readonly form: string;
  readonly chance: number;
  readonly values: number;
  /** Other orders of the parts that fit as well. */
  readonly others: readonly string[];
}

const LEAST_TEXT = 5;

/** However many bytes of an image are characters, one more says something. */
const MOST_COMMON = 0.75;

/** Stretches that are printable ASCII in all images. */
export function* textSteps({ bytes, segments, length }: Images): Steps<readonly FoundText[]> {
  const [first] = bytes;
  if (first === undefined) return [];
  const share = bytes.map((image) => {
    const printable = image.reduce((sum, byte) => sum + (isPrintable(byte) ? 1 : 0), 0);
    return Math.min(MOST_COMMON, Math.max(95 / 256, printable / Math.max(1, length)));
  });
  const found: FoundText[] = [];
  for (const { from, count } of segments) {
    let start = from;
    for (let i = from; i <= from + count; i++) {
      if (i % 4096 === 0) yield;
      if (i < from + count && bytes.every((image) => isPrintable(image[i] as number))) continue;
      if (i - start >= LEAST_TEXT) {
        const texts = bytes.map((image) => String.fromCharCode(...image.subarray(start, i).slice(0, 200)));
        let bits = 0;
        // Only a character that no image before has there says something new.
        for (let place = start; place < i; place++) {
          const seen = new Set<number>();
          for (const [image, data] of bytes.entries()) {
            const character = data[place] as number;
            if (!seen.has(character)) bits += Math.log2(1 / (share[image] as number));
            seen.add(character);
          }
        }
        if (texts.every(isReadable))
          found.push({ from: start, end: i, text: texts[0] ?? '', chance: chanceOfBits(length, bits) });
      }
      start = i + 1;
    }
  }
  return found;
}

function isPrintable(byte: number): boolean {
  return byte >= 0x20 && byte < 0x7f;
}

/** In a curve of so many bytes some may go the other way. */
const LONG_CURVE = 8;

/** Most of it letters and digits, not one over and over, and no curve that rises or falls from end to end. */
function isReadable(text: string): boolean {
  const word = text.replace(/[^A-Za-z0-9]/g, '');
  const steps = Array.from(text.slice(1), (_, i) => text.charCodeAt(i + 1) - text.charCodeAt(i));
  const [rises, falls] = [steps.filter((step) => step > 0).length, steps.filter((step) => step < 0).length];
  // In a curve of some length single bytes may be others.
  const odd = text.length < LONG_CURVE ? 0 : steps.length / 4;
  if (Math.min(rises, falls) <= odd) return false;
  return word.length * 2 >= text.trimEnd().length && new Set(text).size >= 3;
}

const FORMS = ['DDMMYYYY', 'YYYYMMDD', 'DDMMYY', 'YYMMDD', 'MMDDYY'] as const;

/** Years of four digits that a date of ours has. */
const YEARS = { from: 1980, to: 2079 } as const;

/** Places that hold a date in binary coded decimal in all images. How often bytes look like one is counted in these images. */
export function* dateSteps(images: Images): Steps<readonly FoundDate[]> {
  const { bytes, length } = images;
  const found: FoundDate[] = [];
  for (const form of FORMS) {
    const count = form.length / 2;
    yield;
    const valid = bytes.map((image) => {
      const good = new Uint8Array(length);
      for (let at = 0; at + count <= length; at++) good[at] = isDate(image, at, form) ? 1 : 0;
      return good;
    });
    yield;
    const likely = valid.map((good) => (good.reduce((sum, one) => sum + one, 0) + 1) / (length + 2));
    for (let at = 0; at + count <= length; at++) {
      if (valid.some((good) => good[at] !== 1)) continue;
      const seen = new Set<string>();
      const parts = Array.from({ length: count }, () => new Set<number>());
      let bits = 0;
      for (const [image, data] of bytes.entries()) {
        const value = data.subarray(at, at + count);
        // A part that an image before has there says nothing new.
        const isNew = parts.filter((known, i) => !known.has(value[i] as number)).length;
        bits += (isNew / count) * Math.log2(1 / (likely[image] as number));
        for (const [i, known] of parts.entries()) known.add(value[i] as number);
        seen.add(value.join(' '));
      }
      const chance = chanceOfBits(length * FORMS.length, bits);
      if (chance <= 0.5) found.push({ from: at, end: at + count, form, chance, values: seen.size, others: [] });
    }
  }
  return distinct(found);
}

/** Of dates that have bytes in common the likeliest, with the other orders in which the same bytes are one. */
function distinct(found: readonly FoundDate[]): readonly FoundDate[] {
  const taken: FoundDate[] = [];
  for (const date of [...found].sort((a, b) => a.chance - b.chance)) {
    const at = taken.findIndex(({ from, end }) => date.from < end && from < date.end);
    const known = taken[at];
    if (known === undefined) taken.push(date);
    else if (known.from === date.from && known.end === date.end)
      taken[at] = { ...known, others: [...known.others, date.form] };
  }
  return taken.sort((a, b) => a.from - b.from);
}

/** Days of each month at most. */
const DAYS = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

function isDate(bytes: Uint8Array, at: number, form: (typeof FORMS)[number]): boolean {
  let [day, month, year] = [0, 0, 0];
  for (let i = 0; i < form.length / 2; i++) {
    const byte = bytes[at + i] as number;
    if ((byte & 15) > 9 || byte >> 4 > 9) return false;
    const number = 10 * (byte >> 4) + (byte & 15);
    const part = form[2 * i];
    if (part === 'D') day = number;
    else if (part === 'M') month = number;
    else year = 100 * year + number;
  }
  if (form.includes('YYYY') && (year < YEARS.from || year > YEARS.to)) return false;
  return day >= 1 && day <= (DAYS[month - 1] ?? 0);
}
