import type { ByteOrder } from '../base/number.js';
import { checksumOf, SUM_IDS, SUM_METHODS, type SumId, type SumSpec, specOf } from './registry.js';

/** Every sum of so many bits by a method without a constant: all its parameters are one of a few. */
export function sumsWithoutConstant(bits: number, order: ByteOrder): readonly SumSpec[] {
  return SUM_IDS.flatMap((id) => variantsOf(id, order)).filter((spec) => checksumOf(spec).bits === bits);
}

function variantsOf(id: SumId, order: ByteOrder): readonly SumSpec[] {
  let all: readonly object[] = [{}];
  for (const [key, parameter] of Object.entries(SUM_METHODS[id].parameters)) {
    if (parameter.kind !== 'choice') return [];
    const values = key === 'order' ? [order] : parameter.of;
    all = all.flatMap((one) => values.map((value) => ({ ...one, [key]: value })));
  }
  return all.map((values) => specOf(id, values));
}
