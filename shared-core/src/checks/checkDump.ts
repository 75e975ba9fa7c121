import { type Phrase, phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { headerOf, headersOf } from '../model/headers.js';
import { type BackupStatus, backupProblems, sealProblems } from './backup.js';
import { optionProblems } from './options.js';
import type { OtherModules } from './otherModules.js';
import type { Problem } from './problem.js';
import {
  foreignText,
  headerProblems,
  imageProblems,
  layoutProblems,
  missingTotals,
  rowProblems,
  unreadableText,
} from './structure.js';
import { lineSumProblems, totalProblems } from './sums.js';
import { vinProblems } from './vin.js';

/** What became of the profile that a dump names. */
export type ProfileStatus =
  /** No header names one, and none was given. */
  | { readonly kind: 'none' }
  | { readonly kind: 'unreadable'; readonly why: Phrase }
  /** Read; `wrong` says what the first of its problems is, where it has any. */
  | { readonly kind: 'read'; readonly wrong: Phrase | undefined; readonly problems: number };

/** More marks than these help nobody and cost time in every editor. */
const MOST_PROBLEMS = 1000;

/** Everything that is wrong with a dump, in the order of the text. */
export function checkDump(
  dump: Dump,
  profile: ProfileStatus,
  backup: BackupStatus,
  modules: OtherModules = () => [],
): readonly Problem[] {
  const unreadable = unreadableText(dump) ?? foreignText(dump);
  if (unreadable !== undefined) return [unreadable];
  const problems = [
    ...profileProblems(dump, profile),
    ...headerProblems(dump),
    ...vinProblems(dump),
    ...rowProblems(dump),
    ...layoutProblems(dump),
    ...imageProblems(dump),
    ...lineSumProblems(dump, MOST_PROBLEMS),
    ...missingTotals(dump),
    ...totalProblems(dump),
    ...optionProblems(dump, modules),
    ...sealProblems(dump),
    ...backupProblems(dump, backup),
  ].sort((a, b) => a.row - b.row || a.start - b.start);
  const more = Math.max(0, dump.wrongSums.length - MOST_PROBLEMS);
  return problems.length + more > MOST_PROBLEMS ? cut(problems, problems.length + more) : problems;
}

function cut(problems: readonly Problem[], count: number): readonly Problem[] {
  const [first] = problems as [Problem];
  const { row, start, end } = first;
  const message = phrase('{0} problems in this file; the first {1} are shown.', count, MOST_PROBLEMS);
  return [
    { row, start, end, code: 'more-problems', severity: 'information', message },
    ...problems.slice(0, MOST_PROBLEMS),
  ];
}

function profileProblems(dump: Dump, profile: ProfileStatus): Problem[] {
  // Records of a memory image are checked by their own sums, with or without a profile.
  if (profile.kind === 'none' && dump.layout.kind === 'image') return [];
  const header = headerOf(dump, 'profile');
  const place = header ? { row: header.row, ...header.header.valueSpan } : firstPlace(dump);
  if (profile.kind === 'none') {
    // A header that lacks its value is marked as that already.
    if (headersOf(dump).some(({ header: { name } }) => name === 'profile')) return [];
    if (dump.rows.every(({ kind }) => kind === 'blank')) {
      const message = phrase(
        'This file is empty. Paste the lines of a dump, or start one with "@profile" and the name of a profile.',
      );
      return [{ ...place, code: 'no-profile', severity: 'information', message }];
    }
    const message = phrase(
      'No profile explains this dump, so its sums and options are not checked. Add a line "@profile NAME.dump-profile.json", or run "Learn How a Dump Sums".',
    );
    return [{ ...place, code: 'no-profile', severity: 'information', message }];
  }
  if (profile.kind === 'unreadable')
    return [{ ...place, code: 'profile-unreadable', severity: 'error', message: profile.why }];
  if (profile.wrong === undefined) return [];
  const message = phrase(
    'The profile has problems ({0}); what it says there is left out. First: {1}',
    profile.problems,
    profile.wrong,
  );
  return [{ ...place, code: 'profile-invalid', severity: 'error', message }];
}

function firstPlace({ rows }: Dump): { row: number; start: number; end: number } {
  const row = Math.max(
    0,
    rows.findIndex(({ kind }) => kind !== 'blank'),
  );
  return { row, start: 0, end: Math.min(120, rows[row]?.text.trimEnd().length ?? 0) };
}
