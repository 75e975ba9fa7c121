import { type ByteOrder, bytesOfNumber, numberOf } from '../../base/number.js';
import { valueOver } from '../../checksum/checksum.js';
import { checksumOf, type SumSpec } from '../../checksum/registry.js';
import type { Label } from '../../format/row.js';
import { type LineCoverage, type LineToLearn, runOfLine } from './line.js';

/** A rule by which lines may be summed, and how the lines met it. */
export interface LineRule {
  /** Bytes of the sum of each line; all others are data. */
  readonly width: number;
  /** Whether the sum is before the data and not behind them. */
  readonly front: boolean;
  readonly spec: SumSpec;
  readonly order: ByteOrder;
  readonly coverage: LineCoverage;
  /** The module number that the sum covers, where it does and one is known or was solved for. */
  readonly module: number | undefined;
  readonly lines: number;
  /** Lines that differ in the bytes that the sum covers. */
  readonly distinct: number;
  /** Lines whose sum the rule does not give. */
  readonly wrong: readonly LineToLearn[];
  /** Upper bound of the probability that a wrong rule meets these lines as well. */
  readonly chance: number;
  readonly cost: number;
  /** Whether it needs no constant that was solved for. */
  readonly isPlain: boolean;
}

/** The bytes that a rule stores for a line. */
export function storedBy(rule: LineRule, label: Label, data: Uint8Array): Uint8Array {
  const run = runOfLine(rule.coverage, rule.module ?? 0, label, data);
  return bytesOfNumber(valueOver(checksumOf(rule.spec), run), rule.width, rule.order);
}

/** A rule that leaves more of its lines than this part unexplained is not known to be one. */
const MOST_UNEXPLAINED = 0.1;

/** So many lines that differ from a rule in one and the same way are no accident. */
const FEWEST_ALIKE = 4;

/** Whether the lines that do not follow a rule are no damaged ones: too many, or most of them differ from it in one way. */
export function leavesTooMany(rule: LineRule): boolean {
  return rule.wrong.length > MOST_UNEXPLAINED * rule.lines || differAlike(rule);
}

/** Whether another constant, or another rule, explains most of the lines that a rule does not: the same added, or the same bits. */
function differAlike(rule: LineRule): boolean {
  if (rule.wrong.length < FEWEST_ALIKE) return false;
  const counts = new Map<string, number>();
  for (const { label, bytes } of rule.wrong) {
    const [data, sum] = parted(rule, bytes);
    const stored = numberOf(sum, rule.order);
    const wanted = numberOf(storedBy(rule, label, data), rule.order);
    const added = BigInt.asUintN(8 * rule.width, stored - wanted);
    for (const difference of [`+${added}`, `^${stored ^ wanted}`])
      counts.set(difference, (counts.get(difference) ?? 0) + 1);
  }
  const most = Math.max(...counts.values());
  return most >= FEWEST_ALIKE && most * 2 > rule.wrong.length;
}

/** The data of a line and its sum. */
function parted({ width, front }: LineRule, bytes: Uint8Array): readonly [Uint8Array, Uint8Array] {
  const end = bytes.length - width;
  return front ? [bytes.subarray(width), bytes.subarray(0, width)] : [bytes.subarray(0, end), bytes.subarray(end)];
}
