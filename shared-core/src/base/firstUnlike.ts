/** Bytes in a row somewhere in a store. */
export interface BytesAt {
  readonly store: Uint8Array;
  readonly from: number;
}

/** The first of some bytes that is not the same in both, from `start` on; `end` where all are. Four are looked at at a time. */
export function firstUnlike(one: BytesAt, other: BytesAt, start: number, end: number): number {
  const [left, right] = [viewOf(one.store), viewOf(other.store)];
  let i = start;
  while (i + 4 <= end && left.getInt32(one.from + i) === right.getInt32(other.from + i)) i += 4;
  while (i < end && left.getUint8(one.from + i) === right.getUint8(other.from + i)) i++;
  return i;
}

function viewOf({ buffer, byteOffset, length }: Uint8Array): DataView {
  return new DataView(buffer, byteOffset, length);
}
