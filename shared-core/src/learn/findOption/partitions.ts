import type { BitField } from '../../base/bits.js';
import { maskOf, readBits } from '../../base/bits.js';
import type { Steps } from '../../base/steps.js';
import type { ColumnPlace, Matrix } from './matrix.js';

/** A place that could hold an option: bits of one byte, or two neighbouring bytes read as one number, the first one highest. */
export interface OptionPlace extends ColumnPlace {
  readonly count: 1 | 2;
  readonly bits: BitField;
  /** Index of the first byte's column. */
  readonly column: number;
}

/** A way in which the dumps fall apart by value, and all places that make them fall apart that way. */
export interface Partition {
  /** The smallest place first; the others move together with it. */
  readonly places: readonly OptionPlace[];
  /** The single bits that tell these values apart, as numbers of partitions; one for a partition by a single bit. */
  readonly atoms: readonly number[];
}

const WHOLE: BitField = { high: 7, low: 0 };
const NIBBLES: readonly BitField[] = [
  { high: 7, low: 4 },
  { high: 3, low: 0 },
];

/**
 * All different ways in which bits, nibbles, bytes and pairs of bytes tell the given dumps apart.
 *
 * A bit divides the dumps in two; two bits that do so alike are one partition whatever group the dumps are of. The
 * partition of a larger place follows from those of the bits in it that vary, so their set names it: the work is one
 * look at each bit of each dump.
 */
export function* partitionSteps(matrix: Matrix, dumps: readonly number[]): Steps<Partition[]> {
  const bitClasses = new Map<string, number>();
  const found = new Map<string, { places: OptionPlace[]; atoms: readonly number[] }>();
  const add = (atoms: readonly number[], place: OptionPlace) => {
    if (atoms.length === 0) return;
    const key = atoms.join(' ');
    const known = found.get(key);
    if (known === undefined) found.set(key, { places: [place], atoms });
    else if (!known.places.some((smaller) => contains(place, smaller))) known.places.push(place);
  };
  const bitsOf: number[][] = [];
  for (const column of matrix.columns) {
    yield;
    bitsOf.push(bitPartitions(column, dumps, bitClasses));
  }
  // Small places first, so that the smallest gives its name to each partition.
  const each = function* (visit: (place: ColumnPlace, column: number) => void): Steps<void> {
    for (const [column, place] of matrix.places.entries()) {
      yield;
      visit(place, column);
    }
  };
  const atomsIn = (column: number, { high, low }: BitField) =>
    distinct((bitsOf[column] as readonly number[]).slice(low, high + 1));
  yield* each((place, column) => {
    for (let bit = 7; bit >= 0; bit--) {
      const bits = { high: bit, low: bit };
      add(atomsIn(column, bits), { ...place, count: 1, bits, column });
    }
  });
  yield* each((place, column) => {
    for (const bits of NIBBLES) add(atomsIn(column, bits), { ...place, count: 1, bits, column });
  });
  yield* each((place, column) => add(atomsIn(column, WHOLE), { ...place, count: 1, bits: WHOLE, column }));
  yield* each((place, column) => {
    const next = matrix.places[column + 1];
    if (next?.line !== place.line || next.byte !== place.byte + 1) return;
    const [first, second] = [atomsIn(column, WHOLE), atomsIn(column + 1, WHOLE)];
    if (first.length > 0 && second.length > 0)
      add(distinct([...first, ...second]), { ...place, count: 2, bits: WHOLE, column });
  });
  const bitsAlike = (column: number, bits: BitField) => atomsIn(column, bits).length === 1;
  return Array.from(found.values(), ({ places, atoms }) => ({ places: asFields(places, bitsAlike), atoms }));
}

/**
 * Bits of one byte that only change together are one place: the field that spans them. One of them alone would be half
 * of what a module knows. They stay apart where a bit between them changes otherwise.
 */
function asFields(
  places: readonly OptionPlace[],
  bitsAlike: (column: number, bits: BitField) => boolean,
): readonly OptionPlace[] {
  const ofByte = new Map<number, OptionPlace[]>();
  for (const place of places)
    if (place.count === 1) ofByte.set(place.column, [...(ofByte.get(place.column) ?? []), place]);
  const fields = Array.from(ofByte, ([column, parts]): OptionPlace[] => {
    const [first] = parts as [OptionPlace, ...OptionPlace[]];
    const high = Math.max(...parts.map(({ bits }) => bits.high));
    const low = Math.min(...parts.map(({ bits }) => bits.low));
    return bitsAlike(column, { high, low }) ? [{ ...first, bits: { high, low } }] : parts;
  });
  return [...fields.flat(), ...places.filter(({ count }) => count !== 1)];
}

/** The number that a dump holds in a place. */
export function valueAt({ columns }: Matrix, { column, count, bits }: OptionPlace, dump: number): number {
  const byte = (columns[column] as Uint8Array)[dump] as number;
  return count === 1 ? readBits(byte, bits) : (byte << 8) | ((columns[column + 1] as Uint8Array)[dump] as number);
}

/** Is the second place part of the first, or the same? */
function contains(outer: OptionPlace, inner: OptionPlace): boolean {
  if (inner.column < outer.column || inner.column + inner.count > outer.column + outer.count) return false;
  return outer.count === 2 || (maskOf(outer.bits) & maskOf(inner.bits)) === maskOf(inner.bits);
}

/** Whether two places have a bit in common. */
export function overlaps(a: OptionPlace, b: OptionPlace): boolean {
  if (a.column + a.count <= b.column || b.column + b.count <= a.column) return false;
  return a.count === 2 || b.count === 2 || (maskOf(a.bits) & maskOf(b.bits)) !== 0;
}

/** For each bit of a column the number of its partition, -1 where all dumps have the same bit. */
function bitPartitions(column: Uint8Array, dumps: readonly number[], classes: Map<string, number>): number[] {
  // Against the first dump's byte, a bit and its opposite look alike: they divide the dumps alike.
  const first = column[dumps[0] as number] as number;
  const differs = Uint8Array.from(dumps, (dump) => (column[dump] as number) ^ first);
  let varies = 0;
  for (const bits of differs) varies |= bits;
  return Array.from({ length: 8 }, (_, bit) => {
    if ((varies & (1 << bit)) === 0) return -1;
    const words = new Uint16Array((dumps.length + 15) >> 4);
    for (let from = 0; from < differs.length; from += 16) {
      let word = 0;
      for (let i = Math.min(from + 16, differs.length) - 1; i >= from; i--)
        word = (word << 1) | (((differs[i] as number) >> bit) & 1);
      words[from >> 4] = word;
    }
    const key = packed(words);
    const known = classes.get(key);
    if (known !== undefined) return known;
    classes.set(key, classes.size);
    return classes.size - 1;
  });
}

const MOST_ARGUMENTS = 8192;

function packed(words: Uint16Array): string {
  let key = '';
  for (let from = 0; from < words.length; from += MOST_ARGUMENTS) {
    key += String.fromCharCode(...words.subarray(from, from + MOST_ARGUMENTS));
  }
  return key;
}

function distinct(atoms: readonly number[]): number[] {
  return [...new Set(atoms)].filter((atom) => atom >= 0).sort((a, b) => a - b);
}
