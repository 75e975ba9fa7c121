// The best change of those that were found: it is only called the only one, or the smallest, where all were looked at.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { incumbentOf } from '../../../shared-core/src/repair/solver/incumbent.js';
import type { Change, System } from '../../../shared-core/src/repair/solver/system.js';

const SYSTEM: System = {
  free: [0x10, 0x10, 0x10].map((value) => ({ value, mask: 0xff })),
  equations: [],
  accepted: [],
  measure: 'growth',
};
const change = (...bytes: readonly (readonly [index: number, value: number])[]): Change =>
  bytes.map(([index, value]) => ({ index, value }));
const answer = (complete: boolean, changes: readonly Change[], more: Partial<System> = {}) => {
  const incumbent = incumbentOf({ ...SYSTEM, ...more });
  for (const one of changes) incumbent.found(one);
  return incumbent.answer(complete);
};
const [small, large] = [change([0, 0x11]), change([1, 0x18])];

describe('the best change that was found', () => {
  it('is the only way where it is one and all were looked at, and in no other case', () => {
    const solved = (unique: boolean, fewest: boolean) => ({ kind: 'solved', change: small, unique, fewest });
    assert.deepEqual(answer(true, [small]), solved(true, true));
    assert.deepEqual(answer(false, [small]), solved(false, false));
    assert.deepEqual(answer(true, [small, large]), solved(false, true));
    assert.deepEqual(answer(true, [large, small]), solved(false, true));
    assert.equal(answer(true, []), undefined);
  });

  it('is the smaller one by the way of measuring, whichever comes first', () => {
    const best = (measure: System['measure'], ...changes: readonly Change[]) => {
      const found = answer(true, changes, { measure });
      return found?.kind === 'solved' ? found.change : undefined;
    };
    // 0x10 to 0x0F is one step and turns five bits; to 0x30 it is 32 steps and turns one.
    const [step, bit] = [change([0, 0x0f]), change([1, 0x30])];
    for (const both of [
      [step, bit],
      [bit, step],
    ]) {
      assert.deepEqual(best('growth', ...both), step);
      assert.deepEqual(best('bits', ...both), bit);
    }
  });

  it('is the last one where each is better than those before it', () => {
    const falling = [0x18, 0x14, 0x12, 0x11].map((value) => change([2, value]));
    const found = answer(true, [...falling, change([1, 0x12])]);
    assert.deepEqual(found, { kind: 'solved', change: change([2, 0x11]), unique: false, fewest: true });
  });

  it('of as many steps takes the bytes that are listed first, in whatever order a change names them', () => {
    const [first, later] = [change([2, 0x11], [0, 0x11]), change([1, 0x11], [2, 0x11])];
    for (const both of [
      [first, later],
      [later, first],
    ]) {
      const found = answer(true, both);
      assert.deepEqual(found?.kind === 'solved' && found.change, first);
    }
  });

  it('is none that does not give the wanted values, and such a one is no second way', () => {
    const verifies = (one: Change) => one !== large;
    const found = answer(true, [large, small, large], { verifies });
    assert.deepEqual(found, { kind: 'solved', change: small, unique: true, fewest: true });
    assert.equal(answer(true, [large], { verifies }), undefined);
  });
});
