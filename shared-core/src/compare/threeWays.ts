import { type Phrase, phrase } from '../base/phrase.js';
import type { Label } from '../format/row.js';
import type { Dump } from '../model/dump.js';
import { readOption, wordsOrHex } from '../model/optionReading.js';
import type { Option } from '../profile/profile.js';
import { type ByteDifference, type Comparison, compareDumps } from './compareDumps.js';

/**
 * What became of a plan at one place: written as planned; kept as it was found; something else, which nobody planned; or
 * changed in a place that changes by itself.
 */
export type Outcome = 'written' | 'kept' | 'other' | 'volatile';

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
  readonly found: string;
  readonly planned: string;
  readonly read: string;
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
  const bytes = [...new Map([...before, ...after])].map(([place, { row, label, difference }]): ThreeWayByte => {
    const [was, is] = [before.get(place)?.difference, after.get(place)?.difference];
    const { byte, address, after: now, reason, volatile } = difference;
    const values = {
      found: was === undefined ? now : was.before,
      planned: now,
      read: is === undefined ? now : is.before,
    };
    const outcome = is !== undefined && volatile ? 'volatile' : outcomeOf(values.found, values.planned, values.read);
    return { row, label, byte, address, ...values, reason, outcome };
  });
  bytes.sort((a, b) => a.row - b.row || a.byte - b.byte);
  return { kind: work.kind, bytes, options: optionsOf(found, planned, read) };
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

function outcomeOf<T>(found: T, planned: T, read: T): Outcome {
  if (read === planned) return 'written';
  return read === found ? 'kept' : 'other';
}

function optionsOf(found: Dump, planned: Dump, read: Dump): readonly ThreeWayOption[] {
  return planned.profile.options.flatMap((option) => {
    const [was, now, is] = [found, planned, read].map((dump) => readOption(dump, option)?.raw);
    if (was === now && now === is) return [];
    const words = (raw: bigint | undefined) => (raw === undefined ? '–' : wordsOrHex(option, raw));
    return [{ option, found: words(was), planned: words(now), read: words(is), outcome: outcomeOf(was, now, is) }];
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
    case 'other':
      return planned ? phrase('neither as found nor as planned') : phrase('changed, but not planned');
  }
}
