import type { Label } from '../format/row.js';

/** The run of bytes that a total covers, as pieces of rows in the order in which they are summed. */
export interface CoveredRun {
  /** Bytes in the whole run. */
  readonly length: number;
  /** Calls back with each piece, in order. */
  readonly each: (visit: (row: number, from: number, count: number, start: number) => void) => void;
  /** Bytes of the run that are the same in every dump, and where they begin in it. */
  readonly constants: readonly { readonly start: number; readonly bytes: readonly number[] }[];
  /** Whether where a byte stands in the run depends on its address alone. */
  readonly byAddress: boolean;
  /** The pieces that lie in a row. */
  readonly piecesIn: (row: number) => readonly RunPiece[];
  /** Why no sum of it can be told; undefined where one can. */
  readonly obstacle: Obstacle | undefined;
}

/** Lines or addresses that a total covers and a dump lacks, first and count; or addresses that two records hold. */
export type Obstacle =
  | { readonly kind: 'lines-missing'; readonly first: Label; readonly count: number }
  | { readonly kind: 'bytes-missing'; readonly first: number; readonly count: number }
  | { readonly kind: 'overlap' };

/** A piece of a row (`from`, `count` in bytes of its record) and where it begins in the run. */
export interface RunPiece {
  readonly row: number;
  readonly from: number;
  readonly count: number;
  readonly start: number;
}
