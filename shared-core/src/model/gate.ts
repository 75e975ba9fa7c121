import { hexBytes } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Refused, type Result, refuse, refuseUnless } from '../base/result.js';
import type { TextEdit } from '../base/span.js';
import { bytesOf, contentOf, type RecordRow, type Row } from '../format/row.js';
import { readRows, textAfter } from '../format/rows.js';
import type { Place, Profile } from '../profile/profile.js';
import { sumName } from '../profile/sumName.js';
import { unreadRows } from './account.js';
import { afterEdits, type ByteWrite, editsOf } from './byteWrite.js';
import { cellKey, placeCells } from './cell.js';
import { whyCopiesDiffer } from './copies.js';
import { bind, type Dump, readBy, ruleOf, withSlotsInForce } from './dump.js';
import {
  doubledFile,
  headersOf,
  isSeal,
  isSealed,
  type PlacedHeader,
  repeatedHeaders,
  sealsOf,
  whyDoubled,
} from './headers.js';
import { isOwnBackup, otherIdentity, whyBackupUnconfirmed, whyNotThisModule } from './identity.js';
import { labelOfRow } from './layout.js';
import { lineCalled } from './lineName.js';
import { nearSeal } from './nearHeaders.js';
import { protectedBits, protectedPlaces, whyProtected } from './protected.js';
import { type PutInForce, whySlotsHarmed } from './slots.js';
import { readTotal, sameTotal } from './totalReading.js';
import { byteAt, isInDoubt } from './totals.js';
import { isForComparison, isSetAside, unclearUse, whyForComparison, whyWrongUse } from './useHeader.js';
import { whyWordUnclear } from './wordHeader.js';

/** What is to become of a dump: bytes that get new values, and lines that are put in, replaced or taken out. */
export interface Wish {
  readonly writes?: readonly ByteWrite[];
  readonly edits?: readonly TextEdit[];
}

/** What allows more than is allowed always. */
export interface Permit {
  /** The backup that the dump names: protected bytes may go back to what it holds where it is of the same module and its seal is whole. */
  readonly backup?: Dump | undefined;
  /** The dump by the profile that it names, where a person gave another: neither may find harm in what is written. */
  readonly own?: Dump | undefined;
  /** The person has confirmed that the profile is for this module, which the dump does not say. */
  readonly unconfirmed?: boolean | undefined;
  /** The result goes into another file, so that a sealed dump may be its source; it carries no seal then. */
  readonly elsewhere?: boolean | undefined;
  /** The slot that is to be in force afterwards: its check may be written, and no other byte of its record. */
  readonly puts?: PutInForce | undefined;
}

/** A dump that may be written: the edits that lead to it, in the order of the text, and what they lead to. */
export interface Changed {
  readonly edits: readonly TextEdit[];
  readonly after: Dump;
  /** Whether any record becomes another: headers and comments may change where bytes may not. */
  readonly changesRecords: boolean;
}

/**
 * The only way from a wish to text edits. Whatever asked for it and however it was computed, the text is read again as
 * it would be afterwards and compared with what it was: no locked, security or volatile bit may differ, copies that
 * change must agree, and no sum that was right may be wrong. In doubt nothing is written.
 */
