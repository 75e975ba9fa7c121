import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { hexBytes } from '../../../shared-core/src/base/hex.js';
import { evidenceOf } from '../../../shared-core/src/learn/learnSums/evidence.js';
import { chanceOf } from '../../../shared-core/src/learn/learnSums/fit.js';
import {
  degree,
  divide,
  divisorsOfDegree,
  product,
  solveProduct,
} from '../../../shared-core/src/learn/learnSums/gf2.js';
import type { LineToLearn } from '../../../shared-core/src/learn/learnSums/line.js';
import { type LineRule, storedBy } from '../../../shared-core/src/learn/learnSums/lineRule.js';
import type { LineSumSearch } from '../../../shared-core/src/learn/learnSums/lineSums.js';
import { learnLineSums } from '../../support/learnLineSums.js';
import { numbers } from './dumps.js';
import { type TestRule, testLines } from './families.js';

const ADD: TestRule = {
  name: '8-bit sum over module, label and data',
  spec: { method: 'add', bits: 8, unit: 1, order: 'big', complement: 'none', start: 0n },
  order: 'big',
  over: ['module', 'label', 'data'],
  labelBytes: 1,
  module: 0x06f4,
};

function best({ rules }: LineSumSearch): LineRule {
  assert.ok(rules[0]);
  return rules[0];
}

