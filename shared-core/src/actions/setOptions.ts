import { listed, type Phrase, phrase } from '../base/phrase.js';
import { done, type Result } from '../base/result.js';
import { finish, type Steps } from '../base/steps.js';
import { backupDump } from '../checks/backup.js';
import { allSumsRight, leftInWords } from '../checks/sumsLeft.js';
import type { Dump } from '../model/dump.js';
import { changedOptions, shownValue } from '../model/optionReading.js';
import { doubtOf } from '../options/doubt.js';
import type { RepairPlan } from '../repair/repairAll.js';
import { changeInWords } from '../repair/repairInWords.js';
import { type Change, type Consent, changeOf, type Subject, whyNoChange } from './change.js';
import { refuseUnmet, refuseUnneeded, unmetAfter, unmetOfOthers } from './conditions.js';
import { type OptionWish, type Setting, settingsOf, unlikeWished, writesFor } from './settings.js';

/** How the sums are kept right; balance bytes are counted from the dump's own backup. */
export type SumsPlan = Omit<RepairPlan, 'backup' | 'fixed'>;

const KEEP: SumsPlan = { totals: 'keep' };

/**
 * Sets options and keeps every sum right, all or none. Refused are values that the profile does not know, places that no
 * command changes, conditions that would not be met, and changes in which an option would not hold what was wished.
 */
export function setOptions(
  subject: Subject,
  wishes: readonly OptionWish[],
  consent: Consent = {},
  plan: SumsPlan = KEEP,
): Result<Change> {
  return finish(setOptionsInSteps(subject, wishes, consent, plan));
}

/** The same in steps. */
export function* setOptionsInSteps(
  subject: Subject,
  wishes: readonly OptionWish[],
  consent: Consent = {},
  plan: SumsPlan = KEEP,
): Steps<Result<Change>> {
  const change = yield* changeByOptions(subject, wishes, consent, plan);
  if (!change.ok) return change;
  const { dump, modules } = subject;
  const { after } = change.value;
  const asked = wishes.map(({ id }) => id);
  const unmet = [...unmetAfter({ dump, modules }, { dump: after, modules }, asked), ...unmetOfOthers(subject, after)];
  const refused = refuseUnmet(unmet, consent.despite) ?? refuseUnneeded(unmet, consent);
  return refused ?? done(withDoubts(change.value, dump));
}

/** A change with what to know of options that are only a guess: other bytes may be what a person means. */
function withDoubts(change: Change, before: Dump): Change {
  const guessed = changedOptions(before, change.after).filter(({ confidence }) => confidence === 'guess');
  if (guessed.length === 0) return change;
  const short = phrase('⚠ {0}: only a guess', listed(guessed.map(({ title }) => title)));
  return {
    ...change,
    cautions: [...guessed.flatMap((option) => doubtOf(option) ?? []), ...change.cautions],
    inShort: change.inShort === undefined ? short : listed([short, change.inShort], ' '),
  };
}

/** The same without a look at conditions, for plans over several modules that meet each other's. */
export function* changeByOptions(
  subject: Subject,
  wishes: readonly OptionWish[],
  consent: Consent,
  plan: SumsPlan = KEEP,
): Steps<Result<Change>> {
  const never = whyNoChange(subject, consent);
  if (never !== undefined) return never;
  const { dump, backup } = subject;
  const settings = settingsOf(dump, wishes);
  if (!settings.ok) return settings;
  const repair = yield* writesFor(dump, settings.value, { ...plan, backup: backupDump(dump, backup) });
  if (!repair.ok) return repair;
  const { writes } = repair.value;
  const set = listed(settings.value.map(settingInWords));
  const change = changeOf(subject, { writes }, set, consent, repair.value);
  if (!change.ok) return change;
  return (
    unlikeWished(change.value.after, settings.value) ??
    done({ ...change.value, says: phrase('{0}: {1}', set, doneInWords(change.value)) })
  );
}

function settingInWords({ option, raw }: Setting): Phrase {
  return phrase('{0} becomes {1}', option.title, shownValue(option, raw));
}

function doneInWords({ writes, sums }: Change): Phrase {
  const what = writes.length === 0 ? phrase('already set this way') : changeInWords(writes);
  if (!allSumsRight(sums)) return phrase('{0}. Not all sums are known to be right: {1}', what, leftInWords(sums));
  return writes.length === 0 ? what : phrase('{0}, all sums kept right', what);
}
