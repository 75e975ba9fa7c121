import { listed, type Phrase, phrase, sentences } from '../../base/phrase.js';
import { type Comparison, compareDumps, differingBytes, differs } from '../../compare/compareDumps.js';
import { unmatchedInWords } from '../../compare/comparisonInWords.js';
import { guardedInWords } from '../../compare/guarded.js';
import { otherIdentity } from '../../model/identity.js';
import { isReadBadly, whyReadAgain } from '../card/cautions.js';
import type { NamedDump } from '../card/input.js';
import type { Others } from '../verify/anotherCar.js';
import { doubtInWords } from '../verify/inWords.js';
import { isVerified, verifyReadBack } from '../verify/verify.js';
import { readingAgainst, whyMaybeEarlier } from './against.js';
import { whyByRow, whyNoLaterReading, whyToCome, whyUnordered } from './laterReading.js';
import { isLater, isTakenLater, type RecordedDump, timeOf } from './timeline.js';

/** What changed between a dump and the one it is compared with. */
export interface ChangesInWords {
  /** What must not be written first, then options, then what nothing explains. */
  readonly said: readonly Phrase[];
  /** Which bytes of which lines those are. */
  readonly details: readonly Phrase[];
}

export function changesInWords({ name, dump, since }: RecordedDump): ChangesInWords {
  if (since === undefined) return { said: [], details: [] };
  const identity = otherIdentity(since.dump, dump);
  if (identity !== undefined) {
    const said = phrase('Not compared with {0}: "@{1}" is "{2}" there and "{3}" here.', since.name, ...identity);
    return { said: [said], details: [] };
  }
  const comparison = compareDumps(since.dump, dump);
  if (comparison.identical) {
    const { caveat } = comparison;
    const said = phrase('The same bytes as {0}.', since.name);
    return { said: caveat === undefined ? [said] : [said, caveat], details: [] };
  }
  const said = [
    ...guardedInWords(comparison.guarded),
    ...comparison.options.map(({ option, before, after }) => phrase('{0}: {1} → {2}', option.title, before, after)),
    ...unmatchedInWords(comparison),
    ...unexplainedInWords(since.name, comparison),
  ];
  const lines = linesInWords(comparison);
  if (said.length === 0) return { said: [phrase('Since {0}: {1}', since.name, lines)], details: [] };
  return { said, details: [phrase('{0} since {1}: {2}', name, since.name, lines)] };
}

function linesInWords(comparison: Comparison): Phrase {
  const { lines } = comparison;
  const bytes = differingBytes(comparison);
  if (bytes === 0) return phrase('no byte changed in lines that both have.');
  return phrase('changed bytes: {0} (lines: {1}).', bytes, listed(lines.map(({ called }) => called)));
}

function unexplainedInWords(since: string, comparison: Comparison): readonly Phrase[] {
  const labels = unexplainedIn(comparison);
  return labels.length === 0 ? [] : [phrase('Unexplained since {0} (lines: {1}).', since, listed(labels))];
}

function unexplainedIn({ lines }: Comparison): readonly string[] {
  return lines.filter(({ bytes }) => bytes.some(({ reason }) => reason === 'unexplained')).map(({ called }) => called);
}

/** Changes of a dump that nothing explains, which are open. */
export function unexplainedChange({ name, dump, since }: RecordedDump): readonly Phrase[] {
  if (since === undefined || otherIdentity(since.dump, dump) !== undefined) return [];
  const labels = unexplainedIn(compareDumps(since.dump, dump));
  return labels.length === 0
    ? []
    : [
        phrase(
          '{0}: nothing in the profile explains what changed since {1} in line {2}.',
          name,
          since.name,
          listed(labels),
        ),
      ];
}

/**
 * A reading of which nothing explains what changed since the one before it, to be held against the dump in work or its
 * backup, whichever it is nearer to, if it is later than those: what was read before it may be of another car.
 */
export function heldAgainst(one: RecordedDump, dumps: readonly RecordedDump[]): RecordedDump {
  const work = unexplainedChange(one).length === 0 ? undefined : workBefore(one, dumps);
  if (work?.since === undefined) return one;
  const apart = ({ dump }: NamedDump) => differingBytes(compareDumps(dump, one.dump));
  return { ...one, since: apart(work) <= apart(work.since) ? work : work.since };
}

