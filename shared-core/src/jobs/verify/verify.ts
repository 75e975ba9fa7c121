import { type Phrase, phrase, say } from '../../base/phrase.js';
import { copiesApart } from '../../checks/copies.js';
import { uncheckedTotals } from '../../checks/sums.js';
import {
  type ByteDifference,
  type Comparison,
  compareDumps,
  type LineDifference,
  notByItself,
} from '../../compare/compareDumps.js';
import { linesInWords, unmatchedInWords, unreadInWords } from '../../compare/comparisonInWords.js';
import { whyFlawed, whyOneProfile, whyProfilesDiffer } from '../../compare/profileDoubts.js';
import type { Label } from '../../format/row.js';
import { cellKey, presentCells } from '../../model/cell.js';
import { type Dump, readBy } from '../../model/dump.js';
import { headerValue, isSealed } from '../../model/headers.js';
import { labelOfRow } from '../../model/layout.js';
import { calledLine, lineCalled } from '../../model/lineName.js';
import { whyInWork } from '../../model/readBack.js';
import { whySetAside } from '../../model/useHeader.js';
import type { Place } from '../../profile/profile.js';
import { EMPTY_PROFILE } from '../../profile/readProfile.js';
import { isSecured } from '../../profile/secured.js';
import { whyEarlier, whyRowUnclear } from '../record/laterReading.js';
import { identityUnsaid, type Others, originOf, originUnsaid } from './anotherCar.js';
import { causeOf, type Evidence, isOutsideTheWork, lineSumHolds, notWritten } from './cause.js';
import { recordsRead } from './recordsRead.js';
import { changedByThemselves, totalsWrongInPlan, wrongTotalsOf } from './sumsFollow.js';

/** A line that was read other than planned, and what probably made it so. */
export interface WrongLine {
  readonly line: LineDifference;
  readonly cause: Phrase;
}

/** What was read from a module, compared with what was to be written. */
export interface Verification {
  /** Both were read whole, and nothing differs but what changes by itself. */
  readonly matches: boolean;
  /** The plan holds what its backup holds: nothing is set that could be tried. */
  readonly isWayBack: boolean;
  /** Why what was read is probably of another vehicle, module or software level. */
  readonly foreign: Phrase | undefined;
  /** Why it may be, where it is not known to be probable; within a sentence. */
  readonly doubt: Phrase | undefined;
  readonly lines: readonly WrongLine[];
  /** Whether they have no sums of their own, and the file sum over them speaks against what was read. */
  readonly isBadlyRead: boolean;
  /** Whether lines are among them that the work does not touch. */
  readonly hasOutside: boolean;
  /** Lines that only one side has, or that cannot be read, in words. */
  readonly unmatched: readonly Phrase[];
  /** Lines in which only places differ that change by themselves, and sums that follow them. */
  readonly ignored: readonly LineDifference[];
  /** Whether a match or a difference is shown at all: both were read whole, by a profile for this module, and were compared. */
  readonly isProof: boolean;
  /** Sums that are wrong in what was read, so that it cannot be what was planned; also among `unmatched`. */
  readonly wrongSums: readonly Phrase[];
  /** Records that move and are not those of the plan; also among `unmatched`. */
  readonly otherRecords: readonly Phrase[];
  /** Sums that are wrong in the plan, whatever was read: the plan is not right; also among the caveats. */
  readonly wrongInPlan: readonly Phrase[];
  /** What is to be known even where both agree: sums that are wrong in both, and what no profile says. */
  readonly caveats: readonly Phrase[];
  readonly comparison: Comparison;
}

/**
 * Compares a read-back with the plan, volatile places aside. Both are read by the profile of the plan; `found` is the dump
 * as it was before the work, from which it shows whether a line was written at all; `others` are kept beside the plan, and
 * what was read may be one of them.
 */
