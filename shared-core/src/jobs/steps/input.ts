import type { Phrase } from '../../base/phrase.js';
import type { SavedCard } from '../card/savedCard.js';
import type { RetrofitFile } from '../retrofitFile.js';
import type { JobDump } from './module.js';

/** What lies in the folders that are open, and what of it is only in the editor so far. */
export interface JobInput {
  readonly dumps: readonly JobDump[];
  readonly retrofits: readonly JobRetrofit[];
  readonly cards: readonly SavedCard[];
  /** Files that may be part of any job here and cannot be read, and folders that cannot be listed: a sentence each. */
  readonly unread: readonly UnreadFile[];
  /** Whether a file is on the disk as the editor shows it. */
  readonly isSaved: (file: string) => boolean;
  /** Whether a file is in none of the folders that are open, where there are some: its job is here only while it is open. */
  readonly isOutside: (file: string) => boolean;
  /** ISO 8601. */
  readonly now: string;
}

export interface UnreadFile {
  /** Undefined for a folder. */
  readonly file: string | undefined;
  readonly says: Phrase;
}

export interface JobRetrofit {
  readonly file: string;
  readonly read: RetrofitFile;
  /** The files of the profiles that its changes name, in their order. */
  readonly profileFiles: readonly string[];
}
