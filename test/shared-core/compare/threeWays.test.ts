import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bindText, readProfile, threeWays } from '../../../shared-core/src/index.js';

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

  it('say nothing where all three are alike', () => {
    assert.deepEqual(threeWays(found, found, found), { kind: 'lines', bytes: [], options: [] });
  });
});
