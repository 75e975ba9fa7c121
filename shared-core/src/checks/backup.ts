import { hex } from '../bytes/hex.js';
import { type Cell, cellsOf } from '../dump/cell.js';
import type { Dump } from '../dump/dump.js';
import { type HeaderName, headerOf, headerValue } from '../dump/headers.js';
import { sealHolds } from '../dump/seal.js';
import { cellSpan } from '../dump/spans.js';
import { wrongTotals } from '../dump/totalReading.js';
import { byteAt } from '../dump/totals.js';
import type { RecordRow } from '../notation/row.js';
import { type Phrase, phrase } from '../words/phrase.js';
import type { Problem, ProblemCode } from './problem.js';

/** What became of a dump's `@backup` header. */
export type BackupStatus =
  | { readonly kind: 'none' }
  | { readonly kind: 'unreadable'; readonly why: Phrase }
  | { readonly kind: 'itself' }
  | { readonly kind: 'read'; readonly dump: Dump };

/** The backup's own dump, where it could be read and is of the same module. */
export function backupDump(dump: Dump, backup: BackupStatus): Dump | undefined {
  return backup.kind === 'read' && otherIdentity(dump, backup.dump) === undefined ? backup.dump : undefined;
}

/** Headers that must agree between a dump and its backup, where both have them. */
const IDENTITY: readonly HeaderName[] = ['vin', 'vehicle', 'part', 'software', 'module'];

/** A seal that does not fit the records any more. */
export function sealProblems(dump: Dump): Problem[] {
  const seal = headerOf(dump, 'seal');
  if (seal === undefined || sealHolds(dump.rows, seal.header.value)) return [];
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
  const other = otherIdentity(dump, backup.dump);
  if (other !== undefined) {
    const message = phrase('This backup is not of the same module: "@{0}" is "{1}" there and "{2}" here.', ...other);
    return at('backup-other-vehicle', message);
  }
  const unsound = whyUnsound(backup.dump);
  if (unsound !== undefined) return at('backup-invalid', unsound);
  return lockedProblems(dump, backup.dump);
}

/** The first identity header that differs, with the backup's value and this dump's. */
export function otherIdentity(dump: Dump, backup: Dump): readonly [string, string, string] | undefined {
  for (const name of IDENTITY) {
    const there = headerValue(backup, name);
    const here = headerValue(dump, name);
    if (there !== undefined && here !== undefined && there.toUpperCase() !== here.toUpperCase())
      return [name, there, here];
  }
  return undefined;
}

function whyUnsound(backup: Dump): Phrase | undefined {
  const { layout, troubled, wrongSums, wrongLengths, totals } = backup;
  const lines = troubled.length + wrongLengths.length + layout.missing.length + layout.repeated.length;
  if (sealProblems(backup).length > 0)
    return phrase('The seal of the backup is broken: its records were changed after it was sealed.');
  if (lines > 0)
    return phrase('The backup is not whole: {0} of its lines are missing, repeated or cannot be read.', lines);
  if (wrongSums.length > 0) {
    const label = (backup.rows[wrongSums[0] as number] as RecordRow).label;
    return phrase(
      'The backup is not sound: {0} of its line sums are wrong, the first in line {1}.',
      wrongSums.length,
      label,
    );
  }
  const [unfit] = layout.imageProblems;
  if (unfit !== undefined) return phrase('The backup is not whole. Row {0}: {1}', unfit.row + 1, unfit.message);
  const [wrong] = wrongTotals(backup);
  return wrong === undefined
    ? undefined
    : phrase('The backup is not sound: its {0} is wrong.', totals[wrong]?.total.name ?? '');
}

function lockedProblems(dump: Dump, backup: Dump): Problem[] {
  return dump.profile.locked.flatMap(({ place, why }) => {
    const here = cellsOf(dump.layout, place) ?? [];
    const there = cellsOf(backup.layout, place) ?? [];
    return here.flatMap((cell, i) => lockedProblem(dump, cell, backup, there[i], why ?? ''));
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
