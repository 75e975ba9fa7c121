import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { fix } from '../../../shared-core/src/actions/repair.js';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { readTotal } from '../../../shared-core/src/model/totalReading.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf({
  addresses: { from: 0, to: 0x2f },
  options: [{ id: 'wiper', title: 'Wiper', address: '0x11', values: { 0: 'no', 1: 'yes' } }],
  totals: [{ name: 'image sum', method: 'add', bits: 16, order: 'big', over: [{ from: 0, to: 0x2d }], address: 0x2e }],
});
/** All zeros but an "E", whose sum is kept in the last two bytes. */
const hexdump = (first: string, second: string, last = 'E') =>
  [
    `00000000  45 00 00 00 00 00 00 00  00 00 00 00 00 00 00 00  |${first}...............|`,
    `00000010  00 00 00 00 00 00 00 00  00 00 00 00 00 00 00 00  |${second}...............|`,
    `00000020  00 00 00 00 00 00 00 00  00 00 00 00 00 00 00 45  |...............${last}|`,
    '00000030',
    '',
  ].join('\n');
const bound = (text: string): Dump => bindText('a.hexdump', text, PROFILE);
const repaired = (dump: Dump) => {
  const result = fix(loaded(dump, SOUND), { totals: 'rewrite' });
  return result.ok ? result.value.writes.length : say(result.why);
};
const set = (dump: Dump, totals: 'rewrite' | 'none' = 'rewrite') => {
  const result = setOptions(loaded(dump, SOUND), [{ id: 'wiper', to: { raw: 1n } }], {}, { totals });
  return result.ok ? result.value.writes.map(({ reason }) => reason).join() : say(result.why);
};

describe('a row of a hex view whose characters go against its bytes', () => {
  const sound = bound(hexdump('E', '.'));

  it('is as good as any other where both agree', () => {
    assert.deepEqual(checkDump(loaded(sound, SOUND)), []);
    assert.notEqual(readTotal(sound, 0), undefined);
    assert.equal(set(sound), 'option,total');
    const wrong = bound(hexdump('E', '.').replace('  45 00', '  46 00').replace('|E', '|F'));
    assert.equal(repaired(wrong), 1);
  });

  for (const [what, text] of [
    ['it covers', hexdump('F', '.')],
    ['it covers, the sum being wrong too', hexdump('F', '.').replace('  45 00', '  44 00')],
    ['it is stored in', hexdump('E', '.', 'F')],
  ] as const) {
    it(`makes that a sum cannot be told which ${what}: none is written over it, and what is there stays`, () => {
      const dump = bound(text);
      assert.equal(readTotal(dump, 0), undefined);
      assert.ok(checkDump(loaded(dump, SOUND)).some(({ code }) => code === 'not-checked'));
      assert.equal(repaired(dump), 0);
      assert.doesNotMatch(set(dump), /total/);
    });
  }

  it('makes a sum doubtful that is only in part in it, whichever part that is', () => {
    const split = profileOf({
      addresses: { from: 0, to: 0x2f },
      totals: [{ name: 'sum', method: 'add', bits: 16, over: [{ from: 0x20, to: 0x2f }], address: 0x0f }],
    });
    const told = (first: string, second: string) => readTotal(bindText('a.hexdump', hexdump(first, second), split), 0);
    assert.notEqual(told('E', '.'), undefined);
    assert.equal(told('F', '.'), undefined);
    assert.equal(told('E', 'x'), undefined);
  });

  it('gets no byte by an option', () => {
    assert.match(set(bound(hexdump('E', 'F')), 'none'), /^Row 2 shows characters that go against its bytes/);
  });

  it('makes the rows doubtful that a "*" repeats of it', () => {
    const zeros = '00 00 00 00 00 00 00 00  00 00 00 00 00 00 00 00';
    const text = (character: string) =>
      [
        `00000000  ${zeros}  |${character}...............|`,
        '*',
        '00000020  00 00 00 00 00 00 00 00  00 00 00 00 00 00 00 00  |................|',
        '00000030',
        '',
      ].join('\n');
    const part = profileOf({
      addresses: { from: 0, to: 0x2f },
      totals: [{ name: 'sum', method: 'add', bits: 8, over: [{ from: 0x10, to: 0x1f }], address: 0x2f }],
    });
    assert.notEqual(readTotal(bindText('a.hexdump', text('.'), part), 0), undefined);
    assert.equal(readTotal(bindText('a.hexdump', text('x'), part), 0), undefined);
  });
});
