import { type ByteOrder, bytesOfNumber } from '../../../shared-core/src/base/number.js';
import { valueOver } from '../../../shared-core/src/checksum/checksum.js';
import { CRC_NAMES, crcModel } from '../../../shared-core/src/checksum/crcCatalogue.js';
import { checksumOf, type SumSpec } from '../../../shared-core/src/checksum/registry.js';
import type { LineToLearn } from '../../../shared-core/src/learn/learnSums/line.js';

/** The parts that a line's sum may cover, of a label all of its numbers. */
type LinePart = 'module' | 'label' | 'length' | 'data';

/** A rule by which test lines are summed; written apart from the code that learns it. */
export interface TestRule {
  readonly name: string;
  readonly spec: SumSpec;
  readonly order: ByteOrder;
  readonly over: readonly LinePart[];
  readonly labelBytes: number;
  readonly module: number;
}

type Next = (below: number) => number;

const OVERS: readonly (readonly LinePart[])[] = [
  ['data'],
  ['label', 'data'],
  ['module', 'data'],
  ['module', 'label', 'data'],
  ['length', 'data'],
  ['label', 'length', 'data'],
  ['module', 'label', 'length', 'data'],
  ['data', 'label'],
];

/** Every method of the profile with every parameter that makes another rule, constants and coverage by chance. */
export function testRules(next: Next): TestRule[] {
  const specs: { spec: SumSpec; order: ByteOrder }[] = [];
  const start = (bits: number) => (next(3) === 0 ? BigInt(next(2 ** Math.min(bits, 31))) : 0n);
  for (const order of ['big', 'little'] as const) {
    for (const bits of [8, 16, 24, 32] as const) {
      for (const unit of ([1, 2, 4] as const).filter((bytes) => bytes * 8 <= bits)) {
        for (const complement of ['none', 'ones', 'twos'] as const) {
          specs.push({ spec: { method: 'add', bits, unit, order, complement, start: start(bits) }, order });
        }
      }
    }
    for (const bits of [8, 16, 32] as const) {
      specs.push({ spec: { method: 'add-end-around', bits, order }, order });
      specs.push({ spec: { method: 'xor', bits, order, start: start(bits) }, order });
    }
    for (const bits of [16, 32] as const) specs.push({ spec: { method: 'fletcher', bits, order }, order });
    specs.push({ spec: { method: 'adler' }, order });
    for (const model of CRC_NAMES) {
      const parameters = crcModel(model);
      // The sums of lines have 1, 2, 3, 4 or 8 bytes.
      if (parameters !== undefined && [8, 16, 24, 32, 64].includes(parameters.width))
        specs.push({ spec: { method: 'crc', model, ...parameters }, order });
    }
    for (const width of [8, 8, 8, 16, 16, 16, 32, 32]) {
      // Polynomials that nobody names; each ends in 1, as every polynomial in use does.
      const number = () => BigInt(next(2 ** Math.min(width, 31)));
      const [refin, refout] = [next(2) === 1, next(2) === 1];
      const spec = {
        method: 'crc',
        model: undefined,
        width,
        poly: number() | 1n,
        init: number(),
        refin,
        refout,
        xorout: number(),
      } as const;
      specs.push({ spec, order });
    }
  }
  return specs.map(({ spec, order }) => {
    const over = OVERS[next(OVERS.length)] as readonly LinePart[];
    const labelBytes = next(4) === 0 ? 2 : 1;
    const name = `${JSON.stringify(spec, (_, value) => (typeof value === 'bigint' ? value.toString(16) : value))} ${order} over ${over} ${labelBytes}`;
    return { name, spec, order, over, labelBytes, module: next(0x10000) };
  });
}

/** The bytes that a rule stores for a line. */
export function sumOf(rule: TestRule, label: number, data: readonly number[]): Uint8Array {
  const parts = {
    data,
    length: [data.length],
    module: [rule.module >> 8, rule.module & 0xff],
    label: [...bytesOfNumber(BigInt(label), rule.labelBytes, 'big')],
  };
  const run = Uint8Array.from(rule.over.flatMap((part) => parts[part]));
  const checksum = checksumOf(rule.spec);
  return bytesOfNumber(valueOver(checksum, run), checksum.bits / 8, rule.order);
}

/** Lines 1 to `count` with bytes as dumps have them: many zeros and FF, some alike. Several lengths take turns. */
export function testLines(
  rule: TestRule,
  count: number,
  data: number | readonly number[],
  next: Next,
  dump = 0,
): (LineToLearn & { readonly label: number })[] {
  const lengths = [data].flat();
  return Array.from({ length: count }, (_, i) => {
    const bytes = Array.from(
      { length: lengths[i % lengths.length] as number },
      () => [0, 0xff, next(256), next(256), next(16), 1 << next(8)][next(6)] as number,
    );
    return { dump, label: i + 1, bytes: Uint8Array.of(...bytes, ...sumOf(rule, i + 1, bytes)) };
  });
}
