import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { whyOptionInDoubt } from '../../../shared-core/src/checks/optionDoubt.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { readOption } from '../../../shared-core/src/model/optionReading.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { profileOf } from '../../support/smallDumps.js';

/** Why the first option of a dump is in doubt; nothing where it is not. */
function doubt(dump: Dump): string {
  const [option] = dump.profile.options;
  const reading = option && readOption(dump, option);
  assert.ok(reading, 'the option can be read');
  const why = whyOptionInDoubt(dump, reading, 'b.hex');
  return why === undefined ? '' : say(why);
}

const OPTION = { id: 'tow', title: 'Tow bar', values: {} };

describe('an option proves nothing about its module', () => {
  const lines = { from: 1, to: 2, data: 2, sum: 1 };
  const lineSum = { method: 'add', over: ['data'] };
  const options = [{ ...OPTION, line: 2, byte: 1 }];
  const text = '@part A1\n1: 01 02 03\n2: 03 04 07\n';
  const read = (more: object, of = text) => bindText('b.cfgdump', of, profileOf({ lines, lineSum, options, ...more }));

  it('where its profile has a problem', () => {
    const { profile } = readProfile(JSON.stringify({ format: 1, lines, lineSum, options, colour: 'red' }));
    assert.match(doubt(bindText('b.cfgdump', text, profile)), /^b\.hex cannot be relied on: The profile has problems/);
    assert.equal(doubt(read({})), '');
  });

  it('where its profile is for another module; one that does not say so is doubted elsewhere', () => {
    assert.match(doubt(read({ appliesTo: { part: ['B*'] } })), /^b\.hex cannot be relied on: .*"@part" is "A1"/);
    assert.equal(doubt(read({ appliesTo: { part: ['A*'] } })), '');
    assert.equal(doubt(read({ appliesTo: { software: ['03*'] } })), '');
  });

  it('where the sum of its line is wrong, which is named; that of another line is no matter', () => {
    assert.match(doubt(read({}, text.replace('04 07', '04 08'))), /^The sum of line 2 in b\.hex is wrong/);
    assert.equal(doubt(read({}, text.replace('02 03', '02 04'))), '');
  });
});

describe('a file sum that is wrong puts each option in doubt of which it covers a byte, and no other', () => {
  // Eight bytes of 01; the sum is stored behind them.
  const of = (ranges: readonly (readonly [number, number])[], option: object, sum: number) => {
    const profile = profileOf({
      addresses: { from: 0, to: 8 },
      totals: [{ name: 'sum', method: 'add', bits: 8, over: ranges.map(([from, to]) => ({ from, to })), address: 8 }],
      options: [{ ...OPTION, ...option }],
    });
    const check = (-(9 + 8 + sum) & 0xff).toString(16).padStart(2, '0').toUpperCase();
    const hex = sum.toString(16).padStart(2, '0').toUpperCase();
    return bindText('b.hex', `:09000000${'01'.repeat(8)}${hex}${check}\n:00000001FF\n`, profile);
  };
  const WRONG = /^The sum of b\.hex is wrong or cannot be checked/;

  for (const [what, ranges, place] of [
    ['its first byte', [[2, 4]], { address: 2 }],
    ['its last byte', [[2, 4]], { address: 4 }],
    [
      'a byte of its second stretch',
      [
        [0, 1],
        [4, 5],
      ],
      { address: 4 },
    ],
    [
      'a byte of its first stretch',
      [
        [0, 1],
        [4, 5],
      ],
      { address: 0 },
    ],
    ['only the first byte of the option', [[0, 2]], { address: 2, bytes: 2 }],
    ['only the last byte of the option', [[3, 5]], { address: 2, bytes: 2 }],
  ] as const)
    it(`covered: ${what}`, () => {
      const right = ranges.reduce((all, [from, to]) => all + to - from + 1, 0);
      assert.match(doubt(of(ranges, place, right + 1)), WRONG);
      assert.equal(doubt(of(ranges, place, right)), '');
    });

  for (const [what, ranges, place] of [
    ['before it', [[2, 4]], { address: 1 }],
    ['behind it', [[2, 4]], { address: 5 }],
    [
      'between its stretches',
      [
        [0, 1],
        [4, 5],
      ],
      { address: 3 },
    ],
  ] as const)
    it(`not covered: ${what}`, () => assert.equal(doubt(of(ranges, place, 0x77)), ''));
});
