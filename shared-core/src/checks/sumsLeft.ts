import { listed, type Phrase, phrase } from '../base/phrase.js';
import { sumBytesOf } from '../format/imageForm.js';
import type { Dump } from '../model/dump.js';
import { whyFlawed } from '../model/gate.js';
import { lineCalled } from '../model/lineName.js';
import { whyNotWhole } from '../model/whole.js';
import type { LoadedDump, ProfileStatus } from './loadedDump.js';
import { whyNoLinesHere } from './places.js';
import { totalProblems } from './sums.js';

/** What keeps anyone from saying that all sums of a dump are right; nothing at all where they are. */
export interface SumsLeft {
  /** Sums that are wrong or that nobody can tell, and what of the dump was not read. */
  readonly left: readonly Phrase[];
  /** What was not checked because nothing says how. */
  readonly unchecked: readonly Phrase[];
}

type Checked = Pick<LoadedDump, 'dump' | 'profile'>;

/** What is wrong or cannot be told of the sums of a dump: the only ground on which anyone may call all of them right. */
export function sumsLeft({ dump, profile }: Checked): SumsLeft {
  return {
    left: [
      ...profileDoubts(dump, profile),
      // Of a total that is missing, the totals themselves say more.
      ...whyNotWhole(dump).flatMap(({ what, why }) => (what === 'total' ? [] : phrase('Not whole: {0}', why))),
      ...wrongLineSums(dump),
      ...totalProblems(dump, { row: 0, start: 0, end: 0 }).map(({ message }) => message),
    ],
    unchecked: uncheckedSums({ dump, profile }),
  };
}

/** Why the profile does not explain all sums of a dump, whether they are right or not; nothing where it does. */
export function sumsUnderstood({ dump, profile }: Checked): readonly Phrase[] {
  return [...profileDoubts(dump, profile), ...uncheckedSums({ dump, profile })];
}

/** Whether every sum of a dump was checked and is right. */
export function allSumsRight({ left, unchecked }: SumsLeft): boolean {
  return left.length + unchecked.length === 0;
}

/** What is left of the sums, one sentence after the other. */
export function leftInWords({ left, unchecked }: SumsLeft): Phrase {
  return listed([...left, ...unchecked], ' ');
}

function profileDoubts(dump: Dump, profile: ProfileStatus): readonly Phrase[] {
  if (profile.kind === 'unreadable') return [profile.why];
  const { flaw } = dump.profile;
  const misfit = whyNoLinesHere(dump);
  return [...(flaw === undefined ? [] : [whyFlawed(flaw)]), ...(misfit === undefined ? [] : [misfit])];
}

function wrongLineSums(dump: Dump): readonly Phrase[] {
  const [row] = dump.wrongSums;
  if (row === undefined) return [];
  return [phrase('The sum of line {0} is wrong ({1} in all).', lineCalled(dump, row), dump.wrongSums.length)];
}

/** Which sums, and which lines they would cover, nothing describes. */
export function uncheckedSums({ dump, profile }: Checked): readonly Phrase[] {
  // What is wrong with the profile is a problem of its own.
  if (profile.kind === 'unreadable') return [];
  const records = sumBytesOf(dump.notation) > 0;
  if (profile.kind === 'none') {
    return records
      ? [phrase('no profile explains it, so the sums of its records were checked, and no file sum.')]
      : [phrase('no profile explains it, so no sum was checked.')];
  }
  const { geometry, lineSum, totals } = dump.profile;
  const hasLineSums = lineSum !== undefined || records;
  return [
    ...(geometry === undefined
      ? [phrase('its profile does not say which lines or addresses there are, so a missing one would not be noticed.')]
      : []),
    ...(geometry?.kind === 'lines' && geometry.stretches.some(({ sum }) => sum > 0) && !hasLineSums
      ? [phrase('its profile does not say how its lines are summed, so no line sum was checked.')]
      : []),
    ...(totals.length > 0 || lineSum !== undefined
      ? []
      : records
        ? [phrase('its profile describes no file sum, so only the sums of its records were checked.')]
        : [phrase('its profile describes no sum, so none was checked.')]),
  ];
}
