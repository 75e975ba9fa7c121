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
  const directions = rows.map((row) => row.map((value, i) => value * (scale[i] as number)));
  const reaches = directions.map((direction, at) => reachOf(direction, norms[at] as number));
  const point = new Float64Array(width);
  above[levels]?.set(offset);
  let level = levels;
  let isDone = false;

  /** The multiples of a row that may lead into the box, the ideal one first. */
  function enter(at: number): void {
    const from = above[at + 1] as Float64Array;
    const { toLow, toHigh, toCenter } = reaches[at] as Reach;
    const done = along(directions[at] as Float64Array, from) / (norms[at] as number);
    let [lowest, highest] = [Math.ceil(toLow - done - 1e-9), Math.floor(toHigh - done + 1e-9)];
    if (at === 0) {
      const row = basis[0] as Float64Array;
      for (let i = 0; i < width; i++) {
        const by = row[i] as number;
        const toLeast = (low[i] as number) - (from[i] as number);
        const toMost = (high[i] as number) - (from[i] as number);
        if (by === 0) {
          if (toLeast > 0 || toMost < 0) highest = lowest - 1;
          continue;
        }
        lowest = Math.max(lowest, Math.ceil((by > 0 ? toLeast : toMost) / by));
        highest = Math.min(highest, Math.floor((by > 0 ? toMost : toLeast) / by));
      }
    }
    ideal[at] = toCenter - done;
    const first = Math.min(highest, Math.max(lowest, Math.round(toCenter - done)));
    // Where there is none, neither of the two is one of them.
    up[at] = Math.max(lowest, first);
    down[at] = first - 1;
    least[at] = lowest;
    most[at] = highest;
  }

  /** How many times the row of a level the box reaches in its direction, from the origin. */
  function reachOf(direction: Float64Array, norm: number): Reach {
    let [toLow, toHigh] = [0, 0];
    for (const [i, part] of direction.entries()) {
      toLow += part * ((part > 0 ? low : high)[i] as number);
      toHigh += part * ((part > 0 ? high : low)[i] as number);
    }
    return { toLow: toLow / norm, toHigh: toHigh / norm, toCenter: along(direction, center) / norm };
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

function along(direction: Float64Array, point: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < direction.length; i++) sum += (direction[i] as number) * (point[i] as number);
  return sum;
}

interface Reach {
  readonly toLow: number;
  readonly toHigh: number;
  readonly toCenter: number;
}
