// What a profile may say of copies and of the sums that are stored among them.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';

const complaintsOf = (profile: object) =>
  readProfile(JSON.stringify({ format: 1, ...profile }))
    .problems.map(({ message }) => say(message))
    .join('\n');
const isClear = (profile: object) => assert.equal(complaintsOf(profile), '');

const IMAGE = { addresses: { from: 0, to: 0x7f } };
const LINES = { lines: { from: 1, to: 9, data: 4, sum: 1 }, lineSum: { method: 'xor', over: ['data'] } };
const SUM = { name: 'block sum', method: 'add', bits: 16 };

describe('the places of copies in a profile', () => {
  const at = (address: number, length = 4) => ({ place: { address, length }, at: [address + 0x40] });

  it('may follow each other without a gap, and share no byte, in whatever order they are', () => {
    isClear({ ...IMAGE, copies: [at(0x10), at(0x14), at(0x0c)] });
    for (const address of [0x0d, 0x10, 0x13])
      assert.match(complaintsOf({ ...IMAGE, copies: [at(0x10), at(address)] }), /share bytes/, String(address));
    assert.match(complaintsOf({ ...IMAGE, copies: [{ place: { address: 0x10, length: 4 }, at: [0x13] }] }), /share/);
    isClear({ ...IMAGE, copies: [{ place: { address: 0x10, length: 4 }, at: [0x14, 0x0c] }] });
  });

  it('are bytes of lines, each line by itself', () => {
    const run = (line: number, byte: number, other: number) => ({ place: { line, byte, length: 2 }, at: [other] });
    isClear({ ...LINES, copies: [run(1, 1, 2), run(1, 3, 2), run(3, 2, 4)] });
    isClear({ ...LINES, copies: [run(3, 2, 4), run(1, 3, 2), run(1, 1, 2)] });
    assert.match(complaintsOf({ ...LINES, copies: [run(1, 1, 2), run(1, 2, 3)] }), /share bytes/);
    assert.match(complaintsOf({ ...LINES, copies: [run(1, 1, 4), run(2, 1, 4)] }), /share bytes/);
  });
});

describe('where copies are', () => {
  const placesOf = (profile: object) => {
    assert.equal(complaintsOf(profile), '');
    const [copies] = readProfile(JSON.stringify({ format: 1, ...profile })).profile.copies;
    return copies?.places.map((runs) =>
      runs.map((run) => (run.kind === 'line' ? `${run.line}.${run.byte}+${run.count}` : `${run.address}+${run.count}`)),
    );
  };
  const place = { address: 0x10, length: 4 };

  it('is said by an address each, which has as many bytes as the first place and lies in the image', () => {
    const narrow = { addresses: { from: 0x08, to: 0x27 } };
    assert.deepEqual(placesOf({ ...narrow, copies: [{ place, at: [0x08, { address: 0x20 }, 0x24] }] }), [
      ['16+4'],
      ['8+4'],
      ['32+4'],
      ['36+4'],
    ]);
    for (const at of [0x07, 0x25])
      assert.match(complaintsOf({ ...narrow, copies: [{ place, at: [at] }] }), /run off the image/, String(at));
    assert.match(complaintsOf({ ...narrow, copies: [{ place, at: ['x'] }] }), /./);
    assert.match(
      complaintsOf({ ...narrow, copies: [{ place, at: [{ address: 0x20, length: 3 }] }] }),
      /other bytes than the place/,
    );
  });

  it('is said by a line each, with the same bytes of it, as far as it has them', () => {
    const lines = {
      lines: [
        { from: 1, to: 2, data: 4 },
        { from: 3, to: 3, data: 3 },
      ],
    };
    const run = (byte: number, length: number, at: readonly unknown[]) => ({
      ...lines,
      copies: [{ place: { line: 1, byte, length }, at }],
    });
    assert.deepEqual(placesOf(run(2, 2, [2, 3])), [['1.2+2'], ['2.2+2'], ['3.2+2']]);
    assert.match(complaintsOf(run(3, 2, [3])), /Line 3 has 3 data bytes; there is no byte 4\./);
    assert.deepEqual(placesOf(run(1, 2, [{ line: 3, byte: 2 }])), [['1.1+2'], ['3.2+2']]);
  });

  it('is said by whole lines, each with as many bytes as the one that it is a copy of', () => {
    const lines = {
      lines: [
        { from: 1, to: 6, data: 2 },
        { from: 7, to: 8, data: 3 },
      ],
    };
    const whole = (of: string, at: readonly unknown[]) => ({ ...lines, copies: [{ lines: of, at }] });
    assert.deepEqual(placesOf(whole('1-2', ['3-4', '5-6'])), [
      ['1.1+2', '2.1+2'],
      ['3.1+2', '4.1+2'],
      ['5.1+2', '6.1+2'],
    ]);
    for (const at of ['3-5', '3-3', '6-7'])
      assert.match(complaintsOf(whole('1-2', [at])), /other bytes than the place/, at);
  });

  it('has a majority only of three places or more', () => {
    const of = (count: number) => ({
      ...IMAGE,
      copies: [{ place, at: Array.from({ length: count }, (_, i) => 0x20 + 8 * i), agree: 'majority' }],
    });
    assert.match(complaintsOf(of(1)), /A majority takes three places or more, and here are 2\./);
    isClear(of(2));
    const read = (more: object) =>
      readProfile(JSON.stringify({ format: 1, ...IMAGE, copies: [{ place, at: [0x20, 0x28], ...more }] })).profile
        .copies[0];
    const said = (more: object) => [read(more)?.name, read(more)?.isInverted, read(more)?.byMajority];
    assert.deepEqual(said({}), ['copies', false, false]);
    assert.deepEqual(said({ name: 'block', as: 'same', agree: 'all' }), ['block', false, false]);
    assert.deepEqual(said({ as: 'inverted', agree: 'majority' }), ['copies', true, true]);
  });
});

