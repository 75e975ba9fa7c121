import assert from 'node:assert/strict';
import { deflateSync, gzipSync } from 'node:zlib';
import * as secondCrc from 'crc';
import crc32mpeg2 from 'crc/crc32mpeg2';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { numberOf } from '../../shared-core/src/base/number.js';
import { finish } from '../../shared-core/src/base/steps.js';
import { stateInSteps, valueOver } from '../../shared-core/src/checksum/checksum.js';
import { crcModel } from '../../shared-core/src/checksum/crcCatalogue.js';
import type { CrcParameters } from '../../shared-core/src/checksum/crcRegister.js';
import { checksumOf, type SumSpec } from '../../shared-core/src/checksum/registry.js';
import { anySum, sumOf } from '../support/sums.js';

const only = <Id extends SumSpec['method']>(id: Id) =>
  sumOf(id).filter((spec): spec is Extract<SumSpec, { method: Id }> => spec.method === id);

/** Runs in which the bytes 00 and FF, at which sums go wrong first, are common. */
const run = (minLength: number, maxLength = 70) =>
  fc
    .array(fc.oneof(fc.integer({ min: 0, max: 255 }), fc.constantFrom(0, 255)), { minLength, maxLength, size: 'max' })
    .map((bytes) => Uint8Array.from(bytes));
const changed = fc.record({ before: run(1), at: fc.nat(), part: run(0, 9) }).map(({ before, at: nat, part }) => {
  const at = nat % before.length;
  const after = before.slice();
  after.set(part.subarray(0, before.length - at), at);
  return { before, after, at, count: Math.min(part.length, before.length - at) };
});

describe('laws of sums', () => {
  it('the quick way to a value, where there is one, gives the value', () => {
    fc.assert(
      fc.property(fc.oneof(anySum, only('add')), run(0), fc.nat(20), fc.nat(20), (spec, bytes, left, right) => {
        const checksum = checksumOf(spec);
        const [from, end] = [
          Math.min(left, bytes.length),
          Math.max(bytes.length - right, Math.min(left, bytes.length)),
        ];
        const quick = checksum.quickValue?.(bytes, from, end);
        const isSingleBytes = spec.method === 'add' && spec.unit === 1;
        assert.equal(quick !== undefined, isSingleBytes);
        if (quick !== undefined) assert.equal(BigInt(quick), valueOver(checksum, bytes.subarray(from, end)));
      }),
    );
  });

  it('a moved state is the state from scratch', () => {
    fc.assert(
      fc.property(anySum, changed, (spec, { before, after, at, count }) => {
        const checksum = checksumOf(spec);
        const change = {
          length: before.length,
          at,
          before: before.subarray(at, at + count),
          after: after.subarray(at, at + count),
        };
        assert.equal(checksum.moved(checksum.stateOf(before), change), checksum.stateOf(after));
      }),
      { numRuns: 600 },
    );
  });

  it('a state that is continued is the state of the whole, and so is one in steps', () => {
    fc.assert(
      fc.property(fc.oneof(anySum, only('crc')), run(0), run(0), (spec, first, more) => {
        const checksum = checksumOf(spec);
        const whole = Uint8Array.of(...first, ...more);
        const state = checksum.continued?.(checksum.stateOf(first), more);
        assert.equal(state !== undefined, spec.method === 'crc');
        if (state !== undefined) assert.equal(state, checksum.stateOf(whole));
      }),
    );
    const long = Uint8Array.from({ length: (1 << 21) + 5 }, (_, i) => i % 251);
    for (const method of ['crc', 'add'] as const) {
      const [spec] = fc.sample(only(method), { numRuns: 1, seed: 1 });
      assert.ok(spec);
      const checksum = checksumOf(spec);
      assert.equal(finish(stateInSteps(checksum, long)), checksum.stateOf(long));
    }
  });

  it('a value fits into its bits', () => {
    fc.assert(
      fc.property(anySum, run(0), (spec, bytes) => {
        const checksum = checksumOf(spec);
        const value = valueOver(checksum, bytes);
        assert.ok(value >= 0n && value < 1n << BigInt(checksum.bits));
      }),
    );
  });

  it('the law foretells what the change of one byte does to the value', () => {
    fc.assert(
      fc.property(anySum, run(1), fc.nat(), fc.nat(255), (spec, before, nat, byte) => {
        const { law, ...checksum } = checksumOf(spec);
        const at = nat % before.length;
        const after = Uint8Array.from(before, (old, i) => (i === at ? byte : old));
        const [from, to] = [before, after].map((bytes) => checksum.valueOf(checksum.stateOf(bytes)));
        assert.ok(from !== undefined && to !== undefined);
        const old = before[at] as number;
        if (law.kind === 'binary') {
          const flips = law
            .effects(at, before.length)
            .reduce((all, effect, bit) => ((old ^ byte) & (1 << bit) ? all ^ effect : all), 0n);
          assert.equal(flips, from ^ to);
        } else
          for (const { modulus, coefficient, gap } of law.equations) {
            const grown = (coefficient(at, before.length) * BigInt(byte - old)) % modulus;
            assert.equal(gap(from, to), (grown + modulus) % modulus);
          }
      }),
      { numRuns: 600 },
    );
  });

  it('both ways of moving a state cancel', () => {
    fc.assert(
      fc.property(anySum, changed, (spec, { before, after, at }) => {
        const checksum = checksumOf(spec);
        const [a, b] = [before.subarray(at), after.subarray(at)];
        const there = checksum.moved(checksum.stateOf(before), { length: before.length, at, before: a, after: b });
        const back = checksum.moved(there, { length: before.length, at, before: b, after: a });
        assert.equal(back, checksum.stateOf(before));
      }),
    );
  });
});

