import { isDay } from '../base/isoTime.js';
import { phrase } from '../base/phrase.js';
import { isObject, items, type JsonValue, knownKeys, member, missing, oneOf, spanOf, text, wrong } from './json.js';
import type { Confidence, Observation, Seen } from './profile.js';

/** How somebody came to know an option. */
const HOW_SEEN = ['set-and-tried', 'found-by-search', 'told'] as const;

/** On which modules an option was seen, and how; undefined where it is said of none. */
export function readSeen(option: JsonValue): Seen | undefined {
  const observations = readSeenList(member(option, 'seen'));
  const given = member(option, 'confidence');
  return observations.length === 0
    ? undefined
    : { observations, ...(given !== undefined && { givenAt: spanOf(given.node) }) };
}

export function readSeenList(list: JsonValue | undefined): readonly Observation[] {
  return items(list).flatMap((value) => readObservation(value) ?? []);
}

function readObservation(value: JsonValue): Observation | undefined {
  if (!isObject(value)) return undefined;
  knownKeys(value, ['part', 'software', 'date', 'how', 'by']);
  const at = member(value, 'how');
  if (at === undefined)
    missing(value, phrase('"how" is missing: one of {0}.', HOW_SEEN.map((how) => `"${how}"`).join(', ')));
  const how = oneOf(at, HOW_SEEN);
  const [part, software, by] = ['part', 'software', 'by'].map((key) => words(member(value, key)));
  const date = readDay(member(value, 'date'));
  return how && { part, software, date, how, by };
}

function words(value: JsonValue | undefined): string | undefined {
  const written = text(value);
  return value !== undefined && written?.trim() === ''
    ? wrong(value, phrase('This text is empty: leave the key out instead.'))
    : written;
}

function readDay(value: JsonValue | undefined): string | undefined {
  const written = text(value);
  return value !== undefined && written !== undefined && !isDay(written)
    ? wrong(value, phrase('A day is wanted here as in "2024-02-29".'))
    : written;
}

/**
 * How sure an option is by what was seen of it: two that set and tried it, on different days or by different people, confirm
 * it. What was found by a search or told is a guess until somebody tries it.
 */
export function confidenceBy(observations: readonly Observation[]): Confidence {
  const tried = observations.filter(({ how }) => how === 'set-and-tried');
  if (tried.some((one) => tried.some((other) => areIndependent(one, other)))) return 'confirmed';
  return tried.length > 0 ? 'likely' : 'guess';
}

function areIndependent(one: Observation, other: Observation): boolean {
  const differ = (a: string | undefined, b: string | undefined) =>
    a !== undefined && b !== undefined && inOneSpelling(a) !== inOneSpelling(b);
  return differ(one.date, other.date) || differ(one.by, other.by);
}

/**
 * Whether one may be another told again: on modules of one part and software, in one way, on one day or on one that is not
 * known. By whom says nothing there, since one read-back may be noted by several.
 */
export function mayBeTheSame(one: Observation, other: Observation): boolean {
  const keys = ['part', 'software', 'how'] as const;
  const areAlike = keys.every((key) => inOneSpelling(one[key] ?? '') === inOneSpelling(other[key] ?? ''));
  return areAlike && (one.date === undefined || other.date === undefined || one.date === other.date);
}

function inOneSpelling(written: string): string {
  return written.trim().replace(/\s+/g, ' ').toLowerCase();
}

/** Whether what a profile says of how sure it is of an option is more than anybody has seen, or less. */
export function isSaidOtherwise(said: Confidence, seen: Confidence): boolean {
  const ranks: readonly Confidence[] = ['guess', 'likely', 'confirmed'];
  return said === 'confirmed' ? seen !== 'confirmed' : ranks.indexOf(said) < ranks.indexOf(seen);
}
