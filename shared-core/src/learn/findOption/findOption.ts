import { listed, type Phrase, phrase } from '../../base/phrase.js';
import { finish, type Steps } from '../../base/steps.js';
import { KIND, otherIdentity, twoInWords } from '../../model/identity.js';
import { EMPTY_PROFILE } from '../../profile/readProfile.js';
import { groupSaid } from '../../profile/searchEvidence.js';
import { mixed } from '../hash.js';
import { oddsWithFigures } from '../odds.js';
import { lowestP } from '../statistics/fisher.js';
import type { LabelledDump } from './labelledDump.js';
import { type Matrix, matrixSteps } from './matrix.js';
import { type NextDump, nextDump } from './nextDump.js';
import { valueAt } from './partitions.js';
import { type OptionCandidate, rankSteps } from './rank.js';
import { furtherSaid, MOST_SAID, namesOf } from './vehicles.js';

export interface OptionSearch {
  readonly groups: readonly string[];
  /** The dumps that were compared; candidates speak of them by number. */
  readonly matrix: Matrix;
  /** Best first. */
  readonly candidates: readonly OptionCandidate[];
  /** In how many different ways the dumps fall apart; q allows for all of them. */
  readonly tried: number;
  /** For each column of the matrix the lowest q of the places in that byte; undefined where its bytes are all alike. */
  readonly rates: readonly (number | undefined)[];
  /** For each column whether one of the places in that byte fits all dumps. */
  readonly fits: readonly boolean[];
  /** What the user should know of these dumps: mixed shapes, contradictions, too few. */
  readonly remarks: readonly Phrase[];
  readonly next: NextDump | undefined;
}

/** A place is called found from this q on: one in twenty such places is expected to be a false one. */
export const FOUND = 0.05;

/**
 * Finds the places that tell dumps with some equipment from dumps without it, or several trim levels from each other.
 * `groups` names the groups; dumps without a group are asked about in `next`. Never fails: what stands in the way of an
 * answer is said in the remarks.
 */
export function findOption(dumps: readonly LabelledDump[], groups: readonly string[]): OptionSearch {
  return finish(findOptionSteps(dumps, groups));
}

export function* findOptionSteps(dumps: readonly LabelledDump[], groups: readonly string[]): Steps<OptionSearch> {
  const matrix = yield* matrixSteps(dumps);
  const { candidates: ranked, tried, rates, fits } = yield* rankSteps(matrix, groups.length);
  const sizes = groups.map((_, group) => matrix.dumps.filter((dump) => dump.group === group).length);
  const oneGroup = sizes.filter((size) => size > 0).length < 2;
  // Of one group every place is as good as any other: none is a candidate.
  const candidates = oneGroup ? [] : ranked;
  const remarks = [
    ...leftOut(matrix),
    ...mixedKinds(matrix),
    ...(yield* contradictions(matrix)),
    ...contradictedByFurther(matrix, candidates[0]),
    ...(oneGroup
      ? [phrase('Two groups of dumps are needed: some with the equipment and some without it.')]
      : tried === 0
        ? [
            phrase(
              'All dumps hold the same bytes, sums and volatile places aside: nothing in them tells these cars apart.',
            ),
          ]
        : [...(candidates.length === 0 ? [NOT_APART] : []), ...tooFew(groups, sizes, tried)]),
  ];
  return { groups, matrix, candidates, tried, rates, fits, remarks, next: nextDump(matrix, candidates, groups.length) };
}

const NOT_APART = phrase('No place tells the groups apart: whatever varies is as frequent in the one as in the other.');

/** Dumps of cars that count already and hold in the best place what marks another group. */
function contradictedByFurther({ further, furtherColumns }: Matrix, best: OptionCandidate | undefined): Phrase[] {
  if (best === undefined) return [];
  const contrary = further.filter(({ group }, at) => {
    const value = valueAt({ columns: furtherColumns }, best.place, at);
    return best.values.some((values, other) => other !== group && values.includes(value));
  });
  return contrary.length === 0
    ? []
    : [
        phrase(
          'The best place does not fit every dump that was left out: {0} holds there what marks another group. Either the car was changed in between, or a label is wrong.',
          namesOf(contrary),
        ),
      ];
}

