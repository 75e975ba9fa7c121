import type { ByteOrder } from '../../base/number.js';
import type { Steps } from '../../base/steps.js';
import type { SumSpec } from '../../checksum/registry.js';
import { type Images, storedAt } from './images.js';
import type { RangeSum } from './rangeSum.js';

const ORDERS: readonly ByteOrder[] = ['big', 'little'];

/** All sums of this width that add up or exclusive-or, without a start value of their own. */
export function* modularSums(images: Images, width: number): Steps<readonly RangeSum[]> {
  const found: RangeSum[] = [];
  for (const order of ORDERS.slice(0, width === 1 ? 1 : 2)) {
    const cost = order === 'little' ? 1 : 0;
    for (const unit of [1, 2, 4] as const) {
      if (unit > width || (width === 3 && unit > 1)) continue;
      yield;
      // Hardly anybody stores three bytes of a sum.
      found.push(...addedUp(images, width, unit, order, cost + Math.log2(unit) + (width === 3 ? 8 : 0)));
    }
    if (width === 3) continue;
    yield;
    found.push(exclusiveOr(images, width as 1 | 2 | 4, order, cost + 1));
    yield;
    found.push(endAround(images, width as 1 | 2 | 4, order, cost + 3));
    if (width === 2) found.push(twoSums(images, { method: 'fletcher', bits: 16, order }, 255, order, cost + 3));
    if (width === 4) {
      yield;
      found.push(twoSums(images, { method: 'fletcher', bits: 32, order }, 65_535, order, cost + 3));
      yield;
      found.push(twoSums(images, { method: 'adler' }, 65_521, order, cost + 3));
    }
  }
  return found;
}

/** At each byte the total of the units before it that stand in its own phase. */
function prefixes(
  { bytes, length }: Images,
  unit: number,
  order: ByteOrder,
  join: (total: number, unit: number) => number,
): readonly Int32Array[] {
  return bytes.map((image) => {
    const totals = new Int32Array(length + 1);
    for (let i = unit; i <= length; i++)
      totals[i] = join(totals[i - unit] as number, storedAt(image, i - unit, unit, order));
    return totals;
  });
}

function addedUp(images: Images, width: number, unit: 1 | 2 | 4, order: ByteOrder, cost: number): RangeSum[] {
  const bits = (8 * width) as 8 | 16 | 24 | 32;
  const mask = width === 4 ? -1 : (1 << bits) - 1;
  const totals = prefixes(images, unit, order, (total, number) => (total + number) & mask);
  const at = (image: number, i: number) => totals[image]?.[i] as number;
  const kinds = [
    ['none', (stored: number) => stored],
    ['twos', (stored: number) => -stored],
    ['ones', (stored: number) => ~stored],
  ] as const;
  return kinds.map(([complement, sumOf], i) => ({
    spec: { method: 'add', bits, unit, order, complement, start: 0n },
    order,
    width,
    unit,
    cost: cost + i / 2,
    startKeys: totals,
    holeKey: (image, start, place) => (at(image, start) + at(image, place + width) - at(image, place)) & mask,
    endKey: (image, end, stored) => (at(image, end) - sumOf(stored)) & mask,
  }));
}

function exclusiveOr(images: Images, width: 1 | 2 | 4, order: ByteOrder, cost: number): RangeSum {
  const totals = prefixes(images, width, order, (total, number) => total ^ number);
  const at = (image: number, i: number) => totals[image]?.[i] as number;
  return {
    spec: { method: 'xor', bits: (8 * width) as 8 | 16 | 32, order, start: 0n },
    ...{ order, width, unit: width, cost, startKeys: totals },
    holeKey: (image, start, place) => at(image, start) ^ at(image, place + width) ^ at(image, place),
    endKey: (image, end, stored) => at(image, end) ^ stored,
  };
}

/** The carry comes round: numbers count modulo one less than a power of two. */
function endAround(images: Images, width: 1 | 2 | 4, order: ByteOrder, cost: number): RangeSum {
  const modulus = 2 ** (8 * width) - 1;
  const reduced = (number: number) => ((number % modulus) + modulus) % modulus;
  const totals = prefixes(images, width, order, (total, number) => reduced((total >>> 0) + (number >>> 0)) | 0);
  const at = (image: number, i: number) => (totals[image]?.[i] as number) >>> 0;
  return {
    spec: { method: 'add-end-around', bits: (8 * width) as 8 | 16 | 32, order },
    ...{ order, width, unit: width, cost, startKeys: totals },
    holeKey: (image, start, place) => reduced(at(image, start) + at(image, place + width) - at(image, place)) | 0,
    endKey: (image, end, stored) => reduced(at(image, end) + (stored >>> 0)) | 0,
  };
}

/** Fletcher and Adler: beside the sum of the units that of each unit times its number. */
function twoSums(images: Images, spec: SumSpec, modulus: number, order: ByteOrder, cost: number): RangeSum {
  const unit = modulus === 65_535 ? 2 : 1;
  const width = modulus === 255 ? 2 : 4;
  const begin = spec.method === 'adler' ? 1 : 0;
  const half = 4 * width;
  const low = 2 ** half - 1;
  const reduced = (number: number) => ((number % modulus) + modulus) % modulus;
  const keys = images.bytes.map((image) => {
    const key = new Int32Array(images.length + 1);
    for (let i = unit; i <= images.length; i++) {
      const before = (key[i - unit] as number) >>> 0;
      const number = storedAt(image, i - unit, unit, order);
      const place = Math.floor(i / unit) - 1;
      const first = reduced((before & low) + number);
      // What the first sum begins from is added once for each unit.
      key[i] = (reduced((before >>> half) + place * number - begin) << half) | first;
    }
    return key;
  });
  const first = (image: number, i: number) => ((keys[image]?.[i] as number) >>> 0) & low;
  const second = (image: number, i: number) => ((keys[image]?.[i] as number) >>> 0) >>> half;
  return {
    spec,
    ...{ order, width, unit, cost, startKeys: keys },
    holeKey: (image, start, place) => {
      const end = place + width;
      const before = first(image, place) - first(image, start);
      const one = reduced(first(image, start) + first(image, end) - first(image, place));
      const two = reduced(second(image, start) + second(image, end) - second(image, place) - (width / unit) * before);
      return (two << half) | one;
    },
    endKey: (image, end, stored) => {
      const sum = reduced(((stored >>> 0) & low) - begin);
      const place = Math.floor(end / unit);
      const one = reduced(first(image, end) - sum);
      const two = reduced(((stored >>> 0) >>> half) - reduced(place * sum) + second(image, end));
      return (two << half) | one;
    },
  };
}
