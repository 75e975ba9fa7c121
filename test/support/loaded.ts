import type { BackupStatus, Dump, OtherModules, ProfileStatus } from '../../shared-core/src/index.js';

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
