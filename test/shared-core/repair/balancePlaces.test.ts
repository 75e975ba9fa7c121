import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { fix } from '../../../shared-core/src/actions/repair.js';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { writesFor } from '../../../shared-core/src/actions/settings.js';
import { say } from '../../../shared-core/src/base/index.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { bytesOf, type RecordRow } from '../../../shared-core/src/format/index.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import { addressCell, bindText, type Dump, readOption, wrongTotals } from '../../../shared-core/src/model/index.js';
import { type Option, readProfile } from '../../../shared-core/src/profile/index.js';
import { freeCells } from '../../../shared-core/src/repair/freeCells.js';
import { certaintyInWords } from '../../../shared-core/src/repair/index.js';
import { rebalance, rowsThatCould } from '../../../shared-core/src/repair/rebalance.js';
import { type RepairPlan, repairAll } from '../../../shared-core/src/repair/repairAll.js';
import { dumpOf } from '../../support/demo.js';
import { loaded, SOUND } from '../../support/loaded.js';

const file = { name: 'file sum', method: 'add', bits: 16, over: ['data'], label: 'total', keep: true };
const TEXT = '1: 10 20 30 40\n2: 50 60 70 80\n3: 00 00 FE 00\ntotal: 03 3E\n';

function dumpWith(parts: object, text = TEXT): Dump {
  const lines = { from: 1, to: 3, data: 4, sum: 0 };
  const { profile, problems } = readProfile(JSON.stringify({ format: 1, lines, totals: [file], ...parts }));
  assert.deepEqual(problems, []);
  const dump = dumpOf(text, profile);
  assert.deepEqual(wrongTotals(dumpOf(TEXT, profile)), []);
  return dump;
}

const option = (id: string, line: number, bytes: string, more: object = {}) => ({
  id,
  title: id.toUpperCase(),
  line,
  bytes,
  number: {},
  ...more,
});

const optionOf = (dump: Dump, id: string) => dump.profile.options.find((one) => one.id === id) as Option;
const rawOf = (dump: Dump, id: string) => readOption(dump, optionOf(dump, id))?.raw;
const dataOf = (dump: Dump, row: number) => [...bytesOf(dump.rows[row] as RecordRow)];

/** The dump after options were set, with the options that balancing changed; or why they cannot be. */
function set(dump: Dump, raws: Readonly<Record<string, bigint>>, plan: RepairPlan = { totals: 'keep' }) {
  const settings = Object.entries(raws).map(([id, raw]) => ({ option: optionOf(dump, id), raw }));
  const repair = finish(writesFor(dump, settings, plan));
  if (!repair.ok) return { why: say(repair.why) };
  const after = afterWrites(dump, repair.value.writes);
  assert.deepEqual(wrongTotals(after), []);
  return { after, alsoChanged: repair.value.alsoChanged.map(({ id }) => id) };
}