describe('the bits of an option that lie apart', () => {
  const lines = { lines: { from: 1, to: 3, data: 2 } };
  const said = (option: object) =>
    complaintsOf({ ...lines, options: [{ id: 'a', title: 'A', values: { 0: 'no' }, ...option }] });

  it('name their byte in the line of the option, or a place of their own', () => {
    assert.equal(said({ line: 1, bits: [{ byte: 1, bits: '3-0' }, { byte: 2 }] }), '');
    assert.equal(
      said({
        bits: [
          { line: 1, byte: 1, bits: '0' },
          { line: 3, byte: 1, bits: '0' },
        ],
      }),
      '',
    );
    assert.match(said({ line: 1, bits: [{ line: 2, byte: 1 }] }), /This part has a place of its own/);
    assert.match(said({ bits: [{ byte: 1 }] }), /"line" and "byte" \(or "address"\) are wanted/);
    assert.match(said({ line: 1, byte: 1, bits: [{ byte: 1 }] }), /"byte" does not go with bits that lie apart/);
    assert.match(said({ line: 1, order: 'little', bits: [{ byte: 1 }] }), /"order" does not go with bits/);
    assert.match(said({ line: 1, bits: [] }), /This list is empty/);
    assert.match(said({ line: 1, bits: [{ byte: 1, bits: '9' }] }), /./);
  });

  it('share no bit', () => {
    assert.equal(
      said({
        line: 1,
        bits: [
          { byte: 1, bits: '7-4' },
          { byte: 1, bits: '3-0' },
        ],
      }),
      '',
    );
    const again = /These bits belong to a part before this one already/;
    assert.match(
      said({
        line: 1,
        bits: [
          { byte: 1, bits: '7-4' },
          { byte: 1, bits: '4-0' },
        ],
      }),
      again,
    );
    assert.match(said({ line: 1, bits: [{ byte: 2 }, { byte: 1, bits: '1' }, { byte: 2, bits: '0' }] }), again);
  });

  it('are at addresses of an image too, and know no other key', () => {
    const image = (bits: readonly unknown[]) =>
      complaintsOf({ ...IMAGE, options: [{ id: 'a', title: 'A', values: { 0: 'no' }, bits }] });
    assert.equal(image([{ address: 0x10, bits: '0' }, { address: 0x12 }]), '');
    assert.match(image([{ address: 0x10, bits: '9' }]), /./);
    assert.match(image([{ address: 0x10, odd: 1 }]), /Unknown key "odd"/);
    for (const part of [5, null, 'x']) assert.notEqual(image([part]), '', String(part));
    assert.match(said({ line: 1, bits: [{ address: 1 }] }), /This part has a place of its own/);
  });

  it('are of one byte where they are not told apart', () => {
    assert.match(said({ line: 1, bytes: '1-2', bits: '3-0' }), /"bits" go with one byte, not with several/);
    assert.equal(said({ line: 1, byte: 2, bits: '3-0' }), '');
  });
});

