import type { Steps } from '../base/steps.js';
import type { RecordsOfText } from './learnForm/dumps.js';
import type { DumpToLearn } from './learnSums/coveredLines.js';
import { withSumAtEnd } from './learnSums/line.js';
import type { LineRule } from './learnSums/lineRule.js';
import { placesTried, type TotalRule, totalSteps } from './learnSums/totals.js';

/** A total among the lines that no word calls a sum is named only where it is surer than this. */
const SURE_WITHOUT_NAME = 1e-4;

/** Totals in records or lines, or else in a line that is written unlike the others. */
export function* totalsOf(dumps: readonly RecordsOfText[], rule: LineRule | undefined): Steps<readonly FoundTotal[]> {
  const summed = dumps.map((dump) => withSums(dump, rule));
  const found = yield* totalSteps(summed, rule);
  if (found.length > 0) return found.map((total) => ({ ...total, pattern: undefined }));
  const [first, ...others] = dumps;
  const common = (first?.possible ?? []).filter(
    ({ pattern, bytes }, i, all) =>
      all.findIndex((one) => one.pattern === pattern) === i &&
      others.every(({ possible }) =>
        possible.some((one) => one.pattern === pattern && one.bytes.length === bytes.length),
      ),
  );
  const labels = common.map((_, i) => (i === 0 ? 'total' : `total ${i + 1}`));
  const possible = dumps.map(
    ({ possible: lines }, dump): DumpToLearn => ({
      ...(summed[dump] as DumpToLearn),
      others: common.map(({ pattern }, i) => ({
        label: labels[i] as string,
        bytes: lines.find((line) => line.pattern === pattern)?.bytes ?? new Uint8Array(0),
      })),
    }),
  );
  if (common.length === 0) return [];
  const totals = yield* totalSteps(possible, rule, placesTried(summed));
  return totals.flatMap((total) => {
    const line = total.place.kind === 'record' ? common[labels.indexOf(String(total.place.label))] : undefined;
    if (line === undefined || (!line.isLikely && total.chance > SURE_WITHOUT_NAME)) return [];
    return { ...total, pattern: line.pattern };
  });
}

export interface FoundTotal extends TotalRule {
  /** How its line is written, where that is unlike the others. */
  readonly pattern: string | undefined;
}

/** Totals that these dumps cannot tell from the best one. */
export function isRival(best: TotalRule | undefined): (total: TotalRule) => boolean {
  return (total) => best !== undefined && total.wrong.length <= best.wrong.length && total.chance <= best.chance * 1e6;
}

function withSums({ name, lines, others }: RecordsOfText, rule: LineRule | undefined): DumpToLearn {
  const width = rule?.width ?? 0;
  return {
    name,
    others,
    lines: lines.map(({ label, bytes }) => {
      const turned = rule?.front ? withSumAtEnd(bytes, width) : bytes;
      const count = turned.length - width;
      return { label, data: turned.subarray(0, count), sum: turned.subarray(count) };
    }),
  };
}
