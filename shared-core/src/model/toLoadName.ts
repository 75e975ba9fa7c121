import { type Phrase, phrase } from '../base/phrase.js';

/** The name of the file that is made of a dump for the program that loads it: not with the ending of a dump, or it would count as one. */
export function toLoadName(dump: string): string {
  return `${dump.replace(/\.[^.]*$/, '')}.to-load.txt`;
}

/** Whether a file is named as one that was made to be loaded, or as a copy of such a file. */
export function isToLoad(name: string): boolean {
  return /[^/\\]\.to-load(?![\p{L}\p{N}_])[^/\\]*$/iu.test(name);
}

/** Why a file is no reading of any module; undefined where its name does not say that it was made to be loaded. */
export function whyToLoad(name: string): Phrase | undefined {
  if (!isToLoad(name)) return undefined;
  return phrase(
    '{0} is named as a file to load, so it shows what is to be written and not what was read. Read the module, and save what was read under another name.',
    name,
  );
}
