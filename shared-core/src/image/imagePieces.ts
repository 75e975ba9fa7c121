/**
 * Runs of data of single records at their absolute addresses, in the order of the file, column by column: an image of
 * many megabytes has a million of them, for which objects would take ten times the room.
 */
export interface ImagePieces {
  readonly length: number;
  readonly rows: Int32Array;
  readonly addresses: Float64Array;
  /** Data bytes of each; none is empty. */
  readonly counts: Int32Array;
}

/** Pieces that are still being gathered. */
export type GrowingPieces = { -readonly [Column in keyof ImagePieces]: ImagePieces[Column] };

export function noPieces(): GrowingPieces {
  return { length: 0, rows: new Int32Array(64), addresses: new Float64Array(64), counts: new Int32Array(64) };
}

export function addPiece(pieces: GrowingPieces, row: number, address: number, count: number): void {
  if (pieces.length === pieces.rows.length) grow(pieces);
  pieces.rows[pieces.length] = row;
  pieces.addresses[pieces.length] = address;
  pieces.counts[pieces.length] = count;
  pieces.length++;
}

function grow(pieces: GrowingPieces): void {
  const { rows, addresses, counts } = pieces;
  pieces.rows = new Int32Array(2 * rows.length);
  pieces.rows.set(rows);
  pieces.addresses = new Float64Array(2 * rows.length);
  pieces.addresses.set(addresses);
  pieces.counts = new Int32Array(2 * rows.length);
  pieces.counts.set(counts);
}

/** The pieces in the order of their addresses; those of one address stay in the order of the file. */
export function byAddress({ length, rows, addresses, counts }: ImagePieces): ImagePieces {
  let rising = true;
  for (let i = 1; i < length && rising; i++) rising = (addresses[i] as number) >= (addresses[i - 1] as number);
  const order = rising ? undefined : Array.from({ length }, (_, i) => i);
  order?.sort((a, b) => (addresses[a] as number) - (addresses[b] as number));
  return {
    length,
    rows: order ? Int32Array.from(order, (i) => rows[i] as number) : rows.slice(0, length),
    addresses: order ? Float64Array.from(order, (i) => addresses[i] as number) : addresses.slice(0, length),
    counts: order ? Int32Array.from(order, (i) => counts[i] as number) : counts.slice(0, length),
  };
}
