import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { valueOver } from '../../../shared-core/src/checksum/checksum.js';
import { checksumOf, type SumSpec } from '../../../shared-core/src/checksum/registry.js';
import { hiddenModule } from '../../../shared-core/src/learn/learnSums/hiddenModule.js';
import { numbers } from './dumps.js';

const SPECS: readonly SumSpec[] = [
  { method: 'add', bits: 8, unit: 1, order: 'big', complement: 'none', start: 0n },
  { method: 'add', bits: 16, unit: 2, order: 'big', complement: 'twos', start: 0n },
  { method: 'add-end-around', bits: 16, order: 'little' },
  { method: 'fletcher', bits: 16, order: 'big' },
];

describe('the module number that a sum covers and nobody gave', () => {
  for (const spec of SPECS)
    it(`is the first of all numbers that fit, or none does: ${spec.method} of ${'bits' in spec ? spec.bits : ''} bits`, () => {
      const next = numbers(31);
      const checksum = checksumOf(spec);
      const { law } = checksum;
      assert.ok(law.kind === 'modular');
      for (const isSum of [true, false]) {
        const run = Uint8Array.from({ length: 6 }, () => next(256));
        const valueWith = (module: number) => {
          run.set([module >> 8, module & 0xff], 2);
          return valueOver(checksum, run);
        };
        const stored = isSum ? valueWith(next(0x10000)) : BigInt(next(2 ** Math.min(checksum.bits, 16)));
        const wanted = Array.from({ length: 0x10000 }, (_, module) => module).find(
          (module) => valueWith(module) === stored,
        );
        valueWith(0);
        const found = hiddenModule(checksum, law, [{ sample: { run, stored }, at: 2 }]);
        // Of two values that mean zero, either is given.
        assert.equal(found === undefined ? undefined : valueWith(found), wanted === undefined ? undefined : stored);
        if (found !== undefined && wanted !== undefined) assert.ok(found <= wanted);
      }
    });
});
