import { type Phrase, phrase } from '../base/phrase.js';
import type { Total } from './profile.js';

/** What a sum over the file is called: the names that drafts give are words of every language, another is a person's own. */
export function sumName({ name }: Pick<Total, 'name'>): string | Phrase {
  const [, number] = name.match(/^sum (\d+)$/) ?? [];
  if (number !== undefined) return phrase('sum {0}', number);
  return name === 'file sum' ? phrase('file sum') : name;
}
