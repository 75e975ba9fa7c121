import { hex } from '../base/hex.js';
import type { Phrase } from '../base/phrase.js';
import type { Label } from '../format/row.js';
import { isWithin, spanAt, viewByAddress } from '../model/byAddress.js';
import { addressOf, type Cell, cellKey } from '../model/cell.js';
import { doesAgree, readCopies } from '../model/copies.js';
import { type Dump, readBy } from '../model/dump.js';
import { labelOfRow } from '../model/layout.js';
import { readOption } from '../model/optionReading.js';
import { readTotal } from '../model/totalReading.js';
import type { Option } from '../profile/profile.js';
import { type Comparison, compareDumps, profileFor } from './compareDumps.js';
import { unmatchedInWords } from './comparisonInWords.js';
import {
  type ChangedCell,
  changedBits,
  type DifferenceReason,
  isAccountedFor,
  masksOf,
  reasonsByPlace,
} from './reasons.js';

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
  /** What nobody can tell of each of the others and the first, though both were read whole. */
  readonly caveats: readonly (Phrase | undefined)[];
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
  /** Undefined where a dump has no such byte, or where it could not be compared. */
  readonly values: readonly (number | undefined)[];
  /** In which of the dumps it could not be compared, as its line cannot be read or is there twice. */
  readonly isUnread: readonly boolean[];
  /** Why it differs between any two of them, as far as its place says so. */
  readonly reason: DifferenceReason;
  /** Whether an option that differs holds it, or it is of a sum that is right in each dump: then nothing is lost without it. */
  readonly isTold: boolean;
}

/** Compares each of some dumps with the first: what differs between any two differs from the first in one of them. */
export function compareMany(first: Dump, others: readonly Dump[]): ManyDumps {
  const comparisons = others.map((other) => compareDumps(first, other));
  const dumps = [first, ...others];
  const options = first.profile.options.flatMap((option) => {
    const values = dumps.map((dump) => readOption(dump, option)?.raw);
    return values.every((value) => value === values[0]) ? [] : { option, values };
  });
  return {
    identical: comparisons.every(({ identical }) => identical),
    options,
    bytes: bytesOf(first, others, comparisons, options),
    unmatched: [[], ...comparisons.map((one) => unmatchedInWords(one))],
    isUnread: comparisons.some(({ unread }) => unread.length > 0),
    caveats: comparisons.map(({ caveat }) => caveat),
  };
}

/** A byte in the row in which one of the others has it. */
interface Found extends Omit<ByteInMany, 'reason' | 'isTold' | 'isUnread'> {
  readonly values: (number | undefined)[];
  readonly row: number;
  readonly other: number;
  readonly otherRow: number;
}

function bytesOf(
  first: Dump,
  others: readonly Dump[],
  comparisons: readonly Comparison[],
  options: readonly OptionInMany[],
): readonly ByteInMany[] {
  const found = new Map<string, Found>();
  for (const [other, { lines }] of comparisons.entries()) {
    for (const { label, beforeRow, afterRow, bytes } of lines) {
      for (const { byte, address, before, after } of bytes) {
        const key = keyOf(label, byte, address);
        const one = found.get(key) ?? {
          ...{ label, byte, address, row: beforeRow, other, otherRow: afterRow },
          values: Array.from({ length: comparisons.length + 1 }, () => before),
        };
        one.values[other + 1] = after;
        found.set(key, one);
      }
    }
  }
  const read = others.map((dump) => readBy(dump, profileFor(first, dump)));
  const all = [first, ...read];
  const wrong = new Set(all.flatMap(wrongSumBytes));
  const isProved = comparisons.every(({ unread }) => unread.every(({ side }) => side !== 'profile'));
  const differing = options.map(({ option }) => option);
  const reasoned = read.flatMap((dump, other) => {
    const own = [...found].filter(([, one]) => one.other === other);
    const cells = own.map(([, { otherRow, byte, values }]) => ({
      ...{ row: otherRow, byte: byte - 1 },
      changed: values.reduce<number | undefined>((bits, value) => {
        const more = changedBits(values[0], value);
        return bits === undefined || more === undefined ? undefined : bits | more;
      }, 0),
    }));
    const masks = masksOf(dump, differing);
    const reasons = reasonsByPlace(dump, cells);
    return own.map(([key, one], i) => {
      const [cell, found] = [cells[i] as ChangedCell, reasons[i] ?? 'unexplained'];
      const reason = found === 'volatile' && !isProved ? 'unexplained' : found;
      const changed = cell.changed ?? 0xff;
      const isOption = reason === 'option' && ((masks.get(cellKey(cell)) ?? 0) & changed) === changed;
      const isSum = (reason === 'line-sum' || reason === 'total') && !wrong.has(key);
      return { key, one, reason, isTold: isOption || isSum };
    });
  });
  const states = read.map((dump, i) => stateIn(dump, comparisons[i] as Comparison));
  const copied = copiesOf(all, new Map(reasoned.map(({ key, reason }) => [key, reason])));
  return reasoned
    .map((known) => (known.reason === 'unexplained' && copied.has(known.key) ? { ...known, reason: COPY } : known))
    .sort(({ one: a }, { one: b }) => a.row - b.row || (a.address ?? a.byte) - (b.address ?? b.byte))
    .map(({ one: { label, byte, address, values }, reason, isTold }) => {
      const found = ['read', ...states.map((stateOf) => stateOf(label, address))];
      return {
        ...{ label, byte, address, reason, isTold },
        values: values.map((value, i) => (found[i] === 'read' ? value : undefined)),
        isUnread: found.map((state) => state === 'unread'),
      };
    });
}

