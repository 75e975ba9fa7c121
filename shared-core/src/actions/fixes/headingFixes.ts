import { phrase } from '../../base/phrase.js';
import type { Problem } from '../../checks/problem.js';
import { NAMES_OF_SUMS } from '../../format/stray.js';
import { titlesAmong } from '../../learn/learnForm/headings.js';
import { changeOf, type Subject } from '../change.js';
import { type Fix, ifPossible } from './fix.js';

/**
 * A line of text that holds hex digits by chance becomes a comment in this dump, or a heading in all dumps of its module.
 * Nothing is offered for a line with the name of a sum, or one that begins as the lines of the dump do.
 */
export function headingFixes(subject: Subject, { row }: Problem): readonly Fix[] {
  const { dump, profile } = subject;
  const text = dump.rows[row]?.text ?? '';
  if (NAMES_OF_SUMS.test(text) || beginsAsLines(subject, text)) return [];
  const title = phrase('Mark as a Comment');
  const start = text.length - text.trimStart().length;
  const edits = [{ row, start, end: start, text: `${dump.notation.commentSign} ` }];
  const [heading] = titlesAmong([text]);
  return [
    ...(heading === undefined || profile.kind !== 'read' || dump.profile.flaw !== undefined
      ? []
      : [
          {
            kind: 'command',
            title: phrase('Always a Heading in This Module'),
            command: 'heading',
            argument: heading,
          } as const,
        ]),
    ...ifPossible({ kind: 'change', title, result: changeOf(subject, { edits }, title, {}) }),
  ];
}

/** Whether a line begins as a line of the dump with a number, whatever became of the rest. */
function beginsAsLines({ dump }: Subject, text: string): boolean {
  const line = dump.rows.find(({ kind }) => kind === 'record');
  const word = /^[A-Za-z]*/.exec(line?.text.trimStart() ?? '')?.[0] ?? '';
  const begun = text.trimStart();
  return begun.startsWith(word) && /^[^A-Za-z]*\d/.test(begun.slice(word.length));
}
