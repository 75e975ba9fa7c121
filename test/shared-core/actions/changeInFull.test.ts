// What a person is told before a change is written.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { changeInFull } from '../../../shared-core/src/actions/index.js';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { say } from '../../../shared-core/src/base/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

describe('a change in full', () => {
  it('says of each option from what to what, and of each byte where it is and why it changes', () => {
    const before = lines(profileOf(LINES), LINES_TEXT);
    const change = setOptions(loaded(before, SOUND), [{ id: 'fog', to: { raw: 0n } }]);
    assert.ok(change.ok);
    const [option, bytes, ...more] = changeInFull(before, change.value.after).map((one) => say(one));
    assert.equal(option, 'Fog lamps: from yes to no');
    assert.match(
      bytes ?? '',
      /^\d bytes change: Line 2, byte 1: 01 → 00 \(option\); Line 2, byte 4: 11 → 10 \(line sum\)/,
    );
    const count = Number(/^\d+/.exec(bytes ?? '')?.[0]);
    assert.equal(count, change.value.writes.length);
    assert.equal(bytes?.split('; ').length, count);
    assert.deepEqual(more, []);
  });

  it('only counts bytes beyond a dozen, and names lines that come or go', () => {
    const profile = profileOf({ lines: { from: 1, to: 4, data: 16, sum: 0 } });
    const line = (label: number, digits: string) => `${label}: ${Array(16).fill(digits).join(' ')}\n`;
    const dump = (text: string) => bindText('a.cfgdump', text, profile);
    const told = changeInFull(dump(line(1, '00') + line(2, '00')), dump(line(1, '11') + line(3, '00')));
    assert.deepEqual(
      told.map((one) => say(one).replace(/: Line.*/, '')),
      ['16 bytes change', '… and 4 more', 'Put in: 3', 'Taken out: 2'],
    );
  });

  it('is nothing where nothing changes', () => {
    const dump = lines(profileOf(LINES), LINES_TEXT);
    assert.deepEqual(changeInFull(dump, dump), []);
  });
});