describe('bytes of options that are being set', () => {
  it('never balance: where nothing else may, the option is refused and not taken back', () => {
    const dump = dumpWith({ options: [option('a', 2, '1')], balance: [{ line: 2, byte: 1 }] });
    assert.equal(
      set(dump, { a: 1n }).why,
      'Every "balance" place holds an option that is being set. Choose a line to balance with.',
    );
  });

  it('never balance in part: a wide option over a balance byte gets the value that was asked for', () => {
    const dump = dumpWith({
      options: [option('wide', 2, '1-2')],
      balance: [
        { line: 2, byte: 2 },
        { line: 3, byte: 1 },
      ],
    });
    const { after } = set(dump, { wide: 0x5010n });
    assert.ok(after);
    assert.equal(rawOf(after, 'wide'), 0x5010n);
    assert.deepEqual(dataOf(after, 2), [0x50, 0, 0xfe, 0]);
  });

  it('never balance with bits of theirs that are beside the option', () => {
    const dump = dumpWith({
      options: [option('bits', 2, '1', { bytes: undefined, byte: 1, bits: '0' })],
      balance: [{ line: 2, byte: 1 }],
    });
    assert.match(set(dump, { bits: 1n }).why ?? '', /holds an option that is being set/);
  });

  it('nor in a line that is chosen, nor in a range of addresses', () => {
    const dump = dumpWith({ options: [option('a', 3, '1'), option('b', 3, '3')], balance: [{ line: 3, byte: 1 }] });
    const { why } = set(dump, { a: 7n }, { totals: 'keep', using: { row: 2 } });
    assert.equal(why, 'Line 3 can take up +00 to +1FE (hex), needed is −07.');
    const { after: fewer } = set(dump, { b: 1n }, { totals: 'keep', using: { row: 2 } });
    assert.ok(fewer);
    assert.equal(rawOf(fewer, 'b'), 1n);
    const { profile } = readProfile(
      JSON.stringify({
        format: 1,
        addresses: { from: 0, to: 3 },
        totals: [{ ...file, bits: 8, label: undefined, over: [{ from: 0, to: 2 }], address: 3 }],
        balance: [{ address: 1 }],
        options: [{ id: 'a', address: 0, number: {} }],
      }),
    );
    const image = bindText('a.hex', ':0400000001020306F0\n:00000001FF\n', profile);
    const changed = afterWrites(image, [{ row: 0, byte: 0, value: 5, reason: 'option' }]);
    const fixed = [0, 2].map((address) => addressCell(image.layout, address)).filter((cell) => cell !== undefined);
    const repair = repairAll(changed, { totals: 'keep', using: { from: 0, to: 2 }, fixed });
    assert.ok(repair.ok);
    assert.deepEqual(dataOf(afterWrites(changed, repair.value.writes), 0).slice(0, 4), [5, 0xfe, 3, 6]);
  });
});

describe('balance places that hold options', () => {
  const balance = [
    { line: 2, byte: 1 },
    { line: 3, byte: 3 },
  ];

  it('come after those that hold none, in one line and over several', () => {
    const dump = dumpWith({ options: [option('a', 1, '1'), option('other', 2, '1')], balance });
    const { after, alsoChanged } = set(dump, { a: 0x11n });
    assert.ok(after);
    assert.deepEqual([rawOf(after, 'other'), alsoChanged], [0x50n, []]);
    const inLine = dumpWith({
      options: [option('a', 1, '1'), option('other', 3, '1')],
      balance: [
        { line: 3, bytes: '1' },
        { line: 3, bytes: '3' },
      ],
    });
    assert.deepEqual(set(inLine, { a: 0x0fn }).alsoChanged, []);
  });

  it('are named where balancing changes them, as the others cannot do it', () => {
    const options = [
      option('a', 1, '1'),
      option('other', 2, '1', { bits: '7-4', bytes: undefined, byte: 1 }),
      option('low', 2, '1', { bits: '3-0', bytes: undefined, byte: 1 }),
    ];
    const dump = dumpWith({ options, balance });
    // The byte without options can rise by 1 only.
    const { after, alsoChanged } = set(dump, { a: 0x00n });
    assert.ok(after);
    assert.deepEqual([rawOf(after, 'other'), rawOf(after, 'low'), alsoChanged], [6n, 0n, ['other']]);
    const changed = setOptions(loaded(dump, SOUND), [{ id: 'a', to: { written: '0' } }]);
    assert.ok(changed.ok);
    assert.deepEqual(
      changed.value.cautions.map((caution) => say(caution)),
      ['Balancing also changes OTHER: 5 → 6.'],
    );
  });

  it('never come to hold what the profile does not know or allow', () => {
    const meanings = [{ number: { max: 5 } }, { number: undefined, values: { 5: 'five', 7: 'seven' } }];
    for (const meaning of meanings) {
      const dump = dumpWith({
        options: [option('a', 1, '1'), option('other', 2, '1', { bits: '7-4', ...meaning })],
        balance,
      });
      const changed = setOptions(loaded(dump, SOUND), [{ id: 'a', to: { written: '0' } }]);
      assert.ok(!changed.ok);
      assert.match(say(changed.why), /^Balancing would change OTHER too\. .*Balance with another line\.$/);
    }
  });

  it('never break a condition of another option where sums are made right', () => {
    const options = [option('spare', 2, '1'), option('chosen', 3, '3', { needs: [{ option: 'spare', in: [0x50] }] })];
    const dump = dumpWith({ options, balance: [{ line: 2, byte: 1 }] }, TEXT.replace('1: 10', '1: 12'));
    const fixed = fix(loaded(dump, SOUND), { totals: 'keep' });
    assert.ok(!fixed.ok);
    assert.match(say(fixed.why), /^Balancing would break a condition\. CHOSEN .* Balance with another line\.$/);
  });

  it('keep what the person set, though the backup has another value there', () => {
    const dump = dumpWith({ options: [option('a', 1, '1'), option('other', 2, '1')], balance });
    const { after: first } = set(dump, { other: 0x4fn }, { totals: 'keep', backup: dump });
    assert.ok(first);
    const { after, alsoChanged } = set(first, { a: 0x11n }, { totals: 'keep', backup: dump });
    assert.ok(after);
    assert.deepEqual([rawOf(after, 'other'), dataOf(after, 2)[2], alsoChanged], [0x4fn, 0xfe, []]);
  });

  it('are what they are in the backup again where they hold no option, so that setting back leaves no trace', () => {
    const twice = [
      { line: 3, byte: 1 },
      { line: 3, byte: 3 },
    ];
    const dump = dumpWith({ options: [option('a', 1, '1')], balance: twice });
    const { after: there } = set(dump, { a: 0x05n }, { totals: 'keep', backup: dump });
    assert.ok(there);
    const { after: back } = set(there, { a: 0x10n }, { totals: 'keep', backup: dump });
    assert.ok(back);
    assert.deepEqual(dataOf(back, 2), dataOf(dump, 2));
  });

  it('are refused by what they can do from where they are now, also where there is a backup', () => {
    const dump = dumpWith({ balance: [{ line: 2, byte: 1 }] }, TEXT.replace('1: 10', '1: 90'));
    const backup = dumpWith({ balance: [{ line: 2, byte: 1 }] }, TEXT.replace('2: 50', '2: 00'));
    const repair = repairAll(dump, { totals: 'keep', backup });
    assert.equal(repair.ok ? '' : say(repair.why), 'Line 2 can take up −50 to +AF (hex), needed is −80.');
  });

  it('are said to be missing, locked or sums where none is left', () => {
    const locked = dumpWith({ balance }, TEXT.replace('1: 10', '1: 11'));
    const { balance: places } = locked.profile;
    const profile = {
      ...locked.profile,
      locked: places.map(({ place, source }) => ({ place, source, why: undefined })),
    };
    const repair = repairAll({ ...locked, profile }, { totals: 'keep' });
    assert.equal(
      repair.ok ? '' : say(repair.why),
      'Every "balance" place is missing, locked or holds a sum. Choose a line to balance with.',
    );
    const none = repairAll(dumpWith({}, TEXT.replace('1: 10', '1: 11')), { totals: 'keep' });
    assert.match(none.ok ? '' : say(none.why), /The profile names no "balance" place/);
  });
});

