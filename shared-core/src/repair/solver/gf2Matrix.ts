import type { Steps } from '../../base/steps.js';
import { type FreeByte, isBinary, type System, turnsOf } from './system.js';
import { emptyXorBasis, insert, isZero, reduce, type XorBasis } from './xorBasis.js';

/** The binary equations of a system as vectors over GF(2): the effect of each free bit, and the wanted outcomes. */
export interface Gf2Matrix {
  readonly words: number;
  /** For each free byte the bits that may be flipped. */
  readonly masks: readonly number[];
  /** For each free byte eight vectors, one a bit. */
  readonly vectors: readonly Int32Array[];
  /** One vector for each accepted outcome. */
  readonly targets: Int32Array;
  readonly outcomes: number;
}

const BITS = [0, 1, 2, 3, 4, 5, 6, 7];
const STEPS_PER_EFFECT = 4;

export function* gf2MatrixOf(system: System): Steps<Gf2Matrix> {
  const binary = system.equations.flatMap((equation, i) => (isBinary(equation) ? [{ equation, i }] : []));
  const pack = (values: readonly bigint[]) =>
    values.flatMap((value) => [Number(value & 0xffffffffn), Number(value >> 32n)]);
  const isDue = turnsOf();
  const vectors: Int32Array[] = [];
  for (const index of system.free.keys()) {
    const effects = BITS.flatMap((bit) => pack(binary.map(({ equation }) => equation.effects[index]?.[bit] as bigint)));
    vectors.push(Int32Array.from(effects));
    if (isDue(STEPS_PER_EFFECT * effects.length)) yield;
  }
  const targets = Int32Array.from(
    system.accepted.flatMap((outcome) => pack(binary.map(({ i }) => outcome[i] as bigint))),
  );
  const masks = system.free.map(({ mask }: FreeByte) => mask);
  return { words: 2 * binary.length, masks, vectors, targets, outcomes: system.accepted.length };
}

/** The span of all free bits together. */
export interface Span {
  readonly rank: number;
  /** How many bits of the sums are ever set, which is the most that the rank can be. */
  readonly width: number;
  readonly spansTarget: boolean;
  /** The first bytes whose bits span a target; all that add to the rank where no target is spanned. */
  readonly firstBytes: readonly number[];
}

export function* spanOf(matrix: Gf2Matrix): Steps<Span> {
  const { words, vectors, masks } = matrix;
  const basis = emptyXorBasis(words, 0, 32 * words);
  const firstBytes: number[] = [];
  let isSpanned = spansTarget(matrix, basis);
  const isDue = turnsOf();
  for (const [index, own] of vectors.entries()) {
    const before = basis.count;
    for (let bit = 0; bit < 8; bit++) {
      if (!((masks[index] as number) & (1 << bit))) continue;
      const vector = own.slice(bit * words, (bit + 1) * words);
      reduce(basis, vector, 0);
      insert(basis, vector);
    }
    if (isDue(8 * (1 + basis.count / 4))) yield;
    if (basis.count === before || isSpanned) continue;
    firstBytes.push(index);
    isSpanned = spansTarget(matrix, basis);
  }
  return { rank: basis.count, width: widthOf(matrix), spansTarget: isSpanned, firstBytes };
}

function spansTarget({ targets, outcomes, words }: Gf2Matrix, basis: XorBasis): boolean {
  const left = targets.slice();
  for (let i = 0; i < outcomes; i++) {
    reduce(basis, left, i * words);
    if (isZero(left, i * words, words)) return true;
  }
  return false;
}

/** How many bits of the sums are ever set, by a free bit or in what is wanted. */
function widthOf({ words, vectors, targets }: Gf2Matrix): number {
  let width = 0;
  for (let word = 0; word < words; word++) {
    let all = 0;
    for (const list of [...vectors, targets]) {
      for (let at = word; at < list.length; at += words) all |= list[at] as number;
    }
    for (let left = all; left !== 0; left &= left - 1) width++;
  }
  return width;
}
