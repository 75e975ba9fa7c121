// What a sum of a profile may run over: ranges and lines, what is taken out of them, and bytes that are put in.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';

const IMAGE = { addresses: { from: 0x10, to: 0x4f } };
const LINES = {
  lines: [
    { from: 1, to: 6, data: 4, sum: 1 },
    { from: 7, to: 7, data: 2 },
  ],
  lineSum: { method: 'xor', over: ['data'] },
};

const read = (geometry: object, over: unknown, more: object = {}) =>
  readProfile(
    JSON.stringify({ format: 1, ...geometry, totals: [{ method: 'add', bits: 16, label: 'total', over, ...more }] }),
  );
const complaints = (geometry: object, over: unknown, more: object = {}) =>
  read(geometry, over, more)
    .problems.map(({ message }) => say(message))
    .join('\n');
const covered = (geometry: object, over: unknown, more: object = {}) => {
  const { profile, problems } = read(geometry, over, more);
  assert.deepEqual(
    problems.map(({ message }) => say(message)),
    [],
    JSON.stringify(over),
  );
  return profile.totals[0]?.covers;
};

describe('a sum over addresses', () => {
  const inImage = { address: 0x4e, label: undefined };
  const ranges = (over: unknown) => {
    const covers = covered(IMAGE, over, inImage);
    assert.equal(covers?.kind, 'addresses');
    return covers?.kind === 'addresses' ? covers.ranges.map(({ from, to }) => [from, to]) : [];
  };
  const said = (over: unknown) => complaints(IMAGE, over, inImage);

  it('runs over each range without what is taken out of it, up to its first and its last byte', () => {
    const range = { from: 0x20, to: 0x2f };
    const out = (...except: readonly object[]) => ranges([{ ...range, except }]);
    assert.deepEqual(out({ address: 0x20 }), [[0x21, 0x2f]]);
    assert.deepEqual(out({ address: 0x2f }), [[0x20, 0x2e]]);
    assert.deepEqual(out({ address: 0x24, length: 4 }), [
      [0x20, 0x23],
      [0x28, 0x2f],
    ]);
    assert.deepEqual(out({ address: 0x28, length: 2 }, { address: 0x22 }, { address: 0x2a }), [
      [0x20, 0x21],
      [0x23, 0x27],
      [0x2b, 0x2f],
    ]);
    for (const except of [{ address: 0x1f }, { address: 0x30 }, { address: 0x2f, length: 2 }])
      assert.match(said([{ ...range, except: [except] }]), /not among what it is taken out of/);
    assert.match(said([{ ...range, except: [] }]), /Nothing is taken out here/);
    assert.match(said([{ ...range, except: [{ address: 0x20, length: 16 }] }]), /A sum over nothing has no use/);
    assert.equal(
      said([
        { ...range, except: [{ address: 0x20, length: 16 }] },
        { from: 0x30, to: 0x31 },
      ]),
      '',
    );
  });

  it('counts no byte twice, whatever is taken out, and leaves the image nowhere', () => {
    const twice = /covered already: no byte counts twice/;
    const both = (from: number, to: number) =>
      said([
        { from: 0x20, to: 0x2f },
        { from, to },
      ]);
    for (const [from, to] of [
      [0x2f, 0x30],
      [0x18, 0x20],
      [0x22, 0x23],
      [0x18, 0x38],
    ] as const)
      assert.match(both(from, to), twice);
    assert.equal(both(0x30, 0x31), '');
    assert.equal(both(0x18, 0x1f), '');
    assert.match(
      said([
        { from: 0x20, to: 0x2f, except: [{ address: 0x22, length: 2 }] },
        { from: 0x22, to: 0x23 },
      ]),
      twice,
    );
    assert.deepEqual(ranges([{ from: 0x10, to: 0x4f }]), [[0x10, 0x4f]]);
    for (const [from, to] of [
      [0x0f, 0x20],
      [0x20, 0x50],
    ] as const)
      assert.match(said([{ from, to }]), /run off the image/);
    assert.deepEqual(ranges(['data']), [[0x10, 0x4f]]);
    assert.match(said(['sums']), /./);
    assert.match(complaints(IMAGE, [{ from: 0x20, to: 0x21 }], { ...inImage, lines: '1-2' }), /An image has no lines/);
  });

  it('has bytes put in before, between and behind: given ones, an address, or a length', () => {
    const covers = covered(
      IMAGE,
      [
        { bytes: '01 f4' },
        { from: 0x20, to: 0x21, except: [{ address: 0x20 }] },
        { 'address-of': { address: 0x30, length: 4 }, bytes: 2, order: 'little' },
        { from: 0x30, to: 0x33 },
        { 'length-of': { address: 0x30, length: 4 } },
      ],
      inImage,
    );
    assert.deepEqual(covers?.kind === 'addresses' ? covers.constants : undefined, [
      { before: 0, bytes: [0x01, 0xf4] },
      { before: 1, bytes: [0x30, 0] },
      { before: 2, bytes: [0, 0, 0, 4] },
    ]);
    const part = { from: 0x20, to: 0x21 };
    for (const bytes of ['1', '01F4', '01  F4', ' 01', 'xy', '01 F', '', Array(1025).fill('00').join(' ')])
      assert.notEqual(said([part, { bytes }]), '', bytes.slice(0, 9));
    assert.equal(said([part, { bytes: Array(1024).fill('00').join(' ') }]), '');
    const address = { address: 0x10, length: 0x40 };
    assert.equal(said([part, { 'length-of': address, bytes: 1 }]), '');
    for (const width of [0, 9]) assert.notEqual(said([part, { 'length-of': address, bytes: width }]), '');
    assert.equal(said([part, { 'length-of': address, bytes: 8 }]), '');
    const both = { 'length-of': address, 'address-of': address };
    assert.match(said([part, both]), /do not go together/);
    const wide = { addresses: { from: 0x10, to: 0x20f } };
    const long = (length: number) =>
      complaints(wide, [part, { 'length-of': { address: 0x10, length }, bytes: 1 }], inImage);
    assert.equal(long(0xff), '');
    assert.match(long(0x100), /does not fit into 1 bytes/);
    assert.match(said([{ bytes: '01' }]), /A sum over nothing has no use/);
  });
});

