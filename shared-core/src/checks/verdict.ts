import { listed, type Phrase, phrase, say } from '../base/phrase.js';
import { rowsInWords } from '../base/rowsInWords.js';
import { accountInWords, accountOf, unreadRows } from '../model/account.js';
import type { Dump } from '../model/dump.js';
import { holdsRecords } from '../model/whole.js';
import { rangeInHex } from '../profile/places.js';
import type { Profile } from '../profile/profile.js';
import type { CheckedDump } from './checkDump.js';
import { unseenConditions } from './conditions.js';
import type { OtherModules } from './otherModules.js';
import type { Problem } from './problem.js';
import { uncheckedSums } from './sumsLeft.js';

/** What the check of a dump came to. */
export interface Verdict {
  /** Not one record with data was read, so that nothing is known of the dump. */
  readonly isUnread: boolean;
  /** Why the file cannot be read, where it cannot. */
  readonly why?: Phrase;
  readonly errors: number;
  readonly warnings: number;
  /** There are data of which its profile says nothing, so that not all of the dump was checked. */
  readonly isPartial: boolean;
  /** What was not checked because nothing says how, in a sentence each. */
  readonly unchecked: readonly Phrase[];
  /** What it was checked by that is only a guess, in a sentence each: it is right, if the guess is. */
  readonly guessed: readonly Phrase[];
}

export function verdictOf(checked: CheckedDump, problems: readonly Problem[]): Verdict {
  const isUnread = !holdsRecords(checked.dump);
  return {
    isUnread,
    errors: problems.filter(({ severity }) => severity === 'error').length,
    warnings: problems.filter(({ severity }) => severity === 'warning').length,
    isPartial: checked.dump.layout.beyond.length > 0,
    unchecked: isUnread ? [] : uncheckedIn(checked),
    guessed: isUnread ? [] : guessedIn(checked.dump.profile),
  };
}

/** Whether all of a dump was read and checked, and nothing is wrong with it. */
export function isGood({ isUnread, errors, warnings, unchecked }: Verdict): boolean {
  return !isUnread && errors + warnings + unchecked.length === 0;
}

function guessedIn({ lineSum, totals }: Profile): readonly Phrase[] {
  const files = totals.filter(({ confidence }) => confidence === 'guess');
  return [
    ...(lineSum?.confidence === 'guess'
      ? [phrase('how its lines are summed is only a guess: dumps with other data show whether it is right.')]
      : []),
    ...(files.length > 0
      ? [
          phrase(
            'only a guess: {0}. A dump of another car, with another value, confirms it.',
            listed(files.map(({ name }) => name)),
          ),
        ]
      : []),
  ];
}

function uncheckedIn({ dump, profile, modules }: CheckedDump): readonly Phrase[] {
  return [
    ...uncheckedByItself({ dump, profile }),
    ...(profile.kind === 'read' ? conditionsNotSeen(dump, modules) : []),
  ];
}

/** What was not checked of a dump by its profile alone. */
export function uncheckedByItself({ dump, profile }: Pick<CheckedDump, 'dump' | 'profile'>): readonly Phrase[] {
  return [
    ...linesNotRead(dump),
    ...(profile.kind === 'unreadable' && profile.isStale ? [STALE] : []),
    ...uncheckedSums({ dump, profile }),
    ...addressesBeyond(dump),
  ];
}

const STALE = phrase(
  'its profile cannot be read as it is now, so its last good version is shown and nothing counts as checked.',
);

/** What was and was not read, where lines with hex digits were not. */
function linesNotRead(dump: Dump): readonly Phrase[] {
  const rows = unreadRows(dump);
  if (rows.length === 0) return [];
  return [phrase('{0} (rows {1}).', accountInWords(accountOf(dump)), rowsInWords(rows))];
}

/** Data at addresses that the profile says nothing of. */
function addressesBeyond({ layout: { beyond } }: Dump): readonly Phrase[] {
  const [first] = beyond;
  if (first === undefined) return [];
  return [
    phrase(
      'its profile says nothing of the data at {0} (stretches in all: {1}), so they were not checked.',
      rangeInHex(first),
      beyond.length,
    ),
  ];
}

