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
 * look at each byte of each dump.
 */
export function* partitionSteps(matrix: Matrix, dumps: readonly number[]): Steps<Partition[]> {
  const bitClass = bitClassesOf(matrix, dumps);
  const found = new Map<string, { places: OptionPlace[]; atoms: readonly number[] }>();
  const add = (atoms: readonly number[], place: OptionPlace) => {
    if (atoms.length === 0) return;
    const key = atoms.join(' ');
    const known = found.get(key);
    if (known === undefined) found.set(key, { places: [place], atoms });
    else if (!known.places.some((smaller) => contains(place, smaller))) known.places.push(place);
  };
  const bitsOf: number[][] = [];
  for (const column of matrix.columns.keys()) {
    yield;
    bitsOf.push(bitClass(column));
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
export function valueAt(
  { columns }: Pick<Matrix, 'columns'>,
  { column, count, bits }: OptionPlace,
  dump: number,
): number {
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

/**
 * For each bit of a column the number of its partition, -1 where all dumps have the same bit. Each dump has a number by
 * chance, and those of all dumps in which a bit is set, exclusive-ored, name what it does: they are gathered for each
 * value of the byte, so that one look at each byte does for all its bits.
 */
function bitClassesOf({ columns }: Matrix, dumps: readonly number[]): (column: number) => number[] {
  const marks = [chanceNumbers(dumps.length, 1), chanceNumbers(dumps.length, 2)] as const;
  const classes = new Map<number, { readonly column: number; readonly bit: number; readonly number: number }[]>();
  // Against the first dump's byte, a bit and its opposite look alike: they divide the dumps alike.
  const differs = (column: number) => {
    const bytes = columns[column] as Uint8Array;
    const first = bytes[dumps[0] as number] as number;
    const ours = new Uint8Array(dumps.length);
    for (let i = 0; i < ours.length; i++) ours[i] = (bytes[dumps[i] as number] as number) ^ first;
    return ours;
  };
  let count = 0;
  return (column) => {
    const bytes = differs(column);
    const [low, high] = [new Int32Array(256), new Int32Array(256)];
    let varies = 0;
    for (let i = 0; i < bytes.length; i++) {
      const byte = bytes[i] as number;
      varies |= byte;
      low[byte] = (low[byte] as number) ^ (marks[0][i] as number);
      high[byte] = (high[byte] as number) ^ (marks[1][i] as number);
    }
    return Array.from({ length: 8 }, (_, bit) => {
      if ((varies & (1 << bit)) === 0) return -1;
      let [a, b] = [0, 0];
      for (let byte = 0; byte < 256; byte++) {
        if ((byte & (1 << bit)) === 0) continue;
        a ^= low[byte] as number;
        b ^= high[byte] as number;
      }
      const key = (a >>> 0) * 0x200000 + (b >>> 11);
      const alike = classes.get(key) ?? [];
      const known = alike.find((one) =>
        sameBits(bytes, bit, one.column === column ? bytes : differs(one.column), one.bit),
      );
      if (known !== undefined) return known.number;
      classes.set(key, [...alike, { column, bit, number: count }]);
      return count++;
    });
  };
}

function sameBits(one: Uint8Array, bit: number, other: Uint8Array, otherBit: number): boolean {
  for (let i = 0; i < one.length; i++)
    if (((((one[i] as number) >> bit) ^ ((other[i] as number) >> otherBit)) & 1) !== 0) return false;
  return true;
}

/** Numbers of 32 bits, the same each time (xorshift of G. Marsaglia, J. Stat. Softw. 8, 2003). */
function chanceNumbers(count: number, seed: number): Int32Array {
  let state = Math.imul(seed, 0x9e3779b1);
  return Int32Array.from({ length: count }, () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return state;
  });
}

function distinct(atoms: readonly number[]): number[] {
  return [...new Set(atoms)].filter((atom) => atom >= 0).sort((a, b) => a - b);
}
