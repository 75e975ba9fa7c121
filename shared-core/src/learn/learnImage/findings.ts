import { hex, hexBytes } from '../../base/hex.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import { sumInWords } from '../../checksum/registry.js';
import type { Finding } from '../learning.js';
import type { StoredSum } from './chosenSums.js';
import { chanceOfBits } from './imageEvidence.js';
import { addressAt, type Images } from './images.js';
import type { FoundInImages } from './searchImages.js';

/** What was found, in words, sums first. */
export function findingsOf(images: Images, found: FoundInImages): readonly Finding[] {
  const at = (place: number) => addressAt(images, place);
  const named = (place: number) => hex(at(place), 4);
  const last = (end: number) => at(end - 1);
  const sums = found.sums.map((sum): Finding => {
    const { place, width, chance, rivals } = sum;
    return {
      kind: 'sum',
      said: sumSaid(images, sum),
      ...{ from: at(place), to: last(place + width), chance, undecided: rivals.length > 0 },
    };
  });
  const copies = found.repeats.map(({ first, at: others, isInverted, chance }): Finding => {
    const places = listed(others.map(named));
    const [from, to, bytes] = [named(first.from), hex(last(first.end), 4), first.end - first.from];
    return {
      kind: 'copy',
      said:
        chance >= 1
          ? phrase(
              '{0} to {1} ({2} bytes) again at {3}; nothing in it varies, so that each may stay as it is for itself',
              ...[from, to, bytes, places],
            )
          : isInverted
            ? phrase('inverted copy of {0} to {1} ({2} bytes): at {3}', from, to, bytes, places)
            : phrase('copy of {0} to {1} ({2} bytes): at {3}', from, to, bytes, places),
      ...{ from: at(first.from), to: last(first.end), chance, undecided: chance >= 1 },
    };
  });
  const slots = found.slots.map(({ from, length, count, width, order, chance, moves }): Finding => {
    const number =
      order === 'little' && width > 1
        ? phrase('{0} bytes, low byte first', width)
        : width === 1
          ? phrase('1 byte')
          : phrase('{0} bytes', width);
    const said = phrase(
      'a number that rises by one in {0} records, {1} bytes apart: {2}, first at {3}',
      ...[count, length, number, named(from)],
    );
    return {
      kind: 'slots',
      said: moves ? said : phrase('{0}; it is the same in all images, as the numbers of a table are', said),
      ...{ from: at(from), to: last(from + length * (count - 1) + width), chance, undecided: !moves },
    };
  });
  const dates = found.dates.map(({ from, end, form, chance, others }): Finding => {
    const bytes = hexBytes((images.bytes[0] as Uint8Array).subarray(from, end), ' ');
    const said = phrase('date in BCD as {0} at {1}: {2}', form, named(from), bytes);
    return {
      kind: 'date',
      said: others.length === 0 ? said : phrase('{0}; {1} fits as well', said, others.join(', ')),
      ...{ from: at(from), to: last(end), chance, undecided: others.length > 0 },
    };
  });
  const texts = found.texts.map(({ from, end, text, chance }): Finding => {
    const shown = text.trim();
    // The place has all of them, and nobody sees blanks at its rim.
    const said =
      shown.length === text.length
        ? phrase('text at {0}, {1} characters: "{2}"', named(from), end - from, shown)
        : phrase('text at {0}, {1} characters with the blanks around it: "{2}"', named(from), end - from, shown);
    return { kind: 'text', said, from: at(from), to: last(end), chance, undecided: false };
  });
  const fillers = found.fillers.map(({ from, end, value }): Finding => {
    const said = phrase('filler {0} from {1} to {2}', hex(value), named(from), hex(last(end), 4));
    const chance = chanceOfBits(images.length, 8 * (end - from - 1));
    return { kind: 'filler', said, from: at(from), to: last(end), chance, undecided: false };
  });
  return [...sums, ...copies, ...slots, ...dates, ...texts, ...fillers];
}

function sumSaid(images: Images, sum: StoredSum): Phrase {
  const said = ruleSaid(images, sum);
  const [rival] = sum.rivals;
  const [other] = sum.otherEnds;
  if (rival !== undefined) return phrase('{0}; or {1}', said, ruleSaid(images, rival));
  if (other === undefined) return said;
  const named = (place: number) => hex(addressAt(images, place), 4);
  return other.from !== sum.range.from
    ? phrase('{0}; these images do not tell whether it begins there or at {1}', said, named(other.from))
    : phrase('{0}; these images do not tell whether it ends there or at {1}', said, named(other.end - 1));
}

function ruleSaid(images: Images, { spec, order, width, place, range }: StoredSum): Phrase {
  const named = (at: number) => hex(addressAt(images, at), 4);
  const sum = order === 'little' && width > 1 ? phrase('{0}, low byte first', sumInWords(spec)) : sumInWords(spec);
  return phrase('{0}, over {1} to {2}; at address {3}', sum, named(range.from), named(range.end - 1), named(place));
}
