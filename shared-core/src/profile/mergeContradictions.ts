import { type Phrase, phrase, say } from '../base/phrase.js';
import { shareBits } from './places.js';
import type { Condition, Option } from './profile.js';
import { type ProfileReading, readProfile } from './readProfile.js';
import { sorted } from './sortedText.js';

/** Three texts of one profile: what somebody has made of it, what somebody else has, and what both began with. */
export interface ThreeTexts {
  readonly mine: string;
  readonly theirs: string;
  readonly base: string;
}

/** What does not go together in a merged profile, though each of the two is right by itself. */
export function contradictions(text: string, { mine, theirs, base }: ThreeTexts): readonly Phrase[] {
  const [own, other, old] = [readProfile(mine), readProfile(theirs), readProfile(base)];
  const find = ({ profile }: ProfileReading, id: string) => profile.options.find((option) => option.id === id);
  const isIn = (reading: ProfileReading, a: Option, b: Option, isOne: (a: Option, b: Option) => boolean) => {
    const [one, two] = [find(reading, a.id), find(reading, b.id)];
    return one !== undefined && two !== undefined && isOne(one, two);
  };
  /** An option as it is to be, where one of the two has moved or renamed it. */
  const intended = (id: string) => {
    const [now, then, there] = [find(own, id), find(old, id), find(other, id)];
    const isMine = now !== undefined && (then === undefined || placeAndTitle(now) !== placeAndTitle(then));
    return isMine ? now : (there ?? now);
  };
  const ids = (reading: ProfileReading) => reading.profile.options.map(({ id }) => id);
  const conflicts = new Map<string, Phrase>();
  for (const one of ids(own)) {
    for (const two of ids(other)) {
      const [a, b] = [intended(one), intended(two)];
      if (one === two || a === undefined || b === undefined) continue;
      const isNew = (isOne: (a: Option, b: Option) => boolean) =>
        isOne(a, b) && ![own, other].some((reading) => isIn(reading, a, b, isOne));
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
  const before = new Set([own, other].flatMap(({ problems }) => problems.map(({ message }) => say(message))));
  return readProfile(text).problems.flatMap(({ message }) =>
    before.has(say(message)) ? [] : phrase('Together, the two contradict each other: {0}', message),
  );
}

function placeAndTitle({ parts, title }: Option): string {
  return `${sorted(parts)} ${title}`;
}

function haveOneTitle(one: Option, other: Option): boolean {
  return one.title.trim().toLowerCase() === other.title.trim().toLowerCase();
}

/** Conditions that one has changed on an option whose place or values the other has changed: they were said of what it was. */
function turnedNeeds(one: ProfileReading, other: ProfileReading, old: ProfileReading): readonly Phrase[] {
  const before = new Map(old.profile.options.map((option) => [option.id, option]));
  const turned = one.profile.options.filter((option) => {
    const then = before.get(option.id);
    return then !== undefined && meaningOf(option) !== meaningOf(then);
  });
  return turned.flatMap(({ id }) => {
    const told = other.profile.options.find(
      (option) => conditionsOn(option, id) !== conditionsOn(before.get(option.id), id),
    );
    return told === undefined || conditionsOn(told, id) === '[]'
      ? []
      : phrase(
          '"{0}": one has changed what its values are, and the other what "{1}" says of them ("needs" or "excludes").',
          id,
          told.id,
        );
  });
}

function meaningOf({ parts, order, reversed, swapped, meaning }: Option): string {
  return sorted({ parts, order, reversed, swapped, meaning });
}

function conditionsOn(option: Option | undefined, id: string): string {
  const on = (list: readonly Condition[]) =>
    list.flatMap((one) => (one.option === id && one.profile === undefined ? [one.in] : []));
  return option === undefined ? '[]' : sorted([...on(option.needs), ...on(option.excludes)]);
}
