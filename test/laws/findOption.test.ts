import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { findOption } from '../../shared-core/src/learn/findOption/findOption.js';
import { scoreOption } from '../scoring/options.js';
import { comparedOf, numbers } from '../shared-core/learn/dumps.js';

describe('laws of finding options', () => {
  it('pure noise: at most the stated share of 1,000 searches finds anything', () => {
    const runs = 1000;
    const next = numbers(2041);
    let found = 0;
    for (let run = 0; run < runs; run++) {
      const dumps = Array.from({ length: 24 }, (_, i) => ({
        name: `${i}`,
        group: i % 2,
        // Bits set half the time, seldom, and in whole half bytes: as coarse and as fine as real bytes are.
        dump: comparedOf([[next(256), next(8) === 0 ? 0x40 : 0, 0x11 * next(3), next(2) * 0xf0]]),
      }));
      if (findOption(dumps, ['with', 'without']).candidates.some(({ q }) => q <= 0.05)) found++;
    }
    // Where nothing is true, the false discovery rate is the share of searches that find anything. Three standard
    // errors above 5 % of 1,000 are 71.
    assert.ok(found <= 71, `${found} of ${runs}`);
  });

  it('the car to look for can exist: its two values are never of bits that one of them rules out', () => {
    const next = numbers(11);
    let wanted = 0;
    for (let run = 0; run < 200; run++) {
      const dumps = Array.from({ length: 10 }, (_, i) => {
        // Over two bytes and in one bit of them the option is the same; the other bits are of few kinds.
        const bytes = [0x1e, (i % 2 === 0 ? 0x20 : 0) | (0x0f - (next(5) === 0 ? 1 : 0)), next(3)];
        return { name: `${i}`, group: i % 2, dump: comparedOf([bytes, [next(2), i % 2 === 0 && i > 0 ? 1 : 0, 0]]) };
      });
      const { next: car } = findOption(dumps, ['with', 'without']);
      if (car?.kind !== 'wanted') continue;
      wanted++;
      const [a, b] = [car.first.place, car.second.place];
      const apart = a.column + a.count <= b.column || b.column + b.count <= a.column;
      const fields = a.count === 1 && b.count === 1 && (a.bits.high < b.bits.low || b.bits.high < a.bits.low);
      assert.ok(apart || fields, JSON.stringify([a, b]));
    }
    assert.ok(wanted > 20, String(wanted));
  });

  it('the option comes first, with wrong labels too, and no more false places are found than q allows', () => {
    const runs = 200;
    const next = numbers(7);
    const scores = Array.from({ length: runs }, (_, run) => scoreOption(next, run % 3));
    assert.ok(scores.filter(({ first }) => first).length >= 0.99 * runs);
    // The mean share of false ones among the found ones; three standard errors above 5 % of 200 are 9.6 %.
    const shares = scores.map(({ found, wrong }) => (found === 0 ? 0 : wrong / found));
    assert.ok(shares.reduce((sum, share) => sum + share, 0) / runs <= 0.096);
  });
});
