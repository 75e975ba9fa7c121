import { WHOLE_BYTE } from '../../base/bits.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import type { Dump } from '../../model/dump.js';
import { fewPlaces, groupSaid, sureInWords } from '../../profile/searchEvidence.js';
import { placeCalledBy } from './calledBy.js';
import type { OptionSearch } from './findOption.js';
import type { PairDifference, PairSearch } from './pair.js';
import { digitsIn, placeInWords } from './placeInWords.js';
import type { OptionCandidate } from './rank.js';

/** The values of a candidate that mark a group, in hex. */
export function valuesInHex({ place, values }: OptionCandidate, group: number): readonly string[] {
  return (values[group] ?? []).map((value) => digitsIn(place, value));
}

/** Names of the dumps that are not as labelled, if this is the place. */
export function exceptionNames({ matrix }: OptionSearch, { exceptions }: OptionCandidate): readonly string[] {
  return exceptions.map((dump) => matrix.dumps[dump]?.name ?? '');
}

/** Whether the dumps are memory images, so that places are addresses. */
export function isOfImages({ matrix }: OptionSearch): boolean {
  return matrix.dumps[0]?.dump.shape.kind === 'image';
}

/** How sure a candidate is, in words. */
function sureOf({ tried }: OptionSearch, { p, q, exceptions }: OptionCandidate): Phrase {
  return sureInWords({ p, q, tried, exceptions: exceptions.length });
}

/** A candidate in one line: what marks each group, how sure it is, and what goes with it. */
export function candidateInWords(search: OptionSearch, candidate: OptionCandidate): Phrase {
  const { place, p, q, sameAs, digit } = candidate;
  const isImage = isOfImages(search);
  const groups = search.groups.map((group, i) =>
    phrase('{0}: {1}', groupSaid(group), valuesInHex(candidate, i).join(' ')),
  );
  const exceptions = exceptionNames(search, candidate);
  return listed(
    [
      phrase(
        '{0}; {1}; {2} (p = {3}, q = {4})',
        placeInWords(place, isImage),
        listed(groups),
        sureOf(search, candidate),
        rounded(p),
        rounded(q),
      ),
      ...(digit === undefined
        ? []
        : [
            phrase(
              'or the whole digit, {0}: {1}',
              placeInWords(digit.place, isImage),
              listed(
                search.groups.map((group, i) =>
                  phrase('{0}: {1}', groupSaid(group), valuesInHex({ ...candidate, ...digit }, i).join(' ')),
                ),
              ),
            ),
          ]),
      ...(exceptions.length > 0 ? [phrase('not as labelled: {0}', exceptions.join(', '))] : []),
      ...(sameAs.length > 0
        ? [
            phrase(
              'together with {0}',
              listed(
                sameAs.map((other) => placeInWords(other, isImage)),
                '; ',
              ),
            ),
          ]
        : []),
    ],
    '; ',
  );
}

/** What to know before a place goes into a profile alone: others change with it, so it may be half of the equipment. */
export function aloneInWords(search: OptionSearch, { place, sameAs }: OptionCandidate): Phrase | undefined {
  if (sameAs.length === 0) return undefined;
  const isImage = isOfImages(search);
  const others = fewPlaces(sameAs.map((other) => placeInWords(other, isImage)));
  if (sameAs.length > 1)
    return phrase(
      'In these dumps {0} never changes without {1} other places ({2}). As an option of its own it may be a part of the equipment: setting it changes nothing else.',
      placeInWords(place, isImage),
      sameAs.length,
      others,
    );
  return phrase(
    'In these dumps {0} never changes without {1}. As an option of its own it may be half of the equipment: setting it changes nothing else.',
    placeInWords(place, isImage),
    others,
  );
}

/** What would settle most between the candidates; undefined where nothing is left to settle. */
export function nextInWords(search: OptionSearch): Phrase | undefined {
  const { next, matrix } = search;
  if (next === undefined) return undefined;
  if (next.kind === 'unlabelled')
    return phrase('Next: find out whether {0} has it. That tells most.', matrix.dumps[next.dump]?.name ?? '');
  return phrase(
    'Next: read more cars, some with the equipment and some without it, as different in other equipment as you can find. What only varies by chance falls away then.',
  );
}

/** The bytes that differ in a single pair, by what a dump calls its lines, and what each may be. */
export function pairInWords({ differences }: PairSearch, own: Dump | undefined): readonly Phrase[] {
  return differences.map((difference) => {
    const place = placeCalledBy(own, { ...difference, count: 1, bits: WHOLE_BYTE, column: 0 });
    return phrase(
      '{0}: {1} to {2}, {3}',
      placeInWords(place, own?.layout.kind === 'image'),
      digitsIn(place, difference.before),
      digitsIn(place, difference.after),
      roleInWords(difference),
    );
  });
}

function roleInWords({ role }: PairDifference): Phrase {
  switch (role) {
    case 'option':
      return phrase('the option');
    case 'maybe':
      return phrase('maybe the option');
    case 'balance':
      return phrase('balance');
    case 'option-or-balance':
      return phrase('the option or what balances it');
  }
}

/** Two digits that count. */
export function rounded(number: number): Phrase {
  return listed([Number(number.toPrecision(2))]);
}
