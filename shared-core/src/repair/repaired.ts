import { afterWrites, type ByteWrite } from '../model/byteWrite.js';
import type { Dump } from '../model/dump.js';
import { changedOptions } from '../model/optionReading.js';
import type { Option } from '../profile/profile.js';
import { optionCells } from './freeCells.js';

/** A repair that makes sums right. What it claims is shown for all bytes that were allowed to balance. */
export interface Repaired {
  readonly writes: readonly ByteWrite[];
  /** No other change of as few of the allowed bytes makes the sums right. */
  readonly unique: boolean;
  /** No change of fewer of the allowed bytes makes the sums right; false where not all were looked at. */
  readonly fewest: boolean;
  /** Options whose values change because a byte that balances holds some of their bits. */
  readonly alsoChanged: readonly Option[];
}

/** A repair that rewrites sums and balances nothing. */
export function rewritten(writes: readonly ByteWrite[]): Repaired {
  return { writes, unique: true, fewest: true, alsoChanged: [] };
}

/** How many bytes balance. */
export function balanceCount(writes: readonly ByteWrite[]): number {
  return writes.filter(({ reason }) => reason === 'balance').length;
}

/** The options whose values change with the balance bytes among the writes. */
export function optionsBalanced(dump: Dump, writes: readonly ByteWrite[]): readonly Option[] {
  const balancing = writes.filter(({ reason }) => reason === 'balance' || reason === 'copy');
  if (optionCells(dump, balancing).size === 0) return [];
  return changedOptions(dump, afterWrites(dump, balancing));
}
