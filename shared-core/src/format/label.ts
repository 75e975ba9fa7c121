import type { Label } from './row.js';

/** The most numbers that one label has, and the highest that one of them is. */
export const MOST_NUMBERS = 4;
export const MOST_IN_LABEL = 0xffffffff;

const COMPOSITE = /^(?:0|[1-9]\d{0,9})(?:-(?:0|[1-9]\d{0,9})){1,3}$/;
const NUMBER = '(?:\\d{1,10}|0x[0-9a-f]{1,8})';
const AS_WRITTEN = new RegExp(`^${NUMBER}(?:[-./]${NUMBER}){0,${MOST_NUMBERS - 1}}$`, 'i');

/**
 * The numbers of a label: one, or of a label of several numbers in canonical form (decimal, joined by "-") each of them.
 * Undefined for a word.
 */
export function numbersOf(label: Label): readonly number[] | undefined {
  if (typeof label === 'number') return [label];
  if (!COMPOSITE.test(label)) return undefined;
  const numbers = label.split('-').map(Number);
  return numbers.every((number) => number <= MOST_IN_LABEL) ? numbers : undefined;
}

/** The label of some numbers in canonical form. */
export function labelOfNumbers(numbers: readonly number[]): Label {
  return numbers.length === 1 ? (numbers[0] as number) : numbers.join('-');
}

/** A label as people write it, its numbers in decimal or `0x` hex and joined by "-", "." or "/"; undefined for a word. */
export function readLineLabel(text: string): Label | undefined {
  if (!AS_WRITTEN.test(text)) return undefined;
  const numbers = text.split(/[-./]/).map(Number);
  return numbers.every((number) => number <= MOST_IN_LABEL) ? labelOfNumbers(numbers) : undefined;
}

/** Whether a label is one of those from one to another. */
export function isBetween(label: Label, { from, to }: { readonly from: Label; readonly to: Label }): boolean {
  return compareLabels(label, from) >= 0 && compareLabels(label, to) <= 0;
}

/** Below 0 where a label comes before another, above 0 where it comes after it: by its first number, then by the next. */
export function compareLabels(a: Label, b: Label): number {
  if (typeof a === 'number' && typeof b === 'number') return a - b;
  return compareNumbers(numbersOf(a) ?? [], numbersOf(b) ?? []);
}

/** The same of the numbers of two labels. */
export function compareNumbers(numbers: readonly number[], others: readonly number[]): number {
  for (let i = 0; i < numbers.length && i < others.length; i++) {
    const difference = (numbers[i] as number) - (others[i] as number);
    if (difference !== 0) return difference;
  }
  return numbers.length - others.length;
}
