import { bullets, pageOf, plain, section } from '../../base/markdown.js';
import { type Phrase, phrase } from '../../base/phrase.js';
import type { Say } from '../card/input.js';
import type { Shared } from './shareDumps.js';

/** What was masked in copies, and what only looks personal, as a page in Markdown. */
export function sharedPage({ dumps, profiles, notes }: Shared, say: Say): string {
  const list = (all: readonly Phrase[]) => bullets(all.map((one) => plain(say(one))));
  return pageOf([
    `# ${plain(say(phrase('Copies to share')))}`,
    ...(notes.length === 0 ? [] : [list(notes)]),
    ...[...dumps, ...profiles].flatMap(({ name, masked, left, says }) => [
      ...section(plain(name), list([...masked, ...says, ...left.map((what) => phrase('left: {0}', what))])),
    ]),
    plain(
      say(
        phrase(
          'Only what is known to be personal is masked. Other bytes may differ from car to car and tell this one: look through each copy before you hand it on.',
        ),
      ),
    ),
    plain(
      say(
        [...dumps, ...profiles].some(({ left }) => left.length > 0)
          ? phrase('Read what was left before you hand a copy on. Never write one to a module.')
          : phrase('Nothing else looks personal. Never write a copy to a module.'),
      ),
    ),
  ]);
}