describe('a sum that is stored among copies', () => {
  const copies = [{ name: 'block', place: { address: 0x10, length: 8 }, at: [0x20, 0x30] }];
  const saidOf = (address: number, from: number, to: number) =>
    complaintsOf({ ...IMAGE, copies, totals: [{ ...SUM, over: [{ from, to }], address }] });

  it('is in one copy as a whole, or in none', () => {
    for (const address of [0x0e, 0x10, 0x16, 0x18]) assert.equal(saidOf(address, 0x00, 0x01), '', String(address));
    for (const address of [0x0f, 0x17])
      assert.match(saidOf(address, 0x00, 0x01), /stored partly among/, String(address));
    const close = [{ name: 'block', place: { address: 0x10, length: 8 }, at: [0x18] }];
    assert.match(
      complaintsOf({ ...IMAGE, copies: close, totals: [{ ...SUM, over: [{ from: 0, to: 1 }], address: 0x17 }] }),
      /stored partly among/,
    );
  });

  it('runs over no byte of a copy of itself', () => {
    assert.equal(saidOf(0x16, 0x10, 0x15), '');
    assert.equal(saidOf(0x16, 0x20, 0x25), '');
    assert.equal(saidOf(0x16, 0x28, 0x35), '');
    for (const [from, to] of [
      [0x20, 0x26],
      [0x27, 0x2f],
      [0x36, 0x36],
      [0x00, 0x7f],
    ] as const)
      assert.match(saidOf(0x16, from, to), /runs over a copy of the bytes in which it is stored/, `${from}`);
  });

  it('runs over no byte of a copy of itself in any of its ranges', () => {
    const over = [
      { from: 0x10, to: 0x15 },
      { from: 0x24, to: 0x2f },
    ];
    assert.match(complaintsOf({ ...IMAGE, copies, totals: [{ ...SUM, over, address: 0x16 }] }), /runs over a copy/);
  });

  it('runs over no line with a copy of itself, and over no sums of lines', () => {
    const inLines = [{ name: 'block', lines: '1-2', at: ['4-5'] }];
    const total = { ...SUM, bits: 8, over: ['data'], line: 2, byte: 4 };
    const said = (lines: string, over: readonly string[] = ['data']) =>
      complaintsOf({ ...LINES, copies: inLines, totals: [{ ...total, lines, over }] });
    assert.equal(said('1-2'), '');
    assert.equal(said('1-4'), '');
    assert.match(said('1-5'), /runs over a copy/);
    assert.match(said('5-6'), /runs over a copy/);
    assert.equal(said('6-7'), '');
    assert.match(said('1-2', ['data', 'sums']), /runs over the sums of lines/);
    assert.match(complaintsOf({ ...LINES, copies: inLines, totals: [{ ...total, lines: undefined }] }), /runs over/);
  });
});

