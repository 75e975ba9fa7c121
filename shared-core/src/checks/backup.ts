import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import type { RowSpan } from '../base/span.js';
import type { RecordRow } from '../format/row.js';
import { type Cell, placeCells } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { headerOf } from '../model/headers.js';
import { otherIdentity } from '../model/identity.js';
import { cellSpan, labelSpanOf } from '../model/spans.js';
import { wrongTotals } from '../model/totalReading.js';
import { byteAt } from '../model/totals.js';
import type { Problem, ProblemCode } from './problem.js';

/** What became of a dump's `@backup` header. */
export type BackupStatus =
  | { readonly kind: 'none' }
  | { readonly kind: 'unreadable'; readonly why: Phrase }
  | { readonly kind: 'itself' }
  /** `file` is where it lies: whatever whoever asks calls files by. */
  | { readonly kind: 'read'; readonly dump: Dump; readonly file?: string };

/** The backup's own dump, where it could be read and is of the same module. */
export function backupDump(dump: Dump, backup: BackupStatus): Dump | undefined {
  return backup.kind === 'read' && otherIdentity(backup.dump, dump) === undefined ? backup.dump : undefined;
}

/** A seal that does not fit the records any more. */
export function sealProblems(dump: Dump): Problem[] {
  const seal = headerOf(dump, 'seal');
  if (seal === undefined || dump.sealHolds !== false) return [];
  const message = phrase(
    'The seal is broken: records of this backup were changed after it was sealed. Do not trust it as a way back; read the module again, or find an untouched copy.',
  );
  return [{ row: seal.row, ...seal.header.valueSpan, code: 'seal-broken', severity: 'error', message }];
}

/** Whether the backup can serve as one, and whether locked bytes still are as they were in it. */
export function backupProblems(dump: Dump, backup: BackupStatus): Problem[] {
  const header = headerOf(dump, 'backup');
  if (header === undefined || backup.kind === 'none') return [];
  const at = (code: ProblemCode, message: Phrase): Problem[] => [
    { row: header.row, ...header.header.valueSpan, code, severity: 'error', message },
  ];
  if (backup.kind === 'unreadable') return at('backup-unreadable', backup.why);
  if (backup.kind === 'itself') {
    return at('backup-invalid', phrase('The backup is this file itself. Name the dump as it was found.'));
  }
  const { file } = backup;
  const unfit = ofAnother(dump, backup.dump) ?? unsound(backup.dump);
  if (unfit === undefined) return lockedProblems(dump, backup.dump);
  const related = file && unfit.there && { span: unfit.there, message: phrase('This place in the backup'), file };
  return at(unfit.code, unfit.message).map((problem) => (related ? { ...problem, related } : problem));
}

/** Why a dump is no way back, and the place in it that says so. */
interface Unfit {
  readonly code: ProblemCode;
  readonly message: Phrase;
  readonly there: RowSpan | undefined;
}

function ofAnother(dump: Dump, backup: Dump): Unfit | undefined {
  const other = otherIdentity(backup, dump);
  if (other === undefined) return undefined;
  const message = phrase(
    'This backup is of another car, part or software level: "@{0}" is "{1}" there and "{2}" here. Name the dump that was found in this module, or right the header that is wrong.',
    ...other,
  );
  const place = headerOf(backup, other[0]);
  return { code: 'backup-other-vehicle', message, there: place && { row: place.row, ...place.header.valueSpan } };
}

/** A backup that was edited, is not whole, or holds a wrong sum. */
function unsound(backup: Dump): Unfit | undefined {
  const { layout, invalidRows, wrongSums, wrongLengths, totals, rows } = backup;
  const unfit = (message: Phrase, there?: RowSpan): Unfit => ({ code: 'backup-invalid', message, there });
  const lines = invalidRows.length + wrongLengths.length + layout.missing.length + layout.repeated.length;
  const [seal] = sealProblems(backup);
  if (seal !== undefined)
    return unfit(
      phrase(
        'The seal of the backup is broken: its records were changed after it was sealed. Name an untouched copy, or read the module again.',
      ),
      seal,
    );
  if (lines > 0)
    return unfit(
      phrase(
        'The backup is not whole: {0} of its lines are missing, repeated or cannot be read. Name a whole one, or read the module again.',
        lines,
      ),
    );
  const [sum] = wrongSums;
  if (sum !== undefined) {
    const message = phrase(
      'The backup is not sound: {0} of its line sums are wrong, the first in line {1}. Name a sound one, or read the module again.',
      wrongSums.length,
      (rows[sum] as RecordRow).label,
    );
    return unfit(message, labelSpanOf(backup, sum));
  }
  const odd = layout.imageProblems.find(({ harmless }) => !harmless);
  if (odd !== undefined)
    return unfit(
      phrase('The backup is not whole. Row {0}: {1}', odd.row + 1, odd.message),
      labelSpanOf(backup, odd.row),
    );
  const wrong = totals[wrongTotals(backup)[0] ?? -1];
  if (wrong === undefined) return undefined;
  const stored = wrong.stored?.[0];
  return unfit(
    phrase('The backup is not sound: its {0} is wrong. Name a sound one, or read the module again.', wrong.total.name),
    stored && cellSpan(backup, stored),
  );
}

function lockedProblems(dump: Dump, backup: Dump): Problem[] {
  return dump.profile.locked.flatMap(({ place, why }) => {
    const here = placeCells(dump.layout, place);
    const there = placeCells(backup.layout, place);
    return here.flatMap((cell, i) =>
      cell === undefined ? [] : lockedProblem(dump, cell, backup, there[i], why ?? ''),
    );
  });
}

function lockedProblem(dump: Dump, cell: Cell, backup: Dump, there: Cell | undefined, why: string): Problem[] {
  const now = byteAt(dump.rows, cell);
  const was = there && byteAt(backup.rows, there);
  const span = cellSpan(dump, cell);
  if (now === undefined || was === undefined || now === was || span === undefined) return [];
  const { label } = dump.rows[cell.row] as RecordRow;
  const message = phrase(
    'Byte {0} of line {1} is locked ({2}): it was {3} in the backup and is {4} now. Restore it.',
    cell.byte + 1,
    label,
    why,
    hex(was),
    hex(now),
  );
  return [{ ...span, code: 'locked-changed', severity: 'error', message, label, expected: hex(was), found: hex(now) }];
}
