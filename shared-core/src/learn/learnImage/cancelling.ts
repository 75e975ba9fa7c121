import type { StoredSum } from './chosenSums.js';
import type { ByteStatistics } from './imageEvidence.js';
import type { Images } from './images.js';

/**
 * Whether an exclusive or comes out only because bytes are there twice, as in a block with its copy behind it: all that varies in
 * it has a partner at one distance, and both cancel.
 */
export function onlyCancels(
  { bytes }: Images,
  { varies }: ByteStatistics,
  { spec, place, width, range }: StoredSum,
): boolean {
  if (spec.method !== 'xor') return false;
  const isIn = (at: number) => (at >= range.from && at < range.end) || (at >= place && at < place + width);
  const [low, high] = [Math.min(range.from, place), Math.max(range.end, place + width)];
  const all: number[] = [];
  for (let at = low; at < high; at++) if (isIn(at) && varies[at] === 1) all.push(at);
  const [first] = all;
  if (first === undefined) return false;
  const arePartners = (one: number, other: number) => {
    const gap = (bytes[0]?.[one] as number) ^ (bytes[0]?.[other] as number);
    return isIn(other) && bytes.every((image) => ((image[one] as number) ^ (image[other] as number)) === gap);
  };
  const isDistance = (distance: number) => {
    const taken = new Set<number>();
    for (const at of all) {
      if (taken.has(at)) continue;
      if (taken.has(at + distance) || !arePartners(at, at + distance)) return false;
      taken.add(at + distance);
    }
    return true;
  };
  for (let distance = width; first + distance < high; distance += width) if (isDistance(distance)) return true;
  return false;
}