describe('a sum inside one copy', () => {
  const sums = (profile: object) => {
    const { profile: read, problems } = readProfile(JSON.stringify({ format: 1, ...profile }));
    assert.deepEqual(
      problems.map(({ message }) => say(message)),
      [],
    );
    return read.totals.map(({ name, covers, stored }) => [
      name,
      covers.kind === 'addresses'
        ? covers.ranges.map(({ from, to }) => [from, to])
        : covers.kind === 'lines'
          ? [[covers.from, covers.to]]
          : covers.kind,
      stored.kind === 'address' ? stored.address : stored.kind === 'line' ? `${stored.line}.${stored.byte}` : '',
    ]);
  };
  const copies = [{ name: 'block', place: { address: 0x10, length: 8 }, at: [0x20, 0x30] }];
  const total = (from: number, to: number) => ({ ...SUM, over: [{ from, to }], address: 0x16 });
  const own = (from: number, to: number) => ['block sum', [[from, to]], 0x16];

  it('holds in each of the others at the same place', () => {
    assert.deepEqual(sums({ ...IMAGE, copies, totals: [total(0x10, 0x15)] }), [
      own(0x10, 0x15),
      ['block sum (2)', [[0x20, 0x25]], 0x26],
      ['block sum (3)', [[0x30, 0x35]], 0x36],
    ]);
    const second = { ...SUM, over: [{ from: 0x21, to: 0x24 }], address: 0x25 };
    assert.deepEqual(sums({ ...IMAGE, copies, totals: [second] }), [
      ['block sum', [[0x21, 0x24]], 0x25],
      ['block sum (1)', [[0x11, 0x14]], 0x15],
      ['block sum (3)', [[0x31, 0x34]], 0x35],
    ]);
  });

  it('holds there too where it runs up to the last byte, and over several ranges', () => {
    const first = (over: readonly object[]) => ({ ...SUM, over, address: 0x10 });
    assert.equal(sums({ ...IMAGE, copies, totals: [first([{ from: 0x12, to: 0x17 }])] }).length, 3);
    assert.equal(sums({ ...IMAGE, copies, totals: [first([{ from: 0x12, to: 0x18 }])] }).length, 1);
    const apart = (to: number) => [
      { from: 0x12, to: 0x13 },
      { from: 0x15, to },
    ];
    assert.deepEqual(sums({ ...IMAGE, copies, totals: [first(apart(0x16))] })[1], [
      'block sum (2)',
      [
        [0x22, 0x23],
        [0x25, 0x26],
      ],
      0x20,
    ]);
    assert.equal(sums({ ...IMAGE, copies, totals: [first(apart(0x19))] }).length, 1);
  });

  it('does not where it runs over a byte outside, or the copies are inverted, or it is stored elsewhere', () => {
    for (const [from, to] of [
      [0x0f, 0x15],
      [0x18, 0x19],
      [0x00, 0x01],
    ] as const)
      assert.deepEqual(sums({ ...IMAGE, copies, totals: [total(from, to)] }), [own(from, to)]);
    const inverted = copies.map((one) => ({ ...one, as: 'inverted' }));
    assert.deepEqual(sums({ ...IMAGE, copies: inverted, totals: [total(0x10, 0x15)] }), [own(0x10, 0x15)]);
    const outside = { ...total(0x10, 0x15), address: 0x18 };
    assert.equal(sums({ ...IMAGE, copies, totals: [outside] }).length, 1);
  });

  it('is left to the profile where that names the sum of another copy itself', () => {
    const named = { ...SUM, name: 'mine', over: [{ from: 0x20, to: 0x25 }], address: 0x26 };
    const names = sums({ ...IMAGE, copies, totals: [total(0x10, 0x15), named] }).map(([name]) => name);
    assert.deepEqual(names, ['block sum', 'mine', 'block sum (3)']);
  });

  it('is of whole lines where these are copied', () => {
    const inLines = [{ name: 'block', lines: '1-3', at: ['5-7'] }];
    const of = (lines: string, more: object = {}) =>
      sums({
        ...LINES,
        copies: inLines,
        totals: [{ ...SUM, bits: 8, over: ['data'], lines, line: 3, byte: 4, ...more }],
      });
    assert.deepEqual(of('1-2'), [
      ['block sum', [[1, 2]], '3.4'],
      ['block sum (2)', [[5, 6]], '7.4'],
    ]);
    assert.deepEqual(of('1-3'), [
      ['block sum', [[1, 3]], '3.4'],
      ['block sum (2)', [[5, 7]], '7.4'],
    ]);
    assert.deepEqual(of('2-2')[1], ['block sum (2)', [[6, 6]], '7.4']);
    for (const lines of ['1-4', '8-9']) assert.equal(of(lines).length, 1, lines);
    const parts = [{ name: 'block', place: { line: 3, byte: 1, length: 4 }, at: [7] }];
    assert.deepEqual(
      sums({
        ...LINES,
        copies: parts,
        totals: [{ ...SUM, bits: 8, over: ['data'], lines: '3-3', line: 3, byte: 4 }],
      })[1],
      ['block sum (2)', [[7, 7]], '7.4'],
    );
    const ofLine = { ...SUM, bits: 8, over: ['data'], lines: '3-3', line: 3, byte: 3 };
    for (const byte of [1, 2]) {
      const some = [{ name: 'block', place: { line: 3, byte, length: 3 }, at: [7] }];
      assert.equal(sums({ ...LINES, copies: some, totals: [ofLine] }).length, 1, 'a byte of the line is no copy');
    }
    const longer = {
      ...LINES,
      lines: [
        { from: 1, to: 6, data: 4, sum: 1 },
        { from: 7, to: 9, data: 5, sum: 1 },
      ],
    };
    const shorter = {
      ...longer,
      lines: [
        { from: 1, to: 6, data: 4, sum: 1 },
        { from: 7, to: 9, data: 3, sum: 1 },
      ],
    };
    const start = [{ name: 'block', place: { line: 3, byte: 1, length: 3 }, at: [{ line: 7, byte: 1 }] }];
    assert.equal(sums({ ...shorter, copies: start, totals: [ofLine] }).length, 1, 'the other line is shorter');
    const other = parts.map((one) => ({ ...one, at: [{ line: 7, byte: 1 }] }));
    assert.equal(sums({ ...longer, copies: other, totals: [ofLine] }).length, 1, 'the other line is longer');
  });
});