export function changeDump(dump: Dump, { writes = [], edits = [] }: Wish, permit: Permit = {}): Result<Changed> {
  const kept = whyKept(dump, permit);
  if (kept !== undefined) return kept;
  const unsealing = permit.elsewhere === true ? withoutSeal(dump) : [];
  const inBytes = editsOf(dump, writes);
  const all = [...inBytes, ...edits, ...unsealing].sort((a, b) => a.row - b.row || a.start - b.start || a.end - b.end);
  const unclear = repeatedChange(dump, edits, writes) ?? changeInDoubt(dump, writes);
  if (unclear !== undefined) return refuse(unclear);
  // Where only bytes change, that is the text read again at the cost of the lines that change.
  const after =
    edits.length + unsealing.length === 0
      ? withSlotsInForce(afterEdits(dump, inBytes))
      : bind(readRows(textAfter(dump.rows, all), dump.notation), dump.notation, dump.profile);
  const missing = edits.length === 0 ? undefined : missingTakenOut(dump, after, permit.backup);
  if (missing !== undefined) return refuse(missing);
  if (sameRecords(dump.rows, after.rows)) return done({ edits: all, after, changesRecords: false });
  const never = whyNotWritable(dump, permit);
  if (never !== undefined) return never;
  const harm =
    doubtfulChange(dump, after, writes) ??
    protectedChange(dump, after, permit.backup) ??
    damagePassedOver(dump, after, permit.backup) ??
    copiesApart(dump, after, permit.backup) ??
    slotsHarmed(dump, after, permit) ??
    brokenSum(dump, after) ??
    unknownSum(dump, after, permit.backup) ??
    harmByOwn(after, permit);
  return harm === undefined ? done({ edits: all, after, changesRecords: true }) : refuse(harm);
}

/** Why no byte may be written into a dump; undefined where some may. */
export function whyNotWritable(dump: Dump, permit: Permit = {}): Refused | undefined {
  const kept = whyKept(dump, permit);
  if (kept !== undefined) return kept;
  const { flaw } = dump.profile;
  if (flaw !== undefined) return refuse(whyFlawed(flaw));
  const repeated = repeatedHeaders(dump).find(({ header }) => !isSeal(header));
  if (repeated !== undefined) return refuse(whyRepeated(repeated));
  const doubled = doubledFile(dump);
  if (doubled !== undefined) return refuse(phrase('Row {0}: {1}', doubled.row + 1, whyDoubled(doubled)), doubled.row);
  const unclear = whyWordUnclear(headersOf(dump));
  if (unclear !== undefined) return unclear;
  const use = unclearUse(dump);
  if (use !== undefined) return refuse(phrase('Row {0}: {1}', use.row + 1, whyWrongUse(use.header)), use.row);
  const misfit = whyNotThisModule(dump);
  if (misfit?.kind === 'other') return refuse(misfit.why);
  return misfit?.kind === 'unconfirmed' && permit.unconfirmed !== true
    ? refuseUnless({ kind: 'unconfirmed' }, misfit.why)
    : undefined;
}

/** Why a file stays as it is, whatever is to be written. */
function whyKept(dump: Dump, { elsewhere }: Permit): Refused | undefined {
  if (isForComparison(dump)) return refuse(whyForComparison(dump));
  const near = nearSeal(dump);
  if (near !== undefined)
    return refuse(
      phrase(
        'Row {0}: "@{1}" is probably meant as "@seal", so this file stays as it is. Correct its spelling if it is a seal, and work on a copy; otherwise remove it.',
        near.row + 1,
        near.header.name,
      ),
      near.row,
    );
  if (!isSealed(dump) || elsewhere === true) return undefined;
  return refuse(phrase('This file is a sealed backup and stays as it is. Work on a copy of it without "@seal".'));
}

/** Whether two versions of a dump have the same records, whatever people wrote around them. */
function sameRecords(before: readonly Row[], after: readonly Row[]): boolean {
  if (before === after) return true;
  const isRecord = ({ kind }: Row) => kind === 'record' || kind === 'broken';
  const [old, fresh] = [before.filter(isRecord), after.filter(isRecord)];
  return old.length === fresh.length && old.every((row, i) => row === fresh[i] || row.text === fresh[i]?.text);
}

/** Why a profile with a problem serves for reading only. */
export function whyFlawed({ first, count }: NonNullable<Profile['flaw']>): Phrase {
  return phrase('The profile has problems ({0}), so nothing is written by it. Correct them first: {1}', count, first);
}

/** That a header says two things, of which nobody knows the right one. */
export function whyRepeated({ row, header: { name, value } }: PlacedHeader): Phrase {
  return phrase(
    '"@{0}" is here a second time with another value, "{1}" (row {2}). Nobody can tell which one is right: remove the wrong one.',
    name,
    value,
    row + 1,
  );
}

