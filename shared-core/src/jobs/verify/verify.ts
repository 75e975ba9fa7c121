import { type Phrase, phrase } from '../../base/phrase.js';
import { type ByteDifference, type Comparison, compareDumps, type LineDifference } from '../../compare/compareDumps.js';
import { linesInWords, unmatchedInWords, unreadInWords } from '../../compare/comparisonInWords.js';
import { labelText } from '../../format/dumpText.js';
import { type Dump, readBy } from '../../model/dump.js';
import { otherIdentity } from '../../model/identity.js';
import { bytesOfPlace } from '../../model/protected.js';
import { readTotal } from '../../model/totalReading.js';
import { causeOf, type Evidence, lineSumHolds } from './cause.js';

/** A line that was read other than planned, and what probably made it so. */
export interface WrongLine {
  readonly line: LineDifference;
  readonly cause: Phrase;
}

/** What was read from a module, compared with what was to be written. */
export interface Verification {
  /** Both were read whole, and nothing differs but what changes by itself. */
  readonly matches: boolean;
  /** Why what was read is probably of another vehicle, module or software level. */
  readonly foreign: Phrase | undefined;
  readonly lines: readonly WrongLine[];
  /** Lines that only one side has, or that cannot be read, in words. */
  readonly unmatched: readonly Phrase[];
  /** Lines in which only places differ that change by themselves, and sums that follow them. */
  readonly ignored: readonly LineDifference[];
  readonly comparison: Comparison;
}

/**
 * Compares a read-back with the plan, volatile places aside. Both are read by the profile of the plan; `found` is the dump
 * as it was before the work, from which it shows whether a line was written at all.
 */
export function verifyReadBack(planned: Dump, back: Dump, found: Dump | undefined): Verification {
  const read = readBy(back, planned.profile);
  const comparison = compareDumps(planned, read);
  const work = found === undefined ? undefined : compareDumps(found, planned);
  const evidence: Evidence = { planned, read, found, work };
  const aside = comparison.lines.filter((line) => changesByItself(read, line));
  const rest = comparison.lines.filter((line) => !aside.includes(line));
  const others = rest.filter((line) => !onlyTotals(line));
  // A file sum that the module makes anew follows the places that change by themselves, if nothing else is changed.
  const follows = others.length === 0 && aside.length > 0 ? rest.filter((line) => totalsHold(read, line)) : [];
  const wrong = rest.filter((line) => !follows.includes(line));
  const unmatched = unmatchedOf(comparison);
  const foreign = whyForeign(planned, read, comparison, wrong);
  return {
    matches: wrong.length + unmatched.length + comparison.unread.length === 0 && foreign === undefined,
    foreign,
    lines: wrong.map((line) => ({ line, cause: causeOf(line, evidence) })),
    unmatched,
    ignored: [...aside, ...follows],
    comparison,
  };
}

function unmatchedOf(comparison: Comparison): readonly Phrase[] {
  const { kind, onlyBefore } = comparison;
  if (kind === 'image') return unmatchedInWords(comparison, plannedOrRead);
  return [
    ...unreadInWords(comparison, plannedOrRead),
    ...onlyBefore.map((label) =>
      phrase('Line {0} is missing in what was read. Read the module once more, as a whole.', labelText(label)),
    ),
    ...linesInWords({ ...comparison, onlyBefore: [] }),
  ];
}

function plannedOrRead(side: 'before' | 'after', why: Phrase): Phrase {
  return side === 'before'
    ? phrase('The plan was not read whole: {0}', why)
    : phrase('What was read from the module is not whole: {0}', why);
}

function changesByItself(read: Dump, line: LineDifference): boolean {
  const steady = line.bytes.filter(({ volatile }) => !volatile);
  if (steady.length === line.bytes.length) return false;
  return steady.length === 0 || (steady.every(isLineSum) && lineSumHolds(read, line.afterRow) === true);
}

function isLineSum({ reason }: ByteDifference): boolean {
  return reason === 'line-sum';
}

function onlyTotals({ bytes }: LineDifference): boolean {
  return bytes.every(({ reason }) => reason === 'total');
}

/** Whether all totals that are stored in a line are right there. */
function totalsHold(read: Dump, { afterRow, bytes }: LineDifference): boolean {
  if (!bytes.every(({ reason }) => reason === 'total')) return false;
  return read.totals.every(({ stored }, index) => {
    if (!stored?.some(({ row }) => row === afterRow)) return true;
    const reading = readTotal(read, index);
    return reading !== undefined && reading.stored === reading.computed;
  });
}

function whyForeign(
  planned: Dump,
  read: Dump,
  { guarded }: Comparison,
  wrong: readonly LineDifference[],
): Phrase | undefined {
  const identity = otherIdentity(planned, read);
  if (identity !== undefined)
    return phrase(
      '"@{0}" is "{1}" in the plan and "{2}" in what was read: another vehicle, part or software level.',
      ...identity,
    );
  const other = guarded.find(({ before, after }) => [...before, ...after].every((byte) => byte !== undefined));
  if (other !== undefined)
    return phrase(
      '{0} differs, which no work changes ({1}): probably another vehicle, module or software level.',
      bytesOfPlace(other.place, other.from, other.before.length),
      other.name,
    );
  if (wrong.length > 3 && wrong.length * 2 > read.layout.order.length)
    return phrase('More than half of the lines differ: probably another vehicle, module or software level.');
  return undefined;
}