describe('sums that run over each other', () => {
  const names = (totals: readonly object[], geometry: object) => {
    const { profile, problems } = readProfile(JSON.stringify({ format: 1, ...geometry, totals }));
    assert.deepEqual(
      problems.map(({ message }) => say(message)),
      [],
    );
    return profile.totals.map(({ name }) => name).join();
  };

  it('come in the order in which they are computed: each behind those whose bytes it covers', () => {
    const at = (name: string, from: number, to: number, address: number) => ({
      ...SUM,
      name,
      over: [{ from, to }],
      address,
    });
    assert.equal(names([at('b', 0x20, 0x2f, 0x40), at('a', 0x00, 0x0f, 0x2f - 1)], IMAGE), 'a,b');
    assert.equal(names([at('b', 0x21, 0x2f, 0x40), at('a', 0x00, 0x0f, 0x20)], IMAGE), 'a,b', 'its last byte');
    assert.equal(names([at('b', 0x20, 0x2f, 0x40), at('a', 0x00, 0x0f, 0x1f)], IMAGE), 'a,b', 'one byte before');
    assert.equal(names([at('b', 0x20, 0x2f, 0x40), at('a', 0x00, 0x0f, 0x1e)], IMAGE), 'b,a');
    assert.equal(names([at('b', 0x20, 0x2f, 0x40), at('a', 0x00, 0x0f, 0x30)], IMAGE), 'b,a');
    assert.equal(names([at('b', 0x20, 0x2f, 0x40), at('a', 0x00, 0x0f, 0x2f)], IMAGE), 'a,b', 'its first byte');
    const over = [
      { from: 0x10, to: 0x11 },
      { from: 0x20, to: 0x2f },
    ];
    assert.equal(names([{ ...at('b', 0, 0, 0x40), over }, at('a', 0x00, 0x0f, 0x2e)], IMAGE), 'a,b', 'a second range');
    assert.equal(
      names([at('c', 0x40, 0x4f, 0x60), at('b', 0x20, 0x2f, 0x40), at('a', 0x00, 0x0f, 0x20)], IMAGE),
      'a,b,c',
    );
  });

  it('come as the profile has them where they cover each other, and before those that cover them', () => {
    const at = (name: string, from: number, to: number, address: number) => ({
      ...SUM,
      name,
      over: [{ from, to }],
      address,
    });
    assert.equal(
      names([at('c', 0x0c, 0x0f, 0x60), at('b', 0x00, 0x0f, 0x20), at('a', 0x20, 0x2f, 0x0e)], IMAGE),
      'b,a,c',
    );
  });

  it('are those of lines too', () => {
    const of = (name: string, lines: string, line: number) => ({
      ...SUM,
      bits: 8,
      name,
      over: ['data'],
      lines,
      line,
      byte: 4,
    });
    assert.equal(names([of('b', '4-5', 9), of('a', '1-2', 4)], LINES), 'a,b');
    assert.equal(names([of('b', '4-5', 9), of('a', '1-2', 5)], LINES), 'a,b');
    assert.equal(names([of('b', '4-5', 9), of('a', '1-2', 6)], LINES), 'b,a');
    assert.equal(names([of('b', '4-5', 9), of('a', '1-2', 3)], LINES), 'b,a');
    const parts = { ...SUM, bits: 8, name: 'b', over: [{ lines: '4-5' }, { line: 7, bytes: '1-2' }], line: 9, byte: 4 };
    for (const [line, order] of [
      [3, 'b,a'],
      [4, 'a,b'],
      [6, 'b,a'],
      [7, 'a,b'],
    ] as const)
      assert.equal(names([parts, of('a', '1-2', line)], LINES), order, String(line));
  });
});
