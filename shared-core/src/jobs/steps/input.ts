import type { Phrase } from '../../base/phrase.js';
import type { Say } from '../card/input.js';
import { NOT_YET } from '../card/jobCard.js';
import type { RetrofitFile } from '../retrofitFile.js';
import type { JobDump } from './module.js';

/** What lies in the folders that are open, and what of it is only in the editor so far. */
export interface JobInput {
  readonly dumps: readonly JobDump[];
  readonly retrofits: readonly JobRetrofit[];
  readonly cards: readonly SavedCard[];
  /** Files that may be part of any job here and cannot be read, and folders that cannot be listed: a sentence each. */
  readonly unread: readonly Phrase[];
  /** Whether a file is on the disk as the editor shows it. */
  readonly isSaved: (file: string) => boolean;
}

export interface JobRetrofit {
  readonly file: string;
  readonly read: RetrofitFile;
  /** The files of the profiles that its changes name, in their order. */
  readonly profileFiles: readonly string[];
}

/** A job card that was kept: its text lists the digests of the dumps that it was made of. */
export interface SavedCard {
  readonly file: string;
  readonly name: string;
  readonly text: string;
  /** Whether something was open when it was made, so that it says not to write yet. */
  readonly isOpen: boolean;
}

/** A card as it was kept, in English or the language of the person. */
export function savedCard(file: string, name: string, text: string, say: Say): SavedCard {
  return { file, name, text, isOpen: [say(NOT_YET), NOT_YET.pattern].some((words) => text.includes(words)) };
}