function withoutSeal(dump: Dump): readonly TextEdit[] {
  return sealsOf(dump).map(({ row }) => ({ row, start: 0, end: dump.rows[row]?.text.length ?? 0, text: '' }));
}

/** Why bytes cannot be written where rows leave each other in doubt, or would do so after the change. */
function doubtfulChange(before: Dump, after: Dump, writes: readonly ByteWrite[]): Phrase | undefined {
  const doubtIn = ({ notation, rows }: Dump) => notation.image?.doubts?.(rows)[0];
  const [was, now] = [doubtIn(before), doubtIn(after)];
  const doubt = writes.length > 0 ? (was ?? now) : was === undefined ? now : undefined;
  return doubt && phrase('Row {0}: {1}', doubt.at + 1, doubt.message);
}

/** Why a row cannot change that others stand for, or that stands for others. */
function repeatedChange(
  { rows, notation }: Dump,
  edits: readonly TextEdit[],
  writes: readonly ByteWrite[],
): Phrase | undefined {
  if (notation.complete === undefined) return undefined;
  const isRepeated = (row: Row | undefined) =>
    row?.kind === 'record' && row.count > 0 && notation.digitPlaces(row).length === 0;
  const changing = writes.filter((write) => byteAt(rows, write) !== write.value);
  const touched = new Set([...edits, ...changing].map(({ row }) => row));
  const row = [...touched].find((at) => {
    let next = at + 1;
    while (rows[next]?.kind === 'blank') next++;
    return isRepeated(rows[at]) || (rows[at]?.kind === 'record' && isRepeated(rows[next]));
  });
  return row === undefined
    ? undefined
    : phrase(
        'The bytes of row {0} are also those of the rows that "*" leaves out, so they cannot be changed alone. Write these rows out first.',
        row + 1,
      );
}

/** Why no byte is written into a row of which nobody can tell whether its bytes are right. */
function changeInDoubt({ rows }: Dump, writes: readonly ByteWrite[]): Phrase | undefined {
  const found = writes.find((write) => isInDoubt(rows[write.row]) && byteAt(rows, write) !== write.value);
  return (
    found &&
    phrase(
      'Row {0} shows characters that go against its bytes, so nobody can tell which are right. Correct the row first.',
      found.row + 1,
    )
  );
}

/** The first protected bit that a change would alter, but for one that goes back to what the dump's own backup holds. */
function protectedChange(before: Dump, after: Dump, backup: Dump | undefined): Phrase | undefined {
  const own = backup !== undefined && isOwnBackup(before, backup) ? backup : undefined;
  for (const one of protectedPlaces(before.profile)) {
    const [was, now] = [valuesAtPlace(before, one.place), valuesAtPlace(after, one.place)];
    const mayGoBack = own !== undefined && (own.sealHolds === true || one.kind === 'volatile');
    const kept = mayGoBack ? valuesAtPlace(own, one.place) : [];
    const isSame = (a: number | undefined, b: number | undefined) =>
      a === undefined || b === undefined ? a === b : ((a ^ b) & one.mask) === 0;
    const at = was.findIndex((old, i) => {
      const allowed = [...old, ...(kept[i] ?? [])];
      const next = now[i] ?? [];
      return (
        (next.length === 0 && old.length > 0) || !next.every((value) => allowed.some((known) => isSame(known, value)))
      );
    });
    if (at >= 0) return withBackup(before, backup, whyProtected(before, one, at));
  }
  return undefined;
}

/**
 * A row that was not read and would not be there any more, where a protected place is missing: it may be just that. Not
 * where the place is missing in the dump's own backup as well.
 */
function missingTakenOut(before: Dump, after: Dump, backup: Dump | undefined): Phrase | undefined {
  const still = new Set(unreadRows(after).map((row) => after.rows[row]?.text));
  const lost = unreadRows(before).find((row) => !still.has(before.rows[row]?.text));
  if (lost === undefined) return undefined;
  const own = sealedBackup(before, backup);
  for (const one of protectedPlaces(before.profile)) {
    const [was, now] = [valuesAtPlace(before, one.place), valuesAtPlace(after, one.place)];
    const kept = own && valuesAtPlace(own, one.place);
    const at = was.findIndex((old, i) => old.length === 0 && now[i]?.length === 0 && kept?.[i]?.length !== 0);
    if (at >= 0)
      return phrase(
        'Row {0} was not read and may hold what is missing, so it stays. {1}',
        lost + 1,
        whyProtected(before, one, at),
      );
  }
  return undefined;
}

