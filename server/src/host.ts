import type { Translation } from '../../shared-core/src/index.js';

/** Where the server runs: its only way to files. */
export interface Host {
  /** The text of a file, or undefined where it does not exist, cannot be read, or is too large to be worked with. */
  readonly readText: (uri: string) => Promise<string | undefined>;
  /** The dumps, profiles and retrofits below folders, as addresses in rising order. */
  readonly listFiles: (folders: readonly string[]) => Promise<readonly string[]>;
  /** The sentences in the language of a locale; empty for English, which the patterns themselves are. */
  readonly translation: (locale: string | undefined) => Translation;
}
