import { type Phrase, say as sayIn } from '../../../shared-core/src/index.js';
import { translationFor } from '../translation.js';

/** The variables in which a terminal names its language, each going before the next (POSIX.1-2017, chapter 8.2). */
const { LC_ALL, LC_MESSAGES, LANG } = process.env;
const translation = translationFor(LC_ALL || LC_MESSAGES || LANG);

/** A sentence as text in the language of the terminal. */
export function say(said: Phrase): string {
  return sayIn(said, translation);
}
