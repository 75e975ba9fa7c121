import { type Phrase, phrase } from '../base/phrase.js';
import { readBackup, unfitBackup } from '../checks/backup.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import { compareDumps, differs } from '../compare/compareDumps.js';
import type { Dump } from '../model/dump.js';
import { headerOf, isSealed } from '../model/headers.js';

/** What a dump is as evidence of what its car holds. */
export interface AsRead {
  /** Undefined where it is left out. */
  readonly dump: Dump | undefined;
  readonly remarks: readonly Phrase[];
}

/** Which dumps, by the files they are in, are compared with it. */
export interface Among {
  readonly isThere: (file: string) => boolean;
  /** The only one of each group, where there are no more: then they are one car before and after. */
  readonly pair: readonly string[];
}

/**
 * A dump as it was read from the module: bytes that were changed since its backup are planned, and show nothing of the
 * car. Its backup takes its place, unless that is among the dumps anyway. A pair of the two stays what it is.
 */
export function asRead(
  { name, file, dump, backup, backupFile = '' }: Pick<LoadedDump, 'name' | 'file' | 'dump' | 'backup' | 'backupFile'>,
  { isThere, pair }: Among,
): AsRead {
  if (headerOf(dump, 'backup') === undefined || isSealed(dump)) return { dump, remarks: [] };
  const read = readBackup(backup);
  if (!read.ok) return { dump: undefined, remarks: [phrase('Not compared: {0}. {1}', name, read.why)] };
  if (!differs(compareDumps(read.value, dump))) return { dump, remarks: [] };
  const unfit = unfitBackup(dump, read.value);
  if (unfit !== undefined) return { dump: undefined, remarks: [phrase('Not compared: {0}. {1}', name, unfit.message)] };
  if (pair.includes(file) && pair.includes(backupFile)) return { dump, remarks: [phrase('{0}: {1}', name, CHANGED)] };
  return isThere(backupFile)
    ? { dump: undefined, remarks: [phrase('Not compared: {0}. {1}', name, CHANGED)] }
    : { dump: read.value, remarks: [phrase('{0}: {1} The backup is compared in its place.', name, CHANGED)] };
}

const CHANGED = phrase('It was changed since its backup.');