describe('sums against their definitions, written out plainly', () => {
  it('CRC of any width: one bit a step (Rocksoft model)', () => {
    fc.assert(
      fc.property(only('crc'), run(0), (spec, bytes) => {
        assert.equal(valueOver(checksumOf(spec), bytes), bitwiseCrc(spec, bytes));
      }),
      { numRuns: 400 },
    );
  });

  it('plain sums: addends read as numbers, the last filled with zero bytes', () => {
    fc.assert(
      fc.property(only('add'), run(0), (spec, bytes) => {
        const sum = unitsOf(bytes, spec.unit, spec.order).reduce((a, b) => a + b, spec.start);
        const turned = spec.complement === 'none' ? sum : spec.complement === 'ones' ? -1n - sum : -sum;
        assert.equal(valueOver(checksumOf(spec), bytes), BigInt.asUintN(spec.bits, turned));
      }),
    );
  });

  it("ones' complement sums: the carry comes back after each addition (RFC 1071)", () => {
    fc.assert(
      fc.property(only('add-end-around'), run(0), (spec, bytes) => {
        const top = (1n << BigInt(spec.bits)) - 1n;
        const sum = unitsOf(bytes, spec.bits / 8, spec.order).reduce((a, b) => {
          const next = a + b;
          return next > top ? next - top : next;
        }, 0n);
        assert.equal(valueOver(checksumOf(spec), bytes), top - sum);
      }),
    );
  });

  it('exclusive or of units', () => {
    fc.assert(
      fc.property(only('xor'), run(0), (spec, bytes) => {
        const value = unitsOf(bytes, spec.bits / 8, spec.order).reduce((a, b) => a ^ b, spec.start);
        assert.equal(valueOver(checksumOf(spec), bytes), value);
      }),
    );
  });

  it('Fletcher: both sums reduced at each unit, over runs longer than any batch', () => {
    fc.assert(
      fc.property(only('fletcher'), run(0), fc.integer({ min: 1, max: 120 }), (spec, piece, times) => {
        const bytes = Uint8Array.from({ length: piece.length * times }, (_, i) => piece[i % piece.length] as number);
        const half = BigInt(spec.bits / 2);
        const modulus = (1n << half) - 1n;
        let [first, second] = [0n, 0n];
        for (const unit of unitsOf(bytes, spec.bits / 16, spec.order)) {
          first = (first + unit) % modulus;
          second = (second + first) % modulus;
        }
        assert.equal(valueOver(checksumOf(spec), bytes), (second << half) | first);
      }),
      { numRuns: 50 },
    );
  });
});