/** Why a reading after the backup of the dump in work is probably, or may be, of another car or module. */
export function ofAnotherCar(one: RecordedDump, dumps: readonly RecordedDump[], others: Others): Phrase | undefined {
  const work = workBefore(one, dumps);
  // What another software level or module holds says nothing of this one, as its headers tell.
  if (work?.since === undefined || otherIdentity(work.dump, one.dump) !== undefined) return undefined;
  const doubt = doubtInWords(verifyReadBack(work.dump, one.dump, work.since.dump, others));
  return (
    doubt &&
    phrase('{0} Correct what it says of its vehicle, or say that it is only to compare with, if that is so.', doubt)
  );
}

/** The one dump in work of a module, where a reading is later than its backup. */
function workBefore(one: RecordedDump, dumps: readonly RecordedDump[]): RecordedDump | undefined {
  const [work, ...more] = dumps.filter(({ role }) => role === 'work');
  if (one.role !== 'reading' || work?.since === undefined || more.length > 0) return undefined;
  return isLater(one, work.since) ? work : undefined;
}

/**
 * Whether the changed dump in work of a module was proved to be written: the latest reading after the backup decides.
 * `strays` are readings of the vehicle of which nobody can tell that they are of another module.
 */
export function writtenOf(
  work: RecordedDump,
  dumps: readonly RecordedDump[],
  strays: readonly NamedDump[] = [],
): Written | undefined {
  const { role, since, name } = work;
  if (role !== 'work' || since === undefined) return undefined;
  const comparison = compareDumps(since.dump, work.dump);
  const readings = dumps.filter((one) => one.role === 'reading');
  const after = readings.filter((one) => !one.isToCome && whyNoLaterReading(one, since) === undefined);
  const verificationOf = (reading: RecordedDump) => verifyReadBack(work.dump, reading.dump, since.dump);
  // What holds what was planned and was not read after the backup, as a row of it says, tells nothing of the module.
  const stale = readings.filter((one) => whyByRow(one, since) !== undefined && verificationOf(one).lines.length === 0);
  // What cannot be ordered may have been read later.
  const unordered = readings.filter(
    (one) => !stale.includes(one) && (one.isToCome || (!isLater(one, since) && !isLater(since, one))),
  );
  const verifies = (reading: RecordedDump) => isVerified(verificationOf(reading));
  const whyStale = (readings: readonly RecordedDump[]) => readings.flatMap((one) => whyByRow(one, since) ?? []);
  if (comparison.identical) {
    const found = notTakenBack(
      { ...work, since },
      [...after, ...unordered],
      (one) => verificationOf(one).matches,
      strays,
    );
    // What the backup was made of may lie there too, and says nothing else.
    const why = whyStale(stale.filter((one) => isTakenLater(one, since)));
    return found?.isOpen && why.length > 0 ? { ...found, said: sentences([found.said, ...why]) } : found;
  }
  if (!differs(comparison)) {
    const [why] = unmatchedInWords(comparison);
    return {
      isOpen: true,
      reading: after.at(-1),
      said: phrase('Whether {0} is changed cannot be told, as not everything was read. {1}', name, why ?? ''),
    };
  }
  const proof = after.filter(verifies).at(-1);
  if (proof === undefined) {
    const same = unordered.find(verifies);
    const unsound = after.flatMap((reading) => {
      const { matches, wrongInPlan } = verificationOf(reading);
      const said = phrase('{0} is changed. {1} holds the same, which is not right itself:', name, reading.name);
      return matches ? { isOpen: true, reading, said: listed([said, ...wrongInPlan], ' ') } : [];
    });
    if (unsound[0] !== undefined) return unsound[0];
    const unproved = phrase('{0} is changed, and no reading here proves that it was written.', name);
    return {
      isOpen: true,
      reading: after.at(-1),
      said:
        same === undefined
          ? sentences([unproved, ...whyStale(stale)])
          : phrase(
              '{0} is changed. {1} holds the same, but cannot be ordered after the backup: {2}',
              name,
              same.name,
              same.isToCome ? whyToCome(same) : whyUnordered(same, since),
            ),
    };
  }
  const against = readingAgainst(proof, [...after, ...unordered], verifies);
  if (against !== undefined) {
    const why = whyMaybeEarlier(against, proof);
    if (why === undefined) {
      const said = phrase('Written: {0} verified it, but {1}, read later, differs from it.', proof.name, against.name);
      return { isOpen: true, reading: against, said };
    }
    const said = phrase(
      'Written: {0} verified it, but {1} differs from it and cannot be ordered: {2}',
      proof.name,
      against.name,
      why,
    );
    return {
      isOpen: true,
      reading: against,
      ...settled(said, against.isToCome || timeOf(against) === undefined),
    };
  }
  return (
    besideStray(proof, strays) ?? {
      isOpen: false,
      reading: proof,
      said: phrase('Written: {0} verifies it.', proof.name),
    }
  );
}

