import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { alikeCandidates } from '../../shared-core/src/learn/findOption/alike.js';
import { findOption } from '../../shared-core/src/learn/findOption/findOption.js';
import { valueAt } from '../../shared-core/src/learn/findOption/partitions.js';
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

  it('each place that is proposed has values of its own groups alone, and none of them in two groups', () => {
    const next = numbers(31);
    let alike = 0;
    for (let run = 0; run < 300; run++) {
      const dumps = Array.from({ length: 2 + next(8) }, (_, i) => {
        const group = i < 2 ? i : [0, 1, undefined][next(3)];
        const option = group === undefined || next(6) === 0 ? next(4) : group === 0 ? 3 : 0;
        const bytes = [option & 1, 0x20 | option, next(2) * 0x40, next(3)];
        return { name: `${i}`, group, dump: comparedOf([bytes]) };
      });
      const search = findOption(dumps, ['with', 'without']);
      for (const candidate of search.candidates) {
        const others = alikeCandidates(search, candidate);
        alike += others.length;
        for (const { place, values, exceptions } of [candidate, ...others]) {
          const all = values.flat();
          assert.equal(new Set(all).size, all.length, JSON.stringify([place, values]));
          const held = [...search.matrix.dumps.entries()].filter(([, { group }]) => group !== undefined);
          assert.deepEqual(new Set(all), new Set(held.map(([dump]) => valueAt(search.matrix, place, dump))));
          for (const [dump, { group }] of held)
            assert.equal(
              values[group ?? -1]?.includes(valueAt(search.matrix, place, dump)),
              !exceptions.includes(dump),
            );
        }
      }
    }
    assert.ok(alike > 300, String(alike));
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
