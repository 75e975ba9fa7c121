import { type Phrase, phrase } from '../base/phrase.js';
import { compareLabels } from '../format/label.js';
import type { Label } from '../format/row.js';
import { copiesOfPlace, sharedBytes } from './copiedPlaces.js';
import type { Report } from './json.js';
import { overlap, placeOfTotal } from './places.js';
import type { Copies, Place, Profile, Total } from './profile.js';
import { coversLine } from './totalsInOrder.js';

/** Copies, but for those that share bytes with each other or with some before them. */
export function soundCopies(copies: readonly Copies[], report: Report): readonly Copies[] {
  const sound: Copies[] = [];
  for (const one of copies) {
    if (shareBytes([...sound, one]))
      report(one.source, phrase('"{0}" has places that share bytes: each byte is a copy of others once.', one.name));
    else sound.push(one);
  }
  return sound;
}

/** Whether places of some records share bytes. */
export function shareBytes(copies: readonly Pick<Copies, 'places'>[]): boolean {
  const runs = copies.flatMap(({ places }) => places.flat());
  const rising = [...runs].sort((a, b) => compareLabels(lineOf(a), lineOf(b)) || firstByte(a) - firstByte(b));
  return rising.some((run, i) => i > 0 && overlap(rising[i - 1] as Place, run));
}

function lineOf(place: Place): Label {
  return place.kind === 'line' ? place.line : 0;
}

function firstByte(place: Place): number {
  return place.kind === 'line' ? place.byte : place.address;
}

/** Why a sum cannot be stored among copies; undefined where it can, or is not. */
export function whyNotInCopies(total: Total, profile: Profile): Phrase | undefined {
  const place = placeOfTotal(total);
  if (place === undefined) return undefined;
  for (const one of profile.copies) {
    const [first] = sharedBytes(one, place);
    if (first === undefined) continue;
    if (first.count < place.count)
      return phrase('"{0}" is stored partly among the copies "{1}" and partly not.', total.name, one.name);
    if (total.covers.kind !== 'addresses' && total.covers.sums)
      return phrase(
        '"{0}" is stored in the copies "{1}" and runs over the sums of lines, which are of one line only.',
        total.name,
        one.name,
      );
    if (copiesOfPlace({ copies: [one] }, place).some((copy) => coversPlace(total, copy)))
      return phrase('"{0}" runs over a copy of the bytes in which it is stored ("{1}").', total.name, one.name);
  }
  return undefined;
}

/** Whether a total runs over a byte of a place. */
function coversPlace({ covers }: Total, place: Place): boolean {
  if (place.kind === 'address')
    return (
      covers.kind === 'addresses' &&
      covers.ranges.some(({ from, to }) => from < place.address + place.count && to >= place.address)
    );
  return coversLine(covers, place.line);
}
