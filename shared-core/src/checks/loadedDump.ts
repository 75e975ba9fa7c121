import type { Phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import type { BackupStatus } from './backup.js';
import type { Dependent, OtherModules } from './otherModules.js';

/** What became of the profile that a dump names: what is wrong with one that was read, it says itself (`flaw`). */
export type ProfileStatus =
  /** No header names one, and none was given. */
  | { readonly kind: 'none' }
  /** `isStale`: what is shown comes from its last good version, and proves nothing. */
  | { readonly kind: 'unreadable'; readonly why: Phrase; readonly isStale?: true }
  | { readonly kind: 'read' };

/** A dump with all that explains it, as the workspace loads it: what every check and every action starts from. */
export interface LoadedDump {
  /** The caller's id of the file: a URI. */
  readonly file: string;
  /** Its name for people. */
  readonly name: string;
  readonly dump: Dump;
  /** The file of the profile that the dump names or that was given, whether or not it could be read. */
  readonly profileFile: string | undefined;
  readonly profile: ProfileStatus;
  /** The same by the profile that the dump names itself, where a person gave another: what that protects stays protected. */
  readonly own?: Dump;
  readonly backupFile: string | undefined;
  readonly backup: BackupStatus;
  /** Dumps of other modules of the same vehicle that the profile's conditions mention. */
  readonly modules: OtherModules;
  /** Dumps of other modules of the same vehicle, beside it, whose conditions mention it; where they were asked for. */
  readonly dependents?: readonly Dependent[];
  /** Whether it shows what the module held after it was written, and so stays as it was read. */
  readonly isReadBack?: boolean;
}
