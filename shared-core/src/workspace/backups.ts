import { type Phrase, phrase } from '../base/phrase.js';
import type { Result } from '../base/result.js';
import type { BackupStatus } from '../checks/backup.js';
import type { Dump } from '../model/dump.js';
import { headersOf } from '../model/headers.js';
import { NOT_SAVED } from './profiles.js';
import { isUnsaved, namedUri } from './uri.js';

/** The backup that a dump names, and what became of it. */
export interface FoundBackup {
  readonly file: string | undefined;
  readonly status: BackupStatus;
}

/** Reads another dump; `'itself'` where that is the one that names it, under whatever name. */
export type ReadBackup = (file: string) => Promise<Result<Dump> | 'itself'>;

/** Finds the backup that the `@backup` headers of a dump name. */
export async function findBackup(dump: Dump, file: string, read: ReadBackup): Promise<FoundBackup> {
  const named = headersOf(dump).filter(({ header: { name, value } }) => name === 'backup' && value !== '');
  const [path, ...others] = [...new Set(named.map(({ header: { value } }) => value))];
  if (path === undefined) return { file: undefined, status: { kind: 'none' } };
  if (others.length > 0) {
    const all = [path, ...others].join(', ');
    return unreadable(undefined, phrase('This dump names several backups: {0}. Keep the one as it was found.', all));
  }
  if (isUnsaved(file)) return unreadable(undefined, NOT_SAVED);
  const whyNot = (why: Phrase) =>
    phrase('The backup "{0}" cannot be read: {1}. Correct the path, or make a backup.', path, why);
  const there = namedUri(file, path);
  if (!there.ok) return unreadable(undefined, whyNot(there.why));
  const backup = await read(there.value);
  if (backup === 'itself') return { file: there.value, status: { kind: 'itself' } };
  if (!backup.ok) return unreadable(there.value, whyNot(backup.why));
  return { file: there.value, status: { kind: 'read', dump: backup.value, file: there.value } };
}

function unreadable(file: string | undefined, why: Phrase): FoundBackup {
  return { file, status: { kind: 'unreadable', why } };
}