describe('what is claimed of a balanced change', () => {
  const words = (dump: Dump, plan: RepairPlan = { totals: 'keep' }) => {
    const repair = repairAll(dump, plan);
    return repair.ok ? say(certaintyInWords(repair.value)) : say(repair.why);
  };
  const higher = (by: number) => TEXT.replace('1: 10', `1: ${(0x10 + by).toString(16)}`);
  const ONLY = 'balanced by one byte; no other single byte allowed here could do it';
  const ONE_WAY = 'balanced by one byte; this is one way';

  it('is the only way with one place, and one way where a second place could do it too', () => {
    const one = { line: 2, byte: 1 };
    assert.equal(words(dumpWith({ balance: [one] }, higher(1))), ONLY);
    for (const other of [
      { line: 2, byte: 2 },
      { line: 3, byte: 3 },
    ])
      assert.equal(words(dumpWith({ balance: [one, other] }, higher(1))), ONE_WAY, JSON.stringify(other));
  });

  it('is the only way where the other places cannot do it, whichever is tried first', () => {
    const places = [
      { line: 2, byte: 1 },
      { line: 3, byte: 1 },
    ];
    for (const balance of [places, [...places].reverse()]) assert.equal(words(dumpWith({ balance }, higher(1))), ONLY);
  });

  it('counts a place with an option among those that could have done it', () => {
    const balance = [
      { line: 3, byte: 3 },
      { line: 2, byte: 1 },
    ];
    assert.equal(words(dumpWith({ balance, options: [option('a', 2, '1')] }, higher(1))), ONE_WAY);
  });

  it('is that fewer bytes could not do it, where several are needed', () => {
    const balance = [
      { line: 1, byte: 2 },
      { line: 1, byte: 3 },
      { line: 1, byte: 4 },
    ];
    assert.equal(
      words(dumpWith({ balance }, higher(0x68))),
      'balanced by 2 bytes; this is one way, and no fewer of the bytes allowed here could do it',
    );
    assert.equal(
      words(dumpWith({ balance: balance.slice(0, 2) }, higher(0x50))),
      'balanced by 2 bytes; no other change of so few bytes allowed here could do it',
    );
  });

  it('is not that bytes are the fewest, where a place that was tried later does it with fewer', () => {
    const balance = [
      { line: 1, byte: 2 },
      { line: 1, byte: 3 },
      { line: 2, byte: 4 },
    ];
    assert.equal(words(dumpWith({ balance }, higher(0x48))), 'balanced by 2 bytes; this is one way');
  });

  it('is nothing where two changes were made since the backup, though one of them would do', () => {
    const balance = [
      { line: 2, byte: 1 },
      { line: 2, byte: 2 },
    ];
    const backup = dumpWith({ balance }, TEXT.replace('2: 50 60', '2: 4F 61'));
    assert.equal(
      words(dumpWith({ balance }, higher(2)), { totals: 'keep', backup }),
      'balanced by 2 bytes; this is one way',
    );
  });

  it('holds for the bytes of a line that was chosen', () => {
    const locked = [{ line: 2, bytes: '2-4' }];
    const dump = dumpWith({ locked }, higher(1));
    assert.equal(words(dump, { totals: 'keep', using: { row: 1 } }), ONLY);
    const repair = rebalance(
      dump,
      [
        { row: 1, byte: 0 },
        { row: 0, byte: 1 },
      ],
      [0],
    );
    assert.equal(repair.ok && repair.value.unique, false);
  });

  it('is, where it cannot be done, what all places together can do', () => {
    const balance = [
      { line: 3, byte: 1 },
      { line: 1, byte: 2 },
    ];
    assert.equal(
      words(dumpWith({ balance }, higher(0x30))),
      'Lines 3, 1 together can take up −20 to +1DE (hex), needed is −30.',
    );
  });
});

