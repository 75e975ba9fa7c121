import { hexBytes } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { hexDigitPlaces, readHexGroups } from './hexGroups.js';
import type { Notation } from './notation.js';
import { hasShapeOf, whyTorn } from './pattern.js';
import { matchFields, type PatternParts } from './patternMatch.js';
import { partsOf } from './patternParts.js';
import { printed } from './patternPrint.js';
import { type Label, NO_PROBLEMS, type Row } from './row.js';
import { whyUnread } from './stray.js';
import type { Word } from './word.js';

/** The line of a total that is written unlike the others: what it looks like, and what it is called. */
export interface TotalLine {
  readonly label: Label;
  readonly parts: PatternParts;
  readonly pattern: string;
}

/** Reads a pattern of a line that holds a total: literal text with `{data}`, and `{skip}` for what differs. */
export function totalLineOf(pattern: string, label: Label): Result<TotalLine> {
  const parts = partsOf(pattern);
  const why = whyNoTotal(parts);
  return why === undefined ? done({ label, parts, pattern }) : refuse(why);
}

function whyNoTotal({ lead, fields }: PatternParts): Phrase | undefined {
  const torn = whyTorn({ lead, fields });
  if (torn !== undefined) return torn;
  const names = fields.map(({ field }) => field);
  const other = names.find((name) => name !== 'data' && name !== 'skip');
  if (other !== undefined) return phrase('The pattern of a total has the fields {0} and {1} only.', '{data}', '{skip}');
  if (names.filter((name) => name === 'data').length !== 1)
    return phrase('The pattern of a total needs {0} once.', '{data}');
  if (!/\S/.test([lead, ...fields.map(({ after }) => after)].join('')))
    return phrase('The pattern of a total needs some text by which its line is known.');
  const runsOn = fields.some(({ after, field }, i) =>
    after === '' ? i < fields.length - 1 : field === 'data' && /^[0-9a-f]/i.test(after),
  );
  return runsOn ? phrase('Nothing in this pattern tells where {0} ends.', '{data}') : undefined;
}

/** A notation with lines of totals that are written otherwise; all other lines are read as before. */
export function withTotalLines(notation: Notation, lines: readonly TotalLine[]): Notation {
  const lineOf = ({ kind, text, label }: Row & { readonly label?: Label | undefined }) =>
    kind === 'record' || kind === 'broken'
      ? lines.find((line) => line.label === label && hasShapeOf(text, line.parts))
      : undefined;
  const { inWords } = notation;
  return {
    ...notation,
    ...(inWords && { inWords: (word: Word) => withTotalLines(inWords(word), lines) }),
    id: 'pattern',
    blanks: 'kept',
    readRow: (text, store) => {
      for (const { label, parts } of lines) {
        const data = matchFields(text, parts)?.data;
        if (data === undefined) continue;
        const from = store.used;
        const problems = readHexGroups(text, data.start, data.end, store);
        if (problems.length > 0) return { kind: 'broken', text, label, problems };
        const count = store.used - from;
        return { kind: 'record', text, label, type: undefined, store: store.bytes, from, count, problems: NO_PROBLEMS };
      }
      const row = notation.readRow(text, store);
      const torn = row.kind === 'comment' ? lines.find(({ parts }) => hasShapeOf(text, parts)) : undefined;
      if (torn === undefined) return row;
      const problem = {
        code: 'text-unreadable',
        start: 0,
        end: text.trimEnd().length,
        message: whyUnread('#'),
      } as const;
      return { kind: 'broken', text, label: torn.label, problems: [problem] };
    },
    digitPlaces: (row) => {
      const line = lineOf(row);
      if (line === undefined) return notation.digitPlaces(row);
      const data = matchFields(row.text, line.parts)?.data;
      return data === undefined ? [] : hexDigitPlaces(row.text, data.start, data.end);
    },
    labelSpan: (row) => {
      const line = lineOf(row);
      if (line === undefined) return notation.labelSpan(row);
      const start = row.text.length - row.text.trimStart().length;
      const end = start + (/^\S+/.exec(row.text.trimStart())?.[0].length ?? 0);
      // No blank need be between a name and its sum.
      const data = matchFields(row.text, line.parts)?.data?.start ?? end;
      return { start, end: data > start ? Math.min(end, data) : end };
    },
    characters: (row) => (lineOf(row) === undefined ? notation.characters?.(row) : undefined),
    print: (record, widths) => {
      const line = lines.find(({ label }) => label === record.label);
      return line === undefined
        ? notation.print(record, widths)
        : printed(line.pattern, { data: () => hexBytes(Uint8Array.of(...record.data, ...record.sum), ' ') });
    },
  };
}
