import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { findOption } from '../../shared-core/src/learn/findOption/findOption.js';
import { scoreOption } from '../scoring/options.js';
import { dumpOf, numbers } from '../shared-core/learn/dumps.js';

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
        dump: dumpOf([[next(256), next(8) === 0 ? 0x40 : 0, 0x11 * next(3), next(2) * 0xf0]]),
      }));
      if (findOption(dumps, ['with', 'without']).candidates.some(({ q }) => q <= 0.05)) found++;
    }
    // Where nothing is true, the false discovery rate is the share of searches that find anything. Three standard
    // errors above 5 % of 1,000 are 71.
    assert.ok(found <= 71, `${found} of ${runs}`);
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
