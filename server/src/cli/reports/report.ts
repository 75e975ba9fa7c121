import type { Phrase } from '../../../../shared-core/src/base/index.js';
import type { Found } from '../found.js';

/** What is told of a file that was checked, to other programs. */
export interface Reported {
  readonly name: string;
  readonly problems: readonly Found[];
  /** Why nothing of it could be read. */
  readonly unread: Phrase | undefined;
  /** What was not checked, in a sentence each. */
  readonly unchecked: readonly Phrase[];
  /** The status in which a check of this file alone ends. */
  readonly status: 0 | 1 | 2;
  /** In seconds. */
  readonly time: number;
}

/** The codes of what concerns a file as a whole. */
export const UNREAD = 'file-not-read';
export const UNCHECKED = 'not-checked';