describe('lines that could take up a difference', () => {
  const locked = [{ line: 2, bytes: '1-4' }];

  it('are named by their rows, as many as are asked for', () => {
    const dump = dumpWith({ locked }, TEXT.replace('2: 50', '2: 60'));
    assert.deepEqual(finish(rowsThatCould(dump, [0], 5)), [0, 2]);
    assert.deepEqual(finish(rowsThatCould(dump, [0], 1)), [0]);
  });

  it('are those that could together with given bytes, where no line can alone', () => {
    // The sum must fall by 150 (hex): line 1 has A0 and line 3 has FE.
    const dump = dumpWith({ locked }, TEXT.replace('2: 50 60 70 80', '2: F0 F0 90 80'));
    assert.deepEqual(finish(rowsThatCould(dump, [0], 5)), []);
    assert.deepEqual(finish(rowsThatCould(dump, [0], 5, freeCells(dump, 0))), [2]);
  });
});

describe('the bytes of a line that is there several times', () => {
  it('balance only where the profile lists them', () => {
    const copies = [{ name: 'set', lines: '1-1', at: ['2-2'] }];
    const bytesOf = (dump: Dump, row: number) => freeCells(dump, row).map(({ byte }) => byte);
    const text = TEXT.replace('50 60 70 80', '10 20 30 40').replace('FE', '00').replace('03 3E', '01 40');
    const profile = (parts: object) => {
      const lines = { from: 1, to: 3, data: 4, sum: 0 };
      const read = readProfile(JSON.stringify({ format: 1, lines, totals: [file], copies, ...parts }));
      assert.deepEqual(read.problems, []);
      return dumpOf(text, read.profile);
    };
    const plain = profile({});
    assert.deepEqual(
      [0, 1, 2].map((row) => bytesOf(plain, row)),
      [[], [], [0, 1, 2, 3]],
    );
    const listed = profile({ balance: [{ line: 1, byte: 3 }] });
    assert.deepEqual(
      [0, 1, 2].map((row) => bytesOf(listed, row)),
      [[2], [], [0, 1, 2, 3]],
    );
  });
});
