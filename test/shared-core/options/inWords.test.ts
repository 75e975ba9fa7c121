import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { optionPlaceInWords, valuesInWords } from '../../../shared-core/src/options/index.js';
import { type Option, readProfile } from '../../../shared-core/src/profile/index.js';

function optionOf(written: object, geometry: object = { lines: { from: 1, to: 9, data: 16, sum: 0 } }): Option {
  const { profile, problems } = readProfile(
    JSON.stringify({ format: 1, ...geometry, options: [{ id: 'o', title: 'It', ...written }] }),
  );
  assert.deepEqual(problems, []);
  return profile.options[0] as Option;
}

describe('an option in words', () => {
  const number = { number: {} };
  const image = { addresses: { from: 0, to: 0xff } };

  it('says where it is, as people count', () => {
    for (const [written, geometry, words] of [
      [{ line: 4, byte: 3 }, undefined, 'Line 4, byte 3'],
      [{ line: 4, bytes: '3-6' }, undefined, 'Line 4, bytes 3 to 6'],
      [{ line: 4, byte: 3, bits: '7-4' }, undefined, 'Line 4, byte 3, bits 7 to 4'],
      [{ line: 4, byte: 3, bits: '2' }, undefined, 'Line 4, byte 3, bit 2'],
      [{ address: '0x1F' }, image, 'Address 001F'],
      [{ address: '0x1F', bytes: 2 }, image, 'Addresses 001F to 0020'],
      [{ address: '0x1F', bits: '0' }, image, 'Address 001F, bit 0'],
    ] as const)
      assert.equal(say(optionPlaceInWords(optionOf({ ...written, ...number }, geometry))), words);
  });

  it('says what may be written for it, unless it is chosen from a list', () => {
    for (const [written, words] of [
      [{ bytes: '1-3', text: 'ascii' }, 'Up to 3 plain ASCII characters'],
      [{ byte: 1, number: {} }, 'A number from 0 to 255'],
      [{ byte: 1, bits: '3-0', number: { unit: 's' } }, 'A number from 0 to 15 s'],
      [{ byte: 1, number: { signed: true, unit: 's' } }, 'A number from -128 to 127 s'],
      [{ byte: 1, number: { scale: 0.5, offset: -40, unit: '°C' } }, 'A number from -40 to 87.5 °C, in steps of 0.5'],
      [{ byte: 1, number: { scale: -2, unit: 's' } }, 'A number from -510 to 0 s, in steps of 2'],
      [{ byte: 1, number: { scale: -1, unit: 's' } }, 'A number from -255 to 0 s'],
      [{ byte: 1, number: { min: 5, max: 9, unit: 's' } }, 'A number from 5 to 9 s'],
    ] as const) {
      const limits = valuesInWords(optionOf({ line: 1, ...written }));
      assert.equal(limits && say(limits), words);
    }
    for (const list of [{ values: { 0: 'no' } }, { flags: { 0: 'left' } }])
      assert.equal(valuesInWords(optionOf({ line: 1, byte: 1, ...list })), undefined);
  });
});
