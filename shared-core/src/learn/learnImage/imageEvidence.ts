import { type Images, storedAt } from './images.js';

/**
 * What the bytes of these images are like, by which it is told how much of an accident a value is: a byte that is common
 * says little, and one that stays as it is from image to image says nothing new.
 */
export interface ByteStatistics {
  /** Of each image, for each value of a byte, how many bits it is worth there. */
  readonly worth: readonly Float64Array[];
  /** The same among the bytes that are not the same in all images. */
  readonly varyingWorth: readonly Float64Array[];
  /** For each byte whether it varies. */
  readonly varies: Uint8Array;
  readonly varying: number;
}

const MOST_BITS = 8;

export function byteStatistics({ bytes, length }: Images): ByteStatistics {
  const [first] = bytes;
  const varies = new Uint8Array(length);
  for (const other of bytes) for (let i = 0; i < length; i++) if (other[i] !== first?.[i]) varies[i] = 1;
  const worthAmong = (image: Uint8Array, isCounted: (at: number) => boolean) => {
    const counts = new Float64Array(256);
    let all = 0;
    for (let i = 0; i < length; i++)
      if (isCounted(i)) {
        counts[image[i] as number] = (counts[image[i] as number] as number) + 1;
        all++;
      }
    // As if each value had been seen once more: what was not seen yet is no more than rare.
    return counts.map((count) => Math.min(MOST_BITS, Math.log2((all + 256) / (count + 1))));
  };
  return {
    worth: bytes.map((image) => worthAmong(image, () => true)),
    varyingWorth: bytes.map((image) => worthAmong(image, (at) => varies[at] === 1)),
    varies,
    varying: varies.reduce((sum, one) => sum + one, 0),
  };
}

/**
 * Bits that the values stored at a place are worth, when a rule gives all of them: those of the first one, and of each
 * further one that differs from all before it. With `isTold` the bytes of those are left out that something else tells.
 */
export function bitsAt(
  { bytes }: Images,
  { worth, varyingWorth, varies }: ByteStatistics,
  at: number,
  width: number,
  isTold: (byte: number) => boolean = () => false,
): number {
  let least = Number.POSITIVE_INFINITY;
  let further = 0;
  for (let image = 0; image < bytes.length; image++) {
    const data = bytes[image] as Uint8Array;
    let [own, more, isNew] = [0, 0, image === 0];
    for (let i = at; i < at + width; i++) {
      const byte = data[i] as number;
      // A byte that comes twice in a value is worth no more for it.
      if (firstIndex(data, at, i) === i) own += worth[image]?.[byte] as number;
      if (image === 0 || varies[i] !== 1 || !isNewByte(bytes, image, i)) continue;
      isNew = true;
      if (!isTold(i)) more += varyingWorth[image]?.[byte] as number;
    }
    if (!isNew) continue;
    least = Math.min(least, own);
    further += more;
  }
  return least + further;
}

/** Where the value of a byte comes first, from a place on. */
function firstIndex(data: Uint8Array, from: number, at: number): number {
  for (let i = from; i < at; i++) if (data[i] === data[at]) return i;
  return at;
}

/** Whether no image before holds the same at a place. */
function isNewByte(bytes: readonly Uint8Array[], image: number, at: number): boolean {
  const byte = bytes[image]?.[at];
  for (let other = 0; other < image; other++) if (bytes[other]?.[at] === byte) return false;
  return true;
}

/** How many different values are stored at a place. */
export function valuesAt({ bytes }: Images, at: number, width: number): number {
  return new Set(bytes.map((image) => storedAt(image, at, width, 'big'))).size;
}

/** Upper bound of the probability that any of so many rules fits by accident where it takes so many bits. */
export function chanceOfBits(tried: number, bits: number): number {
  return Math.max(Number.MIN_VALUE, Math.min(1, 2 ** (Math.log2(Math.max(1, tried)) - bits)));
}

/** With so few varying bytes in a range, its sum may be just another name for one of them. */
const FEW = 8;

/**
 * Of the bytes stored at a place those that one varying byte of the range tells already, by a difference or an exclusive
 * or that is the same in all images. Asked only where few bytes of the range vary.
 */
export function toldByOne(
  { bytes }: Images,
  { varies }: ByteStatistics,
  place: number,
  width: number,
  from: number,
  end: number,
): ReadonlySet<number> {
  const inside: number[] = [];
  for (let i = from; i < end && inside.length <= FEW; i++)
    if (varies[i] === 1 && (i < place || i >= place + width)) inside.push(i);
  if (inside.length > FEW) return new Set();
  const told = new Set<number>();
  const isSame = (of: (image: Uint8Array) => number) => new Set(bytes.map(of)).size === 1;
  for (let at = place; at < place + width; at++) {
    const stored = (image: Uint8Array) => image[at] as number;
    for (const i of inside) {
      const other = (image: Uint8Array) => image[i] as number;
      if (
        isSame((image) => stored(image) ^ other(image)) ||
        isSame((image) => (stored(image) - other(image)) & 0xff) ||
        isSame((image) => (stored(image) + other(image)) & 0xff)
      )
        told.add(at);
    }
  }
  return told;
}
