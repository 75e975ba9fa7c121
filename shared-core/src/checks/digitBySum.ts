import { phrase } from '../base/phrase.js';
import { editLine } from '../base/span.js';
import { byteStore } from '../format/notation.js';
import type { Row, RowProblem } from '../format/row.js';
import type { Dump } from '../model/dump.js';
import { labelOfRow } from '../model/layout.js';

const DIGITS = Array.from('0123456789ABCDEF');

/**
 * What is wrong with a row, where the line's own sum has its say on which digits were meant: the only one that makes it right
 * is named, and none by its look that makes it wrong.
 */
export function withDigitsBySum(dump: Dump, row: number): readonly RowProblem[] {
  const { text, problems } = dump.rows[row] as Row;
  const [first, ...more] = problems;
  if (first === undefined || problems.some(({ code }) => code !== 'not-hex')) return problems;
  const written = (digits: readonly string[]) =>
    sumFits(
      dump,
      row,
      editLine(
        text,
        problems.map(({ start, end }, i) => ({ row, start, end, text: digits[i] ?? '' })),
      ),
    );
  if (more.length > 0) {
    const alike = problems.flatMap(({ meant }) => meant ?? []);
    return alike.length === problems.length && written(alike) === false
      ? problems.map((one) => unsaid(one, text))
      : problems;
  }
  const fits = DIGITS.map((digit) => written([digit]));
  if (!fits.includes(false)) return problems;
  const right = DIGITS.filter((_, i) => fits[i]);
  const [only] = right;
  if (only !== undefined && right.length === 1)
    return [
      {
        ...first,
        meant: only,
        message: phrase('"{0}" is no hex digit; the line sum fits {1} only.', text.slice(first.start, first.end), only),
      },
    ];
  return first.meant === undefined || right.includes(first.meant) ? problems : [unsaid(first, text)];
}

/** A character that is no digit, and nobody knows which was meant. */
function unsaid({ code, start, end }: RowProblem, text: string): RowProblem {
  const message = phrase('"{0}" is no hex digit (0 to 9, A to F). {1}', text.slice(start, end), phrase('Correct it.'));
  return { code, start, end, message };
}

/** Whether a row would have a right sum with this text; undefined where it would not be read whole, or has no sum that is known. */
function sumFits({ rows, rule, layout, notation }: Dump, row: number, text: string): boolean | undefined {
  const width = layout.sumCountOf(row);
  if (rule === undefined || width === 0) return undefined;
  const read = notation.readRow(text, byteStore(text.length));
  if (read.kind !== 'record' || read.problems.length > 0 || read.label !== labelOfRow(rows[row])) return undefined;
  const data = layout.dataCount[row] as number;
  if (layout.kind === 'lines' && (data === 0 || read.count !== data + width)) return undefined;
  return rule.isRight(read);
}