describe('learn the line sums', () => {
  it('a module number that nobody gave is a constant that is solved for', () => {
    const { spec, coverage, wrong, chance } = best(learnLineSums(testLines(ADD, 18, 6, numbers(1)), undefined));
    assert.deepEqual(spec, { ...ADD.spec, start: 0xfan });
    assert.deepEqual(coverage.over, ['label', 'data']);
    assert.deepEqual(wrong, []);
    assert.ok(chance < 1e-30);
  });

  it('of many lines, of which some are looked at first, each counts for the rule in the end', () => {
    const many = Array.from({ length: 300 }, (_, lot) =>
      testLines(ADD, 18, 6, numbers(lot + 1)).map((line) => ({ ...line, label: Number(line.label), dump: lot })),
    ).flat();
    const torn = many.map((line, i) =>
      i % 400 === 7 ? { ...line, bytes: line.bytes.map((byte, at) => (at === 0 ? byte ^ 1 : byte)) } : line,
    );
    const { spec, lines, wrong } = best(learnLineSums(torn, 0x06f4));
    assert.deepEqual(spec, ADD.spec);
    assert.deepEqual([lines, wrong.length], [many.length, torn.filter((line, i) => line !== many[i]).length]);
  });

  it('of many lines several in a hundred may be damaged: the rule is as sure, and they are named', () => {
    for (const share of [0.03, 0.09]) {
      const next = numbers(5);
      const damaged = new Set<number>();
      const lines = testLines({ ...ADD, over: ['data'] }, 4000, 8, next).map((line, i): LineToLearn => {
        if (next(1000) >= 1000 * share) return line;
        damaged.add(i);
        return { ...line, bytes: line.bytes.map((byte, at) => (at === i % 8 ? byte ^ (1 + next(255)) : byte)) };
      });
      const search = learnLineSums(lines, undefined, { effort: 'common' });
      const { spec, wrong, chance } = best(search);
      assert.deepEqual(spec, ADD.spec);
      assert.equal(wrong.length, damaged.size);
      assert.ok(chance < 1e-12, `${chance}`);
      assert.equal(search.damaged.length, damaged.size);
    }
  }).timeout(60_000);

  it('many lines of noise have no rule', () => {
    const next = numbers(12);
    const noise = Array.from({ length: 5000 }, (_, i) => ({
      dump: 0,
      label: 16 * i,
      bytes: Uint8Array.from({ length: 16 }, () => next(256)),
    }));
    assert.deepEqual(learnLineSums(noise, undefined).rules, []);
  });

  it('a module number that a header gives is covered, and no constant is left', () => {
    const { spec, coverage, module } = best(learnLineSums(testLines(ADD, 18, 6, numbers(1)), 0x06f4));
    assert.deepEqual(spec, ADD.spec);
    assert.deepEqual(coverage.over, ['module', 'label', 'data']);
    assert.equal(module, 0x06f4);
  });

  it('a CRC is called by its name in the catalogue', () => {
    const spec = {
      method: 'crc',
      model: undefined,
      width: 16,
      poly: 0x1021n,
      init: 0xffffn,
      refin: true,
      refout: true,
      xorout: 0xffffn,
    } as const;
    const rule = best(learnLineSums(testLines({ ...ADD, spec, over: ['data'] }, 12, 8, numbers(2)), undefined));
    assert.equal(rule.spec.method === 'crc' && rule.spec.model, 'CRC-16/IBM-SDLC');
  });

  it('an unknown polynomial of 32 bits is found from twelve lines', () => {
    const spec = {
      method: 'crc',
      model: undefined,
      width: 32,
      poly: 0x5d6dcb01n,
      init: 0x12345678n,
      refin: true,
      refout: true,
      xorout: 0xa5n,
    } as const;
    const rule = best(learnLineSums(testLines({ ...ADD, spec }, 12, 8, numbers(3)), undefined));
    assert.equal(rule.spec.method === 'crc' && rule.spec.poly, 0x5d6dcb01n);
    assert.deepEqual(rule.wrong, []);
  });

  for (const width of [8, 16, 32]) {
    for (const [lengths, said] of [
      [[6, 9, 4], 'of three lengths'],
      [Array.from({ length: 12 }, (_, i) => i + 3), 'all of different lengths'],
    ] as const) {
      for (const damaged of width === 16 ? [false, true] : [false]) {
        it(`unknown start and end value of ${width} bits, lines ${said}${damaged ? ', one damaged' : ''}`, () => {
          const [poly, init, xorout] = [0x5d6dcb2fn, 0xa1b2c3d4n, 0x0f1e2d3cn].map((n) =>
            BigInt.asUintN(width, n | 1n),
          );
          const constants = { poly: poly as bigint, init: init as bigint, xorout: xorout as bigint };
          const spec = { method: 'crc', model: undefined, width, ...constants, refin: true, refout: true } as const;
          const rule = { ...ADD, spec, over: ['data'] as const };
          const lines = testLines(rule, 12, lengths, numbers(width));
          if (damaged) (lines[1] as LineToLearn).bytes[0]! ^= 0x10;
          const found = best(learnLineSums(lines, undefined));
          assert.deepEqual(
            found.wrong.map(({ label }) => label),
            damaged ? [2] : [],
          );
          for (const { label, bytes } of testLines(rule, 12, [5, 7, 30], numbers(99))) {
            const data = bytes.subarray(0, bytes.length - width / 8);
            assert.equal(hexBytes(storedBy(found, label, data)), hexBytes(bytes.subarray(data.length)));
          }
        });
      }
    }
  }

  it('a polynomial of the catalogue with constants of its own, five lines of different lengths', () => {
    const constants = { poly: 0x1021n, init: 0x1d0fn, xorout: 0x00ffn };
    const spec = { method: 'crc', model: undefined, width: 16, ...constants, refin: false, refout: false } as const;
    const found = best(
      learnLineSums(testLines({ ...ADD, spec, over: ['data'] }, 5, [4, 6, 8, 5, 7], numbers(3)), undefined),
    );
    assert.equal(found.spec.method === 'crc' && found.spec.poly, 0x1021n);
    assert.deepEqual(found.wrong, []);
  });

  it('a wide CRC is not taken for the narrow one whose polynomial divides its own', () => {
    // Over GF(2), 1 6F63 is a product of 1 1D and another polynomial, as 1 9F73 is of 1 49.
    for (const [poly, seed] of [
      [0x6f63n, 5],
      [0x9f73n, 6],
    ] as const) {
      const spec = {
        method: 'crc',
        model: undefined,
        width: 16,
        poly,
        init: 0x1234n,
        refin: false,
        refout: false,
        xorout: 0xabcdn,
      } as const;
      const lines = testLines({ ...ADD, spec, over: ['data'] }, 26, 8, numbers(seed));
      const rule = best(learnLineSums(lines, undefined));
      assert.deepEqual([rule.width, rule.wrong, rule.spec.method === 'crc' && rule.spec.poly], [2, [], poly]);
    }
  });

  it('one damaged line among sound ones is named', () => {
    const lines = testLines(ADD, 12, 6, numbers(4));
    (lines[7] as LineToLearn).bytes[3]! ^= 0x10;
    assert.deepEqual(
      best(learnLineSums(lines, undefined)).wrong.map(({ label }) => label),
      [8],
    );
  });

  it('rules that the lines cannot tell apart are named with a line that would', () => {
    // No addition ever carries, so that sums and exclusive or are the same.
    const lines = [1, 2, 4, 8, 16, 32, 64].map((bit, i) => ({
      dump: 0,
      label: i,
      bytes: Uint8Array.of(bit, 0, 0x80, bit | 0x80),
    }));
    const { rules, undecided } = learnLineSums(lines, undefined);
    const methods = new Set([rules[0]?.spec.method, ...undecided.map(({ rule }) => rule.spec.method)]);
    assert.ok(methods.has('add') && methods.has('xor'));
    const { telling } = undecided.find(({ rule }) => rule.spec.method !== rules[0]?.spec.method) ?? {};
    assert.ok(telling);
    assert.notEqual(hexBytes(telling.first), hexBytes(telling.second));
  });

  it('random bytes follow no rule: the nearest is named, with how few lines it explains', () => {
    const next = numbers(6);
    const lines = Array.from({ length: 20 }, (_, label) => ({
      dump: 0,
      label,
      bytes: Uint8Array.from({ length: 8 }, () => next(256)),
    }));
    const { rules, nearest } = learnLineSums(lines, undefined);
    assert.deepEqual(rules, []);
    assert.ok(nearest && nearest.wrong.length > 10);
  });

  it('one line, or lines all alike, teach nothing', () => {
    const one = testLines(ADD, 1, 6, numbers(7));
    assert.deepEqual(learnLineSums(one, undefined).rules, []);
    assert.deepEqual(learnLineSums([...one, ...one], undefined).rules, []);
    assert.deepEqual(learnLineSums([], undefined).rules, []);
  });
});

