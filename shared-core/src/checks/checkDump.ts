import { phrase } from '../base/phrase.js';
import type { RowSpan } from '../base/span.js';
import { finish, type Steps } from '../base/steps.js';
import { isImage } from '../format/notationOf.js';
import type { Dump } from '../model/dump.js';
import { whyFlawed } from '../model/gate.js';
import { headerOf, headersOf, isSealed } from '../model/headers.js';
import { whyNotThisModule } from '../model/identity.js';
import { backupProblems, sealProblems } from './backup.js';
import { copyProblems } from './copies.js';
import type { LoadedDump, ProfileStatus } from './loadedDump.js';
import { optionProblems } from './options.js';
import { addressProblems, placeProblems } from './places.js';
import { type Problem, problem } from './problem.js';
import { slotProblems } from './slots.js';
import {
  foreignText,
  headerProblems,
  imageProblems,
  layoutProblems,
  passedProblems,
  rowProblems,
  unreadableText,
} from './structure.js';
import { lineSumProblems, totalProblems } from './sums.js';
import { formProblems, isFormUnknown } from './unknownForm.js';
import { vinProblems } from './vin.js';

/** A dump and all that it is checked with. */
export type CheckedDump = Pick<LoadedDump, 'dump' | 'profile' | 'backup' | 'modules'>;

/** Everything that is wrong with a dump, in the order of the text. */
export function checkDump(checked: CheckedDump): readonly Problem[] {
  return finish(checkInSteps(checked));
}

/** The same in steps, for images of many megabytes in which most records are wrong. */
export function* checkInSteps(checked: CheckedDump): Steps<readonly Problem[]> {
  return (yield* problemsOf(checked)).sort((a, b) => a.row - b.row || a.start - b.start);
}

function* problemsOf({ dump, profile, backup, modules }: CheckedDump): Steps<Problem[]> {
  const unreadable = unreadableText(dump) ?? foreignText(dump);
  if (unreadable !== undefined) return [unreadable];
  const place = profilePlace(dump);
  if (isFormUnknown({ dump, profile })) {
    return [
      ...(profile.kind === 'none' ? [] : profileProblems(dump, profile, place)),
      ...headerProblems(dump),
      ...formProblems({ dump, profile }),
      ...sealProblems(dump),
      ...backupProblems(dump, backup),
    ];
  }
  if (isWaiting({ dump, profile })) {
    const message = phrase('Nothing is in this file yet. Paste the lines of the dump below its headers.');
    return [
      problem('nothing-yet', place, message),
      ...moduleProblems(dump, place),
      ...headerProblems(dump),
      ...vinProblems(dump),
    ];
  }
  const lineSums = yield* lineSumProblems(dump);
  return [
    ...profileProblems(dump, profile, place),
    ...moduleProblems(dump, place),
    ...headerProblems(dump),
    ...vinProblems(dump),
    ...rowProblems(dump),
    ...passedProblems(dump),
    ...layoutProblems(dump),
    ...imageProblems(dump),
    ...addressProblems(dump),
    ...placeProblems(dump, place),
    ...copyProblems(dump),
    ...slotProblems(dump, place),
    ...lineSums,
    ...totalProblems(dump, place),
    ...optionProblems(dump, modules),
    ...sealProblems(dump),
    ...backupProblems(dump, backup),
  ];
}

/** Whether a file is made and named and has no line yet, so that all of its lines are missing. A sealed one had lines once. */
function isWaiting({ dump, profile }: Pick<CheckedDump, 'dump' | 'profile'>): boolean {
  const { rows, notation, headers } = dump;
  return (
    profile.kind === 'read' &&
    dump.profile.flaw === undefined &&
    !isImage(notation) &&
    !isSealed(dump) &&
    headerOf(dump, 'backup') === undefined &&
    headers.length > 0 &&
    rows.every(({ kind }) => kind === 'blank' || kind === 'header')
  );
}

/** Where a dump names its profile, or its first line that is not blank. */
function profilePlace(dump: Dump): RowSpan {
  const header = headerOf(dump, 'profile');
  return header ? { row: header.row, ...header.header.valueSpan } : firstPlace(dump);
}

function profileProblems(dump: Dump, profile: ProfileStatus, place: RowSpan): Problem[] {
  // Records of a memory image are checked by their own sums, with or without a profile.
  if (profile.kind === 'none' && dump.layout.kind === 'image') return [];
  if (profile.kind === 'none') {
    // A header without a value is marked as that already.
    if (headersOf(dump).some(({ header: { name } }) => name === 'profile')) return [];
    const message = dump.rows.every(({ kind }) => kind === 'blank')
      ? phrase('This file is empty. Paste the lines of a dump, or start one with "@profile" and the name of a profile.')
      : phrase(
          'No profile explains this dump, so its sums and options are not checked. Add a line "@profile NAME.dump-profile.json", or run "Work Out the Checksum Rule".',
        );
    return [problem('no-profile', place, message)];
  }
  if (profile.kind === 'unreadable')
    return [problem(profile.isStale ? 'profile-stale' : 'profile-unreadable', place, profile.why)];
  const { flaw } = dump.profile;
  return flaw === undefined ? [] : [problem('profile-invalid', place, whyFlawed(flaw))];
}

/** Whether the profile is for the module that the dump says it is of. */
function moduleProblems(dump: Dump, place: RowSpan): Problem[] {
  const misfit = whyNotThisModule(dump);
  if (misfit === undefined) return [];
  const at = misfit.at === undefined ? place : { row: misfit.at.row, ...misfit.at.header.valueSpan };
  return [problem(misfit.kind === 'other' ? 'profile-other-module' : 'profile-unconfirmed', at, misfit.why)];
}

function firstPlace({ rows, notation }: Dump): RowSpan {
  // Of an image that was read in one pass, sound rows are not at hand.
  if (isImage(notation)) return { row: 0, start: 0, end: 0 };
  const row = Math.max(
    0,
    rows.findIndex(({ kind }) => kind !== 'blank'),
  );
  return { row, start: 0, end: Math.min(120, rows[row]?.text.trimEnd().length ?? 0) };
}