describe('sums against other implementations', () => {
  const bytes = fc.uint8Array({ maxLength: 20_000, size: 'max' });
  const checkModel = (name: string, other: (bytes: Uint8Array) => bigint) =>
    fc.assert(
      fc.property(bytes, (bytes) => {
        const parameters = crcModel(name);
        assert.ok(parameters);
        assert.equal(valueOver(checksumOf({ method: 'crc', model: name, ...parameters }), bytes), other(bytes));
      }),
      { numRuns: 30 },
    );
  const models: Readonly<Record<string, (bytes: Buffer) => number>> = {
    'CRC-8/SMBUS': secondCrc.crc8,
    'CRC-8/MAXIM-DOW': secondCrc.crc81wire,
    'CRC-16/ARC': secondCrc.crc16,
    'CRC-16/MODBUS': secondCrc.crc16modbus,
    'CRC-16/IBM-3740': secondCrc.crc16ccitt,
    'CRC-16/KERMIT': secondCrc.crc16kermit,
    'CRC-16/XMODEM': secondCrc.crc16xmodem,
    'CRC-24/OPENPGP': secondCrc.crc24,
    'CRC-32/ISO-HDLC': secondCrc.crc32,
    'CRC-32/JAMCRC': secondCrc.crcjam,
    'CRC-32/MPEG-2': crc32mpeg2,
  };
  for (const [name, other] of Object.entries(models)) {
    it(`${name} as npm crc computes it`, () => checkModel(name, (bytes) => BigInt(other(Buffer.from(bytes)))));
  }

  it('CRC-32/ISO-HDLC as zlib writes it into the trailer of a gzip stream', () =>
    checkModel('CRC-32/ISO-HDLC', (bytes) => numberOf(gzipSync(bytes).subarray(-8, -4), 'little')));

  it('Adler-32 as zlib writes it after a deflated stream', () => {
    fc.assert(
      fc.property(bytes, (bytes) => {
        const trailer = deflateSync(bytes).subarray(-4);
        assert.equal(valueOver(checksumOf({ method: 'adler' }), bytes), numberOf(trailer, 'big'));
      }),
      { numRuns: 30 },
    );
  });

  it('Adler-32 as zlib computes it where both sums are largest', () => {
    const bytes = new Uint8Array(100_001).fill(0xff);
    assert.equal(valueOver(checksumOf({ method: 'adler' }), bytes), numberOf(deflateSync(bytes).subarray(-4), 'big'));
  });
});

function unitsOf(bytes: Uint8Array, size: number, order: 'big' | 'little'): bigint[] {
  const count = Math.ceil(bytes.length / size);
  const filled = new Uint8Array(count * size);
  filled.set(bytes);
  return Array.from({ length: count }, (_, i) => numberOf(filled.subarray(i * size, (i + 1) * size), order));
}

function bitwiseCrc({ width, poly, init, refin, refout, xorout }: CrcParameters, bytes: Uint8Array): bigint {
  const top = 1n << BigInt(width - 1);
  let register = init;
  for (const byte of bytes) {
    for (let step = 0; step < 8; step++) {
      const bit = (byte >> (refin ? step : 7 - step)) & 1;
      const out = (register & top) !== 0n;
      register = BigInt.asUintN(width, register << 1n);
      if (out !== (bit === 1)) register ^= poly;
    }
  }
  const digits = register.toString(2).padStart(width, '0');
  return BigInt(`0b${refout ? [...digits].reverse().join('') : digits}`) ^ xorout;
}
