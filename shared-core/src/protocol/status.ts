/** Client to server: a short account of the dump, for the status item. */
export const STATUS = 'countersum/status';
export interface StatusResult {
  readonly profile: string | null;
  readonly errors: number;
  readonly warnings: number;
  /** Whether all of the dump was read and checked, and nothing is wrong with it. */
  readonly good: boolean;
  /** How many bytes differ from the backup, where that can be read. */
  readonly backup: 'none' | 'unreadable' | number;
}