/**
 * A sum that would be made right though nobody may have changed a byte of its line: the line is damaged then, and its sum is
 * the only proof of that. Not where each byte is as in the dump's own backup.
 */
function damagePassedOver(before: Dump, after: Dump, backup: Dump | undefined): Phrase | undefined {
  if (before.wrongSums.length === 0 || before.rows.length !== after.rows.length) return undefined;
  const still = new Set(after.wrongSums);
  const bits = protectedBits(before);
  const own = sealedBackup(before, backup);
  const row = before.wrongSums.find((at) => {
    const record = after.rows[at];
    const rule = ruleOf(before, at);
    if (still.has(at) || rule === undefined || record?.kind !== 'record') return false;
    const count = record.count - rule.width;
    const isFree = (byte: number) => (bits.get(cellKey({ row: at, byte })) ?? 0) !== 0xff;
    if (count < 1 || Array.from({ length: count }, (_, byte) => byte).some(isFree)) return false;
    return own?.rows.some(({ kind }, i) => kind === 'record' && isSameRecord(record, own, i)) !== true;
  });
  return row === undefined
    ? undefined
    : phrase(
        'Row {0}: its sum is wrong and nobody may have changed its bytes, so they may be damaged, and the sum is the only sign of it. Restore the row from the backup of this dump, or read the module again.',
        row + 1,
      );
}

/** Whether a row of a backup holds the same bytes at the same place, with a right sum. */
function isSameRecord(record: RecordRow, backup: Dump, at: number): boolean {
  const other = backup.rows[at];
  return (
    other?.kind === 'record' &&
    !backup.wrongSums.includes(at) &&
    other.label === record.label &&
    other.type === record.type &&
    bytesOf(other, 0, other.count).join() === bytesOf(record, 0, record.count).join()
  );
}

/** Copies that a change leaves different, but for bytes that go back to what the dump's own backup holds. */
function copiesApart(before: Dump, after: Dump, backup: Dump | undefined): Phrase | undefined {
  return whyCopiesDiffer(before, after, sealedBackup(before, backup));
}

/** Records that move and are changed elsewhere than in the slot in force, with the same exception. */
function slotsHarmed(before: Dump, after: Dump, { backup, puts }: Permit): Phrase | undefined {
  return before.profile.slots.length === 0
    ? undefined
    : whySlotsHarmed(before, after, { own: sealedBackup(before, backup), puts });
}

function sealedBackup(before: Dump, backup: Dump | undefined): Dump | undefined {
  return backup?.sealHolds === true && isOwnBackup(before, backup) ? backup : undefined;
}

/** The same with what is missing in a backup that would be gone back to. */
function withBackup(dump: Dump, backup: Dump | undefined, why: Phrase): Phrase {
  if (backup?.sealHolds !== true || isSetAside(backup) || otherIdentity(backup, dump) !== undefined) return why;
  const unconfirmed = whyBackupUnconfirmed(dump, backup);
  return unconfirmed === undefined ? why : phrase('{0} {1}', why, unconfirmed);
}

/** For each byte of a place all values that the dump has for it: several where its line or address is there twice, undefined for one that cannot be read. */
function valuesAtPlace({ layout, rows }: Dump, place: Place): readonly (readonly (number | undefined)[])[] {
  const { order, keys, dataCount, repeated, imageProblems } = layout;
  const twins = place.kind === 'line' ? repeated.filter((row) => labelOfRow(rows[row]) === place.line) : [];
  // Records that share addresses are a problem of the image, so that those of most images need not be gone through.
  const sharing = place.kind === 'address' && imageProblems.length > 0 ? [...order.keys()] : [];
  return placeCells(layout, place).map((cell, i) => {
    const address = place.kind === 'address' ? place.address + i : 0;
    const others = sharing.filter(
      (at) =>
        address >= (keys[at] as number) && address < (keys[at] as number) + (dataCount[order[at] as number] as number),
    );
    const cells = [
      ...(cell === undefined ? [] : [cell]),
      ...twins.map((row) => ({ row, byte: (place.kind === 'line' ? place.byte : 0) - 1 + i })),
      ...others.map((at) => ({ row: order[at] as number, byte: address - (keys[at] as number) })),
    ];
    return cells.map((one) => byteAt(rows, one));
  });
}

