/** Client to server: a short account of the dump, for the status item. */
export const STATUS = 'countersum/status';
export interface StatusResult {
  readonly profile: string | null;
  /** `unknown`: nothing describes the form of the text; `stale`: the last good version of the profile is shown. */
  readonly state: 'read' | 'none' | 'unknown' | 'unreadable' | 'stale';
  /** Profiles at hand that fit a dump which names none; its first line has quick fixes that name them. */
  readonly fitting: readonly string[];
  readonly errors: number;
  readonly warnings: number;
  /** Whether all of the dump was read and checked, and nothing is wrong with it. */
  readonly good: boolean;
  /** How many sums are right and how many lines were not read, in words, where some were not. */
  readonly account: string | null;
  /** How many bytes differ from the backup, where that can be read. */
  readonly backup: 'none' | 'unreadable' | number;
}