export function verifyReadBack(
  plan: Dump,
  back: Dump,
  found: Dump | undefined,
  others: Others = () => [],
): Verification {
  // Without a profile in the plan, that of the read-back says what can be said; it proves nothing.
  const planned = plan.profile === EMPTY_PROFILE ? readBy(plan, back.profile) : plan;
  const read = readBy(back, planned.profile);
  const work = found === undefined ? undefined : compareDumps(found, planned);
  const comparison = withDoubts(
    withUnwritten(compareDumps(planned, read), work),
    whyAside(plan, back, found) ?? whyNoReadBack(plan, back, found) ?? whyNotOneProfile(plan, back),
  );
  const records = recordsRead(planned, read, comparison);
  const ignored = changedByThemselves(read, comparison);
  const wrong = comparison.lines.filter((line) => !ignored.includes(line));
  // Sums that the profile names by lines are not looked at in an image of them: of the same bytes those of the plan tell.
  const summed = comparison.lines.length === 0 && read.layout.kind !== planned.layout.kind ? planned : read;
  const totals = wrongTotalsOf(summed, comparison);
  const wrongSums = wrong.length === 0 ? totals.changed : [];
  const unmatched = unmatchedOf(planned, comparison);
  const hasSums = read.totals.length > 0 || read.profile.lineSum !== undefined;
  const sumsFit = hasSums && totals.changed.length + totals.asPlanned.length + read.wrongSums.length === 0;
  const { foreign, doubt } = originOf({ planned, read, found, work, sumsFit }, comparison, wrong, others);
  const isDoubted = (foreign ?? doubt) !== undefined;
  const seen = { planned, read, work, isDoubted, isBadlyRead: false };
  const isBadlyRead =
    totals.changed.length > 0 &&
    wrong.some((line) => notWritten(line, seen) === undefined) &&
    wrong.every(({ afterRow }) => lineSumHolds(read, afterRow) === undefined);
  const evidence: Evidence = { ...seen, isBadlyRead };
  const unproved = ignored.length > 0 && !holdsSteady(read) ? [NOTHING_COMPARED] : [];
  const isProof = comparison.unread.length + unproved.length === 0;
  const order = orderRead(planned, read);
  const unchecked = isProof ? sumsUnchecked(planned, summed) : [];
  const copies = copiesOf(planned, read);
  const wrongInPlan = [
    ...totals.asPlanned,
    ...lineSumsWrong(planned, summed, comparison),
    ...totalsWrongInPlan(planned, summed, comparison),
    ...lineSumsWrongInPlan(planned, comparison),
    ...copies.asPlanned,
  ];
  const matches =
    isProof &&
    wrong.length +
      unmatched.length +
      wrongSums.length +
      unchecked.length +
      records.open.length +
      order.open.length +
      copies.open.length ===
      0 &&
    foreign === undefined;
  return {
    matches,
    isWayBack: work?.identical === true,
    isProof,
    foreign,
    doubt,
    lines: wrong.map((line) => ({ line, cause: causeOf(line, evidence) })),
    isBadlyRead,
    hasOutside: wrong.some((line) => isOutsideTheWork(line, evidence)),
    unmatched: [...wrongSums, ...records.open, ...unproved, ...unmatched, ...unchecked, ...order.open, ...copies.open],
    wrongSums,
    otherRecords: records.open,
    wrongInPlan,
    caveats: [
      ...(comparison.caveat === undefined ? [] : [comparison.caveat]),
      ...records.same,
      ...order.asPlanned,
      ...wrongInPlan,
      ...identityUnsaid(planned, found, back),
      ...(matches ? originUnsaid(planned, back) : []),
    ],
    ignored,
    comparison,
  };
}

/** Whether what was read is what was planned, and that is right itself. */
export function isVerified({ matches, wrongInPlan }: Verification): boolean {
  return matches && wrongInPlan.length === 0;
}

const NOTHING_COMPARED = phrase(
  'Every byte of data changes by itself in the module, as the profile says, so nothing is left that could be compared.',
);