describe('a sum over lines', () => {
  const parts = (over: unknown, more: object = {}) => {
    const covers = covered(LINES, over, more);
    return covers?.kind === 'line-parts'
      ? covers.parts.map(({ from, to, bytes }) => [
          from,
          to,
          ...(bytes === undefined ? [] : [bytes.first, bytes.count]),
        ])
      : covers?.kind;
  };
  const said = (over: unknown, more: object = {}) => complaints(LINES, over, more);

  it('runs over whole lines, or some bytes of one', () => {
    assert.deepEqual(parts([{ lines: '2-3' }, { line: 5, bytes: '2-3' }, { line: 7 }]), [
      [2, 3],
      [5, 5, 2, 2],
      [7, 7, 1, 2],
    ]);
    assert.deepEqual(parts(['data', { bytes: '00' }]), [[1, 7]]);
    assert.deepEqual(parts(['data', { bytes: '00' }], { lines: '2-4' }), [[2, 4]]);
    assert.match(said([{ from: 1, to: 2 }]), /This dump is in lines: a sum runs over "data", not addresses/);
    assert.match(said([{ address: 1 }, { lines: 1 }]), /This dump is in lines/);
    assert.match(said([{ lines: '1-2' }], { lines: '1-2' }), /"lines" says which lines "data" means/);
  });

  it('counts no byte twice', () => {
    const twice = /covered already: no byte counts twice/;
    for (const other of [{ lines: '1-2' }, { lines: '4-5' }, { lines: 3 }, { line: 4, byte: 1 }])
      assert.match(said([{ lines: '2-4' }, other]), twice, JSON.stringify(other));
    for (const other of [{ lines: 1 }, { lines: '5-6' }, { line: 5, byte: 1 }])
      assert.equal(said([{ lines: '2-4' }, other]), '');
    const some = { line: 2, bytes: '2-3' };
    for (const [bytes, is] of [
      ['1-1', false],
      ['1-2', true],
      ['2-2', true],
      ['3-4', true],
      ['4-4', false],
    ] as const) {
      assert.equal(twice.test(said([some, { line: 2, bytes }])), is, bytes);
      assert.equal(said([some, { line: 3, bytes }]), '', 'another line');
    }
  });

  it('takes out whole lines with their sums, or bytes of one, of those that it runs over', () => {
    const except = (...out: readonly unknown[]) => {
      const covers = covered(LINES, [{ lines: '2-4', except: out }]);
      return covers?.kind === 'line-parts'
        ? covers.except.map((place) => (place.kind === 'line' ? [place.line, place.byte, place.count] : []))
        : [];
    };
    assert.deepEqual(except(2, 4), [
      [2, 1, 5],
      [4, 1, 5],
    ]);
    assert.deepEqual(except({ line: 3, bytes: '2-3' }), [[3, 2, 2]]);
    for (const out of [1, 5, { line: 1, byte: 1 }, { line: 5, byte: 1 }])
      assert.match(said([{ lines: '2-4', except: [out] }]), /not among what it is taken out of/, JSON.stringify(out));
    assert.match(said([{ lines: '2-4', except: [9] }]), /There is no line 9: lines go from 1 to 7/);
    assert.match(said([{ lines: '2-4', except: [] }]), /Nothing is taken out here/);
  });

  it('runs over the sums of lines once, where lines have any', () => {
    const covers = covered(LINES, [{ lines: '2-4' }, 'sums']);
    assert.equal(covers?.kind === 'line-parts' && covers.sums, true);
    assert.match(said([{ lines: '2-4' }, 'sums', 'sums']), /"sums" is given twice/);
    const bare = { lines: { from: 1, to: 4, data: 2 } };
    assert.match(complaints(bare, [{ lines: '2-4' }, 'sums']), /The lines have no sums to run over/);
    assert.match(said(['sums', { bytes: '00' }]), /A sum over nothing has no use/);
    assert.match(said([{ lines: 1 }, { 'address-of': { address: 1 } }]), /A dump in lines has no addresses/);
    assert.match(complaints({}, [{ lines: 1 }]), /Which lines there are, only "lines" of the profile can tell/);
  });
});

