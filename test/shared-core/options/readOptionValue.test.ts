import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { wordsOf } from '../../../shared-core/src/model/optionReading.js';
import { readOptionValue, readOptionValueIn } from '../../../shared-core/src/options/readOptionValue.js';
import { type Option, optionWidth, type Profile, readProfile } from '../../../shared-core/src/profile/index.js';
import { demoProfile, dumpOf } from '../../support/demo.js';

function optionOf(written: object): Option {
  const { profile, problems } = readProfile(
    JSON.stringify({
      format: 1,
      lines: { from: 1, to: 1, data: 16, sum: 0 },
      options: [{ id: 'o', title: 'It', line: 1, ...written }],
    }),
  );
  assert.deepEqual(problems, []);
  return profile.options[0] as Option;
}

const read = (option: Option, text: string) => {
  const value = readOptionValue(option, text);
  return value.ok ? value.value : say(value.why);
};

describe('what a person writes for the value of an option', () => {
  const interval = optionOf({ bytes: '1-2', number: { scale: 10, unit: 'km', min: 5000, max: 40000 } });
  const warmth = optionOf({ byte: 1, number: { scale: 0.5, offset: -40, unit: '°C' } });
  const trim = optionOf({ byte: 1, number: { signed: true } });
  const SIZES = { 0: 'none', 10: 'small', 16: 'large' };
  const lamps = optionOf({ byte: 1, flags: { '0': 'left', '1': 'right' } });

  const digits = optionOf({
    bytes: '1-2',
    number: { coding: 'bcd', scale: 0.1, unit: 'V' },
    special: { '0x9999': 'not set' },
  });
  const day = optionOf({ bytes: '1-3', date: 'DDMMYY', coding: 'bcd', special: { 0: 'never' } });
  const binaryDay = optionOf({ bytes: '1-4', date: 'YYYYMMDD', coding: 'binary', order: 'little' });
  const week = optionOf({ bytes: '1-2', date: 'WWYY', coding: 'bcd' });
  const minute = optionOf({ bytes: '1-2', date: 'hhmm', coding: 'bcd', swapped: 'nibbles' });
  const days = optionOf({ bytes: '1-2', date: { days: 1, since: '2000-01-01' } });
  const seconds = optionOf({ bytes: '1-4', date: { seconds: 1, since: '1970-01-01' } });
  const latin = optionOf({ bytes: '1-4', text: 'latin-1', pad: '0xFF', special: { 0: 'empty' } });
  const wide = optionOf({ bytes: '1-6', text: 'utf-16le', pad: 0 });
  const plate = optionOf({ bytes: '1-3', text: 'bcd' });

  const CASES: readonly (readonly [option: Option, text: string, value: bigint | RegExp])[] = [
    [interval, '15000', 1500n],
    [interval, ' 15000 km ', 1500n],
    [interval, '0x3A98', 1500n],
    [interval, '15003', /cannot hold 15003 km exactly\. The nearest values: 15000, 15010\./],
    [interval, '4990', /takes 5000 to 40000 km; 4990 is outside/],
    [interval, 'often', /"often" is no value of It\. It takes a number\./],
    [warmth, '-12.5', 55n],
    [digits, '123.4', 0x1234n],
    [digits, '123,4 V', 0x1234n],
    [digits, 'Not Set', 0x9999n],
    [digits, '999.9', /bits of "999\.9" mean "not set" for It/],
    [digits, '1000', /too few bits \(16\) for 1000 V/],
    [digits, '0x12', /"0x12" can mean 12 or 18/],
    [day, '2024-02-29', 0x290224n],
    [day, '29.02.2024', 0x290224n],
    [day, '29.2.24', 0x290224n],
    [day, '2/29/2024', 0x290224n],
    [day, '29. Februar 2024', 0x290224n],
    [day, 'Feb 29, 2024', 0x290224n],
    [day, '1980-01-01', 0x010180n],
    [day, '2079-12-31', 0x311279n],
    [day, '03/04/2024', /"03\/04\/2024" can mean 2024-04-03 or 2024-03-04\. Write one of these/],
    [day, '05/05/2024', 0x050524n],
    [day, '2024-02-31', /takes a date or time that exists and that its bytes can hold, such as 2024-02-29/],
    [day, '31.02.2024', /takes a date or time that exists/],
    [day, '2023-02-29', /takes a date or time that exists/],
    [day, '1979-12-31', /takes a date or time that exists/],
    [day, '2080-01-01', /takes a date or time that exists/],
    [day, '2024-02', /such as 2024-02-29/],
    [day, '2024-02-29 13:05', /such as 2024-02-29/],
    [day, 'never', 0n],
    [binaryDay, '2024-02-29', 0xe807021dn],
    [week, '2024-W09', 0x0924n],
    [week, 'KW 9/2024', 0x0924n],
    [week, '2020-W53', 0x5320n],
    [week, '2021-W53', /such as 2024-W09/],
    [minute, '13:05', 0x1305n],
    [minute, '13:05 Uhr', 0x1305n],
    [minute, '24:00', /such as 13:05/],
    [days, '2000-01-01', 0n],
    [days, '2024-02-29', 8825n],
    [days, '1999-12-31', /takes a date or time/],
    [seconds, '2024-02-29T13:05:00', 1709211900n],
    [seconds, '29.02.2024, 13:05:00', 1709211900n],
    [latin, 'Öl', 0xd66cffffn],
    [latin, 'O\u0308l', 0xd66cffffn],
    [latin, '€', /takes up to 4 characters of Latin-1/],
    [latin, 'EMPTY', 0n],
    [latin, '"empty"', /takes up to 4/],
    [wide, 'Ω1', 0xa90331000000n],
    [wide, '😀', 0x3dd800de0000n],
    [wide, 'abcd', /takes up to 3 characters that can be seen/],
    [wide, 'a\u202e', /characters that can be seen/],
    [plate, '12345', 0x12345fn],
    [plate, '12A', /takes up to 6 decimal digits/],
    [warmth, '-12.5 °C', 55n],
    [warmth, '200', /has too few bits \(8\) for 200 °C/],
    [trim, '-1', 255n],
    [trim, '-0x10', 240n],
    [trim, '-129', /too few bits \(8\) for -129/],
    [trim, '9'.repeat(400), /is no value/],
    [lamps, 'right, left', 3n],
    [lamps, '–', 0n],
    [lamps, '0', 0n],
    [lamps, '', /^It is given no value\. To clear all its flags, write "–" or 0\.$/],
    [lamps, '  ', /is given no value/],
    [lamps, '0x3', 3n],
    [lamps, '-1', /is no value/],
    [lamps, '1.5', /is no value of It\. It takes left \(1\), right \(2\)\./],
    [lamps, 'rihgt', /is "right" meant\?/],
    [optionOf({ bytes: '1-3', text: 'ascii' }), 'AB', 0x414220n],
    [optionOf({ bytes: '1-2', number: {}, special: { 9: 'Not Set ' } }), 'NOT set', 9n],
    [optionOf({ bytes: '1-3', text: 'ascii' }), 'ABCD', /up to 3 plain ASCII characters/],
    [optionOf({ bytes: '1-6', number: {} }), '123456789012345', 123456789012345n],
    // What a German screen shows, and what programs put around numbers.
    [warmth, '12,5', 105n],
    [warmth, '\u221212,5', 55n],
    [warmth, '+12,5 °C', 105n],
    [warmth, '12,5\u00a0°C', 105n],
    [warmth, '\u00a0\u202f12.5\u2009°C\u00a0', 105n],
    [warmth, '12,5\u2103', 105n],
    [warmth, '1 2', /is no value/],
    [warmth, '1.2.3', /is no value/],
    [warmth, '1,2,3', /is no value/],
    [warmth, '1.000,5', /is no value/],
    [warmth, '--3', /is no value/],
    [warmth, ',5', /is no value/],
    [trim, '\u22123', 253n],
    [trim, '+12', 12n],
    [trim, '+0x10', 16n],
    // A comma never parts thousands; where it might, nobody guesses.
    [interval, '15,000', /"15,000" can mean 15 or 15000\. Write one of these\./],
    [interval, '15,000 km', /can mean 15 or 15000/],
    // A point parts thousands for others.
    [interval, '15.000', /"15\.000" can mean 15 or 15000\. Write one of these\./],
    [interval, '+15.000 km', /can mean 15 or 15000/],
    [optionOf({ byte: 1, number: {} }), '15.000', 15n],
    [optionOf({ bytes: '1-2', number: { scale: 0.125 } }), '3.250', /can mean 3\.25 or 3250/],
    [optionOf({ bytes: '1-2', number: { scale: 0.125 } }), '3,125', /can mean 3\.125 or 3125/],
    [optionOf({ bytes: '1-2', number: { scale: 0.125 } }), '0,125', 1n],
    [optionOf({ bytes: '1-2', number: { scale: 0.125 } }), '3.125', 25n],
    [optionOf({ byte: 1, number: { scale: 0.125 } }), '3,125', 25n],
    [optionOf({ bytes: '1-2', number: { scale: 0.125 } }), '1234,125', 9873n],
    [optionOf({ bytes: '1-2', number: { scale: 0.0625 } }), '3,0625', 49n],
    [optionOf({ byte: 1, values: { 0: 'no', 2: 'yes' } }), 'YES', 2n],
    [optionOf({ byte: 1, values: { 0: 'no', 2: 'yes' } }), '2', 2n],
    [optionOf({ byte: 1, values: { 0: 'no', 2: 'yes' } }), '1', /with the value 1\. It knows no \(0\), yes \(2\)\./],
    [optionOf({ byte: 1, values: { 0: 'no', 2: 'yes' } }), '0x102', /with the value 0x102/],
    // The dump shows 10 for the large one, and the profile says 10 of the small one.
    [
      optionOf({ byte: 1, values: SIZES }),
      '10',
      /^10 may be small \(0x0A\) or large \(0x10\) of It\. Write the words\.$/,
    ],
    [optionOf({ byte: 1, values: SIZES }), '0x10', 16n],
    [optionOf({ byte: 1, values: SIZES }), '16', 16n],
    [optionOf({ byte: 1, values: { 0: 'no' } }), '', /"" is no value of It/],
    [optionOf({ byte: 1, values: {} }), '1', /It knows no value at all\./],
    [optionOf({ byte: 1, values: { 0: 'none', 3: 'left, right' } }), 'left, right', 3n],
    [lamps, '4', /with the value 4\. It knows left \(1\), right \(2\)\./],
    [lamps, 'left, left', 1n],
    [
      optionOf({ byte: 1, values: Object.fromEntries(Array.from({ length: 20 }, (_, i) => [i, `v${i}`])) }),
      '77',
      /v11 \(0x0B\) and 8 more\.$/,
    ],
    [
      optionOf({ byte: 1, values: Object.fromEntries(Array.from({ length: 12 }, (_, i) => [i, `v${i}`])) }),
      '77',
      /v11 \(0x0B\)\.$/,
    ],
  ];
  for (const [option, text, wanted] of CASES) {
    it(`${option.meaning.kind}: "${text.slice(0, 20)}" ${typeof wanted === 'bigint' ? 'is taken' : 'is refused'}`, () => {
      const value = read(option, text);
      if (typeof wanted === 'bigint') assert.equal(value, wanted);
      else assert.match(String(value), wanted);
    });
  }

  it('is understood where it is what the tool itself says of the value', () => {
    const decimals = fc.constantFrom(1, 2, 5, 10, 0.1, 0.05, 0.25, 0.0390625, 1e-7, -1, -0.5);
    const number = fc
      .tuple(decimals, fc.constantFrom(0, -40, 0.5, 1000, -273.15), fc.boolean(), fc.constantFrom('', 'V', '%', 'km/h'))
      .map(([scale, offset, signed, unit]) => ({ number: { scale, offset, signed, unit } }));
    fc.assert(
      fc.property(number, fc.constantFrom('1', '1-2', '1-4'), fc.bigInt(0n, 0xffffffffn), (meaning, bytes, any) => {
        const option = optionOf({ bytes, ...meaning });
        const raw = BigInt.asUintN(optionWidth(option), any);
        assert.equal(read(option, wordsOf(option, raw) as string), raw);
      }),
    );
    const { options }: Profile = demoProfile('rear-body');
    for (const option of options) {
      for (let raw = 0n; raw < 1n << BigInt(optionWidth(option)); raw++) {
        const words = wordsOf(option, raw);
        // A volume beyond what the profile allows is shown, but not taken.
        if (words !== undefined && !/^\d{3,} %/.test(words)) assert.equal(read(option, words), raw, words);
      }
    }
  });

  it('is understood in German too, where it is what the tool says of a value with a decimal comma', () => {
    const number = fc.tuple(
      fc.constantFrom(0.1, 0.5, 0.05, 0.0625),
      fc.constantFrom(0, -40),
      fc.constantFrom('', 'V', 'km/h'),
    );
    fc.assert(
      fc.property(number, fc.nat(255), fc.boolean(), ([scale, offset, unit], raw, minus) => {
        const option = optionOf({ byte: 1, number: { scale, offset, unit } });
        const english = wordsOf(option, BigInt(raw)) as string;
        const german = english
          .replace('.', ',')
          .replace(' ', '\u00a0')
          .replace('-', minus ? '\u2212' : '-');
        assert.equal(read(option, german), BigInt(raw), german);
      }),
    );
  });

  it('is never one of two values that a profile calls by one word', () => {
    const trailer = optionOf({ byte: 1, values: { 1: 'on', 2: 'off' } });
    const words = new Map([
      [1, 'on'],
      [2, 'On'],
      [3, 'on'],
    ]);
    const twice: Option = { ...trailer, meaning: { kind: 'values', words } };
    assert.equal(read(twice, 'on'), '"on" is the word for several values of It. Write the number.');
    assert.equal(read(twice, 'ON'), '"ON" is the word for several values of It. Write the number.');
    assert.deepEqual([read(twice, 'On'), read(twice, '3')], [2n, 3n]);
  });

  it('leaves flags without words as they are, and a text that reads the same', () => {
    const name = optionOf({ bytes: '1-4', text: 'ascii' });
    const over = (option: Option, bytes: string, text: string) => {
      const profile = { ...demoProfile('cluster'), options: [option], geometry: undefined, totals: [] };
      const value = readOptionValueIn(dumpOf(`1: ${bytes}\n`, profile), option, text);
      return value.ok ? value.value.toString(16) : say(value.why);
    };
    assert.equal(over(lamps, '93', 'left'), '91');
    assert.equal(over(lamps, '93', 'left, right'), '93');
    assert.equal(over(lamps, '93', '1'), '91', 'also where they are given as a number');
    assert.match(over(lamps, '93', 'rihgt'), /is "right" meant/);
    assert.equal(
      over(optionOf({ line: 1, byte: 2, flags: { 0: 'left' } }), '93', 'left'),
      '1',
      'a byte that is missing',
    );
    assert.equal(over(name, '41 42 00 FF', 'AB'), '414200ff');
    assert.equal(over(name, '41 42 00 00', 'A'), '41000000');
    assert.equal(over(name, '41 42 43 44', 'A'), '41202020');
    assert.equal(over(name, '41 FF FF FF', 'XYZ'), '58595aff');
  });

  it('never throws, whatever it is', () => {
    fc.assert(
      fc.property(fc.constantFrom(interval, warmth, trim, lamps), fc.string({ maxLength: 12 }), (option, text) => {
        readOptionValue(option, text);
      }),
    );
  });
});
