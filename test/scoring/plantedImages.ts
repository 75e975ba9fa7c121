// Images of which it is known what is in them: each thing that is stated of them is right or wrong.
import { learn } from '../../shared-core/src/learn/learn.js';
import type { Finding } from '../../shared-core/src/learn/learning.js';
import { intelHex } from './scoreImage.js';
import type { Next } from './writtenTexts.js';

type Kind = Finding['kind'];

/** Something that was put into images: bytes from one to before another. */
interface Thing {
  readonly kind: Kind;
  readonly from: number;
  readonly end: number;
}

interface PlantedImages {
  readonly images: readonly Uint8Array[];
  readonly things: readonly Thing[];
}

const BLOCK = 128;
const WORDS = ['ENGINE', 'UNIT', 'REV', 'CAL', 'NORTH', 'LOT', 'ID', 'MAIN'];

const pick = <T>(next: Next, of: readonly T[]): T => of[next(of.length)] as T;
const bcd = (number: number) => 16 * Math.floor(number / 10) + (number % 10);

/**
 * Images of one kind of module, in blocks of noise as images have it. With `full`, some blocks hold a copy, records in turn,
 * a text or a date, and the last bytes a sum; otherwise there is nothing in them but noise and filler.
 */
export function plantedImages(full: boolean, next: Next): PlantedImages {
  const blocks = pick(next, [8, 12, 24]);
  const size = blocks * BLOCK;
  const base = new Uint8Array(size);
  const things: Thing[] = [];
  for (let from = 0; from < size; from += BLOCK) {
    const how = next(5);
    const filler = pick(next, [0, 0xff]);
    for (let at = from; at < from + BLOCK; at++)
      base[at] = [filler, next(256), next(16), pick(next, [0, 0, 1, 0x80, 0xff, next(256)]), at >> 1][how] as number;
    if (how === 0) things.push({ kind: 'filler', from, end: from + BLOCK });
  }
  const own = Array.from({ length: pick(next, [10, 40, size >> 3]) }, () => [next(size), next(3)] as const);
  const at = (block: number, offset: number) => block * BLOCK + offset;
  const put = full ? (['copy', 'slots', 'text', 'date', 'sum'] as const).filter(() => next(3) > 0) : [];
  const places = Array.from({ length: blocks - 1 }, (_, i) => ({ i, key: next(1 << 20) }))
    .sort((a, b) => a.key - b.key)
    .map(({ i }) => i);
  const starts = new Map(put.map((kind, i) => [kind, at(places[i] as number, 8 * next(4))]));
  const other = at(places[5 % places.length] as number, 0);
  const newest = next(4);
  let car = next(200);
  const images = Array.from({ length: pick(next, [2, 3, 4, 6]) }, () => {
    car++;
    const bytes = Uint8Array.from(base);
    for (const [place, how] of own) bytes[place] = next([4, 32, 256][how] as number);
    const text = starts.get('text');
    if (text !== undefined)
      for (const [i, letter] of [
        ...`${pick(next, WORDS)} ${1000 + next(9000)} ${pick(next, WORDS)}  `.slice(0, 16).padEnd(16),
      ].entries())
        bytes[text + i] = letter.charCodeAt(0);
    const date = starts.get('date');
    if (date !== undefined) bytes.set([0x20, bcd(next(30)), bcd(1 + next(12)), bcd(1 + next(28))], date);
    const slots = starts.get('slots');
    if (slots !== undefined)
      for (let slot = 0; slot < 4; slot++) {
        const number = 0x1000 + 3 * car - ((newest + car - slot) % 4);
        bytes.set([number >> 8, number & 0xff, next(256), next(256)], slots + 16 * slot);
      }
    const copy = starts.get('copy');
    if (copy !== undefined) {
      for (let i = 0; i < 32; i += 3) bytes[copy + i] = next(256);
      bytes.copyWithin(other, copy, copy + 32);
    }
    if (starts.has('sum')) {
      const sum = bytes.subarray(0, size - 2).reduce((all, byte) => all + byte, 0);
      bytes.set([(sum >> 8) & 0xff, sum & 0xff], size - 2);
    }
    return bytes;
  });
  const lengths = { copy: 32, slots: 64, text: 16, date: 4, sum: 2, filler: BLOCK } as const;
  for (const [kind, from] of starts) things.push({ kind, from, end: from + lengths[kind] });
  if (starts.has('copy')) things.push({ kind: 'copy', from: other, end: other + lengths.copy });
  return {
    images,
    things: things.map((one) => (one.kind === 'sum' ? { kind: 'sum', from: size - 2, end: size } : one)),
  };
}

/** What is said with a chance that people take for knowledge. */
const TAKEN_FOR_KNOWN = 1e-3;

export interface StatedOfImages {
  readonly right: readonly Kind[];
  readonly wrong: readonly string[];
  /** What was put in, and what of it was stated. */
  readonly there: readonly Kind[];
  readonly found: readonly Kind[];
}

/** Learns from the images: what is stated, and whether it is there. Filler is right wherever all is one value. */
export function scorePlantedImages(
  { images, things }: PlantedImages,
  say: (finding: Finding) => string,
): StatedOfImages {
  const { findings = [] } = learn(images.map((bytes, i) => ({ name: `${i}.hex`, text: intelHex(bytes) })));
  const stated = findings.filter(({ chance, undecided }) => !undecided && chance <= TAKEN_FOR_KNOWN);
  const isThere = ({ kind, from, to }: Finding) =>
    kind === 'filler'
      ? images.every((bytes) => bytes.subarray(from, to + 1).every((byte) => byte === images[0]?.[from]))
      : things.some((one) => one.kind === kind && from < one.end && to >= one.from);
  const told = things.filter(({ kind }) => kind !== 'filler');
  return {
    right: stated.filter(isThere).map(({ kind }) => kind),
    wrong: stated.filter((one) => !isThere(one)).map(say),
    there: told.map(({ kind }) => kind),
    found: told
      .filter((thing) =>
        stated.some(({ kind, from, to }) => kind === thing.kind && from < thing.end && to >= thing.from),
      )
      .map(({ kind }) => kind),
  };
}
