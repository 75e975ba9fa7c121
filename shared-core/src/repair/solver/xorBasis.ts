/**
 * Vectors over GF(2) in echelon form, as words of 32 bits: the first `words` of a vector are its effect, the others may
 * say which bits it was combined from. Only the count changes when vectors are removed, so that a search can go down
 * and up again without copying.
 */
export interface XorBasis {
  readonly words: number;
  readonly stride: number;
  readonly rows: Int32Array;
  readonly leads: Int32Array;
  count: number;
}

export function emptyXorBasis(words: number, extra: number, capacity: number): XorBasis {
  const stride = words + extra;
  return { words, stride, rows: new Int32Array(capacity * stride), leads: new Int32Array(capacity), count: 0 };
}

/** Reduces the vector at `at` by the rows of the basis, from row `first` on. */
export function reduce({ rows, leads, stride, count }: XorBasis, vectors: Int32Array, at: number, first = 0): void {
  for (let row = first; row < count; row++) {
    const lead = leads[row] as number;
    if (((vectors[at + (lead >> 5)] as number) >>> (lead & 31)) & 1) {
      const from = row * stride;
      for (let word = 0; word < stride; word++) (vectors[at + word] as number) ^= rows[from + word] as number;
    }
  }
}

/** Adds a reduced vector; false where its effect is 0, so that it is in the span already. */
export function insert(basis: XorBasis, vector: Int32Array): boolean {
  const lead = leadOf(vector, 0, basis.words);
  if (lead < 0) return false;
  basis.rows.set(vector, basis.count * basis.stride);
  basis.leads[basis.count++] = lead;
  return true;
}

export function isZero(vectors: Int32Array, at: number, words: number): boolean {
  return leadOf(vectors, at, words) < 0;
}

/** The number of a bit that is set; -1 where none is. */
function leadOf(vectors: Int32Array, at: number, words: number): number {
  for (let word = 0; word < words; word++) {
    const value = vectors[at + word] as number;
    if (value !== 0) return 32 * word + 31 - Math.clz32(value);
  }
  return -1;
}
