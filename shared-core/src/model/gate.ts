import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Refused, type Result, refuse, refuseUnless } from '../base/result.js';
import type { TextEdit } from '../base/span.js';
import type { Row } from '../format/row.js';
import { readRows, textAfter } from '../format/rows.js';
import type { Profile } from '../profile/profile.js';
import { afterEdits, type ByteWrite, editsOf } from './byteWrite.js';
import { bind, type Dump, readBy, withSlotsInForce } from './dump.js';
import {
  brokenSum,
  copiesApart,
  damagePassedOver,
  missingTakenOut,
  protectedChange,
  slotsHarmed,
  unknownSum,
} from './harm.js';
import {
  doubledFile,
  headersOf,
  headerValue,
  isSeal,
  isSealed,
  type PlacedHeader,
  repeatedHeaders,
  whyDoubled,
} from './headers.js';
import { whyNotThisModule } from './identity.js';
import { nearSeal } from './nearHeaders.js';
import type { PutInForce } from './slots.js';
import { byteAt, isInDoubt } from './totals.js';
import { isForComparison, unclearUse, whyForComparison, whyWrongUse } from './useHeader.js';
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
  /** The result goes into another file, so that a sealed dump may be its source; it carries no seal then, nor when it was read. */
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
  const inBytes = editsOf(dump, writes);
  const unsealing = permit.elsewhere === true ? withoutClaims(dump, inBytes.length + edits.length > 0) : [];
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

/** Takes out that a dump is a backup, and that it is a reading where it changes: what is made of it is neither. */
function withoutClaims(dump: Dump, changes: boolean): readonly TextEdit[] {
  const wasRead = changes && headerValue(dump, 'backup') === undefined;
  return headersOf(dump)
    .filter(({ header }) => isSeal(header) || (wasRead && header.name === 'taken'))
    .map(({ row }) => ({ row, start: 0, end: dump.rows[row]?.text.length ?? 0, text: '' }));
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

/** The same by the profile that the dump names itself. */
function harmByOwn(after: Dump, { own, backup, puts }: Permit): Phrase | undefined {
  if (own === undefined) return undefined;
  const [next, kept] = [readBy(after, own.profile), backup && readBy(backup, own.profile)];
  const harm =
    missingTakenOut(own, next, kept) ??
    protectedChange(own, next, kept) ??
    copiesApart(own, next, kept) ??
    slotsHarmed(own, next, { backup: kept, puts }) ??
    brokenSum(own, next);
  return harm && phrase('By the profile that the dump names itself: {0}', harm);
}
