import { hex } from '../base/hex.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { finish, type Steps } from '../base/steps.js';
import { readBackup, unfitBackup } from '../checks/backup.js';
import { type Comparison, compareDumps } from '../compare/compareDumps.js';
import { unreadInWords } from '../compare/comparisonInWords.js';
import { imageDifferences } from '../compare/imageDifferences.js';
import type { Label } from '../format/row.js';
import { isWithin } from '../model/byAddress.js';
import { afterWrites, netWrites } from '../model/byteWrite.js';
import { withCopies } from '../model/copies.js';
import type { Dump } from '../model/dump.js';
import type { Wish } from '../model/gate.js';
import { whyBackupUnconfirmed } from '../model/identity.js';
import { calledLine } from '../model/lineName.js';
import { wrongTotals } from '../model/totalReading.js';
import { rangeInHex } from '../profile/places.js';
import { withLineSums } from '../repair/lineSums.js';
import { repairAllInSteps } from '../repair/repairAll.js';
import { emptiedLine, restoreLine, restoreRecords } from '../repair/restore.js';
import { type Change, type Consent, changeOf, type Subject, whyNoChange } from './change.js';
import { brokenBy } from './conditions.js';

/** A change after which lines hold what another dump holds, and what still differs from that dump. */
export interface Restored extends Change {
  readonly labels: readonly Label[];
  /** Lines, of an image addresses, that still differ. */
  readonly left: readonly Label[];
  /** What else differs or cannot be read: where an image starts, records of which not even the address is known, text that is no record. */
  readonly remarks: readonly Phrase[];
  /** Lines that were not chosen and changed with those that were: they hold copies of theirs, or sums. */
  readonly alongside: readonly Label[];
}

/** The dump's own backup, where it can be gone back to: it was read, is of this module and is sound. */
export function soundBackup({ dump, backup }: Subject): Result<Dump> {
  const read = readBackup(backup);
  const unfit = read.ok ? unfitBackup(dump, read.value) : undefined;
  return unfit === undefined ? read : refuse(unfit.message);
}

/** Lines (of an image: addresses) in which a dump differs from its backup, by what a comparison calls them. */
export function linesToRestore(dump: Dump, backup: Dump): readonly Label[] {
  return unlike(compareDumps(backup, dump));
}

/** Those of them to choose from: a line that holds a file sum goes with the lines that it covers, unless it differs alone. */
export function linesToChoose(dump: Dump, backup: Dump): readonly Label[] {
  const all = linesToRestore(dump, backup);
  const others = all.filter((label) => !isSumLine(dump, label));
  return others.length > 0 ? others : all;
}

/** Restores all lines that differ from the dump's own backup, or chosen ones, with every sum kept right. */
export function restore(subject: Subject, chosen?: readonly Label[], consent: Consent = {}): Result<Restored> {
  return finish(restoreInSteps(subject, chosen, consent));
}

/** The same in steps. */
export function* restoreInSteps(
  subject: Subject,
  chosen?: readonly Label[],
  consent: Consent = {},
): Steps<Result<Restored>> {
  const never = whyNoChange(subject, consent);
  if (never !== undefined) return never;
  const backup = soundBackup(subject);
  if (!backup.ok) return backup;
  // What the own sealed backup holds was read from the module, sums and all.
  const sealed = backup.value.sealHolds === true ? backup.value : undefined;
  const taken = yield* takeLinesInSteps(subject, backup.value, chosen, consent, sealed);
  const unconfirmed = whyBackupUnconfirmed(subject.dump, backup.value);
  if (!taken.ok || unconfirmed === undefined) return taken;
  return done({ ...taken.value, cautions: [unconfirmed, ...taken.value.cautions] });
}

/**
 * Takes lines from another dump of the module: all that differ, or chosen ones. What people wrote around the bytes
 * stays. Where single lines would make a right sum wrong, it is balanced. Nothing is taken on trust: the text is read
 * again as it would be and compared with the other dump byte by byte.
 */
export function takeLines(
  subject: Subject,
  from: Dump,
  chosen: readonly Label[] | undefined,
  consent: Consent = {},
): Result<Restored> {
  return finish(takeLinesInSteps(subject, from, chosen, consent));
}

/** The same in steps. */
export function* takeLinesInSteps(
  subject: Subject,
  from: Dump,
  chosen: readonly Label[] | undefined,
  consent: Consent = {},
  known?: Dump,
): Steps<Result<Restored>> {
  const { dump } = subject;
  const labels = chosen ?? linesToRestore(dump, from);
  const lines = withTheirCopies(dump, wishFor(dump, from, new Set(labels)));
  const wish = yield* keepingSums(dump, from, lines);
  if (!wish.ok) return wish;
  const says = phrase('Lines restored: {0}', labels.length);
  const change = changeOf(subject, wish.value, says, consent, undefined, known);
  if (!change.ok) return change;
  const now = compareDumps(from, change.value.after);
  const left = unlike(now);
  const wanted = new Set(labels);
  const failed = left.filter((label) => wanted.has(label));
  if (failed.length > 0) return refuse(whyNotRestored(dump, failed));
  // The way back stays open, and what it breaks is said.
  const broken = brokenBy(subject, change.value.after).map(({ why }) => why);
  return done({
    ...change.value,
    cautions: [...change.value.cautions, ...broken],
    ...{ labels, left, remarks: remarksOf(now) },
    alongside:
      chosen === undefined ? [] : unlike(compareDumps(dump, change.value.after)).filter((label) => !wanted.has(label)),
  });
}

