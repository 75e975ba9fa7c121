import { lowerBound } from '../base/lowerBound.js';
import { compareLabels, numbersOf } from '../format/label.js';
import type { Label } from '../format/row.js';
import type { LineGeometry, Stretch } from './profile.js';

// All that is known of the labels of a dump by its geometry: which there are, in what order, and how long their lines are.

/** The lines of some stretches whose labels have so many numbers; in rising order, none of them in two stretches. */
export function linesOf(numbers: number, stretches: readonly Omit<Stretch, 'before'>[]): LineGeometry {
  const placed: Stretch[] = [];
  let count = 0;
  for (const stretch of stretches) {
    placed.push({ ...stretch, before: count });
    count += (stretch.to - stretch.from) / stretch.step + 1;
  }
  const byHead = new Map<string, Stretch[]>();
  for (const stretch of placed) {
    const alike = byHead.get(stretch.head);
    if (alike === undefined) byHead.set(stretch.head, [stretch]);
    else alike.push(stretch);
  }
  return { kind: 'lines', numbers, stretches: placed, byHead, count };
}

/** The label of a number in a stretch, whose labels all begin alike. */
export function labelIn({ head }: Pick<Stretch, 'head'>, last: number): Label {
  return head === '' ? last : `${head}-${last}`;
}

/** What a label begins with, and its last number: the one that counts up. */
export function splitLabel(label: Label): { readonly head: string; readonly last: number } {
  if (typeof label === 'number') return { head: '', last: label };
  const at = label.lastIndexOf('-');
  return { head: label.slice(0, Math.max(0, at)), last: Number(label.slice(at + 1)) };
}

/** The stretch that has a line; undefined for a label that is none of this geometry. */
function stretchOf(geometry: LineGeometry, label: Label): Stretch | undefined {
  const { numbers, stretches, byHead } = geometry;
  if (typeof label === 'number') return numbers === 1 ? stretchAround(stretches, label) : undefined;
  const { head, last } = splitLabel(label);
  // Words, and numbers with zeros before them, are no labels in canonical form.
  const alike = head === '' || labelIn({ head }, last) !== label ? undefined : byHead.get(head);
  return alike && stretchAround(alike, last);
}

function stretchAround(stretches: readonly Stretch[], last: number): Stretch | undefined {
  const first = stretches[0];
  if (stretches.length === 1) return first && hasNumber(first, last) ? first : undefined;
  const stretch = stretches[lowerBound(stretches.length, (at) => (stretches[at] as Stretch).from <= last) - 1];
  return stretch !== undefined && hasNumber(stretch, last) ? stretch : undefined;
}

function hasNumber({ from, to, step }: Pick<Stretch, 'from' | 'to' | 'step'>, last: number): boolean {
  return last >= from && last <= to && (last - from) % step === 0;
}

/** Which line of the dump a label is, counted from 0 in rising order; -1 for a label that is none. */
export function positionOf(geometry: LineGeometry, label: Label): number {
  const { numbers, stretches } = geometry;
  const only = numbers === 1 && stretches.length === 1 ? stretches[0] : undefined;
  if (only !== undefined) {
    // Most dumps are one stretch of single numbers, and have 100,000 of them at times.
    return typeof label === 'number' && hasNumber(only, label) ? (label - only.from) / only.step : -1;
  }
  const stretch = stretchOf(geometry, label);
  if (stretch === undefined) return -1;
  const last = typeof label === 'number' ? label : splitLabel(label).last;
  return stretch.before + (last - stretch.from) / stretch.step;
}

/** The label of the line at a position. */
export function labelAt({ stretches }: LineGeometry, position: number): Label {
  const at = lowerBound(stretches.length, (index) => (stretches[index] as Stretch).before <= position) - 1;
  const stretch = stretches[Math.max(0, at)] as Stretch;
  return labelIn(stretch, stretch.from + (position - stretch.before) * stretch.step);
}

export function firstLabel(geometry: LineGeometry): Label {
  return labelAt(geometry, 0);
}

export function lastLabel(geometry: LineGeometry): Label {
  return labelAt(geometry, geometry.count - 1);
}

/**
 * A number by which labels are sorted: the label itself where it is one number, else its position; of a label that is no
 * line, between those around it. Undefined for a word.
 */
export function orderOf(geometry: LineGeometry, label: Label): number | undefined {
  if (geometry.numbers === 1) return typeof label === 'number' ? label : undefined;
  const position = positionOf(geometry, label);
  if (position >= 0) return position;
  if (numbersOf(label) === undefined) return undefined;
  const { stretches, count } = geometry;
  const next = lowerBound(stretches.length, (at) => {
    const stretch = stretches[at] as Stretch;
    return compareLabels(labelIn(stretch, stretch.to), label) < 0;
  });
  return (stretches[next]?.before ?? count) - 0.5;
}

/** Data bytes of a line by this geometry; 0 for a line it does not have. */
export function dataBytes(geometry: LineGeometry, label: Label): number {
  const stretch = stretchOf(geometry, label);
  return stretch === undefined ? 0 : dataBytesIn(stretch, label);
}

/** The same of a line of a stretch. */
function dataBytesIn({ data }: Stretch, label: Label): number {
  if (typeof data === 'number') return data;
  return data.get(typeof label === 'number' ? label : splitLabel(label).last) ?? 0;
}

/** Bytes of the sum at the end of a line; 0 for a line without one, and for one that the geometry does not have. */
export function sumBytes(geometry: LineGeometry, label: Label): number {
  return stretchOf(geometry, label)?.sum ?? 0;
}
