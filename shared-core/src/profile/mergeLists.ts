import { phrase } from '../base/phrase.js';
import { type JsonNode, type JsonValue, knownKeys, member, type ProfileProblem, wholeOf, wrong } from './json.js';
import { memberNode, merged, type NothingThere, without } from './mergePatch.js';
import { lineLabel } from './readLines.js';
import { MOVING_PLACE_KEYS } from './readPlace.js';

/** What says in a list of a profile that an entry of a profile that is extended is taken out: `"entry": null`. */
export const OUT = 'entry';

/** A list whose entries are merged one by one: what an entry is known by, and the keys that say so. */
interface KnownBy {
  readonly keys: readonly string[];
  readonly idOf: (entry: JsonNode) => string | undefined;
}

const BY_PLACE: KnownBy = { keys: MOVING_PLACE_KEYS, idOf: placeOf };

/** The lists of a profile whose entries are merged: options by their ids, all others by their places. */
export const MERGED_LISTS: Readonly<Record<string, KnownBy>> = {
  options: {
    keys: ['id'],
    idOf: (entry) => {
      const id: unknown = memberNode(entry, 'id')?.value;
      return typeof id === 'string' ? id : undefined;
    },
  },
  locked: BY_PLACE,
  volatile: BY_PLACE,
  balance: BY_PLACE,
  copies: { keys: ['place', 'lines'], idOf: firstOfCopies },
};

/**
 * A list over the one of the profiles that are extended: an entry that is known there is merged with it in its place, or
 * taken out; others go to the end. An entry to be taken out that is not there is a problem.
 */
export function mergedList(
  { idOf, keys }: KnownBy,
  target: JsonNode | undefined,
  { node: patch, problems }: JsonValue,
): JsonNode {
  const under = target?.type === 'array' ? (target.children ?? []) : [];
  const places = new Map<string, number[]>();
  under.forEach((entry, i) => {
    const id = entry.type === 'object' ? idOf(entry) : undefined;
    if (id === undefined) return;
    const known = places.get(id);
    if (known === undefined) places.set(id, [i]);
    else known.push(i);
  });
  const nothingThere = sayNothingThere(problems);
  const kept: (JsonNode | undefined)[] = [...under];
  const changed = new Set<number>();
  const added: JsonNode[] = [];
  for (const entry of patch.children ?? []) {
    const id = entry.type === 'object' ? idOf(entry) : undefined;
    const all = (id === undefined ? undefined : places.get(id)) ?? [];
    const [at = -1] = all;
    const there = kept[at];
    const value = { node: entry, problems };
    const out = entry.type === 'object' ? member(value, OUT) : undefined;
    if (out !== undefined) {
      isTakenOut(value, out, keys, there);
      for (const i of all) kept[i] = undefined;
    } else if (there === undefined || changed.has(at)) added.push(merged(undefined, entry, undefined, nothingThere));
    else {
      changed.add(at);
      // The same place may be written in other keys there.
      kept[at] = merged(without(there, keys), entry, undefined, nothingThere);
    }
  }
  return { ...patch, children: [...kept.flatMap((entry) => entry ?? []), ...added] };
}

/** A key that is taken out where there is none: it may be mistyped, and then what was meant is still there. */
export function sayNothingThere(problems: ProfileProblem[]): NothingThere {
  return (key) =>
    wrong(
      { node: key, problems },
      phrase('There is no "{0}" in a profile that this one extends, so it cannot be taken out.', String(key.value)),
    );
}

function isTakenOut(entry: JsonValue, out: JsonValue, keys: readonly string[], there: JsonNode | undefined): void {
  knownKeys({ ...entry, node: without(entry.node, [OUT]) }, keys);
  if (out.node.type !== 'null') wrong(out, phrase('"entry": null takes an entry out. Nothing else can be said here.'));
  else if (there === undefined)
    wrong(out, phrase('There is no such entry in a profile that this one extends, so it cannot be taken out.'));
}

/** Bytes that a list of a profile names: of a line, of a record that moves, or of the whole image. */
export interface Stretch {
  readonly of: string;
  readonly first: number;
  readonly last: number;
}

/** The same for all ways to write a place; undefined where it is unclear. */
export function stretchOf(entry: JsonNode): Stretch | undefined {
  const given = (key: string): unknown => memberNode(entry, key)?.value;
  const number = (key: string): number | undefined => wholeOf(given(key));
  const from = (of: readonly unknown[], first: number | undefined) =>
    first === undefined
      ? undefined
      : { of: JSON.stringify(of), first, last: first + (number('length') ?? number('bytes') ?? 1) - 1 };
  if (given('slot') !== undefined) return from(['slot', given('slot')], number('offset'));
  if (given('line') !== undefined) {
    const node = memberNode(entry, 'line');
    const label = node && lineLabel({ node, problems: [] });
    const bytes = bytesOf(given('bytes') ?? given('byte'), given('length'));
    return label === undefined || bytes === undefined ? undefined : { of: JSON.stringify(['line', label]), ...bytes };
  }
  if (given('address') !== undefined) return from(['address'], number('address'));
  const [first, last] = [number('from'), number('to')];
  return first === undefined || last === undefined ? undefined : { of: JSON.stringify(['address']), first, last };
}

/** Whether two stretches have a byte in common. */
export function shareBytes(one: Stretch, other: Stretch): boolean {
  return one.of === other.of && one.first <= other.last && other.first <= one.last;
}

function placeOf(entry: JsonNode): string | undefined {
  const place = stretchOf(entry);
  return place && JSON.stringify([place.of, place.first, place.last]);
}

/** The first and last byte that is meant; the whole line where none is named. */
function bytesOf(written: unknown, length: unknown): Omit<Stretch, 'of'> | undefined {
  if (written === undefined) return { first: 1, last: Number.POSITIVE_INFINITY };
  const [, first, last = first] = /^([1-9]\d*)-([1-9]\d*)$/.exec(String(written)) ?? [];
  if (first !== undefined) return { first: Number(first), last: Number(last) };
  const start = wholeOf(written);
  return start === undefined ? undefined : { first: start, last: start + (wholeOf(length) ?? 1) - 1 };
}

/** Copies are known by the place that the others are copies of. */
function firstOfCopies(entry: JsonNode): string | undefined {
  const [place, lines] = [memberNode(entry, 'place'), memberNode(entry, 'lines')];
  if (place !== undefined) return place.type === 'object' ? placeOf(place) : undefined;
  return lines === undefined ? undefined : JSON.stringify([wholeOf(lines.value) ?? lines.value]);
}
