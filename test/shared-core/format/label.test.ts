// Labels of one number and of several: how people write them, and which comes first.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import {
  compareLabels,
  compareNumbers,
  isBetween,
  labelOfNumbers,
  numbersOf,
  readLineLabel,
} from '../../../shared-core/src/format/label.js';

describe('a label', () => {
  it('of several numbers is written in decimal, joined by "-", two to four of them, none beyond 32 bits', () => {
    assert.deepEqual(numbersOf(7), [7]);
    assert.deepEqual(numbersOf('0-0'), [0, 0]);
    assert.deepEqual(numbersOf('3-10-4294967295'), [3, 10, 0xffffffff]);
    assert.deepEqual(numbersOf('1-2-3-4'), [1, 2, 3, 4]);
    for (const word of [
      'total',
      '7',
      '1-2-3-4-5',
      '01-2',
      '1-02',
      '1.2',
      '1-',
      '-1',
      '1--2',
      '1-4294967296',
      '4294967296-1',
      'x1-2',
      '1-2x',
      '',
    ])
      assert.equal(numbersOf(word), undefined, word);
    assert.deepEqual([labelOfNumbers([7]), labelOfNumbers([3, 10])], [7, '3-10']);
  });

  it('is what a person writes for it: decimal or 0x hex, joined by "-", "." or "/"', () => {
    for (const [written, label] of [
      ['7', 7],
      ['007', 7],
      ['0x1F', 31],
      ['0X1f', 31],
      ['3-10', '3-10'],
      ['3.0xA', '3-10'],
      ['03/10', '3-10'],
      ['1-2.3/4', '1-2-3-4'],
      ['4294967295', 0xffffffff],
      ['0xFFFFFFFF', 0xffffffff],
      ['1-4294967295', '1-4294967295'],
    ] as const)
      assert.equal(readLineLabel(written), label, written);
    for (const written of [
      '',
      'x',
      '1-2-3-4-5',
      '1-',
      '-1',
      '1 2',
      ' 1',
      '4294967296',
      '1-4294967296',
      '99999999999',
      '0x',
      '0x123456789',
      '1,2',
      '1-x',
    ])
      assert.equal(readLineLabel(written), undefined, written);
  });

  it('comes by its first number, then by the next; the shorter one before those that go on from it', () => {
    const rising = [1, 2, '2-1', '2-1-0', '2-3', '2-10', 3, '3-0', 10];
    for (const [i, one] of rising.entries())
      for (const [j, other] of rising.entries())
        assert.equal(Math.sign(compareLabels(one, other)), Math.sign(i - j), `${one} ${other}`);
    assert.equal(compareLabels('2-1', '2-1'), 0);
    assert.ok(compareNumbers([1, 5], [1, 4]) > 0 && compareNumbers([1], [1, 0]) < 0 && compareNumbers([], []) === 0);
  });

  it('is between two others where it is one of them or comes between', () => {
    for (const [label, is] of [
      ['2-1', true],
      ['2-9', true],
      ['3-0', true],
      ['2-0', false],
      ['3-1', false],
      [3, true],
      [2, false],
    ] as const)
      assert.equal(isBetween(label, { from: '2-1', to: '3-0' }), is, String(label));
    assert.deepEqual(
      [1, 2, 3, 4].map((label) => isBetween(label, { from: 2, to: 3 })),
      [false, true, true, false],
    );
  });
});
