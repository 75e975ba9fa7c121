// Values of bytes as points of a lattice, against all values that the bytes can have.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { byteLatticeOf, type Values } from '../../../shared-core/src/repair/solver/byteLattice.js';
import type { Equation, System } from '../../../shared-core/src/repair/solver/system.js';

const byte = fc.nat(255);

function systemOf(
  free: readonly { readonly value: number; readonly mask: number }[],
  sums: readonly (readonly [bigint, readonly number[]])[],
): System {
  const equations = sums.map(
    ([modulus, weights]): Equation => ({
      kind: 'modular',
      modulus,
      weights: weights.map((weight) => ((BigInt(weight) % modulus) + modulus) % modulus),
    }),
  );
  return { free, equations, accepted: [], measure: 'growth' };
}

function allOf(values: Values | undefined): readonly string[] {
  assert.ok(values);
  const found: string[] = [];
  while (!values.isDone()) {
    const next = values.next(5);
    if (next !== undefined) found.push(next.join());
  }
  return found;
}

describe('the values of bytes as points of a lattice', () => {
  it('are all of those with which the congruences come to what is wanted, each once', () => {
    const given = fc.record({
      masks: fc.array(fc.constantFrom(0x01, 0x81, 0x3c, 0x07, 0xa5, 0x00), { minLength: 3, maxLength: 3 }),
      values: fc.array(byte, { minLength: 4, maxLength: 4 }),
      others: fc.array(byte, { minLength: 3, maxLength: 3 }),
      center: fc.array(byte, { minLength: 3, maxLength: 3 }),
      sums: fc.array(
        fc.tuple(
          fc.constantFrom(3n, 8n, 15n, 256n),
          fc.array(fc.integer({ min: -9, max: 20 }), { minLength: 4, maxLength: 4 }),
        ),
        { maxLength: 2 },
      ),
      isLike: fc.boolean(),
    });
    fc.assert(
      fc.property(given, ({ masks, values, others, center, sums, isLike }) => {
        // The second byte of the system is not among those that are looked at.
        const free = [masks[0] ?? 0, 0xff, masks[1] ?? 0, masks[2] ?? 0].map((mask, i) => ({
          mask,
          value: values[i] ?? 0,
        }));
        const own = [3, 0, 2];
        const lattice = finish(byteLatticeOf(systemOf(free, sums), own));
        if (own.every((index) => free[index]?.mask === 0)) return assert.equal(lattice, undefined);
        assert.ok(lattice);
        const now = own.map((index) => values[index] ?? 0);
        const maskOf = (i: number) => free[own[i] as number]?.mask ?? 0;
        const turned = now.map((value, i) => value ^ ((others[i] ?? 0) & maskOf(i)));
        const growthTo = (to: readonly number[], from: readonly number[]) =>
          sums.map(([, weights]) =>
            to.reduce((sum, one, i) => sum + (one - (from[i] ?? 0)) * (weights[own[i] ?? 0] ?? 0), 0),
          );
        const within = (numbers: readonly number[]) =>
          numbers.map((one, s) => {
            const modulus = Number(sums[s]?.[0]);
            return ((one % modulus) + modulus) % modulus;
          });
        const wanted = within(growthTo(turned, now));
        const near = lattice.valuesNear(
          Uint8Array.from(center),
          isLike ? { like: Uint8Array.from(turned) } : { growth: wanted },
        );
        const expected = now.reduce<readonly (readonly number[])[]>(
          (all, value, i) =>
            all.flatMap((before) =>
              Array.from({ length: 256 }, (_, one) => one)
                .filter((one) => ((one ^ value) & ~maskOf(i)) === 0)
                .map((one) => [...before, one]),
            ),
          [[]],
        );
        assert.deepEqual(
          [...allOf(near)].sort(),
          expected
            .filter((one) => within(growthTo(one, now)).join() === wanted.join())
            .map((one) => one.join())
            .sort(),
        );
      }),
      { numRuns: 100 },
    );
  });

  it('begin with the one that is looked for where each is right, bits that may not change apart', () => {
    const free = [0x3c, 0xff, 0x81, 0xa5].map((mask, i) => ({ mask, value: 83 * i }));
    const lattice = finish(byteLatticeOf(systemOf(free, []), [0, 1, 2, 3]));
    assert.ok(lattice);
    for (const center of [
      [0x14, 0x99, 0x80, 0x21],
      [0xff, 0x00, 0x01, 0xa4],
    ]) {
      const expected = free.map(({ value, mask }, i) => (value & ~mask) | ((center[i] as number) & mask)).join();
      for (const wanted of [{ growth: [] }, { like: Uint8Array.from(free, ({ value, mask }) => value ^ mask) }])
        assert.equal(lattice.valuesNear(Uint8Array.from(center), wanted)?.next(20)?.join(), expected);
    }
  });

  it('are as many as the bits say, about: those of the bytes less those of the congruences', () => {
    const bits = (sums: readonly (readonly [bigint, readonly number[]])[]) =>
      finish(
        byteLatticeOf(
          systemOf(
            [1, 2, 3, 4].map((value) => ({ value, mask: 0xff })),
            sums,
          ),
          [0, 1, 2, 3],
        ),
      )?.bits ?? 0;
    assert.ok(Math.abs(bits([]) - 32) < 0.1, `${bits([])}`);
    const sum = bits([[256n, [1, 3, 7, 31]]]);
    assert.ok(Math.abs(sum - 24) < 1, `${sum}`);
    const two = bits([
      [255n, [1, 1, 1, 1]],
      [255n, [9, 100, 31, 6]],
    ]);
    assert.ok(Math.abs(two - 16) < 1.5, `${two}`);
  });

  it('are none where the congruences cannot come to it, and are not looked for with too many unknowns or none', () => {
    const even = finish(byteLatticeOf(systemOf([{ value: 0, mask: 0xff }], [[256n, [2]]]), [0]));
    assert.equal(even?.valuesNear(Uint8Array.of(0), { growth: [3] }), undefined);
    assert.equal(
      even
        ?.valuesNear(Uint8Array.of(0), { growth: [6] })
        ?.next(100)
        ?.join(),
      '3',
    );
    const many = Array.from({ length: 60 }, () => ({ value: 0, mask: 0x11 }));
    const of = (count: number) => finish(byteLatticeOf(systemOf(many, []), [...many.keys()].slice(0, count)));
    assert.deepEqual(
      [0, 1, 24, 25].map((count) => of(count) !== undefined),
      [false, true, true, false],
    );
  });
});