/** Lines that stand elsewhere than the profile says: a label may be wrong, so that the bytes are those of another line. */
function orderRead(
  planned: Dump,
  read: Dump,
): { readonly open: readonly Phrase[]; readonly asPlanned: readonly Phrase[] } {
  const labels = ({ layout, rows }: Dump) => layout.outOfOrder.flatMap((row) => labelOfRow(rows[row]) ?? []);
  const inPlan = new Set(labels(planned));
  const moved = labels(read);
  const [first] = moved;
  if (first === undefined) return { open: [], asPlanned: [] };
  if (moved.every((label) => inPlan.has(label)))
    return {
      open: [],
      asPlanned: [
        phrase(
          'Lines are out of order, as in the plan: {0}, the first is line {1}.',
          moved.length,
          calledLine(read, first),
        ),
      ],
    };
  const one = moved.find((label) => !inPlan.has(label)) ?? first;
  return {
    open: [
      phrase(
        'Line {0} is out of order in what was read ({1} in all), so its label may be wrong. Read the module once more, or put the lines in order if they were moved by hand.',
        calledLine(read, one),
        moved.length,
      ),
    ],
    asPlanned: [],
  };
}

/** Copies that differ in what was read, whatever changes by itself there; and those that do so in the plan already. */
function copiesOf(
  planned: Dump,
  read: Dump,
): { readonly open: readonly Phrase[]; readonly asPlanned: readonly Phrase[] } {
  const inPlan = new Set(copiesApart(planned).map((said) => say(said)));
  const found = copiesApart(read);
  return {
    open: found.filter((said) => !inPlan.has(say(said))),
    asPlanned: found.filter((said) => inPlan.has(say(said))),
  };
}

/** Why one of these dumps shows nothing of the module, as it says itself. */
function whyAside(plan: Dump, back: Dump, found: Dump | undefined): Phrase | undefined {
  return (
    whySetAside(phrase('The plan'), plan) ??
    whySetAside(phrase('What was read'), back) ??
    (found && whySetAside(phrase('The backup'), found))
  );
}

/** Why one of them, or when they were read, shows that this is no plan or not what was read after it was written. */
function whyNoReadBack(plan: Dump, back: Dump, found: Dump | undefined): Phrase | undefined {
  const read = { name: phrase('What was read'), dump: back };
  // A plan has the rows of what it was made from.
  const before =
    found === undefined ? { name: phrase('the plan'), dump: plan } : { name: phrase('the backup'), dump: found };
  const isReading =
    headerValue(plan, 'backup') === undefined && !isSealed(plan) && (headerValue(plan, 'taken') ?? '') !== '';
  return (
    whyInWork(read) ??
    (isReading
      ? phrase(
          'The plan says when it was read ("@taken") and names no backup, so it is a reading and no plan. Verify the dump in work.',
        )
      : undefined) ??
    whyEarlier(read, before) ??
    whyRowUnclear(read, before)
  );
}

/** Why a plan and a read-back are not read by one profile that both name. */
function whyNotOneProfile(plan: Dump, back: Dump): Phrase | undefined {
  if (plan.profile === EMPTY_PROFILE && back.profile === EMPTY_PROFILE)
    return phrase('No profile explains them, so nothing is proved. Name it in both ("@profile"), or give it.');
  // A read-back that names none is read by the profile of the plan.
  return (
    whyProfilesDiffer(plan, back) ??
    whyFlawed(back.profile) ??
    (plan.profile === EMPTY_PROFILE ? whyOneProfile(plan, back) : undefined)
  );
}

function withDoubts(comparison: Comparison, why: Phrase | undefined): Comparison {
  return why === undefined
    ? comparison
    : { ...comparison, unread: [...comparison.unread, { side: 'profile', what: 'profile', why }] };
}

