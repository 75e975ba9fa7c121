import { type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import type { Label } from '../format/row.js';
import { isWithin } from '../model/byAddress.js';
import type { Dump } from '../model/dump.js';
import { readOption, shownValue } from '../model/optionReading.js';
import { joinedRanges } from '../profile/places.js';
import type { Option } from '../profile/profile.js';
import { type ByteDifference, type Comparison, compareDumps } from './compareDumps.js';
import { imageDifferences } from './imageDifferences.js';

/**
 * What became of a plan at one place: written as planned; kept as it was found; something else, which nobody planned;
 * changed in a place that changes by itself; or not known, as it is missing in what was read back or in doubt there.
 */
export type Outcome = 'written' | 'kept' | 'other' | 'volatile' | 'not-read';

/** A byte in which the three are not alike; row and label are those of the plan, `byte` counts from 1. */
export interface ThreeWayByte {
  readonly row: number;
  readonly label: Label;
  readonly byte: number;
  readonly address: number | undefined;
  readonly found: number | undefined;
  readonly planned: number | undefined;
  readonly read: number | undefined;
  readonly reason: ByteDifference['reason'];
  readonly outcome: Outcome;
}

/** An option that the three do not set alike, in words. */
export interface ThreeWayOption {
  readonly option: Option;
  readonly found: PhrasePart;
  readonly planned: PhrasePart;
  readonly read: PhrasePart;
  /** Whether the plan is to change it. */
  readonly isPlanned: boolean;
  readonly outcome: Outcome;
}

export interface ThreeWays {
  readonly kind: Comparison['kind'];
  readonly bytes: readonly ThreeWayByte[];
  readonly options: readonly ThreeWayOption[];
}

/** Holds what was found, what was planned and what was read back against each other; what bytes mean is taken from the plan. */
export function threeWays(found: Dump, planned: Dump, read: Dump): ThreeWays {
  const work = compareDumps(found, planned);
  const back = compareDumps(read, planned);
  const before = byPlace(work);
  const after = byPlace(back);
  const [notFound, notRead] = [unknownIn(found, planned, work), unknownIn(read, planned, back)];
  const bytes = [...new Map([...before, ...after])].map(([place, placed]): ThreeWayByte => {
    const { row, label, difference } = placed;
    const [was, is] = [before.get(place)?.difference, after.get(place)?.difference];
    const { byte, address, after: now, reason, volatile } = difference;
    const valueIn = (differs: ByteDifference | undefined, isUnknown: boolean) =>
      differs?.before ?? (differs !== undefined || isUnknown ? undefined : now);
    const values = {
      found: valueIn(was, notFound.byte(placed)),
      planned: now,
      read: valueIn(is, notRead.byte(placed)),
    };
    const outcome = is !== undefined && volatile ? 'volatile' : outcomeOf(values.found, values.planned, values.read);
    return { row, label, byte, address, ...values, reason, outcome };
  });
  bytes.sort((a, b) => a.row - b.row || a.byte - b.byte);
  return { kind: work.kind, bytes, options: optionsOf(found, planned, read, notFound, notRead) };
}

interface Placed {
  readonly row: number;
  readonly label: Label;
  readonly difference: ByteDifference;
}

function byPlace({ lines }: Comparison): ReadonlyMap<string, Placed> {
  return new Map(
    lines.flatMap(({ afterRow: row, label, bytes }) =>
      bytes.map((difference) => [`${row} ${difference.byte}`, { row, label, difference }] as const),
    ),
  );
}

/** What is not known of one of the dumps that a plan is compared with, although the plan has it. */
interface Unknown {
  readonly byte: (placed: Placed) => boolean;
  readonly option: (option: Option) => boolean;
}

function unknownIn(dump: Dump, planned: Dump, { kind, onlyAfter, uncompared }: Comparison): Unknown {
  if (kind === 'lines') {
    const labels = new Set([...onlyAfter, ...uncompared]);
    return {
      byte: ({ label }) => labels.has(label),
      option: ({ parts }) => parts.some(({ place }) => place.kind === 'line' && labels.has(place.line)),
    };
  }
  const differences = imageDifferences(dump, planned);
  const ranges = joinedRanges([...differences.onlyAfter, ...differences.unsure]);
  const cuts = recordCuts(dump);
  return {
    // The sum of a record is the same only of records that are cut alike.
    byte: ({ row, label, difference: { address } }) => {
      const at = address ?? Number.parseInt(String(label), 16);
      return isWithin(ranges, at) || (address === undefined && cuts.get(at) !== countOf(planned, row));
    },
    option: ({ parts }) =>
      parts.some(
        ({ place }) =>
          place.kind === 'address' &&
          ranges.some(({ from, to }) => from < place.address + place.count && place.address <= to),
      ),
  };
}

/** How many bytes the record at each address has. */
function recordCuts(dump: Dump): ReadonlyMap<number, number | undefined> {
  const { order, keys } = dump.layout;
  return new Map(Array.from(order, (row, i) => [keys[i] as number, countOf(dump, row)] as const));
}

function countOf({ rows }: Dump, row: number): number | undefined {
  const record = rows[row];
  return record?.kind === 'record' ? record.count : undefined;
}

function outcomeOf<T>(found: T | undefined, planned: T | undefined, read: T | undefined): Outcome {
  if (read === undefined && planned !== undefined) return 'not-read';
  if (read === planned) return 'written';
  return read === found ? 'kept' : 'other';
}

function optionsOf(
  found: Dump,
  planned: Dump,
  read: Dump,
  notFound: Unknown,
  notRead: Unknown,
): readonly ThreeWayOption[] {
  const rawIn = (dump: Dump, option: Option, unknown?: Unknown) =>
    unknown?.option(option) ? undefined : readOption(dump, option)?.raw;
  return planned.profile.options.flatMap((option) => {
    const [was, now, is] = [rawIn(found, option, notFound), rawIn(planned, option), rawIn(read, option, notRead)];
    if (was === now && now === is) return [];
    const words = (raw: bigint | undefined) => (raw === undefined ? '–' : shownValue(option, raw));
    const shown = { found: words(was), planned: words(now), read: words(is) };
    return [{ option, ...shown, isPlanned: was !== now, outcome: outcomeOf(was, now, is) }];
  });
}

/** What became of the plan, in a few words. */
export function outcomeInWords(outcome: Outcome, planned: boolean): Phrase {
  switch (outcome) {
    case 'written':
      return phrase('written as planned');
    case 'kept':
      return phrase('not written: still as found');
    case 'volatile':
      return phrase('changes by itself');
    case 'not-read':
      return phrase('not read: it is missing there, or in doubt');
    case 'other':
      return planned ? phrase('neither as found nor as planned') : phrase('changed, but not planned');
  }
}
