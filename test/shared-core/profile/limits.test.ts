import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';

const found = (text: string) =>
  readProfile(text).problems.map(({ span, message }) => [span.start, span.end, say(message)]);
const of = (parts: object) => JSON.stringify({ format: 1, ...parts });

describe('how much of a profile is read', () => {
  it('is four million characters and some, and of one more nothing', () => {
    const sized = (length: number) => {
      const around = of({ title: '' });
      return around.replace('""', `"${'x'.repeat(length - around.length)}"`);
    };
    const most = 4 * 1024 * 1024;
    assert.deepEqual(found(sized(most)), []);
    assert.deepEqual(found(sized(most + 1)), [[0, 1, `This file is too large: at most ${most} characters are read.`]]);
  });

  it('is a list of ten thousand', () => {
    const parts = (count: number) => of({ appliesTo: { part: Array.from({ length: count }, (_, i) => `P${i}`) } });
    assert.deepEqual(found(parts(10_000)), []);
    assert.match(String(found(parts(10_001))[0]?.[2]), /^This list is too long: at most 10000 entries are read/);
  });

  it('is three thousand sums', () => {
    const totals = (count: number) =>
      of({ totals: Array.from({ length: count }, (_, i) => ({ method: 'add', label: `t${i}` })) });
    assert.deepEqual(found(totals(3000)), []);
    assert.match(String(found(totals(3001))[0]?.[2]), /at most 3000 entries are read/);
  });

  it('is a thousand ranges for one sum', () => {
    const ranges = (count: number) =>
      of({
        totals: [
          { method: 'add', address: 9000, over: Array.from({ length: count }, (_, i) => ({ from: 2 * i, to: 2 * i })) },
        ],
      });
    assert.deepEqual(found(ranges(1000)), []);
    assert.match(String(found(ranges(1001))[0]?.[2]), /at most 1000 entries are read/);
  });

  it('is as deep as sixty-four brackets of either kind, and nothing where there are more', () => {
    const lists = (depth: number) => `{ "format": 1, "note": ${'['.repeat(depth - 1)}"x"${']'.repeat(depth - 1)} }`;
    const objects = (depth: number) => `${'{"a":'.repeat(depth)}1${'}'.repeat(depth)}`;
    const deep = /^Brackets are nested too deeply here/;
    for (const text of [lists(64), objects(64), lists(3) + ' '.repeat(9)])
      assert.ok(found(text).every(([, , words]) => !deep.test(String(words))));
    const at = lists(65).lastIndexOf('[');
    assert.deepEqual(
      found(lists(65)).map(([start, end, words]) => [start, end, deep.test(String(words))]),
      [[at, at + 1, true]],
    );
    assert.match(String(found(objects(65))[0]?.[2]), deep);
  });

  it('is any number of brackets side by side', () => {
    assert.deepEqual(found(of({ locked: Array.from({ length: 100 }, (_, i) => ({ line: i, bytes: '1-2' })) })), []);
    assert.deepEqual(
      found(of({ note: Array(100).fill('x'), options: Array.from({ length: 100 }, (_, i) => option(i)) })),
      [],
    );
  });

  const option = (line: number, more: object = {}) => ({
    id: `o${line}`,
    line,
    byte: 1,
    values: {},
    hazard: ['other'],
    ...more,
  });

  it('is nothing of a text that breaks off, which is marked at its last character', () => {
    const whole = '{ "format": 1, "title": "a"';
    for (const end of ['', '  ', '\n\n'])
      assert.deepEqual(found(`${whole},${end}`), [
        [
          whole.length,
          whole.length + 1 + end.length,
          'This is no JSON from here on: a comma, a quote or a bracket is missing or too many.',
        ],
      ]);
  });
});

describe('the name that was probably meant', () => {
  it('is looked for among a thousand, and not among more', () => {
    const said = (count: number) => {
      const others = Object.fromEntries(Array.from({ length: count - 2 }, (_, i) => [`zz${i}`, 1]));
      return found(of({ lockd: [], ...others })).map(([, , words]) => words)[0];
    };
    assert.equal(said(1000), 'Unknown key "lockd"; "locked" is probably meant.');
    assert.equal(said(1001), 'Unknown key "lockd".');
    const ids = (count: number) => {
      const first = { id: 'fog', line: 1, byte: 1, values: {}, needs: [{ option: 'tww', in: [1] }] };
      const others = Array.from({ length: count - 2 }, (_, i) => ({
        id: `other${i}`,
        line: i + 3,
        byte: 1,
        values: {},
      }));
      return found(of({ options: [first, { id: 'tow', line: 2, byte: 1, values: {} }, ...others] })).map(
        ([, , words]) => words,
      );
    };
    assert.deepEqual(ids(1000), ['No option of this profile is called "tww"; "tow" is probably meant.']);
    assert.deepEqual(ids(1001), ['No option of this profile is called "tww".']);
  });
});

describe('numbers of a profile', () => {
  it('are as large as they can be exact, and as wide as the sum that they are for', () => {
    const number = (offset: unknown) =>
      found(of({ options: [{ id: 'a', line: 1, byte: 1, number: { offset } }] })).length;
    assert.deepEqual(
      [Number.MAX_SAFE_INTEGER, -Number.MAX_SAFE_INTEGER, 0, 0.5, '0x10', 2 ** 53].map(number),
      [0, 0, 0, 0, 0, 1],
    );
    const poly = (init: unknown) => found(of({ totals: [{ method: 'crc', width: 8, poly: 7, init }] })).length;
    assert.deepEqual(
      [0, 255, '0xFF', '255', 256, '0x100', -1, 1.5, '', 'x', true].map(poly),
      [0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1],
    );
  });
});
