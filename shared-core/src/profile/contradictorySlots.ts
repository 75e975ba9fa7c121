import { type Phrase, phrase } from '../base/phrase.js';
import { shareBytes } from './contradictoryCopies.js';
import type { Report } from './json.js';
import { overlap, placeOfTotal } from './places.js';
import type { Copies, Option, Place, Profile, Slots, Total } from './profile.js';
import { checkOfSlot, sequencePlaces, slotsOfPlace } from './slotPlaces.js';

/** Slots, but for those that share bytes with each other, with copies, or with slots before them. */
export function soundSlots(slots: readonly Slots[], copies: readonly Copies[], report: Report): readonly Slots[] {
  const sound: Slots[] = [];
  for (const one of slots) {
    const copied = copies.find(({ places }) =>
      places.flat().some((run) => slotsOfPlace({ slots: [one] }, run) !== undefined),
    );
    if (shareBytes([...sound, one]))
      report(one.source, phrase('Slots of "{0}" share bytes with each other or with slots before them.', one.name));
    else if (copied !== undefined)
      report(one.source, phrase('Slots of "{0}" share bytes with the copies "{1}".', one.name, copied.name));
    else sound.push(one);
  }
  return sound;
}

/** Their checks, as totals of the first slot of each. */
export function checksOfSlots(slots: readonly Slots[]): readonly Total[] {
  return slots.flatMap((one) => checkOfSlot(one, 0) ?? []);
}

/** Why a sum cannot be stored where records move; undefined where it can, or is not. */
export function whyNotInSlots(total: Total, profile: Pick<Profile, 'slots'>): Phrase | undefined {
  const place = total.ofSlots === undefined ? placeOfTotal(total) : undefined;
  const own = place && slotsOfPlace(profile, place);
  return own && phrase('"{0}" is stored in the slots "{1}", of which only one counts at a time.', total.name, own.name);
}

/** Why an option or a balance place cannot be in a slot as it is given; undefined where it can, or is not. */
export function whyNotMoving(place: Place, profile: Pick<Profile, 'slots'>, what: Phrase): Phrase | undefined {
  const own = slotsOfPlace(profile, place);
  if (own === undefined) return undefined;
  if (place.inSlot === undefined)
    return phrase(
      '{0} is in the slots "{1}", whose record moves: give "slot" and "offset" in place of the address or line.',
      what,
      own.name,
    );
  return sequencePlaces(own, 0).some((run) => overlap(run, place))
    ? phrase('{0} is where the number of the slots "{1}" is, which only the module changes.', what, own.name)
    : undefined;
}

/** The same of an option. */
export function whyOptionNotMoving({ parts, title }: Option, profile: Pick<Profile, 'slots'>): Phrase | undefined {
  for (const { place } of parts) {
    const why = whyNotMoving(place, profile, phrase('"{0}"', title));
    if (why !== undefined) return why;
  }
  return undefined;
}
