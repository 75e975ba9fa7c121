import { phrase } from '../../base/phrase.js';
import type { Problem } from '../../checks/problem.js';
import type { Row } from '../../format/row.js';
import { NAMES_OF_SUMS } from '../../format/stray.js';
import { commonest } from '../../learn/learnForm/dumps.js';
import { mostBytesIn, titlesAmong } from '../../learn/learnForm/headings.js';
import { possibleTotals } from '../../learn/learnForm/possibleTotals.js';
import { changeOf, type Subject } from '../change.js';
import { type CommandFix, type Fix, ifPossible } from './fix.js';

/**
 * A line of text that holds hex digits by chance becomes a comment in this dump, or a heading in all dumps of its module;
 * where there are several, all of them at once. Nothing is offered for a line that may be data: one with the name of a
 * sum, one that begins as the lines of the dump do, or one that looks like a line of hex and holds about as many bytes.
 */
export function headingFixes(subject: Subject, { row: at, code }: Problem): readonly Fix[] {
  const { dump } = subject;
  const row = dump.rows[at];
  if (row === undefined || mayBeData(subject, row)) return [];
  if (code === 'text-unreadable' && !isLikeNoLine(subject, row)) return [];
  const left = dump.rows.flatMap((other, i) =>
    isLeft(other) && !mayBeData(subject, other) && isLikeNoLine(subject, other) ? i : [],
  );
  const sums = new Set(possibleTotals(dump.rows).flatMap(({ row: sum, isLikely }) => (isLikely ? sum : [])));
  const all = left.filter((i) => i === at || !sums.has(i));
  return [
    ...(all.length > 1 && all.includes(at) ? headings(subject, all) : []),
    ...headings(subject, [at]),
    ...(all.length > 1 && all.includes(at) ? comments(subject, all) : []),
    ...comments(subject, [at]),
  ];
}

/** The command that puts some lines into the profile as headings. */
function headings({ dump }: Subject, rows: readonly number[]): readonly CommandFix[] {
  const found = titlesAmong(rows.map((row) => dump.rows[row]?.text ?? ''));
  const [only] = found;
  if (only === undefined || dump.profile.flaw !== undefined) return [];
  if (rows.length === 1)
    return [{ kind: 'command', title: phrase('Always a Heading in This Module'), command: 'heading', argument: only }];
  // Some may begin with no word, by which the next reading would know them.
  const named = rows.filter((row) => titlesAmong([dump.rows[row]?.text ?? '']).length > 0).length;
  if (named < 2) return [];
  const title = phrase('These {0} Lines Are Headings in This Module', named);
  return [{ kind: 'command', title, command: 'heading', argument: found }];
}

function comments(subject: Subject, rows: readonly number[]): readonly Fix[] {
  const { dump } = subject;
  const title =
    rows.length === 1 ? phrase('Mark as a Comment') : phrase('Mark These {0} Lines as Comments', rows.length);
  const edits = rows.map((row) => {
    const text = dump.rows[row]?.text ?? '';
    const start = text.length - text.trimStart().length;
    return { row, start, end: start, text: `${dump.notation.commentSign} ` };
  });
  return ifPossible({ kind: 'change', title, result: changeOf(subject, { edits }, title, {}) });
}

/** Whether a row holds hex digits, is not read, and has no shape of a record. */
function isLeft(row: Row): boolean {
  return row.kind === 'comment' ? row.isPassed === true : row.kind === 'broken' && row.isStray === true;
}

function mayBeData(subject: Subject, { text }: Row): boolean {
  return NAMES_OF_SUMS.test(text) || beginsAsLines(subject, text);
}

/** Whether a line is unlike those of the dump: it holds few bytes, and begins with a word or a mark. */
function isLikeNoLine({ dump }: Subject, row: Row): boolean {
  const bytes = commonest(dump.rows.flatMap((one) => (one.kind === 'record' ? one.count : []))) ?? 0;
  const most = mostBytesIn(row.text);
  return isLeft(row) && most < 4 && 4 * most < 3 * bytes;
}

/** Whether a line begins as a line of the dump with a number, whatever became of the rest. */
function beginsAsLines({ dump }: Subject, text: string): boolean {
  const line = dump.rows.find(({ kind }) => kind === 'record');
  const word = /^[A-Za-z]*/.exec(line?.text.trimStart() ?? '')?.[0] ?? '';
  const begun = text.trimStart();
  return begun.startsWith(word) && /^[^A-Za-z]*\d/.test(begun.slice(word.length));
}
