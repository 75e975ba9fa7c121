import type { ByteOrder } from '../../base/number.js';
import { bytesOfNumber } from '../../base/number.js';
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

/** Whether too many lines do not follow a rule for them to be damaged ones. */
export function leavesTooMany({ wrong, lines }: Pick<LineRule, 'wrong' | 'lines'>): boolean {
  return wrong.length > MOST_UNEXPLAINED * lines;
}
