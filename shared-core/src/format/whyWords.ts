import { type Phrase, phrase } from '../base/phrase.js';
import { bytesOfWord, type Word } from './word.js';

/** Why digits in groups of several bytes are not read before somebody says what words they are. */
export function wordsInDoubt(): Phrase {
  return phrase(
    'These digits are words of several bytes, of which nobody can tell the order. Say which it is, by "word" in the profile or on the command line by --word, or write single bytes.',
  );
}

/** Why digits are not read in the words that are said. */
export function noWords(word: Word): Phrase {
  return phrase(
    'These digits are no whole words of {0} bytes, as this file or its profile says that they are ("word": {1}).',
    bytesOfWord(word),
    word,
  );
}