function whyNotRestored(dump: Dump, failed: readonly Label[]): Phrase {
  const names = listed(failed.map((label) => calledLine(dump, label)));
  return failed.every((label) => isSumLine(dump, label))
    ? phrase('Line {0} holds a sum, which goes with the lines that it covers: restore these.', names)
    : phrase('These lines cannot be restored one by one: {0}. Correct them by hand.', names);
}

function isSumLine({ profile }: Dump, label: Label): boolean {
  return profile.totals.some(({ stored }) => stored.kind === 'record' && stored.label === label);
}

/** Where single bytes change, their copies change with them. */
function withTheirCopies(dump: Dump, wish: Wish): Wish {
  const { writes = [], edits = [] } = wish;
  const copied = edits.length > 0 ? writes : withCopies(dump, writes);
  return copied.length === writes.length ? wish : { ...wish, writes: netWrites(dump, withLineSums(dump, copied)) };
}

function unlike({ lines, onlyBefore, onlyAfter, uncompared }: Comparison): readonly Label[] {
  return [...new Set([...lines.map(({ label }) => label), ...onlyBefore, ...onlyAfter, ...uncompared])];
}

function remarksOf(comparison: Comparison): readonly Phrase[] {
  const { start, unplaced } = comparison;
  // That a profile is for this module, a person has confirmed where anything is restored by it.
  const unread = comparison.unread.filter(({ what }) => what !== 'unconfirmed');
  return [
    ...unreadInWords({ ...comparison, unread }, (_, why) => phrase('Not whole: {0}', why)),
    ...(start === undefined ? [] : [phrase('The start address still differs: correct its record by hand.')]),
    ...(unplaced === 0 ? [] : [phrase('Records that cannot be read, and so were not compared: {0}.', unplaced)]),
  ];
}

function wishFor(dump: Dump, from: Dump, wanted: ReadonlySet<Label>): Wish {
  const { kind, lines, onlyBefore, onlyAfter, uncompared } = compareDumps(from, dump);
  if (kind === 'image') {
    const rows = lines.filter(({ label }) => wanted.has(label)).map(({ afterRow }) => afterRow);
    return restoreRecords(dump, from, [...rows, ...unreadRecords(dump, from, wanted)]);
  }
  const changed = [...lines.map(({ label }) => label), ...uncompared, ...onlyBefore];
  return joined([
    ...changed.filter((label) => wanted.has(label)).map((label) => restoreLine(dump, from, label)),
    ...onlyAfter.filter((label) => wanted.has(label)).map((label) => emptiedLine(dump, label)),
  ]);
}

/** Rows of records of an image that cannot be read and are wanted: by their first address, or with all that a range of addresses holds. */
function unreadRecords(dump: Dump, from: Dump, wanted: ReadonlySet<Label>): readonly number[] {
  const ranges = imageDifferences(from, dump).unsure.filter((range) => wanted.has(rangeInHex(range)));
  const { order, keys } = dump.layout;
  return Array.from(order).filter((row, at) => {
    const address = keys[at] as number;
    return dump.rows[row]?.kind === 'broken' && (wanted.has(hex(address, 4)) || isWithin(ranges, address));
  });
}

function joined(wishes: readonly Wish[]): Wish {
  return {
    writes: wishes.flatMap(({ writes = [] }) => writes),
    edits: wishes.flatMap(({ edits = [] }) => edits),
  };
}

/**
 * Single lines of another dump seldom fit the file sum. Where no line is put in or taken out, the sum is balanced as if
 * from the other dump, by bytes outside the lines that are taken.
 */
function* keepingSums(dump: Dump, from: Dump, wish: Wish): Steps<Result<Wish>> {
  const { writes = [], edits = [] } = wish;
  if (edits.length > 0) return done(wish);
  const now = afterWrites(dump, writes);
  const wasWrong = new Set(wrongTotals(dump));
  if (wrongTotals(now).every((index) => wasWrong.has(index))) return done(wish);
  const repair = yield* repairAllInSteps(now, { totals: 'keep', backup: from, fixed: writes });
  if (!repair.ok) return repair;
  // A line sum that was wrong before may tell of a damaged byte: only those of lines that change here are corrected.
  const changed = new Set(
    [...writes, ...repair.value.writes.filter(({ reason }) => reason !== 'line-sum')].map(({ row }) => row),
  );
  const own = repair.value.writes.filter(({ row, reason }) => reason !== 'line-sum' || changed.has(row));
  return done({ writes: [...writes, ...own] });
}
