import { listed, type Phrase, phrase } from '../../base/phrase.js';
import type { Problem } from '../../checks/problem.js';
import { mostUrgent } from '../../checks/shownProblems.js';
import type { Comparison } from '../../compare/compareDumps.js';
import { unmatchedInWords } from '../../compare/comparisonInWords.js';
import { guardedInWords } from '../../compare/guarded.js';
import { notAsAsked } from '../fitting.js';
import type { CardInput, CardModule, NamedDump } from './input.js';

/** More of one file than these are a matter for its own list of problems. */
const MOST_PROBLEMS = 5;

/** Why the planned dumps must not be written yet, or do something else than the retrofit asks. */
export function openMatters({ modules, retrofit }: CardInput, comparisons: readonly Comparison[]): readonly Phrase[] {
  const given = new Set(modules.map(({ change }) => change));
  const lacking = (retrofit?.changes ?? []).filter((change) => !given.has(change));
  return [
    ...modules.flatMap((module, index) => mattersOf(module, comparisons[index] as Comparison)),
    ...lacking.map(({ profile }) =>
      phrase('The retrofit also changes the module of {0}, but no dumps of it were given.', profile),
    ),
  ];
}

/** The same of one module. */
export function mattersOf(module: CardModule, comparison: Comparison): readonly Phrase[] {
  const { before, after, isWayBack } = module;
  const unexplained = comparison.lines.filter(({ bytes }) => bytes.some(({ reason }) => reason === 'unexplained'));
  return [
    ...guardedInWords(comparison.guarded).map((said) => phrase('{0}: {1}', after.name, said)),
    // What was open in the dump as found, the work may just put right.
    // Whatever was read last, what the backup holds may be written.
    ...(isWayBack ? [] : errorsOf(before)),
    ...errorsOf(after),
    ...warningsOf(after),
    ...after.unchecked.map((said) => phrase('{0}: {1}', after.name, said)),
    ...unmatchedInWords(comparison).map((said) => phrase('{0}: {1}', after.name, said)),
    ...(unexplained.length === 0 || isWayBack
      ? []
      : [
          phrase(
            '{0}: nothing in the profile explains the change of line {1}.',
            after.name,
            listed(unexplained.map(({ called }) => called)),
          ),
        ]),
    ...(comparison.identical ? [phrase('{0}: nothing is changed.', after.name)] : []),
    ...againstRetrofit(module, comparison),
  ];
}

function errorsOf({ name, problems }: NamedDump): readonly Phrase[] {
  const errors = problems.filter(({ severity }) => severity === 'error');
  const more = errors.length - MOST_PROBLEMS;
  return [...listOf(name, errors), ...(more > 0 ? [phrase('{0}: {1} more errors.', name, more)] : [])];
}

function warningsOf({ name, problems }: NamedDump): readonly Phrase[] {
  const warnings = problems.filter(({ severity }) => severity === 'warning');
  const more = warnings.length - MOST_PROBLEMS;
  return [...listOf(name, warnings), ...(more > 0 ? [phrase('{0}: {1} more warnings.', name, more)] : [])];
}

function listOf(name: string, problems: readonly Problem[]): readonly Phrase[] {
  return mostUrgent(problems, MOST_PROBLEMS).map(({ message }) => phrase('{0}: {1}', name, message));
}

/** Where the planned dump does not hold what the retrofit asks for, or has options changed that it does not name. */
export function againstRetrofit({ change, after }: CardModule, { options }: Comparison): readonly Phrase[] {
  if (change === undefined) return [];
  const asked = new Set(change.set.map(({ option }) => option));
  const more = options.filter(({ option }) => !asked.has(option.id));
  return [
    ...notAsAsked(change, after),
    ...more.map(({ option }) =>
      phrase('{0}: {1} is changed too, which the retrofit does not ask for.', after.name, option.title),
    ),
  ];
}
