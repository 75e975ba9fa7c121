import { isHeadingText } from '../../format/headings.js';
import { contentOf } from '../../format/row.js';

/** A heading of fewer columns could be a line of data. */
const LEAST = 4;

/**
 * The heads of columns: lines that count up from 00 or 01 by one, whatever stands before and behind, such as
 * "Addr 00 01 02 03". They look like lines of hex and hold no data.
 */
export function headingsOf(lines: readonly string[]): readonly string[] {
  return [...new Set(lines.map((line) => contentOf(line).trim()).filter(isHeading))];
}

function isHeading(line: string): boolean {
  const groups = line.split(/[\s|,;:]+/).filter((group) => group !== '');
  const isWord = !/^[0-9a-f]*$/i.test(groups[0] ?? '');
  const from = groups.findIndex(
    (group, i) => (isWord ? /^[0-9a-f]{1,2}$/i.test(group) : /^0*[01]$/.test(group)) && isNext(group, groups[i + 1]),
  );
  if (from !== (isWord ? 1 : 0)) return false;
  let end = from + 1;
  while (end < groups.length && isNext(groups[end - 1] as string, groups[end])) end++;
  // Behind the numbers may be those of the characters, or words.
  return end - from >= LEAST && groups.slice(end).every((group) => !/^(?=.*\d)[0-9a-f]{2}$/i.test(group));
}

/** How many bytes stand side by side in a line, at most. */
export function mostBytesIn(line: string): number {
  let most = 0;
  let count = 0;
  for (const group of contentOf(line).split(/[\s,;|]+/)) {
    const digits = group.replace(/^(?:0x|\$)/i, '');
    count = /^(?:[0-9a-f]{2})+$/i.test(digits) ? count + digits.length / 2 : 0;
    most = Math.max(most, count);
  }
  return most;
}

/** A word that is no hex. */
const WORD = /(?<![0-9A-Za-z])(?=[A-Za-z]*[G-Zg-z])[A-Za-z]{2,}/;
/** What differs from file to file: numbers, dates and times. */
const VARYING = /[0-9A-Za-z]*\d[0-9A-Za-z]*(?:[-.:/ ]+[0-9A-Za-z]*\d[0-9A-Za-z]*)*/g;

/** Marks before the first word of a line, such as the "*" of "* Read 09:12". */
const MARK = /^[^\w\s{}]+/;

export function markOf(line: string): string {
  return MARK.exec(contentOf(line).trim())?.[0] ?? '';
}

/**
 * Titles among some lines that hold hex digits: they begin with a word, which may have a mark before it; what has digits in
 * it is skipped. None is one that no line could be told by, as it has four bytes in a row.
 */
export function titlesAmong(lines: readonly string[]): readonly string[] {
  const titles = lines.flatMap((line) => {
    if (mostBytesIn(line) > 3) return [];
    const text = contentOf(line).trim().replace(/\s+/g, ' ');
    const first = /^\S+/.exec(text.slice(markOf(text).length).trim())?.[0] ?? '';
    if (!WORD.test(first) || /\d/.test(first) || text.includes('{')) return [];
    return text.replace(VARYING, '{skip}');
  });
  return [...new Set(titles)].filter(isHeadingText);
}

function isNext(group: string, next: string | undefined): boolean {
  return (
    next !== undefined &&
    /^[0-9a-f]{1,2}$/i.test(next) &&
    (Number.parseInt(next, 16) === Number.parseInt(group, 16) + 1 ||
      (/^\d+$/.test(next) && Number(next) === Number(group) + 1))
  );
}
