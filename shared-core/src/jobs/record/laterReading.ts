import { isRowToCome, rowOfReading } from '../../base/namedTime.js';
import { type Phrase, phrase } from '../../base/phrase.js';
import type { LoadedDump } from '../../checks/loadedDump.js';
import type { Dump } from '../../model/dump.js';
import { headerValue } from '../../model/headers.js';
import { whyInWork } from '../../model/readBack.js';
import { whyToLoad } from '../../model/toLoadName.js';
import { isOfAnotherModule } from '../../model/useHeader.js';
import { sameVehicle } from '../../model/vehicle.js';
import { timeInWords } from '../card/identity.js';
import type { NamedDump } from '../card/input.js';
import { isLater, isTakenLater, isToCome, roleOf, rowAgainst, statedBy, timeOf } from './timeline.js';

type Read = Pick<NamedDump, 'name' | 'dump'>;

/**
 * Why a dump shows nothing of what was written into the module after its backup was made; undefined where it was read later.
 * `now` (ISO 8601): nothing was read after that.
 */
export function whyNoLaterReading(one: Read, backup: Read, now?: string): Phrase | undefined {
  const why = whyToLoad(one.name) ?? whyInWork(one) ?? whyEarlier(one, backup);
  if (why !== undefined) return why;
  if (!isLater(one, backup)) return whyUnordered(one, backup);
  return now !== undefined && isToCome(one, now) ? whyToCome(one) : undefined;
}

/** A dump by the name of its file, or by what it is for. */
interface Called {
  readonly name: string | Phrase;
  readonly dump: Dump;
}

/** That a dump was read before the backup, or is what that was made of. */
export function whyEarlier(one: Called, backup: Called): Phrase | undefined {
  const row = whyByRow(one, backup);
  if (row !== undefined || !isTakenLater(backup, one)) return row;
  return phrase(
    '{0} is dated before the backup: its "@taken" is {1}, that of {2} is {3}. Read the module again, or correct the time if it is wrong.',
    one.name,
    headerValue(one.dump, 'taken') ?? '',
    backup.name,
    headerValue(backup.dump, 'taken') ?? '',
  );
}

/** That the row of a dump says that it was not read after another one, whatever its "@taken" says. */
export function whyByRow(one: Called, other: Called): Phrase | undefined {
  const against = rowAgainst(one, other);
  const before = rowOfReading(statedBy(other))?.written ?? timeInWords(headerValue(other.dump, 'taken') ?? '');
  const row = against?.isKnown === true ? against.row : undefined;
  return (
    row &&
    phrase(
      '{0} was not read after {1} ({2}): its row {3} says {4}. Read the module again, or correct that row if it is wrong.',
      one.name,
      other.name,
      before,
      (row.row ?? 0) + 1,
      row.written,
    )
  );
}

/** That nobody can tell by a row of a dump whether it was read after another one. */
export function whyRowUnclear(one: Called, other: Called): Phrase | undefined {
  const against = rowAgainst(one, other);
  if (against === undefined || against.isKnown) return undefined;
  const { row, written, isClear } = against.row;
  const at = (row ?? 0) + 1;
  return isClear
    ? phrase(
        '{0}: Row {1} says {2}, which does not tell whether it was read after {3}.',
        one.name,
        at,
        written,
        other.name,
      )
    : phrase(
        '{0}: Row {1} may say when it was read, in a way that is not understood ({2}). Write the day in it such as 2026-11-27.',
        one.name,
        at,
        written,
      );
}

/** That nobody knows when a dump was read which says a time that is still to come. */
export function whyToCome({ name, dump }: Read): Phrase {
  const stated = statedBy({ dump });
  const row = rowOfReading(stated);
  // Of the two the later one.
  if (row !== undefined && isRowToCome(row, stated.taken?.first ?? 0))
    return phrase(
      '{0}: Row {1} says {2}, which is in the future. Correct it, or the clock of this computer.',
      name,
      (row.row ?? 0) + 1,
      row.written,
    );
  return phrase(
    '"@taken" of {0} is {1}, which is in the future. Correct it, or the clock of this computer.',
    name,
    headerValue(dump, 'taken') ?? '',
  );
}

/**
 * Whether a dump was read from the module of a dump in work after the backup of that was, by its "@taken": it is kept as it
 * was read, also where a row of it says otherwise.
 */
export function isLaterReading(one: NamedDump, work: LoadedDump): boolean {
  const backup = backupOfModule(one, work);
  return backup !== undefined && isTakenLater(one, { dump: backup });
}

/** Whether it was read before the backup, by its "@taken". */
export function isEarlierReading(one: NamedDump, work: LoadedDump): boolean {
  const backup = backupOfModule(one, work);
  return backup !== undefined && isTakenLater({ dump: backup }, one);
}

/** The backup of a dump in work, where another dump is a reading of the same module; else undefined. */
function backupOfModule(one: NamedDump, { dump, backup, profileFile }: LoadedDump): Dump | undefined {
  const isReading =
    roleOf(one) === 'reading' &&
    !isOfAnotherModule(one.dump) &&
    headerValue(dump, 'backup') !== undefined &&
    one.profileFile !== undefined &&
    one.profileFile === profileFile &&
    sameVehicle(one.dump, dump);
  return isReading && backup.kind === 'read' ? backup.dump : undefined;
}

/** Why nobody can tell which of two dumps was read later. */
export function whyUnordered(one: Read, other: Read): Phrase {
  const undated = [one, other].find((dump) => timeOf(dump) === undefined);
  if (undated !== undefined) return whyUndated(undated);
  const row =
    whyByRow(one, other) ??
    whyRowUnclear(one, other) ??
    (isTakenLater(other, one) ? (whyByRow(other, one) ?? whyRowUnclear(other, one)) : undefined);
  if (row !== undefined) return row;
  const taken = ({ dump }: Read) => headerValue(dump, 'taken') ?? '';
  return phrase(
    '"@taken" is "{0}" in {1} and "{2}" in {3}, which does not tell which of them was read later.',
    taken(one),
    one.name,
    taken(other),
    other.name,
  );
}

/** Why it is not known when a dump was read. */
export function whyUndated({ dump, name }: Read): Phrase {
  const written = headerValue(dump, 'taken');
  return written === undefined
    ? phrase('"@taken" is missing in {0}.', name)
    : phrase('"@taken" of {0} is "{1}", which is no day and time.', name, written);
}
