import type { BackupStatus } from '../../shared-core/src/checks/backup.js';
import type { ProfileStatus } from '../../shared-core/src/checks/loadedDump.js';
import type { OtherModules } from '../../shared-core/src/checks/otherModules.js';
import type { Dump } from '../../shared-core/src/model/index.js';

const NONE = { kind: 'none' } as const;

/** The status of a profile without problems. */
export const SOUND: ProfileStatus = { kind: 'read' };

/** A dump with all that it is checked with. */
export function loaded(
  dump: Dump,
  profile: ProfileStatus = NONE,
  backup: BackupStatus = NONE,
  modules: OtherModules = () => [],
) {
  return { dump, profile, backup, modules };
}
