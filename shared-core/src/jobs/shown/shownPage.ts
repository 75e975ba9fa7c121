import { bullets, pageOf, plain, section, table } from '../../base/markdown.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import { certaintyOf } from '../../options/inWords.js';
import type { Say } from '../card/input.js';
import { CANNOT_BE_READ, IN_WORDS, type ShownDump, type ShownOption } from './shownDump.js';

/** A dump in words as a page in Markdown. `name` is what its file is called. */
export function shownPage(name: string, shown: ShownDump, say: Say): string {
  const { module = name, identity, options, sums, problems, unchecked, others, sha256 } = shown;
  const text = (said: Phrase) => plain(say(said));
  const groups = [...new Set(options.map(({ option }) => option.group))];
  const head = [phrase('Option'), phrase('Set to'), phrase('Place'), phrase('How sure')].map(text);
  const row = ({ option, place, value = CANNOT_BE_READ }: ShownOption) => [
    plain(option.title),
    `**${text(value)}**`,
    text(place),
    option.confidence === undefined ? '' : text(certaintyOf(option.confidence)),
  ];
  return pageOf([
    `# ${plain(module)}`,
    bullets(identity.map(({ header, value }) => `${text(IN_WORDS[header])}: ${plain(value)}`)),
    ...groups.flatMap((group) =>
      section(
        group === undefined ? text(phrase('Other options')) : plain(group),
        table(head, options.filter(({ option }) => option.group === group).map(row)),
      ),
    ),
    ...section(text(phrase('Sums')), text(sums)),
    ...section(
      text(phrase('What is wrong')),
      bullets([...problems.map(({ message }) => message), ...unchecked].map(text)),
    ),
    ...section(
      text(phrase('Data without an option')),
      text(phrase('Dots are in place of digits that an option or a sum holds.')),
      // What a dump calls its lines begins with a letter or a digit, so that nothing can end the block.
      ['```text', ...others.map(({ called, digits }) => say(listed([called, digits], ': '))), '```'].join('\n'),
    ),
    text(phrase('SHA-256 of all data: {0}', sha256)),
  ]);
}
