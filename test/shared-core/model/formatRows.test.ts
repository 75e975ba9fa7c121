// What tidying a dump may touch: spaces and letters of what was read, and nothing that holds bytes or rows together.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { textAfter } from '../../../shared-core/src/format/index.js';
import { tektronixExtended } from '../../../shared-core/src/format/tektronix.js';
import type { Format } from '../../../shared-core/src/model/formatRows.js';
import { bindText, type Dump, formatRows } from '../../../shared-core/src/model/index.js';
import { printRecord } from '../../../shared-core/src/model/lineSum.js';
import { EMPTY_PROFILE, type Profile } from '../../../shared-core/src/profile/index.js';
import { profileOf } from '../../support/smallDumps.js';

const LINES = profileOf({ lines: { from: 1, to: 12, data: 2, sum: 1 }, lineSum: { method: 'add', over: ['data'] } });

const formatted = (dump: Dump, format: Format, first = 0, last = dump.rows.length) =>
  textAfter(dump.rows, formatRows(dump, first, last, format));
const bound = (text: string, profile: Profile = LINES, name = 'a.cfgdump') => bindText(name, text, profile);
const EVEN: Format = { letterCase: 'upper', spacing: 'bytes' };
const KEPT: Format = { letterCase: 'lower', spacing: 'keep' };

describe('rows that are tidied', () => {
  it('are only those that were asked for, and nothing is edited where all is tidy', () => {
    const dump = bound(['1: 0a 0b | 15', '2: 0c 0d | 19', '3: 0e 0f | 1d', ''].join('\n'));
    assert.equal(
      formatted(dump, EVEN, 1, 1),
      dump.rows.map(({ text }, i) => (i === 1 ? text.toUpperCase() : text)).join(''),
    );
    const tidy = bound(formatted(dump, EVEN));
    assert.deepEqual(formatRows(tidy, 0, 99, EVEN), []);
    assert.deepEqual(formatRows(tidy, -5, -1, EVEN), []);
  });

  it('keep their number: blanks between a lone carriage return and a line feed stay, or the row would be gone', () => {
    const text = '1: 0a 0b | 15\r  \n2: 0c 0d | 19\n   \n';
    const after = formatted(bound(text), EVEN);
    assert.equal(after, '1: 0A 0B | 15\r  \n2: 0C 0D | 19\n\n');
    assert.equal(bound(after).rows.length, bound(text).rows.length);
  });

  it('keep a byte-order mark, alone in its line and before a header', () => {
    assert.equal(formatted(bound('\ufeff  \n1: 0A 0B | 15 \n'), EVEN), '\ufeff\n1: 0A 0B | 15\n');
    assert.equal(formatted(bound('\ufeff@part   RB-1 \n'), EVEN), '\ufeff@part RB-1\n');
    assert.equal(formatted(bound(' @vin  \n'), EVEN), '@vin\n');
  });

  it('stay as they are where they cannot be read, and where they end in blanks that count as digits', () => {
    const broken = '1: 0a 0 0b\n';
    assert.equal(formatted(bound(broken), EVEN), broken);
  });

  it('have the letters alone changed where the spacing is to be kept, or is that of another program', () => {
    assert.equal(formatted(bound('1:   0A  0B|15  \n'), KEPT), '1:   0a  0b|15  \n');
    const hex = bindText('a.hex', ':020000000a0be9 \n:00000001ff\n', EMPTY_PROFILE);
    assert.equal(formatted(hex, EVEN), ':020000000A0BE9\n:00000001FF\n');
  });

  it('have capitals in a form that has no other digits, whatever was asked for', () => {
    const data = printRecord(tektronixExtended, 0x10, 6, Uint8Array.of(0xab, 0xcd));
    const dump = bindText(
      'a.tek',
      `${data}\n${printRecord(tektronixExtended, 0, 8, new Uint8Array())}\n`,
      EMPTY_PROFILE,
    );
    assert.equal(dump.notation, tektronixExtended);
    assert.equal(formatted(dump, KEPT), textAfter(dump.rows, []));
  });

  it('have a divider before the sum that the profile says, before the first divider where it says none', () => {
    assert.equal(formatted(bound('1: 0a0b15\n'), EVEN), '1: 0A 0B | 15\n');
    assert.equal(formatted(bound('1: 0a0b15\n'), { letterCase: 'keep', spacing: 'pairs' }), '1: 0a0b | 15\n');
    assert.equal(formatted(bound('1: 0a 0b 15\n'), { letterCase: 'keep', spacing: 'none' }), '1: 0a0b | 15\n');
  });

  it('look as most of their kind, whatever comment is behind some of them', () => {
    const most = ['1: 0A 0B|15', '2: 0C 0D|19   # a', '3: 0E 0F|1D # b', '4: 0E 0F|1D # c', '5:  0E  0F | 1D', ''].join(
      '\n',
    );
    const after = formatted(bound(most), { letterCase: 'keep', spacing: 'asMostLines' });
    assert.deepEqual(after.split('\n'), [
      '1: 0A 0B|15',
      '2: 0C 0D|19 # a',
      '3: 0E 0F|1D # b',
      '4: 0E 0F|1D # c',
      '5: 0E 0F|1D',
      '',
    ]);
  });

  it('have what most have behind their last byte, where that is a divider', () => {
    const plain = profileOf({ lines: { from: 1, to: 9, data: 2, sum: 0 } });
    const rows = ['1:  0A 0B |', '2:  0C 0D |', '3:  0E 0F |', '4: 0E 0F', ''].join('\n');
    const after = formatted(bound(rows, plain), { letterCase: 'keep', spacing: 'asMostLines' });
    assert.equal(after.split('\n')[3], '4:  0E 0F |');
  });

  it('have their colons in one column where most short numbers are set so', () => {
    const right = [' 1: 0A 0B | 15', ' 2: 0A 0B | 15', '3: 0A 0B | 15', '10: 0A 0B | 15', ''].join('\n');
    const rows = formatted(bound(right), { letterCase: 'keep', spacing: 'asMostLines' }).split('\n');
    assert.equal(rows[2], ' 3: 0A 0B | 15');
    const left = ['1 : 0A 0B | 15', '2 : 0A 0B | 15', '3: 0A 0B | 15', '10: 0A 0B | 15', ''].join('\n');
    assert.equal(
      formatted(bound(left), { letterCase: 'keep', spacing: 'asMostLines' }).split('\n')[2],
      '3 : 0A 0B | 15',
    );
    const none = ['1: 0A 0B | 15', '2: 0A 0B | 15', ' 3: 0A 0B | 15', '10: 0A 0B | 15', ''].join('\n');
    assert.equal(
      formatted(bound(none), { letterCase: 'keep', spacing: 'asMostLines' }).split('\n')[2],
      '3: 0A 0B | 15',
    );
  });
});
