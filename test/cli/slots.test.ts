// A record that moves among three slots, through the command line: every value is that of the slot in force.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { textOfRows } from '../../shared-core/src/format/index.js';
import { bench } from '../support/commandLine.js';
import { DATA, EMPTY, RECORD, record, slotted, torn } from '../support/slots.js';

type Slots = readonly (readonly number[])[];

/** Slot 2 is in force. */
const PLACED: Slots = [record(4), record(5), record(3)];
const withFog = (number: number) => record(number, [...DATA.slice(0, 2), 0x31, ...DATA.slice(3)]);

describe('a record that moves, on the command line', () => {
  const { call, read, write } = bench('empty');
  const put = (name: string, slots: Slots, change: (text: string) => string = (text) => text) => {
    write('p.dump-profile.json', JSON.stringify({ format: 1, title: 'Invented module', ...RECORD }));
    write(name, `${change(textOfRows(slotted(slots).rows))}\n; @profile p.dump-profile.json\n`);
  };
  /** The bytes of a row of 16, without its address and sum. */
  const bytesOf = (name: string, row: number) => read(name).split('\n')[row]?.slice(9, -2) ?? '';
  const hex = (bytes: readonly number[]) => Buffer.from(bytes).toString('hex').toUpperCase();

  it('is set in the slot in force alone, with its check and the sum over all', () => {
    put('a.hex', PLACED);
    const { status, stdout } = call('set', 'a.hex', 'fog=yes', '--out', 'b.hex');
    assert.equal(status, 0);
    assert.match(stdout, /^Address 0014: 30 → 31 \(option\)$/m);
    assert.deepEqual(
      [0, 1, 2].map((row) => bytesOf('b.hex', row)),
      [record(4), withFog(5), record(3)].map(hex),
    );
    const checked = call('check', 'b.hex');
    assert.equal(checked.status, 0);
    assert.match(checked.stdout, /information slot-stale: Slot 1 of "record" holds an older record \(number 4\)/);
    assert.match(checked.stdout, /all good/);
  });

  it('is shown and put on the card as the slot in force has it', () => {
    put('a.hex', PLACED);
    put('b.hex', [record(4), withFog(5), record(3)]);
    assert.match(call('show', 'a.hex').stdout, /Fog lamps: no\n {2}Speed limit: 100\n/);
    assert.match(call('show', 'b.hex').stdout, /Fog lamps: yes\n/);
    const { status, stdout } = call('card', 'a.hex', 'b.hex');
    assert.equal(status, 0);
    assert.match(stdout, /Fog lamps.*no.*yes/);
  });

  it('has the sum over all put right by fix', () => {
    put('a.hex', PLACED);
    const text = read('a.hex').split('\n');
    // The last byte but two of the sum over all, with the sum of its own record kept.
    const [last = ''] = text.slice(3, 4);
    const [stored, sum] = [Number.parseInt(last.slice(-4, -2), 16), Number.parseInt(last.slice(-2), 16)];
    const wrong = `${last.slice(0, -4)}${hex([(stored + 1) & 0xff])}${hex([(sum + 255) & 0xff])}`;
    write('a.hex', read('a.hex').replace(last, wrong));
    assert.equal(call('check', 'a.hex').status, 1);
    assert.equal(call('fix', 'a.hex', '--write').status, 0);
    assert.equal(read('a.hex').split('\n')[3], last);
    assert.equal(call('check', 'a.hex').status, 0);
  });

  it('is that of the slot before where the newest was not written whole, and that is what is set', () => {
    put('a.hex', [record(4), torn(5), record(3)]);
    const checked = call('check', 'a.hex');
    assert.equal(checked.status, 1);
    assert.match(checked.stdout, /warning slot-torn: Slot 2 of "record"/);
    assert.equal(call('set', 'a.hex', 'fog=yes', '--out', 'b.hex').status, 0);
    assert.deepEqual(
      [0, 1].map((row) => bytesOf('b.hex', row)),
      [withFog(4), torn(5)].map(hex),
    );
  });

  for (const [what, slots] of [
    ['no slot holds a whole record', [torn(4), torn(5), EMPTY]],
    ['two of the newest have one number', [record(5), withFog(5), record(3)]],
  ] as const)
    it(`is an error and never written where ${what}`, () => {
      put('a.hex', slots);
      const before = read('a.hex');
      assert.equal(call('check', 'a.hex').status, 1);
      const { status, stderr } = call('set', 'a.hex', 'fog=yes', '--write');
      assert.equal(status, 2);
      assert.match(stderr, /"record"/);
      assert.equal(read('a.hex'), before);
    });

  it('is as planned where the module has written it into the next slot, and not where its value is the old one', () => {
    put('planned.hex', [record(4), withFog(5), record(3)]);
    put('read.hex', [record(4), withFog(5), withFog(6)]);
    const good = call('verify', 'planned.hex', 'read.hex');
    assert.equal(good.status, 0, good.stdout + good.stderr);
    assert.match(good.stdout, /The module has written "record" anew: slot 2 \(number 5\) was in force, slot 3/);
    put('old.hex', [record(4), withFog(5), record(6)]);
    const bad = call('verify', 'planned.hex', 'old.hex');
    assert.equal(bad.status, 1);
    assert.match(bad.stdout, /Fog lamps is "no", not "yes"/);
  });
});
