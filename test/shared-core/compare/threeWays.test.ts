import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { threeWays } from '../../../shared-core/src/compare/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';

const { profile } = readProfile(
  JSON.stringify({
    format: 1,
    lines: { from: 1, to: 2, data: 4, sum: 0 },
    options: [{ id: 'lamp', title: 'Lamp', line: 1, byte: 1, values: { '0': 'off', '1': 'on' } }],
    volatile: [{ line: 2, byte: 4 }],
  }),
);
const dumpOf = (...lines: string[]) =>
  bindText('x.cfgdump', lines.map((line, i) => `${i + 1}: ${line}\n`).join(''), profile);

describe('three dumps compared', () => {
  const found = dumpOf('00 10 20 30', '00 00 00 01');
  const planned = dumpOf('01 11 21 30', '00 00 00 01');

  it('say of each byte what became of the plan', () => {
    const read = dumpOf('01 10 77 99', '00 00 00 05');
    const { bytes, options } = threeWays(found, planned, read);
    assert.deepEqual(
      bytes.map(({ label, byte, found, planned, read, outcome }) => [label, byte, found, planned, read, outcome]),
      [
        [1, 1, 0x00, 0x01, 0x01, 'written'],
        [1, 2, 0x10, 0x11, 0x10, 'kept'],
        [1, 3, 0x20, 0x21, 0x77, 'other'],
        [1, 4, 0x30, 0x30, 0x99, 'other'],
        [2, 4, 0x01, 0x01, 0x05, 'volatile'],
      ],
    );
    assert.deepEqual(
      options.map(({ found, planned, read, outcome }) => [found, planned, read, outcome]),
      [['off', 'on', 'on', 'written']],
    );
  });

  it('say of no byte what was read where its line is missing, cannot be read or is there twice', () => {
    const wanted = [
      [1, 1, undefined, 'not-read'],
      [1, 2, undefined, 'not-read'],
      [1, 3, undefined, 'not-read'],
    ];
    for (const lines of [
      '',
      '1: 01 11 2X 30\n',
      '1: 01 11 21 30\n1: 01 11 21 30\n',
      '1: 01 11 21 30\n1: 00 10 20 30\n',
    ]) {
      const read = bindText('x.cfgdump', `${lines}2: 00 00 00 01\n`, profile);
      const { bytes, options } = threeWays(found, planned, read);
      assert.deepEqual(
        bytes.map(({ label, byte, read, outcome }) => [label, byte, read, outcome]),
        wanted,
        lines,
      );
      assert.deepEqual(
        options.map(({ planned, read, outcome }) => [planned, read, outcome]),
        [['on', '–', 'not-read']],
        lines,
      );
    }
  });

  it('say of no byte what was found where its line is missing there', () => {
    const { bytes } = threeWays(
      bindText('x.cfgdump', '2: 00 00 00 01\n', profile),
      planned,
      dumpOf('01 10 21 30', '00 00 00 01'),
    );
    assert.deepEqual(
      bytes.map(({ byte, found, read, outcome }) => [byte, found, read, outcome]),
      [[2, undefined, 0x10, 'other']],
    );
  });

  it('say of no address what was read where an image has a gap there, or holds it twice', () => {
    const record = (address: number, ...data: number[]) => {
      const bytes = [data.length, address >> 8, address & 255, 0, ...data];
      const sum = -bytes.reduce((all, byte) => all + byte, 0) & 255;
      return `:${[...bytes, sum].map((byte) => byte.toString(16).padStart(2, '0').toUpperCase()).join('')}\n`;
    };
    const image = (...records: string[]) => bindText('x.hex', `${records.join('')}:00000001FF\n`, EMPTY_PROFILE);
    const [was, plan] = [image(record(0, 1, 2), record(2, 3, 4)), image(record(0, 1, 2), record(2, 3, 5))];
    for (const read of [image(record(0, 1, 2)), image(record(0, 1, 2), record(2, 3, 5), record(2, 3, 4))]) {
      const { bytes } = threeWays(was, plan, read);
      assert.ok(bytes.length > 0);
      for (const { read: value, outcome } of bytes) assert.deepEqual([value, outcome], [undefined, 'not-read']);
    }
    const cutOtherwise = threeWays(was, plan, image(record(0, 1, 2, 3, 5))).bytes;
    assert.deepEqual(
      cutOtherwise.map(({ address, read, outcome }) => [address, read, outcome]),
      [
        [3, 5, 'written'],
        [undefined, undefined, 'not-read'],
      ],
    );
  });

  it('say nothing where all three are alike', () => {
    assert.deepEqual(threeWays(found, found, found), { kind: 'lines', bytes: [], options: [] });
  });
});
