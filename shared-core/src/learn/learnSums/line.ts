import { type ByteOrder, bytesOfNumber, numberOf } from '../../base/number.js';
import { numbersOf } from '../../format/label.js';
import type { Label } from '../../format/row.js';
import type { LineSumPart } from '../../profile/profile.js';

/** A line of a dump of which it is not yet known which of its bytes are a sum. */
export interface LineToLearn {
  /** Which file or dump it stands in. */
  readonly dump: number;
  readonly label: Label;
  readonly bytes: Uint8Array;
}

/** A run of bytes and the sum that is stored for it. */
export interface Sample {
  readonly run: Uint8Array;
  readonly stored: bigint;
}

/** What a line sum runs over, in order. */
export interface LineCoverage {
  readonly over: readonly LineSumPart[];
  readonly labelBytes: 1 | 2 | 4;
  /** Data bytes at the beginning and at the end that it does not cover. */
  readonly spare: Spare;
}

export interface Spare {
  readonly first: number;
  readonly last: number;
}

const ALL_COVERED: Spare = { first: 0, last: 0 };

/** The most data bytes at one end of a line that a sum may leave out. */
const MOST_SPARE = 4;

/** Each way to leave out some bytes, fewest first. */
export const SPARES: readonly Spare[] = Array.from({ length: MOST_SPARE }, (_, i) => i + 1).flatMap((count) => [
  { first: count, last: 0 },
  { first: 0, last: count },
]);

/** The order in which people list the parts of a line; rules that keep it are preferred among equals. */
const USUAL = ['module', 'label', 'length', 'data'] as const;
type Kind = (typeof USUAL)[number];

/** Every order of every choice of parts that has the data in it, plainest first; `numbers` is how many a label has. */
export function lineCoverages(numbers = 1): readonly LineCoverage[] {
  const orders = choices().flatMap(permutations);
  // Of labels of several numbers each choice is tried, and of the orders the usual one and the data first.
  const tried = numbers === 1 ? orders : orders.filter((kinds) => isUsual(kinds) || isDataFirst(kinds));
  return coveragesOf(tried, numbers, ALL_COVERED);
}

/** The coverages that are usual, where the sum leaves out these bytes. */
export function usualCoverages(numbers: number, spare: Spare): readonly LineCoverage[] {
  return coveragesOf(choices().flatMap(permutations).filter(isUsual), numbers, spare);
}

function choices(): Kind[][] {
  const all: Kind[][] = [['data']];
  for (const part of USUAL.slice(0, 3)) all.push(...all.map((choice) => [part, ...choice]));
  return all;
}

function coveragesOf(orders: readonly Kind[][], numbers: number, spare: Spare): readonly LineCoverage[] {
  const labels = labelParts(numbers);
  const all = orders.flatMap((kinds): LineCoverage[] => {
    if (!kinds.includes('label')) return [{ over: kinds, labelBytes: 1, spare }];
    return labels.flatMap((parts) => {
      const over = kinds.flatMap((kind): readonly LineSumPart[] => (kind === 'label' ? parts : [kind]));
      return ([1, 2, 4] as const).map((labelBytes) => ({ over, labelBytes, spare }));
    });
  });
  return all
    .map((coverage) => ({ coverage, cost: coverageCost(coverage) }))
    .sort((a, b) => a.cost - b.cost)
    .map(({ coverage }) => coverage);
}

/** The label, or each choice of its numbers. */
function labelParts(numbers: number): readonly (readonly LineSumPart[])[] {
  if (numbers === 1) return [['label']];
  const all = 2 ** numbers - 1;
  return Array.from({ length: all }, (_, i) => all - i).map((choice) =>
    choice === all
      ? ['label']
      : ([1, 2, 3, 4] as const)
          .filter((part) => ((choice >> (part - 1)) & 1) === 1)
          .map((part) => `label.${part}` as const),
  );
}

function isUsual(kinds: readonly Kind[]): boolean {
  return kinds.every((kind, i) => i === 0 || USUAL.indexOf(kind) > USUAL.indexOf(kinds[i - 1] as Kind));
}

function isDataFirst([first, ...others]: readonly Kind[]): boolean {
  return first === 'data' && isUsual(others);
}

function kindOf(part: LineSumPart): Kind {
  return part === 'module' || part === 'length' || part === 'data' ? part : 'label';
}

/** Whether a part is the label of a line, or one of its numbers. */
export function isOfLabel(part: LineSumPart): boolean {
  return kindOf(part) === 'label';
}

/** Are the parts in the usual order? One order stands for all where the order does not matter. */
export function isUsualOrder({ over }: LineCoverage): boolean {
  const kinds = over.map(kindOf);
  return isUsual(kinds.filter((kind, i) => kind !== kinds[i - 1]));
}

/** How far a coverage is from the plainest one: the data alone. */
export function coverageCost({ over, labelBytes, spare }: LineCoverage): number {
  const places = over.map((part) => USUAL.indexOf(kindOf(part)));
  const inversions = places.filter((place, i) => places.slice(0, i).some((before) => before > place)).length;
  const ofLabel = over.some(isOfLabel) ? Math.log2(labelBytes) : 0;
  const single = over.filter((part) => part.startsWith('label.')).length;
  return over.length - 1 + inversions + ofLabel + single + 2 * (spare.first + spare.last);
}

export function runOfLine(
  { over, labelBytes, spare }: LineCoverage,
  module: number,
  label: Label,
  data: Uint8Array,
): Uint8Array {
  const run: number[] = [];
  const numbers = typeof label === 'number' ? [label] : (numbersOf(label) ?? []);
  const put = (number: number) => run.push(...bytesOfNumber(BigInt(number), labelBytes, 'big'));
  for (const part of over) {
    if (part === 'data') for (const byte of data.subarray(spare.first, data.length - spare.last)) run.push(byte);
    else if (part === 'length') run.push(data.length & 0xff);
    else if (part === 'module') run.push((module >> 8) & 0xff, module & 0xff);
    else if (part === 'label') numbers.forEach(put);
    else put(numbers[Number(part.slice('label.'.length)) - 1] ?? 0);
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

/** A line with the sum at its front moved to its end. */
export function withSumAtEnd(bytes: Uint8Array, width: number): Uint8Array {
  return Uint8Array.of(...bytes.subarray(width), ...bytes.subarray(0, width));
}

function permutations<T>(items: readonly T[]): T[][] {
  if (items.length < 2) return [[...items]];
  return items.flatMap((item, i) =>
    permutations([...items.slice(0, i), ...items.slice(i + 1)]).map((rest) => [item, ...rest]),
  );
}