/** What differs between the modules that are compared looks like the equipment, too. */
function mixedKinds({ dumps }: Matrix): Phrase[] {
  const [first, ...more] = dumps;
  for (const { name, dump } of more) {
    const other = first && otherIdentity(first.dump, dump, KIND);
    if (first === undefined || other === undefined) continue;
    const [header, here, there] = other;
    return [
      phrase(
        '{0} and {1} are of {2}: "@{3}" is "{4}" in the first and "{5}" in the second. What tells these apart looks like the equipment too: compare dumps of one part and software level.',
        ...[first.name, name, twoInWords(header), header, here, there],
      ),
    ];
  }
  return [];
}

/** Whether all that was compared is of one part, software level and module, as far as the dumps say it. */
export function isOfOneKind({ matrix }: Pick<OptionSearch, 'matrix'>): boolean {
  return mixedKinds(matrix).length === 0;
}

function leftOut({ others: all, further, unreadable, dumps }: Matrix): Phrase[] {
  const said: Phrase[] = [...furtherSaid(further)];
  const isBare = ({ dump }: LabelledDump) => dump.profile === EMPTY_PROFILE;
  const bare = dumps.some(isBare) ? [] : all.filter(isBare);
  const others = all.filter((one) => !bare.includes(one));
  if (bare.length > 0)
    said.push(
      phrase(
        'Dumps that name no profile, as the {0} that were compared do, were left out: {1}. Name it in them.',
        dumps.length,
        namesOf(bare),
      ),
    );
  if (others.length > 0) {
    said.push(
      others.length === 1
        ? phrase(
            '1 dump has other lines than the {0} that were compared, and was left out: {1}.',
            dumps.length,
            namesOf(others),
          )
        : phrase(
            '{0} dumps have other lines than the {1} that were compared, and were left out: {2}.',
            others.length,
            dumps.length,
            namesOf(others),
          ),
    );
  }
  if (unreadable.length > 0) {
    said.push(
      unreadable.length === 1
        ? phrase('1 dump has lines that cannot be read, and was left out: {0}.', namesOf(unreadable))
        : phrase(
            '{0} dumps have lines that cannot be read, and were left out: {1}.',
            unreadable.length,
            namesOf(unreadable),
          ),
    );
  }
  return said;
}

/** Dumps that hold the same bytes and are in different groups: one of the labels is wrong, or the option lies elsewhere. */
function* contradictions({ columns, dumps }: Matrix): Steps<Phrase[]> {
  const hashes = new Int32Array(dumps.length);
  for (const column of columns) {
    yield;
    for (let dump = 0; dump < hashes.length; dump++)
      hashes[dump] = mixed(hashes[dump] as number, column[dump] as number);
  }
  const areAlike = (one: number, other: number) => columns.every((column) => column[one] === column[other]);
  const first = new Map<number, number[]>();
  const said: Phrase[] = [];
  for (const [dump, { group, name }] of dumps.entries()) {
    yield;
    if (group === undefined) continue;
    const known = first.get(hashes[dump] as number) ?? [];
    const twin = known.find((one) => areAlike(one, dump));
    if (twin === undefined) first.set(hashes[dump] as number, [...known, dump]);
    else if (dumps[twin]?.group !== group && said.length < MOST_SAID) {
      said.push(
        phrase(
          '{0} and {1} hold the same bytes but are in different groups: one of the labels is wrong, or the equipment is set in another module.',
          dumps[twin]?.name ?? '',
          name,
        ),
      );
    }
  }
  return said;
}

/** Says what these numbers of dumps can never show, and how many would do. */
function tooFew(groups: readonly string[], sizes: readonly number[], tried: number): Phrase[] {
  // Of several groups, one against all others is the best that a bit can do.
  const all = sizes.reduce((sum, size) => sum + size, 0);
  const best = Math.min(...sizes.map((size) => lowestP(size, all - size)));
  if (best * tried <= FOUND) return [];
  let enough = 2;
  while (enough < 64 && lowestP(enough, enough) * tried > FOUND) enough++;
  const counts = listed(sizes.map((size, group) => phrase('{0} {1}', size, groupSaid(groups[group] ?? ''))));
  return [
    best > FOUND
      ? phrase(
          'Too few dumps for any answer ({0}). Even a place that fits all of them says little: {1}. {2} dumps of each would be enough. Different patterns among the bits that vary: {3}; the more there are, the sooner one fits by chance.',
          counts,
          oddsWithFigures(best),
          enough,
          tried,
        )
      : phrase(
          'Too few dumps to be sure ({0}). One place that fits all of them would be good evidence ({1}), but chance alone gives such a place too easily: the bits that vary show many different patterns ({2}). {3} dumps of each would be enough.',
          counts,
          oddsWithFigures(best),
          tried,
          enough,
        ),
  ];
}
