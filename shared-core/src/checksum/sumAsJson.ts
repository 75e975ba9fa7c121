import { hex } from '../base/hex.js';
import type { ByteOrder } from '../base/number.js';
import { SUM_METHODS, type SumSpec } from './registry.js';

/** Method and parameters as a profile gives them, without those that are seldom given and are as usual here. */
export function sumAsJson(spec: SumSpec, order: ByteOrder): object {
  const values = new Map<string, unknown>(Object.entries(spec));
  const said: [string, unknown][] = [['method', spec.method]];
  for (const [key, parameter] of Object.entries(SUM_METHODS[spec.method].parameters)) {
    const value = values.get(key);
    if (key === 'order' || value === undefined) continue;
    if (parameter.seldom && 'usual' in parameter && value === parameter.usual) continue;
    const digits = parameter.kind === 'wide' ? Math.ceil(Number(values.get(parameter.bits)) / 4) : 0;
    said.push([key, typeof value === 'bigint' ? `0x${hex(value, digits)}` : value]);
    // A name stands for all the rest.
    if (parameter.kind === 'preset') break;
  }
  return Object.fromEntries([...said, ...(order === 'little' ? [['order', order] as const] : [])]);
}
