import { hexBytes } from '../../base/hex.js';
import { lowerBound } from '../../base/lowerBound.js';
import { compareLabels } from '../../format/label.js';
import type { Label } from '../../format/row.js';
import type { TotalPlace } from '../../profile/profile.js';
import { mixed } from '../hash.js';

/** One dump with its lines in label order, and the records that are no lines. */
export interface DumpToLearn {
  readonly name: string;
  readonly lines: readonly { readonly label: Label; readonly data: Uint8Array; readonly sum: Uint8Array }[];
  readonly others: readonly { readonly label: Label; readonly bytes: Uint8Array }[];
}

/** Lines that a total runs over, with or without their sums. */
export interface TotalCoverage {
  /** Labels, both included; undefined for all lines. */
  readonly range: { readonly from: Label; readonly to: Label } | undefined;
  readonly sums: boolean;
}

/** Where a total stands that covers no byte of its own. */
export type TotalPlaceToLearn = Extract<TotalPlace, { kind: 'record' | 'line' }>;

/** How many of some runs of bytes are different. */
export function differentRuns(runs: readonly Uint8Array[]): number {
  const byHash = new Map<number, Uint8Array[]>();
  for (const run of runs) {
    const hash = run.reduce(mixed, run.length);
    const alike = byHash.get(hash);
    if (alike === undefined) byHash.set(hash, [run]);
    else if (!alike.some((one) => one.length === run.length && one.every((byte, at) => byte === run[at])))
      alike.push(run);
  }
  return [...byHash.values()].reduce((count, alike) => count + alike.length, 0);
}

/** A number for what each line of each dump holds, the same for equal lines; none for one byte over and over. */
export function contentsOf(dumps: readonly DumpToLearn[]): readonly (readonly (number | undefined)[])[] {
  const numbers = new Map<string, number>();
  const numberFor = (content: string) => {
    const known = numbers.get(content) ?? numbers.size;
    numbers.set(content, known);
    return known;
  };
  return dumps.map(({ lines }) =>
    lines.map(({ data, sum }) =>
      data.every((byte) => byte === data[0]) ? undefined : numberFor(`${hexBytes(data)} ${hexBytes(sum)}`),
    ),
  );
}

/** How many different lines count in a sum: equal ones cancel out in pairs, and one byte over and over adds nothing. */
export function differentLines(
  { lines }: DumpToLearn,
  contents: readonly (number | undefined)[],
  { range }: TotalCoverage,
): number {
  const odd = new Set<number>();
  const [from, to] = boundsOf(lines, range);
  for (let at = from; at < to; at++) {
    const content = contents[at];
    if (content !== undefined && !odd.delete(content)) odd.add(content);
  }
  return odd.size;
}

function linesIn(lines: DumpToLearn['lines'], range: TotalCoverage['range']): DumpToLearn['lines'] {
  return range === undefined ? lines : lines.slice(...boundsOf(lines, range));
}

/** The lines of a range, from one to before another. Found by halves, as ranges are very many and labels of several numbers slow to compare. */
function boundsOf(lines: DumpToLearn['lines'], range: TotalCoverage['range']): readonly [number, number] {
  if (range === undefined) return [0, lines.length];
  const labelAt = (at: number) => (lines[at] as DumpToLearn['lines'][number]).label;
  return [
    lowerBound(lines.length, (at) => compareLabels(labelAt(at), range.from) < 0),
    lowerBound(lines.length, (at) => compareLabels(labelAt(at), range.to) <= 0),
  ];
}

/** The covered bytes, less those in which the total itself stands. */
export function runOf(
  { lines }: DumpToLearn,
  { range, sums }: TotalCoverage,
  { place, width }: { readonly place: TotalPlaceToLearn; readonly width: number },
): Uint8Array {
  const parts: Uint8Array[] = [];
  for (const { label, data, sum } of linesIn(lines, range)) {
    if (place.kind === 'line' && place.line === label) {
      parts.push(data.subarray(0, place.byte - 1), data.subarray(place.byte - 1 + width));
    } else parts.push(data);
    if (sums) parts.push(sum);
  }
  const run = new Uint8Array(parts.reduce((length, part) => length + part.length, 0));
  let at = 0;
  for (const part of parts) {
    run.set(part, at);
    at += part.length;
  }
  return run;
}
