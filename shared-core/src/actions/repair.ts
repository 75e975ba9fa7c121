import { listed, type Phrase, phrase, say } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { finish, type Steps } from '../base/steps.js';
import { copiesApart } from '../checks/copies.js';
import { allSumsRight, leftInWords } from '../checks/sumsLeft.js';
import type { Dump } from '../model/dump.js';
import { whyNotWritable } from '../model/gate.js';
import { labelOfRow } from '../model/layout.js';
import { labelMeant, lineCalled } from '../model/lineName.js';
import { wrongTotals } from '../model/totalReading.js';
import type { AddressRange } from '../profile/profile.js';
import { freeCells, readAddressRange } from '../repair/freeCells.js';
import { rebalanceInSteps, shareOfSteps } from '../repair/rebalance.js';
import { rebalanceAtInSteps } from '../repair/rebalanceAt.js';
import { repairAllInSteps, rightSums } from '../repair/repairAll.js';
import type { Repaired } from '../repair/repaired.js';
import { balanceInWords, certaintyInWords, changeInWords } from '../repair/repairInWords.js';
import { type Change, type Consent, changeOf, type Subject, whyNoChange } from './change.js';
import { keepingConditions } from './conditions.js';
import type { SumsPlan } from './setOptions.js';

/** Makes every sum right by a plan. */
export function fix(subject: Subject, plan: SumsPlan, consent: Consent = {}): Result<Change> {
  return finish(fixInSteps(subject, plan, consent));
}

/** The same in steps. */
export function* fixInSteps(subject: Subject, plan: SumsPlan, consent: Consent = {}): Steps<Result<Change>> {
  const never = whyNoChange(subject, consent);
  if (never !== undefined) return never;
  const repair = yield* repairAllInSteps(subject.dump, plan);
  if (!repair.ok) return repair;
  const { writes } = repair.value;
  const change = keepingConditions(
    subject,
    changeOf(subject, { writes }, changeInWords(writes), consent, repair.value),
  );
  return change.ok ? done({ ...change.value, says: fixedInWords(change.value) }) : change;
}

function fixedInWords({ writes, sums, after }: Change): Phrase {
  const changed = writes.length > 0;
  const copies = copiesApart(after);
  if (allSumsRight(sums) && copies.length > 0)
    return changed
      ? phrase('All checksums corrected: {0}. Copies disagree: {1}', changeInWords(writes), listed(copies, ' '))
      : phrase('Nothing to change in the sums, and yet copies disagree: {0}', listed(copies, ' '));
  if (allSumsRight(sums))
    return changed
      ? phrase('All checksums corrected: {0}', changeInWords(writes))
      : phrase('All sums are right, nothing to change.');
  return changed
    ? phrase('{0}. Not all sums are known to be right: {1}', changeInWords(writes), leftInWords(sums))
    : phrase('Nothing to change, and yet not all sums are known to be right: {0}', leftInWords(sums));
}

/** Corrects line sums and rewrites file sums that are not kept: what an editor may do at each save, as no data changes. */
export function fixOnSave(subject: Subject): Result<Change> {
  const writes = rightSums(subject.dump);
  const says = phrase('Line sums corrected, and file sums that are not kept');
  return writes.ok ? changeOf(subject, { writes: writes.value }, says, {}) : writes;
}

/** What a person names to balance with: a line by its label or, of an image, addresses such as 1F0..1FF. */
export function placeToBalance(dump: Dump, written: string): Result<NonNullable<SumsPlan['using']>> {
  if (dump.layout.kind === 'image') {
    const range = readAddressRange(written);
    return range === undefined
      ? refuse(phrase('Addresses are written in hex: 1F0 for one, 1F0..1FF for a range.'))
      : done(range);
  }
  const row = rowNamed(dump, written);
  return row === undefined || !dump.layout.dataCount[row]
    ? refuse(phrase('There is no line {0} to balance with.', written))
    : done({ row });
}

/** The row of a label as a person writes it: as it is in the dump, or its numbers. */
function rowNamed(dump: Dump, written: string): number | undefined {
  const label = labelMeant(dump, [...new Set(dump.rows.flatMap((row) => labelOfRow(row) ?? []))], written);
  return label === undefined ? undefined : dump.layout.rowOf(label);
}

/** One way to bring the wrong totals right: what it is called, and what it does or why it cannot. */
export interface BalancePlace {
  readonly title: Phrase;
  readonly detail: Phrase;
  readonly change: Change | undefined;
}

/** More lines than this nobody reads through. */
const MOST_CHOICES = 500;

/** Every line of a dump as a place to balance with, those that can first. */
export function* balancePlaces(subject: Subject, consent: Consent = {}): Steps<Result<readonly BalancePlace[]>> {
  const { dump } = subject;
  const never = whyNotWritable(dump, consent);
  if (never !== undefined) return never;
  const wrong = wrongTotals(dump);
  if (wrong.length === 0) return refuse(phrase('All file sums that can be checked are right.'));
  const rows = Array.from(dump.layout.order).slice(0, MOST_CHOICES);
  const able: { readonly title: Phrase; readonly change: Change }[] = [];
  const unable: BalancePlace[] = [];
  for (const row of rows) {
    const title = phrase('Line {0}', lineCalled(dump, row));
    const repair = yield* rebalanceInSteps(dump, freeCells(dump, row), wrong, shareOfSteps(rows.length));
    const change = balancedBy(subject, repair, consent);
    if (change.ok) able.push({ title, change: change.value });
    else unable.push({ title, detail: change.why, change: undefined });
  }
  // What is said of all of them tells none from the others.
  const certainties = able.map(({ change: { balanced } }) => (balanced ? say(certaintyInWords(balanced)) : ''));
  const areAlike = able.length > 1 && new Set(certainties).size === 1;
  return done([
    ...able.map((one) => ({ ...one, detail: areAlike ? one.change.says : detailOf(one.change) })),
    ...unable,
  ]);
}

/** A range of addresses of a memory image as the place to balance with. */
export function* balanceAt(subject: Subject, range: AddressRange, consent: Consent = {}): Steps<Result<Change>> {
  const { dump } = subject;
  const wrong = wrongTotals(dump);
  if (wrong.length === 0) return refuse(phrase('All file sums that can be checked are right.'));
  return balancedBy(subject, yield* rebalanceAtInSteps(dump, range, wrong), consent);
}

function detailOf({ says, balanced }: Change): Phrase {
  return balanced === undefined ? says : phrase('{0} – {1}', says, certaintyInWords(balanced));
}

function balancedBy(subject: Subject, repair: Result<Repaired>, consent: Consent): Result<Change> {
  if (!repair.ok) return repair;
  const { writes } = repair.value;
  return keepingConditions(
    subject,
    changeOf(subject, { writes }, balanceInWords(subject.dump, writes), consent, repair.value),
  );
}
