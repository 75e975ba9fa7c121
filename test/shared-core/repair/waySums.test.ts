import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { MEMBERS_TOGETHER, waySums } from '../../../shared-core/src/repair/solver/waySums.js';

const BYTES = 5;
const byte = fc.nat(255);
const bytes = fc.array(fc.oneof(byte, fc.constantFrom(0, 0, 1, 0x80)), { minLength: BYTES, maxLength: BYTES });

describe('sums of bytes in all ways to flip some members', () => {
  it('are what is wanted in just the ways in which adding up says so', () => {
    let [some, none] = [0, 0];
    fc.assert(
      fc.property(
        fc.record({
          members: fc.array(bytes, { maxLength: MEMBERS_TOGETHER }),
          weights: fc.array(fc.constantFrom(0, 1, -1, 2, 3, 256, -256, 7 * 256, -96, 65_536, -16_777_216, 123_457), {
            minLength: BYTES,
            maxLength: BYTES,
          }),
          planes: fc.integer({ min: 1, max: 32 }),
          values: bytes,
          way: fc.nat(2 ** MEMBERS_TOGETHER - 1),
          off: fc.constantFrom(0, 0, 0, 1, -1, 256, 2 ** 31),
          among: fc.integer(),
        }),
        ({ members, weights, planes, values, way, off, among }) => {
          const flipped = (one: number) =>
            values.map((value, at) =>
              members.reduce((all, own, i) => ((one >> i) & 1 ? all ^ (own[at] ?? 0) : all), value),
            );
          const sumOf = (one: number) =>
            flipped(one).reduce((sum, value, at) => sum + BigInt(value * (weights[at] ?? 0)), 0n);
          const wanted = Number(BigInt.asIntN(32, sumOf(way % 2 ** members.length) + BigInt(off)));
          const waysThatDo = waySums(
            members.map((member) => Uint8Array.from(member)),
            Int32Array.from(weights),
            planes,
          );
          let expected = 0;
          for (let one = 0; one < 2 ** members.length; one++)
            if (BigInt.asUintN(planes, sumOf(one) - BigInt(wanted)) === 0n) expected |= 1 << one;
          const ways = among & (2 ** (2 ** members.length) - 1);
          // Twice, as what was carried once must not be carried again.
          for (let times = 0; times < 2; times++)
            assert.equal(waysThatDo(Uint8Array.from(values), wanted, ways), expected & ways);
          if (expected === 0) none++;
          else some++;
        },
      ),
      { numRuns: 2000 },
    );
    assert.ok(some > 300 && none > 100, `${some} ${none}`);
  });
});