/** The same by the profile that the dump names itself. */
function harmByOwn(after: Dump, { own, backup, puts }: Permit): Phrase | undefined {
  if (own === undefined) return undefined;
  const [next, kept] = [readBy(after, own.profile), backup && readBy(backup, own.profile)];
  const harm =
    protectedChange(own, next, kept) ??
    copiesApart(own, next, kept) ??
    slotsHarmed(own, next, { backup: kept, puts }) ??
    brokenSum(own, next);
  return harm && phrase('By the profile that the dump names itself: {0}', harm);
}

/** The first line that could be read and could not be read any more, and the first sum that was right and would be wrong. */
function brokenSum(before: Dump, after: Dump): Phrase | undefined {
  const [unread] = [...freshIn(before, after, unreadRows), ...freshIn(before, after, (dump) => dump.wrongLengths)];
  if (unread !== undefined)
    return phrase('Row {0} could not be read as a line of this module after this change.', unread + 1);
  const [line] = freshIn(before, after, (dump) => dump.wrongSums);
  if (line !== undefined)
    return phrase('The sum of line {0} would be wrong after this change.', lineCalled(after, line));
  for (const [index, { total }] of before.totals.entries()) {
    const was = readTotal(before, index);
    if (was === undefined || was.stored !== was.computed) continue;
    // Of a record that moves, only the slot in force has a check that counts.
    const at = sameTotal(after, before, index);
    if (at < 0 && total.ofSlots !== undefined) continue;
    const now = readTotal(after, at);
    if (now === undefined || now.stored !== now.computed)
      return phrase('The {0} is right and would be wrong after this change.', sumName(total));
  }
  return undefined;
}

/**
 * A changed line that ends in a sum of which nobody knows how it is made, so that it would most likely be wrong; not
 * where the whole line goes back to what the backup holds.
 */
function unknownSum(before: Dump, after: Dump, backup: Dump | undefined): Phrase | undefined {
  const { layout, rule, rows } = after;
  if (rule !== undefined || layout.kind === 'image') return undefined;
  for (const row of layout.order) {
    const label = labelOfRow(rows[row]);
    if (label === undefined || layout.sumCountOf(row) === 0) continue;
    const line = bytesOfLine(after, row);
    const known = [before, backup].map((dump) => bytesOfLine(dump, dump?.layout.rowOf(label)));
    if (line !== undefined && !known.includes(line))
      return phrase(
        'The profile says that line {0} ends in a sum, but not how it is made, so it cannot be kept right. Add "lineSum" to the profile.',
        lineCalled(after, row),
      );
  }
  return undefined;
}

function bytesOfLine(dump: Dump | undefined, row: number | undefined): string | undefined {
  const record = row === undefined ? undefined : dump?.rows[row];
  return record?.kind === 'record' ? hexBytes(bytesOf(record)) : undefined;
}

/** Rows of a list of a dump that were not in it before, whatever row they are in now. */
function freshIn(before: Dump, after: Dump, listOf: (dump: Dump) => readonly number[]): readonly number[] {
  const now = listOf(after);
  if (now.length === 0) return [];
  const was = listOf(before);
  const sameRows = before.rows.length === after.rows.length;
  const texts = new Set(was.map((row) => contentOf(before.rows[row]?.text ?? '')));
  const rows = new Set(was);
  return now.filter((row) => !(sameRows && rows.has(row)) && !texts.has(contentOf(after.rows[row]?.text ?? '')));
}
