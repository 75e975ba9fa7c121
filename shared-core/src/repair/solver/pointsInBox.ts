import type { CongruenceLattice } from './congruenceLattice.js';

/** The numbers that each coordinate may be, all of a column between these. */
export interface Box {
  readonly low: Float64Array;
  readonly high: Float64Array;
}

export interface Points {
  /** The next point, which is overwritten by the one after; undefined after `nodes` nodes without one, or at the end. */
  readonly next: (nodes: number) => Float64Array | undefined;
  readonly isDone: () => boolean;
}

/**
 * Every point of a lattice, moved by `offset`, that lies in a box; those near `center` come early (Schnorr and Euchner's
 * enumeration). Pruned by how far the box reaches in each direction, and exact in the last.
 */
export function pointsInBox(
  { basis, orthogonal: { rows, norms } }: CongruenceLattice,
  scale: Float64Array,
  { low, high }: Box,
  offset: Float64Array,
  center: Float64Array,
): Points {
  const [levels, width] = [basis.length, scale.length];
  /** The point as it is above each level: after the multiples of all later rows. */
  const above = Array.from({ length: levels + 1 }, () => new Float64Array(width));
  const numbers = () => new Float64Array(levels);
  const [up, down, least, most, ideal] = [numbers(), numbers(), numbers(), numbers(), numbers()];
  const point = new Float64Array(width);
  above[levels]?.set(offset);
  let level = levels;
  let isDone = false;

  /** The multiples of a row that may lead into the box, the ideal one first. */
  function enter(at: number): void {
    const [row, own, from] = [basis[at] as Float64Array, rows[at] as Float64Array, above[at + 1] as Float64Array];
    let [toCenter, toLow, toHigh] = [0, 0, 0];
    for (let i = 0; i < width; i++) {
      const part = (own[i] as number) * (scale[i] as number);
      const [a, b] = [
        ((low[i] as number) - (from[i] as number)) * part,
        ((high[i] as number) - (from[i] as number)) * part,
      ];
      toLow += Math.min(a, b);
      toHigh += Math.max(a, b);
      toCenter += ((center[i] as number) - (from[i] as number)) * part;
    }
    const norm = norms[at] as number;
    let [lowest, highest] = [Math.ceil(toLow / norm - 1e-9), Math.floor(toHigh / norm + 1e-9)];
    if (at === 0) {
      for (let i = 0; i < width; i++) {
        const by = row[i] as number;
        const [a, b] = [(low[i] as number) - (from[i] as number), (high[i] as number) - (from[i] as number)];
        if (by === 0) {
          if (a > 0 || b < 0) highest = lowest - 1;
          continue;
        }
        lowest = Math.max(lowest, Math.ceil((by > 0 ? a : b) / by));
        highest = Math.min(highest, Math.floor((by > 0 ? b : a) / by));
      }
    }
    ideal[at] = toCenter / norm;
    const first = Math.min(highest, Math.max(lowest, Math.round(toCenter / norm)));
    [up[at], down[at], least[at], most[at]] = lowest > highest ? [1, 0, 1, 0] : [first, first - 1, lowest, highest];
  }

  /** Goes on to the next multiple at a level; false where there is none. */
  function advance(at: number): boolean {
    const [rising, falling] = [up[at] as number, down[at] as number];
    const [canRise, canFall] = [rising <= (most[at] as number), falling >= (least[at] as number)];
    if (!canRise && !canFall) return false;
    const rises = canRise && (!canFall || rising - (ideal[at] as number) <= (ideal[at] as number) - falling);
    const times = rises ? rising : falling;
    if (rises) up[at] = rising + 1;
    else down[at] = falling - 1;
    const [from, to, row] = [above[at + 1] as Float64Array, above[at] as Float64Array, basis[at] as Float64Array];
    for (let i = 0; i < width; i++) to[i] = (from[i] as number) + times * (row[i] as number);
    return true;
  }

  return {
    isDone: () => isDone,
    next: (nodes) => {
      for (let left = nodes; left > 0 && !isDone; left--) {
        if (level === levels) enter(--level);
        if (advance(level)) {
          if (level === 0) {
            point.set(above[0] as Float64Array);
            return point;
          }
          enter(--level);
        } else if (++level >= levels) isDone = true;
      }
      return undefined;
    },
  };
}
