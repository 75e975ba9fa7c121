import type { ByteOrder } from '../../base/number.js';
import type { Steps } from '../../base/steps.js';
import { type ByteStatistics, chanceOfBits } from './imageEvidence.js';
import { type Images, storedAt } from './images.js';

/** Records of one length that are written in turn: a number in each rises by one from record to record. */
export interface RisingSlots {
  /** Where the number of the first record is. */
  readonly from: number;
  readonly length: number;
  readonly count: number;
  readonly width: 1 | 2 | 4;
  readonly order: ByteOrder;
  readonly chance: number;
  /** Whether the newest record is another one in some of the images, or the numbers are others. */
  readonly moves: boolean;
}

const LENGTHS = [8, 16, 24, 32, 48, 64, 96, 128, 256, 512, 1024, 2048, 4096] as const;
const LEAST_COUNT = 3;
/** More records than these are a table. */
const MOST_COUNT = 64;

/** Places after which others have their turn, and those of them that are looked at more closely. */
const STRETCH = 8192;
const STARTS = 64;

export function* slotSteps(images: Images, statistics: ByteStatistics): Steps<readonly RisingSlots[]> {
  const found: RisingSlots[] = [];
  const ways = 5 * LENGTHS.length;
  for (const width of [4, 2, 1] as const)
    for (const order of width === 1 ? (['big'] as const) : (['big', 'little'] as const)) {
      yield;
      const first = numbersIn(images.bytes[0] ?? new Uint8Array(0), width, order);
      for (const length of LENGTHS) {
        yield;
        found.push(...(yield* slotsOf(images, statistics, { width, order, length, first }, ways)));
      }
    }
  return distinct(found);
}

/** The number at each byte. */
function numbersIn(bytes: Uint8Array, width: number, order: ByteOrder): Int32Array {
  const numbers = new Int32Array(bytes.length);
  for (let at = 0; at + width <= numbers.length; at++) numbers[at] = storedAt(bytes, at, width, order);
  return numbers;
}

interface SlotForm {
  readonly width: 1 | 2 | 4;
  readonly order: ByteOrder;
  readonly length: number;
  /** Of the first image the number at each byte. */
  readonly first: Int32Array;
}

function* slotsOf(
  images: Images,
  statistics: ByteStatistics,
  { width, order, length, first }: SlotForm,
  ways: number,
): Steps<readonly RisingSlots[]> {
  const { bytes, segments } = images;
  const found: RisingSlots[] = [];
  const mask = 2 ** (8 * width);
  /** Of two steps one at least is a rise by one. */
  const mayRise = (at: number) => {
    const [one, two, three] = [first[at] as number, first[at + length] as number, first[at + 2 * length] as number];
    return ((two - one) & (mask - 1)) === 1 || ((three - two) & (mask - 1)) === 1;
  };
  for (const { from, count: inSegment } of segments) {
    const end = from + inSegment;
    const starts: number[] = [];
    for (let at = from; at + (LEAST_COUNT - 1) * length + width <= end; at++) {
      if ((at - from) % STRETCH === 0) yield;
      if (mayRise(at)) starts.push(at);
    }
    // One record after the other, from each beginning that there may be.
    const phaseOf = (at: number) => (at - from) % length;
    starts.sort((a, b) => phaseOf(a) - phaseOf(b) || a - b);
    let [phase, behind] = [-1, from];
    for (const [i, at] of starts.entries()) {
      if (i % STARTS === 0) yield;
      if (phaseOf(at) !== phase) [phase, behind] = [phaseOf(at), at];
      if (at < behind) continue;
      const runs = bytes.map((image) => {
        const numbers: number[] = [];
        let breaks = 0;
        for (let i = at; i + width <= end && numbers.length <= MOST_COUNT; i += length) {
          const number = storedAt(image, i, width, order) >>> 0;
          const before = numbers.at(-1);
          if (before !== undefined && (number - before + mask) % mask !== 1) {
            // From the newest to the oldest one number goes back, by one less than there are records.
            if (breaks > 0 || numbers.length === 0) break;
            breaks++;
          }
          numbers.push(number);
        }
        return { numbers, breaks };
      });
      const most = Math.min(...runs.map(({ numbers }) => numbers.length));
      const slots =
        most > MOST_COUNT
          ? undefined
          : sound(
              runs.map(({ numbers }) => numbers),
              most,
              mask,
            );
      const count = slots?.[0]?.length ?? 0;
      if (slots === undefined) continue;
      const different = new Set(slots.map((numbers) => numbers.join(' ')));
      // The first number and where the break is are anyone's; a rising number that never moves is the index of a table.
      const run = { at, length, count, width };
      const bits = newBits(images, statistics, run) - (different.size + 1) * Math.log2(count);
      const chance = chanceOfBits(ways * images.length, bits);
      if (chance <= 0.05)
        found.push({
          ...{ from: at, length, count, width, order, chance },
          moves: different.size > 1,
        });
      behind = at + length * count;
    }
  }
  return found;
}

/** What the numbers behind the first are worth: a byte that no image before has there, by how common it is. */
function newBits(
  { bytes }: Images,
  { worth }: ByteStatistics,
  { at, length, count, width }: Pick<RisingSlots, 'length' | 'count' | 'width'> & { readonly at: number },
): number {
  let bits = 0;
  for (let record = 1; record < count; record++)
    for (let i = 0; i < width; i++) {
      const seen = new Set<number>();
      for (const [image, data] of bytes.entries()) {
        const byte = data[at + record * length + i] as number;
        if (!seen.has(byte)) bits += worth[image]?.[byte] as number;
        seen.add(byte);
      }
    }
  return bits;
}

/** The most numbers of each image that, going round from the last to the first, rise by one but for one step. */
function sound(
  numbers: readonly (readonly number[])[],
  most: number,
  mask: number,
): readonly (readonly number[])[] | undefined {
  const isRound = (run: readonly number[]) => {
    const steps = run.map((number, i) => ((run[(i + 1) % run.length] as number) - number + mask) % mask);
    return steps.filter((step) => step === 1).length === run.length - 1;
  };
  for (let count = most; count >= LEAST_COUNT; count--) {
    const some = numbers.map((run) => run.slice(0, count));
    if (some.every(isRound)) return some;
  }
  return undefined;
}

/** Of numbers that are part of each other the likeliest. */
function distinct(found: readonly RisingSlots[]): readonly RisingSlots[] {
  const taken: RisingSlots[] = [];
  for (const slots of [...found].sort((a, b) => a.chance - b.chance || a.length - b.length)) {
    const end = ({ from, length, count }: RisingSlots) => from + length * count;
    if (!taken.some((other) => slots.from < end(other) && other.from < end(slots))) taken.push(slots);
  }
  return taken.sort((a, b) => a.from - b.from);
}
