import type { ByteOrder } from '../../base/number.js';
import type { SumSpec } from '../../checksum/registry.js';

/**
 * A way to sum of which the value over a range follows from what is known of its two ends: the bytes from `s` to before
 * `e` come to `v` where the key of the start is the one that the end wants.
 */
export interface RangeSum {
  readonly spec: SumSpec;
  readonly order: ByteOrder;
  /** Bytes of the stored value. */
  readonly width: number;
  /** Bytes that are summed as one number: only ranges of whole ones are looked at. */
  readonly unit: number;
  /** How unusual it is. */
  readonly cost: number;
  /** Of each image the key of each start; ways that differ in nothing before the end share them. */
  readonly startKeys: readonly Int32Array[];
  /** The key of a start where the stored value lies inside the range, at `place`, and is not covered. */
  readonly holeKey: (image: number, start: number, place: number) => number;
  /** The key that a start must have. Only of the ends that were asked for. */
  readonly endKey: (image: number, end: number, stored: number) => number;
  /** The same of all ends that were asked for, in their order, with what is stored behind each; many ways to sum share them. */
  readonly endKeys?: (image: number) => EndKeys;
}

/** The key of an end is the exclusive or of what the image and what the way to sum says of it. */
export interface EndKeys {
  readonly ofImage: Int32Array;
  readonly ofSum: Int32Array | undefined;
}
