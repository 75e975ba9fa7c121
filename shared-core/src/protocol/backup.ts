import type { DumpParams, EditResult } from './common.js';

/** Client to server: what a sealed copy of the dump would hold, and where it would stand. */
export const BACKUP = 'countersum/backup';
export interface BackupParams extends DumpParams {
  /** The dump is shown of a file of raw bytes, and so is the copy to be. */
  readonly isRaw?: boolean;
}
export interface BackupResult {
  /** Names to try in turn, best first: a backup never takes the place of a file. */
  readonly names: readonly string[];
  readonly text: string;
  /** What the seal in it says. */
  readonly seal: string;
  /** Headers for the file beside the copy, where its form has no place for them; the one beside the dump names the copy then. */
  readonly beside?: string;
  /** The editor holds other bytes: what is sealed is the file as it was last saved. */
  readonly isSaved: boolean;
  /** Where the header that names the backup goes into the dump, counted from 0, and whether it replaces that line. */
  readonly line: number;
  readonly column: number;
  readonly replaces: boolean;
  /** What stands before and after the name. */
  readonly before: string;
  readonly after: string;
  readonly version: number;
}

/** Client to server: whether a copy that was written is read from its file as what was sealed; refused where it is not. */
export const BACKUP_WRITTEN = 'countersum/backupWritten';
export interface BackupWrittenParams extends DumpParams {
  /** What the seal of the copy says. */
  readonly seal: string;
}

/** Client to server: the lines in which a dump is not as its backup. */
export const RESTORABLE_LINES = 'countersum/restorableLines';
export interface RestorableLine {
  readonly label: string;
  /** What it is called: "Line 4", or of an image the address of the record. */
  readonly title: string;
  readonly detail: string;
}

/** Client to server: the edit that takes lines back to what the backup holds, proved byte for byte. */
export const RESTORE = 'countersum/restore';
export interface RestoreParams extends DumpParams {
  readonly labels: readonly string[];
}
export type RestoreResult = EditResult;
