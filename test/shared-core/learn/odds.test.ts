import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { oddsInWords } from '../../../shared-core/src/base/odds.js';
import { say } from '../../../shared-core/src/base/phrase.js';
import { chanceInFigures, oddsOfParts, oddsWithFigures } from '../../../shared-core/src/learn/odds.js';

describe('how sure a find is', () => {
  it('is said in words', () => {
    const said = (chance: number, isUndecided = false) => say(oddsInWords(chance, isUndecided));
    assert.equal(said(0), 'practically certain');
    assert.equal(said(1e-6), 'practically certain');
    assert.equal(said(1e-6, true), 'undecided');
    assert.equal(said(1 / 15), 'could be chance: 1 in 15');
    assert.equal(said(0.05), 'could be chance: 1 in 20');
    assert.equal(said(0.5), 'could be chance: 1 in 2');
    for (const chance of [0.51, 1, 2, Number.NaN]) assert.equal(said(chance), 'undecided');
  });

  it('is never said to be surer than it is', () => {
    assert.equal(say(oddsInWords(0.4)), 'could be chance: 1 in 2');
    assert.equal(say(oddsInWords(1 / 1299)), 'could be chance: 1 in 1200');
  });

  it('names the part of a rule that is in doubt', () => {
    const said = (lines: number | null, total: number | null, undecided = false, eitherEnd = false) =>
      say(oddsOfParts({ chance: (lines ?? 0) + (total ?? 0), chances: { lines, total }, undecided, eitherEnd }));
    assert.equal(said(1e-20, 1 / 220), 'the line sums are practically certain; the file sum could be chance: 1 in 220');
    assert.equal(said(1 / 30, 1e-12), 'the line sums could be chance: 1 in 30; the file sum is practically certain');
    assert.equal(said(1 / 30, 1 / 15), 'the line sums could be chance: 1 in 30; the file sum too: 1 in 15');
    assert.equal(said(1e-20, 1e-12), 'practically certain');
    assert.equal(said(1 / 30, null), 'could be chance: 1 in 30');
    assert.equal(said(1e-20, 1 / 220, true), 'undecided');
    assert.equal(said(1e-20, 0.9), 'undecided');
    const either = 'practically certain, but not which of two bytes of a line is its sum';
    assert.equal(said(1e-20, null, false, true), either);
    assert.equal(said(1e-20, null, true, true), 'undecided');
    assert.equal(said(1 / 30, null, false, true), 'could be chance: 1 in 30');
  });

  it('has its figure behind words that do not say it', () => {
    assert.equal(say(oddsWithFigures(0.0666)), 'could be chance: 1 in 15');
    assert.equal(say(oddsWithFigures(0.75)), 'undecided (chance 0.75)');
    assert.equal(say(chanceInFigures(0)), 'less than 1e-30');
    assert.equal(say(oddsWithFigures(1e-40)), 'practically certain (chance less than 1e-30)');
  });
});
