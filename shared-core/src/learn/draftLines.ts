import { compareLabels, numbersOf } from '../format/label.js';
import type { Label } from '../format/row.js';
import { splitLabel } from '../profile/lineLabels.js';

/** Lines as a profile describes them: each label, and how many data bytes its line has; undefined for one that was not read. */
export type CountedLine = readonly [label: Label, data: number | undefined];

/** So many of the lines of a stretch are there; the others are missing. */
const MOST = 0.8;

/** `lines` of a profile: one stretch, or a list of several. */
export function draftLines(lines: readonly CountedLine[], sum: number): object {
  const sorted = [...lines].sort(([a], [b]) => compareLabels(a, b));
  const usual = commonest(sorted.flatMap(([, count]) => count ?? [])) ?? 1;
  const heads = new Map<string, CountedLine[]>();
  for (const line of sorted) {
    const { head } = splitLabel(line[0]);
    const alike = heads.get(head);
    if (alike === undefined) heads.set(head, [line]);
    else alike.push(line);
  }
  const stretches = [...heads.values()]
    .flatMap((alike) => stretchesOf(alike))
    .map((one) => draftStretch(one, usual, sum));
  return stretches.length === 1 && numbersOf(sorted[0]?.[0] ?? 0)?.length === 1 ? (stretches[0] as object) : stretches;
}

interface Stretch {
  readonly lines: readonly CountedLine[];
  readonly step: number;
}

/** Lines whose labels begin alike, cut where they no longer rise evenly; few that are missing are no reason to cut. */
function stretchesOf(lines: readonly CountedLine[]): readonly Stretch[] {
  const last = (i: number) => splitLabel(lines[i]?.[0] ?? 0).last;
  const steps = lines.slice(1).map((_, i) => last(i + 1) - last(i));
  const step = commonest(steps) ?? 1;
  const wanted = (last(lines.length - 1) - last(0)) / step + 1;
  if (steps.every((one) => one % step === 0) && lines.length >= MOST * wanted) return [{ lines, step }];
  const cuts = [0, ...steps.flatMap((one, i) => (one === step ? [] : i + 1)), lines.length];
  return cuts.slice(1).map((end, i) => ({ lines: lines.slice(cuts[i], end), step }));
}

function draftStretch({ lines, step }: Stretch, usual: number, sum: number): object {
  const [first, final] = [lines[0]?.[0] ?? 0, lines.at(-1)?.[0] ?? 0];
  const counts = new Map(lines.map(([label, count]) => [splitLabel(label).last, count]));
  const { head, last: from } = splitLabel(first);
  const to = splitLabel(final).last;
  const all = Array.from({ length: (to - from) / step + 1 }, (_, i) => from + i * step);
  const data = all.map((last) => counts.get(last) ?? usual);
  const named = (last: number) => (head === '' ? String(last) : `${head}-${last}`);
  return {
    from: first,
    to: final,
    ...(step === 1 || all.length === 1 ? {} : { step }),
    data: data.every((count) => count === data[0])
      ? data[0]
      : Object.fromEntries(all.map((last, i) => [named(last), data[i]])),
    sum,
  };
}

function commonest(numbers: readonly number[]): number | undefined {
  const counts = new Map<number, number>();
  for (const number of numbers) counts.set(number, (counts.get(number) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]?.[0];
}