/** Conditions of chosen options of which nobody can tell whether they are kept; of a module without a dump, once for all. */
function conditionsNotSeen(dump: Dump, modules: OtherModules): readonly Phrase[] {
  const unseen = unseenConditions(dump, modules);
  const absent = new Set(unseen.flatMap((one) => one.absent ?? []));
  return [
    ...[...absent].map((path) =>
      phrase('no dump of the module of {0} is at hand, so what its options ask of that module was not checked.', path),
    ),
    ...unseen.filter((one) => one.absent === undefined).map(({ why }) => why),
  ];
}

/** A verdict under the name of its file. */
export interface NamedVerdict {
  readonly name: string;
  readonly verdict: Verdict;
}

/** What a check came to of a file that cannot be read. */
export function verdictOfUnreadable(why: Phrase): Verdict {
  return { isUnread: true, why, isPartial: false, errors: 0, warnings: 0, unchecked: [], guessed: [] };
}

/** The status in which a check of some dumps ends: 0 no problem, 1 problems or data unchecked, 2 a dump of which nothing could be read. */
export function statusOf(verdicts: readonly NamedVerdict[]): 0 | 1 | 2 {
  if (verdicts.some(({ verdict }) => verdict.isUnread)) return 2;
  return verdicts.some(({ verdict: { errors, warnings, isPartial } }) => isPartial || errors + warnings > 0) ? 1 : 0;
}

/** What a check of some dumps came to, in a few sentences: "all good" only where everything was checked. */
export function summaryOf(verdicts: readonly NamedVerdict[]): readonly Phrase[] {
  if (verdicts.every(({ verdict }) => isGood(verdict) && verdict.guessed.length === 0))
    return [phrase('Files checked: {0}, all good', verdicts.length)];
  const sum = (of: (verdict: Verdict) => number) => verdicts.reduce((all, { verdict }) => all + of(verdict), 0);
  const [errors, warnings] = [sum((one) => one.errors), sum((one) => one.warnings)];
  const unread = verdicts.filter(({ verdict }) => verdict.isUnread);
  return [
    ...unread.map(unreadInWords),
    ...uncheckedInWords(verdicts),
    ...(errors + warnings > 0
      ? [phrase('Errors: {0}, warnings: {1}', errors, warnings)]
      : unread.length < verdicts.length
        ? [phrase('Files checked: {0}, no problem found in what was checked', verdicts.length - unread.length)]
        : []),
  ];
}

/** Why nothing of a file was checked. */
export function unreadInWords({ name, verdict: { why } }: NamedVerdict): Phrase {
  return why ?? phrase('{0}: it holds no data that can be read, so nothing was checked.', name);
}

/** What was not checked and what is only a guess, once for all files of which the same is true. */
function uncheckedInWords(verdicts: readonly NamedVerdict[]): readonly Phrase[] {
  const byWords = new Map<string, { readonly what: Phrase; readonly names: string[] }>();
  for (const { name, verdict } of verdicts) {
    for (const what of [...verdict.unchecked, ...verdict.guessed]) {
      const group = byWords.get(say(what)) ?? { what, names: [] };
      byWords.set(say(what), group);
      group.names.push(name);
    }
  }
  return [...byWords.values()].map(({ what, names }) =>
    names.length === 1
      ? phrase('{0}: {1}', names[0] ?? '', what)
      : phrase('{0} and others ({1} in all): {2}', names[0] ?? '', names.length, what),
  );
}

/** The verdict on a profile or a retrofit, which is read as a whole or has a problem. */
export function verdictOfText(problems: readonly Pick<Problem, 'severity'>[]): Verdict {
  const count = (severity: Problem['severity']) => problems.filter((problem) => problem.severity === severity).length;
  return {
    isUnread: false,
    errors: count('error'),
    warnings: count('warning'),
    isPartial: false,
    unchecked: [],
    guessed: [],
  };
}
