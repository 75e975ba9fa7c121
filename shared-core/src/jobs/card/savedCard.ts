import { say as inEnglish } from '../../base/phrase.js';
import type { Say } from './input.js';
import { FRAMES, NOT_YET } from './jobCard.js';

/** A job card that was kept, as text or for printing. */
export interface SavedCard {
  readonly file: string;
  readonly name: string;
  /** The digests of the dumps that it was made of, module by module. */
  readonly modules: readonly PlannedModule[];
  /** Whether it is a card from its title to its last word, in English or the language of the person. */
  readonly isWhole: boolean;
  /** Whether something was open when it was made, so that it says not to write yet. */
  readonly isOpen: boolean;
}

export interface PlannedModule {
  readonly found: string;
  readonly planned: string | undefined;
}

/** As `fingerprints` writes them, or as they are printed. */
const DIGEST = /<small>(?:`|<code[^>]*>)([0-9a-f]{64})(?:`|<\/code>)<\/small>/g;

export function savedCard(file: string, name: string, text: string, say: Say): SavedCard {
  const digests = [...text.matchAll(DIGEST)].flatMap((match) => match[1] ?? []);
  const modules = digests.flatMap((found, at) => (at % 2 === 0 ? { found, planned: digests[at + 1] } : []));
  const lines = text
    .replace(/<[^>]*>/g, '')
    .split(/\r?\n/)
    .map((line) => line.replace(/^#+ /, '').trim())
    .filter((line) => line !== '');
  const languages: readonly Say[] = [say, (said) => inEnglish(said)];
  const isWhole =
    digests.length % 2 === 0 &&
    languages.some((language) => FRAMES.some((marks) => isFrameOf(lines, marks.map(language))));
  const isOpen = [say(NOT_YET), NOT_YET.pattern].some((words) => text.includes(words));
  return { file, name, modules, isWhole, isOpen };
}

/** Whether all marks stand in the lines, in their order, the last one at the end. */
function isFrameOf(lines: readonly string[], marks: readonly string[]): boolean {
  const [title = '', ...others] = marks;
  let at = lines.findIndex((line) => line.startsWith(title));
  for (const mark of others) {
    if (at < 0) return false;
    at = lines.indexOf(mark, at + 1);
  }
  return at >= 0 && at === lines.length - 1;
}
