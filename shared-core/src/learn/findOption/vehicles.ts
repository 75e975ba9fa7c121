import { type Phrase, phrase } from '../../base/phrase.js';
import type { Steps } from '../../base/steps.js';
import { headerValue, spelledAlike } from '../../model/headers.js';
import { mixed } from '../hash.js';
import { type ComparedDump, sameRecords } from './comparedDump.js';
import type { LabelledDump } from './labelledDump.js';

/** Dumps of different vehicles, and further dumps of one that is among them. */
export interface Vehicles {
  readonly dumps: readonly LabelledDump[];
  readonly further: readonly LabelledDump[];
}

/**
 * The first dump of each vehicle in each group: further ones are no further cars. Dumps before and after a change are in
 * different groups and both count; so do all without a group, as they are only asked about.
 */
export function* vehicleSteps(all: readonly LabelledDump[]): Steps<Vehicles> {
  const dumps: LabelledDump[] = [];
  const further: LabelledDump[] = [];
  const kept = new Map<string, Identity[]>();
  for (const one of all) {
    yield;
    const identity = identityOf(one);
    // Two dumps of one car have at least one of these in common.
    const keys = [
      ...(identity.vin === undefined ? [] : [`${one.group} vin ${identity.vin}`]),
      ...(identity.vehicle === undefined ? [] : [`${one.group} vehicle ${identity.vehicle}`]),
      `${one.group} bytes ${identity.dump.bytes.reduce(mixed, 0)}`,
    ];
    const isFurther =
      one.group !== undefined && keys.some((key) => kept.get(key)?.some((other) => isSame(identity, other)));
    (isFurther ? further : dumps).push(one);
    if (isFurther) continue;
    for (const key of keys) {
      const known = kept.get(key);
      if (known === undefined) kept.set(key, [identity]);
      else known.push(identity);
    }
  }
  return { dumps, further };
}

interface Identity {
  readonly vin: string | undefined;
  readonly vehicle: string | undefined;
  readonly dump: ComparedDump;
}

function identityOf({ dump }: LabelledDump): Identity {
  return { vin: carOf(dump, 'vin'), vehicle: carOf(dump, 'vehicle'), dump };
}

function carOf(dump: ComparedDump, name: 'vin' | 'vehicle'): string | undefined {
  const value = headerValue(dump, name);
  return value === undefined ? undefined : spelledAlike(name, value) || undefined;
}

/** The most certain header that both have decides; where they have none in common, the bytes do. */
function isSame(one: Identity, other: Identity): boolean {
  if (one.vin !== undefined && other.vin !== undefined) return one.vin === other.vin;
  if (one.vehicle !== undefined && other.vehicle !== undefined) return one.vehicle === other.vehicle;
  return haveSameRecords(one.dump, other.dump);
}

function haveSameRecords(one: ComparedDump, other: ComparedDump): boolean {
  if (one.shape !== other.shape && !sameRecords(one.shape.records, other.shape.records)) return false;
  return one.bytes.every((byte, at) => byte === other.bytes[at]);
}

/** Says which dumps are of a car that counts already. */
export function furtherSaid(further: readonly LabelledDump[]): Phrase[] {
  if (further.length === 0) return [];
  return [
    further.length === 1
      ? phrase(
          '1 dump is of a car that is in its group already (same "@vin" or "@vehicle", or the same bytes), so it was left out: {0}.',
          namesOf(further),
        )
      : phrase(
          '{0} dumps are of cars that are in their group already (same "@vin" or "@vehicle", or the same bytes), so they were left out: {1}.',
          further.length,
          namesOf(further),
        ),
  ];
}

/** More names than these, or more remarks of one kind, are not said. */
export const MOST_SAID = 5;

export function namesOf(dumps: readonly LabelledDump[]): string {
  const shown = dumps.slice(0, MOST_SAID).map(({ name }) => name);
  return dumps.length > MOST_SAID ? `${shown.join(', ')} …` : shown.join(', ');
}
