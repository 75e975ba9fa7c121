import { hex, hexBytes } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import type { RowSpan } from '../base/span.js';
import { placeCells } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { headerOf, type PlacedHeader, sealsOf } from '../model/headers.js';
import { anotherInWords, isOwnBackup, otherIdentity, whyBackupUnconfirmed } from '../model/identity.js';
import { labelOfRow } from '../model/layout.js';
import { lineCalled } from '../model/lineName.js';
import { bytesOfPlace, type Protected, protectedPlaces } from '../model/protected.js';
import { placeBefore, type RecordMove, recordMoves } from '../model/recordMoves.js';
import { cellSpan, labelSpanOf } from '../model/spans.js';
import { readTotal } from '../model/totalReading.js';
import { byteAt } from '../model/totals.js';
import { isMasked, whySetAside } from '../model/useHeader.js';
import { whyNotWhole } from '../model/whole.js';
import { sumName } from '../profile/sumName.js';
import type { ProblemCode } from './diagnostics.js';
import { type Problem, problem } from './problem.js';

/** What became of a dump's `@backup` header. */
export type BackupStatus =
  | { readonly kind: 'none' }
  | { readonly kind: 'unreadable'; readonly why: Phrase }
  | { readonly kind: 'itself' }
  /** `file` is the caller's id of the file (path or URI). */
  | { readonly kind: 'read'; readonly dump: Dump; readonly file?: string };

/** The dump in the backup, whatever it is of; or why there is none to be read. */
export function readBackup(backup: BackupStatus): Result<Dump> {
  switch (backup.kind) {
    case 'read':
      return done(backup.dump);
    case 'unreadable':
      return refuse(backup.why);
    case 'itself':
      return refuse(phrase('The backup is this file itself. Name the dump as it was found.'));
    case 'none':
      return {
        ...refuse(phrase('This dump names no backup. Make one first, or add a line "@backup FILE".')),
        helps: 'backup',
      };
  }
}

/** The backup's own dump, where it could be read and says that it is of the same module. */
export function backupDump(dump: Dump, backup: BackupStatus): Dump | undefined {
  return backup.kind === 'read' && isOwnBackup(dump, backup.dump) ? backup.dump : undefined;
}

/** Why a backup without a seal is no way back. */
export function notSealed(name: string): Phrase {
  return phrase(
    'The backup {0} is not sealed, so nobody can tell whether it is still as it was read. Name a sealed one, or read the module again.',
    name,
  );
}

/** A seal that does not fit the records any more. */
export function sealProblems(dump: Dump): Problem[] {
  const seals = sealsOf(dump);
  const [first, second] = seals;
  if (first === undefined || dump.sealHolds !== false) return [];
  const odd = seals.find((seal) => whyNoSeal(seal) !== undefined) ?? second ?? first;
  const message =
    whyNoSeal(odd) ??
    phrase(
      'The seal is broken: records of this backup were changed after it was sealed. Do not trust it as a way back; read the module again, or find an untouched copy.',
    );
  return [problem('seal-broken', { row: odd.row, ...odd.header.valueSpan }, message)];
}

/** Why a seal proves nothing, whatever the records are. */
function whyNoSeal({ header: { name, value } }: PlacedHeader): Phrase | undefined {
  if (name !== 'seal')
    return phrase(
      'A seal is written "@seal". Spelled otherwise it proves nothing, and the file is never written all the same: correct its name.',
    );
  return /^sha256:[0-9a-f]{64}$/i.test(value)
    ? undefined
    : phrase(
        'This seal is not of a form known here ("sha256:" and 64 hex digits), so nobody can tell whether the records were changed after it. Do not trust this backup as a way back; read the module again, or find an untouched copy.',
      );
}

