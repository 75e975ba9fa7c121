import { isDay, isEarlier, readTimeSpan } from '../base/isoTime.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { matches } from '../base/wildcards.js';
import { isObject, items, type JsonValue, knownKeys, member, missing, oneOf, spanOf, text, wrong } from './json.js';
import type { AppliesTo, Confidence, Observation, Seen } from './profile.js';

/** How somebody came to know an option. */
const HOW_SEEN = ['set-and-tried', 'found-by-search', 'told'] as const;

/** On which modules an option was seen, and how; undefined where it is said of none. `appliesTo`: those that the profile is for. */
export function readSeen(option: JsonValue, appliesTo: AppliesTo | undefined): Seen | undefined {
  const list = member(option, 'seen');
  const entries = items(list).flatMap((value) => {
    const observation = readObservation(value);
    return observation === undefined ? [] : { observation, at: spanOf(value.node) };
  });
  if (entries.length === 0) return undefined;
  const observations = entries.map(({ observation }) => observation);
  const given = member(option, 'confidence');
  return {
    observations,
    confidence: confidenceBy(observations, appliesTo),
    uncounted: entries.flatMap(({ observation, at }, i) => {
      const why = whyUncounted(observation, observations.slice(0, i), appliesTo);
      return why === undefined ? [] : { at, why };
    }),
    ...(given !== undefined && { givenAt: spanOf(given.node) }),
  };
}

export function readSeenList(list: JsonValue | undefined): readonly Observation[] {
  return items(list).flatMap((value) => readObservation(value) ?? []);
}

function readObservation(value: JsonValue): Observation | undefined {
  if (!isObject(value)) return undefined;
  knownKeys(value, ['part', 'software', 'date', 'how', 'by', 'vehicle']);
  const at = member(value, 'how');
  if (at === undefined)
    missing(value, phrase('"how" is missing: one of {0}.', HOW_SEEN.map((how) => `"${how}"`).join(', ')));
  const how = oneOf(at, HOW_SEEN);
  const [part, software, by] = ['part', 'software', 'by'].map((key) => words(member(value, key)));
  const date = readDay(member(value, 'date'));
  const vehicle = readMark(member(value, 'vehicle'));
  return how && { part, software, date, how, by, ...(vehicle !== undefined && { vehicle }) };
}

function readMark(value: JsonValue | undefined): string | undefined {
  const written = text(value);
  return value !== undefined && written !== undefined && !/^[0-9A-F]{2}$/i.test(written)
    ? wrong(value, phrase('Two hex digits are wanted here, the same for one vehicle.'))
    : written;
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
 * How sure an option is by what was seen of it: two that set and tried it, in different vehicles or by different people, confirm
 * it; one vehicle that one person reads on two days is one trial. What was found by a search or told is a guess until somebody tries it.
 */
export function confidenceBy(observations: readonly Observation[], appliesTo: AppliesTo | undefined): Confidence {
  const tried = observations.filter(
    (one, i) => one.how === 'set-and-tried' && whyUncounted(one, observations.slice(0, i), appliesTo) === undefined,
  );
  if (tried.some((one) => tried.some((other) => differ(one, other, 'vehicle') || differ(one, other, 'by'))))
    return 'confirmed';
  return tried.length > 0 ? 'likely' : 'guess';
}

/** Whether two say different things; what one of them does not say differs from nothing. */
function differ(one: Observation, other: Observation, key: 'vehicle' | 'by'): boolean {
  return one[key] !== undefined && other[key] !== undefined && !isSaidAlike(one, other, key);
}

/** Why a trial makes nothing surer: it was in another module, is still to come, or is told `before`. */
function whyUncounted(
  one: Observation,
  before: readonly Observation[],
  appliesTo: AppliesTo | undefined,
): Phrase | undefined {
  if (one.how !== 'set-and-tried') return undefined;
  for (const key of ['part', 'software'] as const) {
    const [said, wanted] = [one[key], appliesTo?.[key] ?? []];
    if (said !== undefined && wanted.length > 0 && !wanted.some((pattern) => matches(said, pattern)))
      return phrase('This does not count: the profile is not for "{0}".', said);
  }
  const [day, now] = [one.date === undefined ? undefined : readTimeSpan(one.date), Date.now()];
  if (day !== undefined && isEarlier({ first: now, last: now, hasZone: true }, day))
    return phrase('This does not count: its date is in the future.');
  const keys = ['part', 'software', 'date', 'how', 'by', 'vehicle'] as const;
  return before.some((other) => keys.every((key) => isSaidAlike(one, other, key)))
    ? phrase('This counts once with the entry that says the same.')
    : undefined;
}

/**
 * Whether one may be another told again: on modules of one part and software, in one way, on one day or on one that is not
 * known, and not of two vehicles. By whom says nothing there, since one read-back may be noted by several.
 */
export function mayBeTheSame(one: Observation, other: Observation): boolean {
  const areAlike = (['part', 'software', 'how'] as const).every((key) => isSaidAlike(one, other, key));
  if (differ(one, other, 'vehicle')) return false;
  return areAlike && (one.date === undefined || other.date === undefined || one.date === other.date);
}

function isSaidAlike(one: Observation, other: Observation, key: keyof Observation): boolean {
  return inOneSpelling(one[key]) === inOneSpelling(other[key]);
}

/** A text without what nobody sees in it: letter case, blanks, and how its letters are coded. */
function inOneSpelling(written = ''): string {
  const seen = written.normalize('NFKC').replace(/[\s\p{Cf}\p{Default_Ignorable_Code_Point}]+/gu, '');
  return seen.toUpperCase().normalize('NFKC');
}

/** Whether what a profile says of how sure it is of an option is more than anybody has seen, or less. */
export function isSaidOtherwise(said: Confidence, seen: Confidence): boolean {
  const ranks: readonly Confidence[] = ['guess', 'likely', 'confirmed'];
  return said === 'confirmed' ? seen !== 'confirmed' : ranks.indexOf(said) < ranks.indexOf(seen);
}