/** A byte that the work changes and that was read as it was before was not written, even where it changes by itself. */
function withUnwritten(comparison: Comparison, work: Comparison | undefined): Comparison {
  if (work === undefined) return comparison;
  const before = new Map(
    work.lines.flatMap(({ label, bytes }) => bytes.map((one) => [placeOf(label, one), one.before] as const)),
  );
  const isUnwritten = (label: Label, one: ByteDifference) => {
    const place = placeOf(label, one);
    return before.has(place) && before.get(place) === one.after;
  };
  const lines = comparison.lines.map((line) => ({
    ...line,
    bytes: line.bytes.map((one) => (isUnwritten(line.label, one) ? notByItself(one) : one)),
  }));
  return { ...comparison, lines };
}

/** A byte of a line, or of an image at its address, as two comparisons call it. */
function placeOf(label: Label, { address, byte }: ByteDifference): string {
  return address === undefined ? `${label} ${byte}` : `@${address}`;
}

/** Whether any byte of data does not change by itself; locked and security bytes never do. */
function holdsSteady({ layout, profile }: Dump): boolean {
  const keys = (places: readonly { readonly place: Place }[]) =>
    places.flatMap(({ place }) => presentCells(layout, place)).map(cellKey);
  const aside = new Set(keys(profile.volatile));
  for (const key of keys([...profile.locked, ...profile.options.filter(isSecured).flatMap(({ parts }) => parts)]))
    aside.delete(key);
  return Array.from(layout.order).some((row) => {
    for (let byte = 0; byte < (layout.dataCount[row] as number); byte++)
      if (!aside.has(cellKey({ row, byte }))) return true;
    return false;
  });
}

/** Lines whose sum is wrong though they are as planned, sum and all. */
function lineSumsWrong(planned: Dump, read: Dump, { kind, lines }: Comparison): readonly Phrase[] {
  const changed = new Set(lines.map(({ afterRow }) => afterRow));
  // Images may be cut otherwise: then the sum of a record is none of the plan's.
  const inPlan = new Set(planned.wrongSums.map((row) => labelOfRow(planned.rows[row])));
  const isOfPlan = (row: number) => kind === 'lines' || inPlan.has(labelOfRow(read.rows[row]));
  const same = read.wrongSums.filter((row) => !changed.has(row) && isOfPlan(row));
  return same.length === 0
    ? []
    : [
        phrase(
          'Line sums are wrong, as in the plan: {0}, the first in line {1}.',
          same.length,
          lineCalled(read, same[0] as number),
        ),
      ];
}

/** Lines that differ and whose sum is wrong in the plan itself. */
function lineSumsWrongInPlan(planned: Dump, { lines }: Comparison): readonly Phrase[] {
  const changed = new Set(lines.map(({ beforeRow }) => beforeRow));
  const wrong = planned.wrongSums.filter((row) => changed.has(row));
  return wrong.length === 0
    ? []
    : [
        phrase(
          'Line sums are wrong in the plan: {0}, the first in line {1}.',
          wrong.length,
          lineCalled(planned, wrong[0] as number),
        ),
      ];
}

/** File sums that cannot be checked on one side or both: nobody can tell that what agrees is right. */
function sumsUnchecked(planned: Dump, read: Dump): readonly Phrase[] {
  const all = [planned, read].flatMap(uncheckedTotals);
  return [...new Map(all.map((said) => [say(said), said] as const)).values()];
}

function unmatchedOf(planned: Dump, comparison: Comparison): readonly Phrase[] {
  const { kind, onlyBefore } = comparison;
  if (kind === 'image') return unmatchedInWords(comparison, plannedOrRead);
  return [
    ...unreadInWords(comparison, plannedOrRead),
    ...onlyBefore.map((label) =>
      phrase(
        'Line {0} is missing in what was read. Read the module once more, as a whole.',
        calledLine(planned, label),
      ),
    ),
    ...linesInWords({ ...comparison, onlyBefore: [] }),
  ];
}

function plannedOrRead(side: 'before' | 'after', why: Phrase): Phrase {
  return side === 'before'
    ? phrase('The plan was not read whole: {0}', why)
    : phrase('What was read from the module is not whole: {0}', why);
}