/** Whether the backup can serve as one, and whether locked and security bytes still are as they were in it. */
export function backupProblems(dump: Dump, backup: BackupStatus): Problem[] {
  const header = headerOf(dump, 'backup');
  if (header === undefined || backup.kind === 'none') return [];
  const place = { row: header.row, ...header.header.valueSpan };
  const read = readBackup(backup);
  if (!read.ok) return [problem(backup.kind === 'itself' ? 'backup-invalid' : 'backup-unreadable', place, read.why)];
  const unfit = unfitBackup(dump, read.value);
  if (unfit === undefined) {
    const unconfirmed = whyBackupUnconfirmed(dump, read.value);
    const moves = recordMoves(read.value, dump);
    return [
      ...(unconfirmed === undefined ? [] : [problem('backup-unconfirmed', place, unconfirmed)]),
      ...protectedPlaces(dump.profile).flatMap((one) => protectedProblems(dump, read.value, one, place, moves)),
    ];
  }
  const file = backup.kind === 'read' ? backup.file : undefined;
  const related = file && unfit.there && { span: unfit.there, message: phrase('This place in the backup'), file };
  return [problem(unfit.code, place, unfit.message, related ? { related } : {})];
}

/** Why a dump is no way back, and the place in it that says so. */
export interface Unfit {
  readonly code: ProblemCode;
  readonly message: Phrase;
  readonly there: RowSpan | undefined;
}

/** Why a backup is no way back for a dump: it is set aside, of another module, not whole or not sound. */
export function unfitBackup(dump: Dump, backup: Dump): Unfit | undefined {
  return setAside(dump, backup) ?? ofAnother(dump, backup) ?? unsound(backup);
}

/** A dump that says itself that it is nothing of the modules that are worked on here; copies for others belong together. */
function setAside(dump: Dump, backup: Dump): Unfit | undefined {
  if (isMasked(dump) && isMasked(backup)) return undefined;
  const message = whySetAside(phrase('The backup'), backup);
  if (message === undefined) return undefined;
  const place = headerOf(backup, 'use');
  return { code: 'backup-invalid', message, there: place && { row: place.row, ...place.header.valueSpan } };
}

function ofAnother(dump: Dump, backup: Dump): Unfit | undefined {
  const other = otherIdentity(backup, dump);
  if (other === undefined) return undefined;
  const message = phrase(
    'This backup is of {0}: "@{1}" is "{2}" there and "{3}" here. Name the dump that was found in this module, or correct the header that is wrong.',
    anotherInWords(other[0]),
    ...other,
  );
  const place = headerOf(backup, other[0]);
  return { code: 'backup-other-vehicle', message, there: place && { row: place.row, ...place.header.valueSpan } };
}

/** A backup that was edited, is not whole, or holds a sum that is wrong or cannot be checked. */
function unsound(backup: Dump): Unfit | undefined {
  const { wrongSums, totals } = backup;
  const unfit = (message: Phrase, there?: RowSpan): Unfit => ({ code: 'backup-invalid', message, there });
  const [seal] = sealProblems(backup);
  if (seal !== undefined)
    return unfit(
      phrase(
        'The seal of the backup is broken or not known: nobody can tell that its records are as they were sealed. Name an untouched copy, or read the module again.',
      ),
      seal,
    );
  const [part] = whyNotWhole(backup);
  if (part !== undefined)
    return unfit(
      phrase('The backup is not whole: {0} Name a whole one, or read the module again.', part.why),
      part.row === undefined ? undefined : labelSpanOf(backup, part.row),
    );
  const [sum] = wrongSums;
  if (sum !== undefined) {
    const message = phrase(
      'The backup is not sound: {0} of its line sums are wrong, the first in line {1}. Name a sound one, or read the module again.',
      wrongSums.length,
      lineCalled(backup, sum),
    );
    return unfit(message, labelSpanOf(backup, sum));
  }
  for (const [index, { total, stored }] of totals.entries()) {
    const reading = readTotal(backup, index);
    if (reading !== undefined && reading.stored === reading.computed) continue;
    const message =
      reading === undefined
        ? phrase(
            'The backup is not sound: its {0} cannot be checked. Name a sound one, or read the module again.',
            sumName(total),
          )
        : phrase(
            'The backup is not sound: its {0} is wrong. Name a sound one, or read the module again.',
            sumName(total),
          );
    return unfit(message, stored?.[0] && cellSpan(backup, stored[0]));
  }
  return undefined;
}