describe('the probability of chance', () => {
  it('falls with the bits that are explained, and rises with the rules tried and the lines that may be wrong', () => {
    assert.equal(chanceOf(1, 16, 3, 0), 2 ** -16);
    assert.equal(chanceOf(256, 16, 3, 0), 2 ** -8);
    assert.equal(chanceOf(1, 24, 4, 1), 4 * 2 ** -24);
    assert.equal(chanceOf(1000, 0, 1, 0), 1);
  });

  it('is never 0', () => {
    assert.ok(chanceOf(1, 1e6, 1000, 0) > 0);
  });

  it('counts what differs: runs that come again, bits that never change and copies of other bytes say nothing', () => {
    const samples = (...lines: (readonly [number, number, bigint])[]) =>
      lines.map(([a, b, stored]) => ({ run: Uint8Array.of(a, b), stored }));
    const evidence = evidenceOf(samples([1, 2, 3n], [1, 2, 3n], [5, 0, 0x0cn], [9, 7, 0x30n]), 1);
    assert.deepEqual([evidence.distinct, evidence.independent], [3, 3]);
    assert.equal(evidenceOf(samples([1, 2, 3n], [5, 0, 3n], [9, 7, 3n]), 1).bits, 0);
    assert.equal(evidenceOf(samples([1, 2, 1n], [5, 0, 5n], [9, 7, 9n]), 1).bits, 0);
    assert.equal(evidenceOf(samples([1, 2, 0xfen], [5, 0, 0xfan], [9, 7, 0xf6n]), 1).bits, 0);
    // The fourth run is the exclusive or of the three others.
    assert.equal(evidenceOf(samples([0, 0, 1n], [1, 2, 2n], [4, 0, 5n], [5, 2, 0x0en]), 1).independent, 3);
  });
});

describe('polynomials over GF(2)', () => {
  it('divide, and are divided', () => {
    // (x + 1)(x^2 + x + 1) = x^3 + 1.
    assert.deepEqual(divide(0b1001n, 0b11n), { quotient: 0b111n, rest: 0n });
    assert.equal(degree(0b1001n), 3);
    assert.deepEqual(divisorsOfDegree(0b10010n, 2, 4), [0b111n]);
    assert.equal(product(0b11n, 0b111n), 0b1001n);
  });

  it('have all solutions of a product modulo a polynomial, or none', () => {
    // x · (x + 1) = 1 modulo x^2 + x + 1, which has no factors.
    assert.deepEqual(solveProduct(0b10n, 1n, 0b111n), { least: 0b11n, step: 0b111n });
    // x + 1 is a factor of x^2 + 1: multiples of it alone can be reached, each by two polynomials.
    assert.deepEqual(solveProduct(0b11n, 0b11n, 0b101n), { least: 1n, step: 0b11n });
    assert.equal(solveProduct(0b11n, 1n, 0b101n), undefined);
  });
});
