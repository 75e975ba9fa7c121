import { phrase } from '../base/phrase.js';
import { type JsonValue, wrong } from './json.js';
import type { DataRange, Geometry } from './profile.js';

/** One range of data bytes: "3", "3-6", "3-end", "3-end-2". */
const RANGE = /^([1-9]\d{0,4})(?:-(?:([1-9]\d{0,4})|end(?:-([1-9]\d{0,2}))?))?$/;

/** The data bytes that a line's sum covers, such as "1-4,6-8" or "2-end"; undefined for all. */
export function readDataRanges(
  value: JsonValue | undefined,
  geometry: Geometry | undefined,
): readonly DataRange[] | undefined {
  if (value === undefined) return undefined;
  const ranges: DataRange[] = [];
  const shortest = shortestLine(geometry);
  for (const written of String(value.node.value).split(',')) {
    const [, first, last, spare] = RANGE.exec(written) ?? [];
    const isOpen = written.includes('end');
    const range = {
      first: Number(first),
      last: isOpen ? undefined : Number(last ?? first),
      spare: isOpen ? Number(spare ?? 0) : 0,
    };
    const before = ranges.at(-1);
    const isAfter = before === undefined || (before.last !== undefined && range.first > before.last);
    if (first === undefined || !isAfter || (range.last ?? range.first) < range.first)
      return wrong(
        value,
        phrase('Data bytes are written "1-4,6-8", "2-end" or "1-end-1" for all but the last, in rising order.'),
      );
    if (Math.max(range.first, range.last ?? 0) > shortest - range.spare)
      return wrong(value, phrase('A line has {0} data bytes, too few for "{1}".', shortest, written));
    ranges.push(range);
  }
  return ranges;
}

function shortestLine(geometry: Geometry | undefined): number {
  if (geometry?.kind !== 'lines') return Number.POSITIVE_INFINITY;
  const counts = geometry.stretches.flatMap(({ data }) => (typeof data === 'number' ? data : [...data.values()]));
  return counts.reduce((least, count) => Math.min(least, count), 65_535);
}

/** Ranges as a profile writes them. */
export function writtenRanges(ranges: readonly DataRange[]): string {
  return ranges
    .map(({ first, last, spare }) => {
      if (last === undefined) return `${first}-end${spare === 0 ? '' : `-${spare}`}`;
      return first === last ? String(first) : `${first}-${last}`;
    })
    .join(',');
}