/** What keeps a proof open: a stray that may have been read later. */
function besideStray(proof: RecordedDump, strays: readonly NamedDump[]): Written | undefined {
  const stray = strays.find((one) => !isLater(proof, one));
  if (stray === undefined) return undefined;
  const said = phrase(
    'Written: {0} verified it, but {1} may be a later reading of this module: nobody can tell of which module it is. Name the profile of the module in it, or say that it is of another module or only to compare with.',
    proof.name,
    stray.name,
  );
  return { isOpen: true, reading: proof, said, stray };
}

/** What settles the order of two readings: no later one outdates one that says no time, or one that is to come. */
function settled(said: Phrase, byTime: boolean): Pick<Written, 'settledBy' | 'said'> {
  return byTime ? { settledBy: 'time', said } : { settledBy: 'reading', said: listed([said, ONCE_MORE], ' ') };
}

const ONCE_MORE = phrase('Read the module once more and verify that, or correct the time if it is wrong.');

/** What keeps a dump that is as its backup open: a reading of something else, which no later one that is as the dump outdates. */
function notTakenBack(
  { name, dump, since }: RecordedDump & { readonly since: NamedDump },
  readings: readonly RecordedDump[],
  verifies: (reading: RecordedDump) => boolean,
  strays: readonly NamedDump[],
): Written | undefined {
  const same = readings.filter((one) => !one.isToCome && verifies(one));
  const others = readings.filter((one) => !verifies(one));
  const other = others.filter((one) => !same.some((proof) => isLater(proof, one))).at(-1);
  if (other === undefined) {
    const [back, proof] = [others.at(-1), same.at(-1)];
    if (back === undefined || proof === undefined) return undefined;
    const said = phrase('Written back: {0} verifies that the module is as in the backup again.', proof.name);
    return { ...(besideStray(proof, strays) ?? { isOpen: false, reading: proof, said }), back };
  }
  const labels = compareDumps(other.dump, dump).lines.map(({ called }) => called);
  const back = labels.length > 0 ? { back: other } : {};
  const proof = same.find((one) => !isLater(other, one));
  const before = proof ?? since;
  if (other.isToCome || !isLater(other, before)) {
    const undated = [other, proof].find((one) => one !== undefined && timeOf(one) === undefined);
    const why = other.isToCome ? whyToCome(other) : whyUnordered(other, before);
    const unclear = phrase(
      '{0} is as its backup. {1} differs from it and cannot be ordered: {2}',
      name,
      other.name,
      why,
    );
    return {
      isOpen: true,
      reading: proof && (undated ?? other),
      ...settled(unclear, other.isToCome || undated !== undefined),
      ...back,
    };
  }
  const said = isReadBadly(other.dump)
    ? whyReadAgain(other)
    : labels.length === 0
      ? phrase(
          '{0} is as its backup, but {1} does not prove that the module is so too. Verify that reading, or read the module again.',
          name,
          other.name,
        )
      : phrase(
          '{0} is as its backup, but the module held something else when {1} was read (lines: {2}). Write these lines into the module as they are in {0}, then read it again and verify that.',
          name,
          other.name,
          listed(labels),
        );
  return { isOpen: true, reading: other, said, ...back };
}

export interface Written {
  readonly isOpen: boolean;
  /** The reading that decides it; undefined where none is known to be later than the backup. */
  readonly reading: RecordedDump | undefined;
  readonly said: Phrase;
  /** Where a reading differs from what proves it, or from the backup, and nobody can tell which was read later: what can tell it. */
  readonly settledBy?: 'time' | 'reading';
  /** What keeps it open, as it may be a later reading of the module. */
  readonly stray?: NamedDump;
  /** Of a dump that is as its backup again: the last reading that shows other lines, which are to be written back, or were. */
  readonly back?: RecordedDump;
}
