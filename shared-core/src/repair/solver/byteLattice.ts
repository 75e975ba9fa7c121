import type { Steps } from '../../base/steps.js';
import { type CongruenceLattice, congruenceLattice } from './congruenceLattice.js';
import { signed } from './infeasibility.js';
import { type Box, type Points, pointsInBox } from './pointsInBox.js';
import { type FreeByte, isModular, type System } from './system.js';

/** Bits of a byte that lie together and may change: one unknown, counted in units of its lowest bit. */
interface BitRun {
  readonly byte: number;
  readonly shift: number;
  readonly most: number;
}

/** The values of some bytes that fulfil congruences, as points of a lattice. */
export interface ByteLattice {
  /** How many bits the values within the room of the bytes say, roughly; below 0 where there may be none. */
  readonly bits: number;
  /**
   * The values of these bytes, in this order, with which the congruences come to what is wanted, those near `center`
   * first; undefined where no whole numbers do that.
   */
  readonly valuesNear: (center: Uint8Array, wanted: Wanted) => Values | undefined;
}

/** What the congruences must come to: the growth from the values now, or whatever it is with other values. */
export type Wanted = { readonly growth: readonly number[] } | { readonly like: Uint8Array };

export interface Values {
  /** The next values, which are overwritten by the ones after; undefined after so many nodes, or at the end. */
  readonly next: (nodes: number) => Uint8Array | undefined;
  readonly isDone: () => boolean;
}

/** Reducing a basis takes the third power of its rows. */
const MOST_UNKNOWNS = 48;

/** The lattice of the given bytes of a system under its congruences; undefined where they are none or too many. */
export function* byteLatticeOf(system: System, bytes: readonly number[]): Steps<ByteLattice | undefined> {
  const runs = bytes.flatMap((index, byte) => runsOf((system.free[index] as FreeByte).mask, byte));
  const now = Uint8Array.from(bytes, (index) => (system.free[index] as FreeByte).value);
  const congruences = system.equations.filter(isModular).map(({ modulus, weights }) => ({
    modulus: Number(modulus),
    weights: Float64Array.from(runs, ({ byte, shift }) =>
      Number(signed((weights[bytes[byte] as number] as bigint) << BigInt(shift), modulus)),
    ),
  }));
  // In these units the room of each run reaches from -1 to 1.
  const scale = Float64Array.from(runs, ({ most }) => 2 / most);
  const lattice =
    runs.length === 0 || runs.length > MOST_UNKNOWNS ? undefined : yield* congruenceLattice(congruences, scale);
  if (lattice === undefined) return undefined;
  const valuesNear = (center: Uint8Array, wanted: Wanted): Values | undefined => {
    const growth = 'growth' in wanted ? wanted.growth : congruences.map(() => 0);
    const from = 'growth' in wanted ? now : wanted.like;
    const offset = lattice.particular(growth);
    if (offset === undefined) return undefined;
    const low = Float64Array.from(runs, (run) => -partOf(run, from));
    const box: Box = { low, high: Float64Array.from(runs, ({ most }, i) => most + (low[i] as number)) };
    const middle = Float64Array.from(runs, (run) => partOf(run, center) - partOf(run, from));
    return bytesOf(pointsInBox(lattice, scale, box, offset, middle), runs, from);
  };
  return { bits: bitsOf(lattice), valuesNear };
}

function runsOf(mask: number, byte: number): readonly BitRun[] {
  const runs: BitRun[] = [];
  for (let shift = 0; shift < 8; shift++) {
    if (!((mask >> shift) & 1)) continue;
    let count = 0;
    while ((mask >> (shift + count)) & 1) count++;
    runs.push({ byte, shift, most: 2 ** count - 1 });
    shift += count;
  }
  return runs;
}

function partOf({ byte, shift, most }: BitRun, values: Uint8Array): number {
  return ((values[byte] as number) >> shift) & most;
}

/** Where rows are longer than the room, they add nothing to it. */
function bitsOf({ orthogonal: { norms } }: CongruenceLattice): number {
  return norms.reduce((bits, norm) => bits + Math.max(0, Math.log2(2 / Math.sqrt(norm))), 0);
}

function bytesOf(points: Points, runs: readonly BitRun[], from: Uint8Array): Values {
  const values = new Uint8Array(from.length);
  return {
    isDone: points.isDone,
    next: (nodes) => {
      const point = points.next(nodes);
      if (point === undefined) return undefined;
      values.set(from);
      for (const [i, { byte, shift }] of runs.entries()) (values[byte] as number) += (point[i] as number) * 2 ** shift;
      return values;
    },
  };
}