describe('a part of a sum', () => {
  const inImage = (over: unknown) => complaints(IMAGE, over, { address: 0x4e, label: undefined });
  const inLines = (over: unknown) => complaints(LINES, over);
  const PUT_IN = { bytes: '00' };

  it('is all data of the image too, where the profile says which these are', () => {
    const covers = covered(IMAGE, ['data', PUT_IN], { address: 0x4e, label: undefined });
    assert.deepEqual(covers, {
      kind: 'addresses',
      ranges: [{ from: 0x10, to: 0x4f }],
      constants: [{ before: 1, bytes: [0] }],
    });
    assert.match(
      complaints({}, ['data', PUT_IN, { from: 1, to: 2 }]),
      /All data of an image are "addresses" of the profile/,
    );
    for (const other of ['sums', 'x', 5, null, [], true])
      assert.notEqual(inImage([PUT_IN, { from: 0x20, to: 0x21 }, other]), '');
    for (const other of ['x', null, [], true]) assert.notEqual(inLines([PUT_IN, { lines: 1 }, other]), '');
  });

  it('is named by its place or put in, not both', () => {
    assert.notEqual(inImage([{ from: 0x20, to: 0x21, bytes: '00' }]), '');
    assert.notEqual(inLines([{ lines: 1, bytes: '00' }]), '');
    assert.deepEqual(inLines([{ line: 1, bytes: '1-2' }]), '');
  });

  it('has no key that it does not know, nor has what is taken out of it', () => {
    const range = { from: 0x20, to: 0x2f };
    const unknown = /Unknown key "odd"/;
    for (const part of [
      { ...range, odd: 1 },
      { ...range, except: [{ address: 0x21, odd: 1 }] },
      { bytes: '00', odd: 1 },
      { 'address-of': { address: 0x20 }, odd: 1 },
      { 'address-of': { address: 0x20, odd: 1 } },
    ])
      assert.match(inImage([{ from: 0x30, to: 0x31 }, part]), unknown, JSON.stringify(part));
    for (const part of [
      { lines: '2-3', odd: 1 },
      { line: 2, odd: 1 },
      { lines: '2-3', except: [{ line: 2, odd: 1 }] },
      { bytes: '00', odd: 1 },
    ])
      assert.match(inLines([{ lines: 5 }, part]), unknown, JSON.stringify(part));
    for (const wrong of [5, 'x', []]) assert.notEqual(inImage([range, { 'address-of': wrong }]), '', String(wrong));
    for (const wrong of [5, 'x']) assert.notEqual(inImage([{ ...range, except: [wrong] }]), '', String(wrong));
  });

  it('may be one line without some of its bytes, and lines without one of them', () => {
    const except = (part: object) => {
      const covers = covered(LINES, [part]);
      return covers?.kind === 'line-parts'
        ? covers.except.map((one) => one.kind === 'line' && [one.line, one.byte, one.count])
        : [];
    };
    assert.deepEqual(except({ line: 2, except: [{ line: 2, byte: 3 }] }), [[2, 3, 1]]);
    assert.deepEqual(except({ lines: '2-4', except: [{ line: 3 }] }), [[3, 1, 4]]);
  });
});
