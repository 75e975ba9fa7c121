// What a change does to a dump that none may do, told from the text as it was and as it would be.
import { hexBytes } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { bytesOf, contentOf, type RecordRow } from '../format/row.js';
import type { Place } from '../profile/profile.js';
import { sumName } from '../profile/sumName.js';
import { unreadRows } from './account.js';
import { cellKey, placeCells } from './cell.js';
import { whyCopiesDiffer } from './copies.js';
import { type Dump, ruleOf } from './dump.js';
import { isOwnBackup, otherIdentity, whyBackupUnconfirmed } from './identity.js';
import { labelOfRow } from './layout.js';
import { lineCalled } from './lineName.js';
import { protectedBits, protectedPlaces, whyProtected } from './protected.js';
import { type PutInForce, whySlotsHarmed } from './slots.js';
import { readTotal, sameTotal } from './totalReading.js';
import { byteAt } from './totals.js';
import { isSetAside } from './useHeader.js';

/** The first protected bit that a change would alter, but for one that goes back to what the dump's own backup holds. */
export function protectedChange(before: Dump, after: Dump, backup: Dump | undefined): Phrase | undefined {
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
export function missingTakenOut(before: Dump, after: Dump, backup: Dump | undefined): Phrase | undefined {
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
export function damagePassedOver(before: Dump, after: Dump, backup: Dump | undefined): Phrase | undefined {
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
export function copiesApart(before: Dump, after: Dump, backup: Dump | undefined): Phrase | undefined {
  return whyCopiesDiffer(before, after, sealedBackup(before, backup));
}

/** Records that move and are changed elsewhere than in the slot in force, with the same exception. */
export function slotsHarmed(
  before: Dump,
  after: Dump,
  { backup, puts }: { readonly backup?: Dump | undefined; readonly puts?: PutInForce | undefined },
): Phrase | undefined {
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

/** The first line that could be read and could not be read any more, and the first sum that was right and would be wrong. */
export function brokenSum(before: Dump, after: Dump): Phrase | undefined {
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
export function unknownSum(before: Dump, after: Dump, backup: Dump | undefined): Phrase | undefined {
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
