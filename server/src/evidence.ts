import { phrase } from '../../shared-core/src/base/index.js';
import type { LoadedDump } from '../../shared-core/src/checks/index.js';
import { isEarlierReading, isLaterReading, namedDump } from '../../shared-core/src/jobs/index.js';
import { isForComparison, isReadBack } from '../../shared-core/src/model/index.js';
import type { FileAnalysis, Session } from './session.js';

/** What a dump is kept for as it is; nothing offers to change it, and it needs no backup. */
export type Evidence = 'comparison' | 'readBack';

/** It is only to compare with, or was read back: as its name says, or as a dump in work of its module shows. */
export async function evidenceOf(session: Session, explained: FileAnalysis): Promise<Evidence | undefined> {
  const { dump, name } = explained;
  if (isForComparison(dump)) return 'comparison';
  if (isReadBack(explained)) return 'readBack';
  const read = namedDump(name, explained);
  return (await isAnyWork(session, explained, (work) => isLaterReading(read, work))) ? 'readBack' : undefined;
}

/** Where a wrong time may be all that keeps a dump from counting as read back, a backup of it is not what is missing. */
export const BEFORE_BACKUP = phrase('Read before the backup of this module by its "@taken": not a read-back');

/** Whether it was read before the backup of a dump in work of its module, by the time that it says. */
export async function isBeforeBackup(session: Session, explained: FileAnalysis): Promise<boolean> {
  const read = namedDump(explained.name, explained);
  return isAnyWork(session, explained, (work) => isEarlierReading(read, work));
}

/** Whether something is so of a dump that goes by the same profile, for one that names no backup. */
async function isAnyWork(
  session: Session,
  { file, profileFile, backup }: FileAnalysis,
  isSo: (work: LoadedDump) => boolean,
): Promise<boolean> {
  if (backup.kind !== 'none' || profileFile === undefined) return false;
  for (const other of (await session.files.unsealed()).dumps) {
    if (other.profileFile !== profileFile || other.file === file) continue;
    const work = await session.analyzeFile(other.file);
    if (work.ok && isSo(work.value)) return true;
  }
  return false;
}
