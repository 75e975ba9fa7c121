import type { Phrase } from '../base/phrase.js';
import type { Label } from '../format/row.js';
import type { Dump } from '../model/dump.js';
import { readOption } from '../model/optionReading.js';
import type { Option } from '../profile/profile.js';
import { type Comparison, compareDumps } from './compareDumps.js';
import { unmatchedInWords } from './comparisonInWords.js';
import type { DifferenceReason } from './reasons.js';

/** What differs between some dumps of one kind of module; each list of values has one for each dump. */
export interface ManyDumps {
  /** Nothing differs, and all were read whole, by the same profile. */
  readonly identical: boolean;
  readonly options: readonly OptionInMany[];
  /** In the order of the first dump. */
  readonly bytes: readonly ByteInMany[];
  /** What could not be compared with the first dump: for each dump its sentences. */
  readonly unmatched: readonly (readonly Phrase[])[];
  /** Whether nobody can say of some that they are the same. */
  readonly isUnread: boolean;
}

export interface OptionInMany {
  readonly option: Option;
  /** Raw values; undefined where a dump does not have all of it. */
  readonly values: readonly (bigint | undefined)[];
}

export interface ByteInMany {
  readonly label: Label;
  /** From 1. */
  readonly byte: number;
  /** Of memory images. */
  readonly address: number | undefined;
  readonly values: readonly (number | undefined)[];
  /** Why it differs, as far as it can be told of the first dump and another one. */
  readonly reason: DifferenceReason;
}

/** Compares each of some dumps with the first: what differs between any two differs from the first in one of them. */
export function compareMany(first: Dump, others: readonly Dump[]): ManyDumps {
  const comparisons = others.map((other) => compareDumps(first, other));
  const dumps = [first, ...others];
  return {
    identical: comparisons.every(({ identical }) => identical),
    options: first.profile.options.flatMap((option) => {
      const values = dumps.map((dump) => readOption(dump, option)?.raw);
      return values.every((value) => value === values[0]) ? [] : { option, values };
    }),
    bytes: bytesOf(comparisons),
    unmatched: [[], ...comparisons.map((one) => unmatchedInWords(one))],
    isUnread: comparisons.some(({ unread }) => unread.length > 0),
  };
}

function bytesOf(comparisons: readonly Comparison[]): readonly ByteInMany[] {
  const found = new Map<string, ByteInMany & { readonly row: number; readonly values: (number | undefined)[] }>();
  for (const [index, { lines }] of comparisons.entries()) {
    for (const { label, beforeRow, bytes } of lines) {
      for (const { byte, address, before, after, reason } of bytes) {
        const key = address === undefined ? `${label}/${byte}` : `${address}`;
        const one = found.get(key) ?? {
          ...{ label, byte, address, reason, row: beforeRow },
          values: Array.from({ length: comparisons.length + 1 }, () => before),
        };
        one.values[index + 1] = after;
        found.set(key, one);
      }
    }
  }
  return [...found.values()].sort((a, b) => a.row - b.row || (a.address ?? a.byte) - (b.address ?? b.byte));
}
