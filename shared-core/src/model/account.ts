import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { Dump } from './dump.js';
import { readTotal } from './totalReading.js';

/** How many sums of a text are right, and how many of its lines were not read. */
export interface Account {
  /** Undefined where nothing says how lines are summed. */
  readonly lineSums: Count | undefined;
  readonly totals: Count & { readonly unchecked: number };
  readonly unread: number;
}

interface Count {
  readonly right: number;
  readonly all: number;
}

/** Rows that hold hex digits and were not read: those that cannot be, and those taken for text that nobody marked as a comment. */
export function unreadRows(dump: Dump): readonly number[] {
  const passed = passedRows(dump);
  return passed.length === 0 ? dump.invalidRows : [...dump.invalidRows, ...passed].sort((a, b) => a - b);
}

/** Rows that hold hex digits and are taken for text, though no comment sign says so. */
export function passedRows({ rows, notation }: Dump): readonly number[] {
  // In all other forms such a line is an error.
  if (notation.id !== 'pattern') return [];
  return rows.flatMap((row, at) => (row.kind === 'comment' && row.isPassed ? at : []));
}

export function accountOf(dump: Dump): Account {
  const readings = dump.totals.map((_, index) => readTotal(dump, index));
  const right = readings.filter((one) => one !== undefined && one.computed === one.stored).length;
  return {
    lineSums: dump.layout.kind === 'image' ? undefined : lineSums(dump),
    totals: { right, all: readings.length, unchecked: readings.filter((one) => one === undefined).length },
    unread: unreadRows(dump).length,
  };
}

function lineSums(dump: Dump): Count | undefined {
  const { rule, layout, rows, wrongSums, wrongLengths } = dump;
  if (rule === undefined) return undefined;
  const summed = Array.from(layout.order).filter((row) => layout.sumCountOf(row) > 0);
  const wrong = new Set([...wrongSums, ...wrongLengths]);
  const right = summed.filter((row) => !wrong.has(row) && rows[row]?.kind === 'record').length;
  return { right, all: summed.length };
}

/** "40 line sums right, no file sum known, 2 lines not read". */
export function accountInWords({ lineSums: lines, totals, unread }: Account): Phrase {
  return listed([
    ...(lines === undefined ? [] : [lineSumsInWords(lines)]),
    totalsInWords(totals),
    ...unreadInWords(unread),
  ]);
}

function lineSumsInWords({ right, all }: Count): Phrase {
  if (right < all) return phrase('{0} of {1} line sums right', right, all);
  return all === 1 ? phrase('1 line sum right') : phrase('{0} line sums right', all);
}

function totalsInWords({ right, all, unchecked }: Account['totals']): Phrase {
  if (all === 0) return phrase('no file sum known');
  if (all > 1) return phrase('{0} of {1} file sums right', right, all);
  if (unchecked > 0) return phrase('file sum not checked');
  return right === 1 ? phrase('file sum right') : phrase('file sum wrong');
}

function unreadInWords(unread: number): readonly Phrase[] {
  if (unread === 0) return [];
  return [unread === 1 ? phrase('1 line not read') : phrase('{0} lines not read', unread)];
}
