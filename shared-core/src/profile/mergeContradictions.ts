import { type Phrase, phrase } from '../base/phrase.js';
import { plainPath } from './mergeEntries.js';
import { liesIn, shareBits } from './places.js';
import type { Condition, Option, Place, Profile } from './profile.js';
import type { ProfileReading } from './readProfile.js';
import { sorted } from './sortedText.js';

/** What a merged profile is read as, and the two that it is made of with what both began with. */
export interface Readings {
  readonly merged: ProfileReading;
  readonly mine: ProfileReading;
  readonly theirs: ProfileReading;
  readonly base: ProfileReading;
}

/** What does not go together in a merged profile, though each of the two is right by itself. */
export function contradictions({ merged, mine: own, theirs: other, base: old }: Readings): readonly Phrase[] {
  const [mine, theirs, before] = [optionsOf(own), optionsOf(other), optionsOf(old)];
  const isIn = (
    options: ReadonlyMap<string, Option>,
    a: Option,
    b: Option,
    isOne: (a: Option, b: Option) => boolean,
  ) => {
    const [one, two] = [options.get(a.id), options.get(b.id)];
    return one !== undefined && two !== undefined && isOne(one, two);
  };
  /** An option as it is to be, where one of the two has moved or renamed it. */
  const intended = (id: string) => {
    const [now, then, there] = [mine.get(id), before.get(id), theirs.get(id)];
    const isMine = now !== undefined && (then === undefined || placeAndTitle(now) !== placeAndTitle(then));
    return isMine ? now : (there ?? now);
  };
  const all = new Map([...mine.keys(), ...theirs.keys()].map((id) => [id, intended(id)]));
  const conflicts = new Map<string, Phrase>();
  for (const one of mine.keys()) {
    for (const two of theirs.keys()) {
      const [a, b] = [all.get(one), all.get(two)];
      if (one === two || a === undefined || b === undefined) continue;
      const isNew = (isOne: (a: Option, b: Option) => boolean) =>
        isOne(a, b) && ![mine, theirs].some((options) => isIn(options, a, b, isOne));
      const key = [one, two].sort().join(' ');
      if (isNew(shareBits))
        conflicts.set(key, phrase('The same place with two meanings: "{0}" (mine) and "{1}" (theirs).', one, two));
      else if (isNew(haveOneTitle))
        conflicts.set(
          key,
          phrase(
            'The same meaning at two places: "{0}" (mine) and "{1}" (theirs) are both called "{2}".',
            one,
            two,
            a.title,
          ),
        );
    }
  }
  if (conflicts.size > 0) return [...conflicts.values()];
  const turned = [...turnedNeeds(own, other, old), ...turnedNeeds(other, own, old)];
  if (turned.length > 0) return turned;
  if (merged.problems.length === 0) return meetings(merged.profile, [own.profile, other.profile]);
  return merged.problems.map(({ message }) => phrase('Together, the two contradict each other: {0}', message));
}

/** Options on bytes that change by themselves or balance a sum, where neither side alone has both. */
function meetings(merged: Profile, sides: readonly Profile[]): readonly Phrase[] {
  const has = ({ options, ...side }: Profile, list: 'balance' | 'volatile', { id, parts }: Option, place: Place) =>
    options.some((one) => one.id === id && sorted(one.parts) === sorted(parts)) &&
    side[list].some((one) => sorted(one.place) === sorted(place));
  return (['balance', 'volatile'] as const).flatMap((list) =>
    merged[list].flatMap(({ place }) =>
      merged.options.flatMap((option) =>
        liesIn(option, place) && !sides.some((side) => has(side, list, option, place))
          ? phrase(
              '{0} and {1} share bytes, and each has changed one of them.',
              `options (id "${option.id}")`,
              `${list} (${inWords(place)})`,
            )
          : [],
      ),
    ),
  );
}

function inWords(place: Place): string {
  return place.kind === 'line' ? `line ${place.line}, byte ${place.byte}` : `address ${place.address}`;
}

function optionsOf({ profile }: ProfileReading): ReadonlyMap<string, Option> {
  return new Map(profile.options.map((option) => [option.id, option]));
}

function placeAndTitle({ parts, title }: Option): string {
  return `${sorted(parts)} ${title}`;
}

function haveOneTitle(one: Option, other: Option): boolean {
  return one.title.trim().toLowerCase() === other.title.trim().toLowerCase();
}

/** What one has said of an option whose place or values the other has changed: it was said of what that was. */
function turnedNeeds(one: ProfileReading, other: ProfileReading, old: ProfileReading): readonly Phrase[] {
  const before = optionsOf(old);
  return one.profile.options.flatMap((option) => {
    const { id } = option;
    const then = before.get(id);
    if (then === undefined || meaningOf(option) === meaningOf(then)) return [];
    const needing = other.profile.options.find(
      (told) => !['[]', conditionsOn(before.get(told.id), id)].includes(conditionsOn(told, id)),
    );
    const sample = other.profile.samples.find(({ dump, expect }) => {
      const word = expect.get(id);
      const said = old.profile.samples.find((known) => plainPath(known.dump) === plainPath(dump))?.expect.get(id);
      return word !== undefined && word !== said && wordIn(option, word) !== wordIn(then, word);
    });
    const by = needing?.id ?? sample?.dump;
    return by === undefined
      ? []
      : phrase('"{0}": one has changed what its values are, and the other what "{1}" says of them.', id, by);
  });
}

/** What a word says of an option: where it is and, of words for values, which they are. */
function wordIn(option: Option, word: string): string {
  const { meaning } = option;
  if (meaning.kind !== 'values') return meaningOf(option);
  const values = [...meaning.words].flatMap(([value, said]) => (said === word ? value : []));
  return meaningOf({ ...option, meaning: { ...meaning, words: new Map(values.map((value) => [value, word])) } });
}

function meaningOf({ parts, order, reversed, swapped, meaning }: Option): string {
  return sorted({ parts, order, reversed, swapped, meaning });
}

function conditionsOn(option: Option | undefined, id: string): string {
  const on = (list: readonly Condition[]) =>
    list.flatMap((one) => (one.option === id && one.profile === undefined ? [one.in] : []));
  return option === undefined ? '[]' : sorted([...on(option.needs), ...on(option.excludes)]);
}
