/** So many members of a kernel are taken or left together: all ways to do so are looked at at once, one a bit of a word. */
export const MEMBERS_TOGETHER = 5;

/** For each of the members the ways in which it is taken. */
const TAKEN = [0xaaaaaaaa, 0xcccccccc, 0xf0f0f0f0, 0xff00ff00, 0xffff0000];

/** Of some ways those in which a sum of the bytes comes to what is wanted, as far as its lowest bits go. */
export type WaysThatDo = (values: Uint8Array, wanted: number, ways: number) => number;

/**
 * Sums of bytes in all ways at once: what is the same in each is added as numbers, and the bits that members flip by columns,
 * as an adder does it, with a word for what a bit is in each way.
 */
export function waySums(members: readonly Uint8Array[], weights: Int32Array, planes: number): WaysThatDo {
  const columns = movingBits(members, weights, planes);
  const moving = columns.flat();
  const [bytes, shifts, flips] = [
    Int32Array.from(moving, ({ byte }) => byte),
    Int32Array.from(moving, ({ bit }) => 31 - bit),
    Int32Array.from(moving, ({ ways }) => ways),
  ];
  const ends = Int32Array.from(columns, (_, plane) => columns.slice(0, plane + 1).flat().length);
  const lowest = columns.findIndex(({ length }) => length > 0);
  const below = lowest < 0 ? planes : lowest;
  // Adding makes of three words two, so that there are never more.
  const [room, more] = [new Int32Array(moving.length), new Int32Array(moving.length)];
  const steady = steadyBytes(members, weights);
  // A bit that counts as less than nothing is one that is always there, and its opposite.
  const always = columns.reduce(
    (sum, own, plane) => sum + own.filter(({ isOpposite }) => isOpposite).length * 2 ** plane,
    0,
  );
  return (values, wanted, ways) => {
    let left = (wanted + always) | 0;
    for (let i = 0; i < steady.bytes.length; i++) {
      const value = (values[steady.bytes[i] as number] as number) & (steady.masks[i] as number);
      // Products are taken modulo 2^32, as is their sum.
      left = (left - Math.imul(steady.weights[i] as number, value)) | 0;
    }
    if (below > 0 && left << (32 - below) !== 0) return 0;
    let [alive, column, next] = [ways, room, more];
    let [carried, taken] = [0, 0];
    for (let plane = below; plane < planes && alive !== 0; plane++) {
      let count = carried;
      for (const end = ends[plane] as number; taken < end; taken++) {
        const value = ((values[bytes[taken] as number] as number) << (shifts[taken] as number)) >> 31;
        column[count++] = (flips[taken] as number) ^ value;
      }
      carried = 0;
      while (count > 1) {
        const a = column[--count] as number;
        const b = column[--count] as number;
        const c = count > 0 ? (column[--count] as number) : 0;
        const either = a ^ b;
        column[count++] = either ^ c;
        next[carried++] = (a & b) | (either & c);
      }
      const sum = count > 0 ? (column[0] as number) : 0;
      alive &= ~(sum ^ -((left >>> plane) & 1));
      [column, next] = [next, column];
    }
    return alive;
  };
}

/** A bit that some members flip. */
interface MovingBit {
  readonly byte: number;
  readonly bit: number;
  /** The ways in which it is flipped; of a byte of negative weight the others. */
  readonly ways: number;
  /** Whether its byte is of negative weight. */
  readonly isOpposite: boolean;
}

/** For each bit of a sum the bits that are flipped and count as much. */
function movingBits(
  members: readonly Uint8Array[],
  weights: Int32Array,
  planes: number,
): readonly (readonly MovingBit[])[] {
  const columns = Array.from({ length: planes }, (): MovingBit[] => []);
  for (const [byte, weight] of weights.entries()) {
    const isOpposite = weight < 0;
    for (let bit = 0; bit < 8; bit++) {
      const flipping = TAKEN.filter((_, i) => ((members[i]?.[byte] ?? 0) >>> bit) & 1);
      if (flipping.length === 0) continue;
      const ways = flipping.reduce((all, own) => all ^ own, 0);
      for (let plane = bit; plane < planes; plane++)
        if ((Math.abs(weight) >>> (plane - bit)) & 1)
          columns[plane]?.push({ byte, bit, ways: isOpposite ? ~ways : ways, isOpposite });
    }
  }
  return columns;
}

/** What of the bytes no member flips. */
function steadyBytes(members: readonly Uint8Array[], weights: Int32Array) {
  const all = [...weights].flatMap((weight, byte) => {
    const flipped = members.reduce((bits, member) => bits | (member[byte] as number), 0);
    return weight === 0 || flipped === 0xff ? [] : { byte, weight, mask: 0xff & ~flipped };
  });
  return {
    bytes: Int32Array.from(all, ({ byte }) => byte),
    weights: Int32Array.from(all, ({ weight }) => weight),
    masks: Int32Array.from(all, ({ mask }) => mask),
  };
}
