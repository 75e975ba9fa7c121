import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { valueOver } from '../../shared-core/src/checksum/checksum.js';
import { checksumOf, SUM_IDS, sumOnPaper } from '../../shared-core/src/checksum/registry.js';
import { sumOf } from '../support/sums.js';

const run = fc.uint8Array({ minLength: 1, maxLength: 16 });
const number = (digits: string) => BigInt(`0x${digits}`);

/** Works out what is on one side of an equation, from left to right, knowing nothing of sums. */
function workedOut(side: string): bigint {
  const [first = '', ...rest] = side.trim().split(' ');
  let value = number(first);
  for (let i = 0; i < rest.length; i += 2) {
    const next = number(rest[i + 1] ?? '');
    switch (rest[i]) {
      case '+':
        value += next;
        break;
      case '−':
        value -= next;
        break;
      case 'xor':
        value ^= next;
        break;
      case 'mod':
        value %= next;
        break;
      default:
        assert.fail(`what is "${rest[i]}"?`);
    }
  }
  return value;
}

describe('a sum worked out on paper', () => {
  for (const id of SUM_IDS) {
    it(`${id}: ${id === 'crc' ? 'nobody works it out by hand' : 'each step is right, and the last one is the sum that is stored'}`, () => {
      fc.assert(
        fc.property(sumOf(id), run, (spec, bytes) => {
          const steps = sumOnPaper(spec, bytes);
          if (id === 'crc') return assert.equal(steps, undefined);
          assert.ok(steps !== undefined);
          for (const step of steps.filter((one) => one.includes('='))) {
            const [left = '', right = ''] = step.split(' = ');
            assert.equal(workedOut(left), number(right), step);
          }
          const last = /[0-9A-F]+$/.exec(steps.at(-1) ?? '')?.[0] ?? '';
          const checksum = checksumOf(spec);
          assert.equal(number(last), valueOver(checksum, bytes));
          assert.equal(last.length, Math.ceil(checksum.bits / 4));
          return undefined;
        }),
        { numRuns: 300 },
      );
    });
  }

  it('is as a person would write it', () => {
    const bytes = Uint8Array.of(0x05, 0x08, 0x03, 0x21);
    const add = { method: 'add', bits: 8, unit: 1, order: 'big', complement: 'none', start: 0n } as const;
    assert.deepEqual(sumOnPaper({ ...add, complement: 'ones' }, bytes), ['05 + 08 + 03 + 21 = 31', 'FF − 31 = CE']);
    assert.deepEqual(sumOnPaper({ ...add, complement: 'twos' }, bytes), ['05 + 08 + 03 + 21 = 31', '100 − 31 = CF']);
    assert.deepEqual(sumOnPaper({ ...add, start: 0xf0n }, bytes), ['F0 + 05 + 08 + 03 + 21 = 121', '21']);
    assert.deepEqual(sumOnPaper({ method: 'xor', bits: 8, start: 0n, order: 'big' }, bytes), [
      '05 xor 08 xor 03 xor 21 = 2F',
    ]);
    assert.deepEqual(sumOnPaper({ method: 'fletcher', bits: 16, order: 'big' }, bytes), [
      '05 + 08 + 03 + 21 = 31',
      '05 + 0D + 10 + 31 = 53',
      '5331',
    ]);
    assert.deepEqual(sumOnPaper({ method: 'add-end-around', bits: 16, order: 'big' }, Uint8Array.of(255, 254, 0, 3)), [
      'FFFE + 0003 = 10001',
      '0001 + 0001 = 0002',
      'FFFF − 0002 = FFFD',
    ]);
  });

  it('leaves out the middle of many numbers', () => {
    const steps = sumOnPaper({ method: 'xor', bits: 8, start: 0n, order: 'big' }, new Uint8Array(100));
    assert.match(steps?.[0] ?? '', /^(?:00 xor ){12}… (?:xor 00 ){4}= 00$/);
  });
});
