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
  const from = groups.findIndex((group, i) => /^0*[01]$/.test(group) && isNext(group, groups[i + 1]));
  if (from < 0 || from > 1 || (from === 1 && /^[0-9a-f]+$/i.test(groups[0] ?? '') && /\d/.test(groups[0] ?? '')))
    return false;
  let end = from + 1;
  while (end < groups.length && isNext(groups[end - 1] as string, groups[end])) end++;
  // Behind the numbers may be those of the characters, or words.
  return (
    end - from >= LEAST &&
    groups.slice(end).every((group) => !/^[0-9a-f]{2}$/i.test(group) || /^(?:CS|BCC|ck)$/i.test(group))
  );
}

function isNext(group: string, next: string | undefined): boolean {
  return (
    next !== undefined &&
    /^[0-9a-f]{1,2}$/i.test(next) &&
    (Number.parseInt(next, 16) === Number.parseInt(group, 16) + 1 ||
      (/^\d+$/.test(next) && Number(next) === Number(group) + 1))
  );
}