/** Whether a byte that the first dump has was compared with another one: where it was not, nothing is known of it there. */
function stateIn(dump: Dump, { kind, onlyBefore, uncompared }: Comparison) {
  const view = kind === 'image' ? viewByAddress(dump) : undefined;
  return (label: Label, address: number | undefined): 'read' | 'missing' | 'unread' => {
    // The sum of a record of an image has no address of its own: its record begins at its label.
    const at = address ?? Number.parseInt(`${label}`, 16);
    const isUnread = view === undefined ? uncompared.includes(label) : isWithin(view.unsure, at);
    if (isUnread) return 'unread';
    const isMissing = view === undefined ? onlyBefore.includes(label) : spanAt(view.spans, at) === undefined;
    return isMissing && (view === undefined || dump.layout.kind === 'image') ? 'missing' : 'read';
  };
}

const COPY: DifferenceReason = 'copy';

/** One name for a byte in all of the dumps. */
function keyOf(label: Label, byte: number, address: number | undefined): string {
  return address === undefined ? `${label}/${byte}` : `${address}`;
}

/** The name of a cell: of the sum of a record of an image too, which has no address. */
function keyOfCell({ layout, rows }: Dump, cell: Cell): string {
  const isData = cell.byte < (layout.dataCount[cell.row] ?? 0);
  if (layout.kind !== 'image') return keyOf(labelOfRow(rows[cell.row]) ?? '', cell.byte + 1, undefined);
  const start = addressOf(layout, { row: cell.row, byte: 0 }) ?? 0;
  return keyOf(hex(start, 4), cell.byte + 1, isData ? start + cell.byte : undefined);
}

/** The bytes of sums that are not known to be right: wrong ones, and such as cannot be checked. */
function wrongSumBytes(dump: Dump): readonly string[] {
  const { layout, rule, totals } = dump;
  const wrong = new Set(dump.wrongSums);
  const lines = Array.from(layout.order).filter((row) => rule === undefined || wrong.has(row));
  const ofLines = lines.flatMap((row) =>
    Array.from({ length: layout.sumCountOf(row) }, (_, i) => ({ row, byte: (layout.dataCount[row] ?? 0) + i })),
  );
  const ofTotals = totals.flatMap(({ stored }, index) => {
    const reading = readTotal(dump, index);
    return reading !== undefined && reading.stored === reading.computed ? [] : (stored ?? []);
  });
  return [...ofLines, ...ofTotals].map((cell) => keyOfCell(dump, cell));
}

/** Bytes that all of the dumps hold as their copies do, where one of these differs for a reason that is known. */
function copiesOf(dumps: readonly Dump[], reasons: ReadonlyMap<string, DifferenceReason>): ReadonlySet<string> {
  const each = dumps.map((dump) => {
    const bytes = dump.profile.copies.flatMap((copies) => readCopies(dump, copies));
    const agreeing = bytes.filter((byte) => doesAgree(byte) && !byte.values.includes(undefined));
    return agreeing.map(({ cells }) => cells.flatMap((cell) => (cell === undefined ? [] : keyOfCell(dump, cell))));
  });
  const [first = [], ...others] = each;
  const inAll = others.map((groups) => new Set(groups.flat()));
  const isKnown = (key: string) => isAccountedFor(reasons.get(key) ?? 'unexplained');
  return new Set(
    first.filter((keys) => keys.some(isKnown) && keys.every((key) => inAll.every((one) => one.has(key)))).flat(),
  );
}