/** Bytes of a locked or security place that are not as in the backup, or that only one of both has. */
function protectedProblems(
  dump: Dump,
  backup: Dump,
  one: Protected,
  header: RowSpan,
  moves: readonly RecordMove[],
): Problem[] {
  const there = placeBefore(moves, one.place);
  if (one.kind === 'volatile' || there === undefined) return [];
  const here = placeCells(dump.layout, one.place);
  const now = here.map((cell) => cell && byteAt(dump.rows, cell));
  const was = placeCells(backup.layout, there).map((cell) => cell && byteAt(backup.rows, cell));
  const isSealed = backup.sealHolds === true;
  const code = one.kind === 'locked' ? 'locked-changed' : 'security-changed';
  const changed = here.flatMap((cell, i): Problem | readonly [] => {
    const [a, b] = [was[i], now[i]];
    if (cell === undefined || a === undefined || b === undefined || ((a ^ b) & one.mask) === 0) return [];
    const label = labelOfRow(dump.rows[cell.row]);
    const facts = { ...(label === undefined ? {} : { label }), expected: hex(a), found: hex(b) };
    return problem(code, cellSpan(dump, cell) ?? header, changedInWords(dump, one, i, hex(a), hex(b), isSealed), facts);
  });
  const gone = was.findIndex((value, i) => value !== undefined && now[i] === undefined);
  const fresh = now.findIndex((value, i) => value !== undefined && was[i] === undefined);
  const at = (cell: (typeof here)[number]) => (cell === undefined ? header : labelSpanOf(dump, cell.row));
  return [
    ...changed,
    ...(gone < 0
      ? []
      : [
          problem(
            code,
            at(here[gone] ?? here.find((cell) => cell !== undefined)),
            goneInWords(
              dump,
              one,
              gone,
              hexBytes(was.filter((value, i) => value !== undefined && now[i] === undefined) as number[], ' '),
              isSealed,
            ),
          ),
        ]),
    ...(fresh < 0
      ? []
      : [
          problem(
            'not-checked',
            at(here[fresh]),
            phrase(
              '{0} is not in the backup, so nobody can tell whether it was changed.',
              bytesOfPlace(one.place, fresh, 1, dump),
            ),
          ),
        ]),
  ];
}

function changedInWords(
  dump: Dump,
  { place, kind, name }: Protected,
  i: number,
  was: string,
  now: string,
  isSealed: boolean,
): Phrase {
  const byte = bytesOfPlace(place, i, 1, dump);
  return kind === 'locked'
    ? phrase(
        '{0} is locked ({1}): it was {2} in the backup and is {3} now. {4}',
        byte,
        name,
        was,
        now,
        wayBackInWords(isSealed),
      )
    : phrase(
        '{0} holds "{1}", which concerns the security of the vehicle: it was {2} in the backup and is {3} now. Do not write this dump. {4}',
        byte,
        name,
        was,
        now,
        wayBackInWords(isSealed),
      );
}

/** Protected bytes are taken back from sealed backups alone. */
function wayBackInWords(isSealed: boolean): Phrase {
  return isSealed
    ? phrase('Restore it.')
    : phrase(
        'The backup is not sealed, so no command takes the byte back: correct it by hand, or read the module again.',
      );
}

function goneInWords(dump: Dump, { place, kind, name }: Protected, i: number, was: string, isSealed: boolean): Phrase {
  const byte = bytesOfPlace(place, i, 1, dump);
  return kind === 'locked'
    ? phrase(
        '{0} is locked ({1}) and cannot be read here; the backup holds {2}. {3}',
        byte,
        name,
        was,
        wayBackInWords(isSealed),
      )
    : phrase(
        '{0} holds "{1}", which concerns the security of the vehicle, and cannot be read here; the backup holds {2}. Do not write this dump. {3}',
        byte,
        name,
        was,
        wayBackInWords(isSealed),
      );
}
