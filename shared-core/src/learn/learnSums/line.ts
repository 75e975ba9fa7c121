import { type ByteOrder, bytesOfNumber, numberOf } from '../../base/number.js';
import type { LineSumPart } from '../../profile/profile.js';

/** The parts that are tried: of a label all of its numbers. */
export type LinePart = Exclude<LineSumPart, `label.${number}`>;

/** A line of a dump of which it is not yet known which bytes at its end are a sum. */
export interface LineToLearn {
  /** Which file or dump it stands in. */
  readonly dump: number;
  readonly label: number;
  readonly bytes: Uint8Array;
}

/** A run of bytes and the sum that is stored for it. */
export interface Sample {
  readonly run: Uint8Array;
  readonly stored: bigint;
}

/** What a line sum runs over, in order. */
export interface LineCoverage {
  readonly over: readonly LinePart[];
  readonly labelBytes: 1 | 2 | 4;
}

/** The order in which people list the parts of a line; rules that keep it are preferred among equals. */
const USUAL: readonly LinePart[] = ['module', 'label', 'length', 'data'];

/** Every order of every choice of parts that has the data in it, plainest first. */
export function lineCoverages(): readonly LineCoverage[] {
  const choices: LinePart[][] = [['data']];
  for (const part of USUAL.slice(0, 3)) choices.push(...choices.map((choice) => [part, ...choice]));
  return choices
    .flatMap(permutations)
    .flatMap((over): LineCoverage[] =>
      over.includes('label')
        ? ([1, 2, 4] as const).map((labelBytes) => ({ over, labelBytes }))
        : [{ over, labelBytes: 1 }],
    )
    .sort((a, b) => coverageCost(a) - coverageCost(b));
}

/** Are the parts in the usual order? One order stands for all where the order does not matter. */
export function isUsualOrder({ over }: LineCoverage): boolean {
  return over.every((part, i) => i === 0 || USUAL.indexOf(part) > USUAL.indexOf(over[i - 1] as LinePart));
}

/** How far a coverage is from the plainest one: the data alone. */
export function coverageCost({ over, labelBytes }: LineCoverage): number {
  const places = over.map((part) => USUAL.indexOf(part));
  const inversions = places.filter((place, i) => places.slice(0, i).some((before) => before > place)).length;
  return over.length - 1 + inversions + (over.includes('label') ? Math.log2(labelBytes) : 0);
}

export function runOfLine(
  { over, labelBytes }: LineCoverage,
  module: number,
  label: number,
  data: Uint8Array,
): Uint8Array {
  const run: number[] = [];
  for (const part of over) {
    if (part === 'data') for (const byte of data) run.push(byte);
    else if (part === 'length') run.push(data.length & 0xff);
    else if (part === 'module') run.push((module >> 8) & 0xff, module & 0xff);
    else run.push(...bytesOfNumber(BigInt(label), labelBytes, 'big'));
  }
  return Uint8Array.from(run);
}

/** The lines as samples of a sum of `width` bytes at their ends. */
export function lineSamples(
  lines: readonly LineToLearn[],
  width: number,
  coverage: LineCoverage,
  module: number,
  order: ByteOrder,
): readonly Sample[] {
  return lines.map(({ label, bytes }) => ({
    run: runOfLine(coverage, module, label, bytes.subarray(0, bytes.length - width)),
    stored: numberOf(bytes.subarray(bytes.length - width), order),
  }));
}

function permutations(items: readonly LinePart[]): LinePart[][] {
  if (items.length < 2) return [[...items]];
  return items.flatMap((item, i) =>
    permutations([...items.slice(0, i), ...items.slice(i + 1)]).map((rest) => [item, ...rest]),
  );
}
