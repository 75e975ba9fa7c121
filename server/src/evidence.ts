import { isLaterReading, namedDump } from '../../shared-core/src/jobs/index.js';
import { isForComparison, isReadBack } from '../../shared-core/src/model/index.js';
import type { FileAnalysis, Session } from './session.js';

/** What a dump is kept for as it is; nothing offers to change it, and it needs no backup. */
export type Evidence = 'comparison' | 'readBack';

/** It is only to compare with, or was read back: as its name says, or as a dump in work of its module shows. */
export async function evidenceOf(session: Session, explained: FileAnalysis): Promise<Evidence | undefined> {
  const { dump, file, name, profileFile, backup } = explained;
  if (isForComparison(dump)) return 'comparison';
  if (isReadBack(explained)) return 'readBack';
  if (backup.kind !== 'none' || profileFile === undefined) return undefined;
  for (const other of (await session.files.unsealed()).dumps) {
    if (other.profileFile !== profileFile || other.file === file) continue;
    const work = await session.analyzeFile(other.file);
    if (work.ok && isLaterReading(namedDump(name, explained), work.value)) return 'readBack';
  }
  return undefined;
}
