// Copies for others of several cars: what differs in the dumps differs in the copies, and what is the same stays the same.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { vinCheckDigit } from '../../../shared-core/src/checks/vin.js';
import { shareDumps } from '../../../shared-core/src/jobs/index.js';
import { isVin } from '../../../shared-core/src/jobs/share/masks.js';
import { codes, copiedTogether, dataIn, source, textOf, VIN } from '../../support/sharedCopies.js';

/** The same with its check digit made right (49 CFR 565.15). */
const checked = (vin: string) => vin.slice(0, 8) + vinCheckDigit(vin) + vin.slice(9);

/** VINs that differ from the first one at the end, at the check digit alone, in the middle, or in one letter. */
const CARS = [VIN, '0DEM0T4X5TA731995', '0DEM0T4X6TA020418', '0DEM0T4X5TB020418', '0DEM0T4Y5TA020418'];

describe('copies of several cars', () => {
  const vinOf = (text: string) => /^@vin (.*)$/m.exec(text)?.[1] ?? '';
  const distinct = (all: readonly string[]) => assert.equal(new Set(all).size, all.length, all.join(' '));
  const dataOf = (text: string) => dataIn(text).join();

  it('have a VIN of their own each, as long and as good as it was, in the header and in the bytes', () => {
    for (const vins of [CARS, [...CARS].reverse(), [...new Set(CARS.map(checked))], CARS.slice(0, 2)]) {
      const copies = copiedTogether(vins.map((vin) => textOf(codes(vin), [`@vin ${vin}`])));
      distinct(copies.map(vinOf));
      distinct(copies.map(dataOf));
      for (const copy of copies) {
        assert.ok(isVin(vinOf(copy)), vinOf(copy));
        assert.deepEqual(dataIn(copy).slice(0, 17), codes(vinOf(copy)));
      }
    }
  });

  it('have one VIN for one car, whatever the case and the blanks it is written with', () => {
    const written = [VIN, VIN.toLowerCase(), '0DEM 0T4X5 TA020418', '0DEM0T4X5-TA020418'];
    const copies = copiedTogether(written.map((vin) => textOf(codes(VIN), [`@vin ${vin}`])));
    assert.equal(new Set(copies.map((copy) => vinOf(copy).replace(/[ -]/g, '').toUpperCase())).size, 1);
    assert.equal(new Set(copies.map(dataOf)).size, 1);
  });

  it('tell parts of a VIN apart, where only a part of each is in the bytes', () => {
    for (const [from, end] of [
      [9, 17],
      [0, 8],
      [4, 12],
    ]) {
      const parts = [...new Set(CARS.map((vin) => vin.slice(from, end)))];
      const vins = parts.map((part) => CARS.find((vin) => vin.slice(from, end) === part) ?? '');
      distinct(copiedTogether(vins.map((vin) => textOf(codes(vin.slice(from, end)), [`@vin ${vin}`]))).map(dataOf));
    }
  });

  it('have different serial numbers, names and codes, however short or alike these are', () => {
    const text = { id: 'own', title: 'Own', line: 1, bytes: '1-6', text: 'ascii', personal: true };
    const each = (option: object, values: readonly (readonly number[])[]) => {
      const copies = copiedTogether(
        values.map((bytes) => textOf(bytes)),
        { options: [{ ...text, ...option }] },
      );
      distinct(copies.map(dataOf));
    };
    each({}, ['ab1   ', 'ab2   ', 'cb1   ', 'XY1   ', 'K     '].map(codes));
    each({}, ['SN7743', 'SN7744', 'QK7743', 'SN77K3'].map(codes));
    const dates = [
      [0x24, 0x02, 0x26],
      [0x31, 0x12, 0x22],
      [0x01, 0x01, 0x00],
      [0x01, 0x02, 0x03],
    ];
    each({ bytes: '1-3', text: undefined, date: 'DDMMYY', coding: 'bcd' }, dates);
    each({ bytes: '1-2', text: undefined, date: { days: 1, since: '1990-01-01' } }, [
      [0x12, 0x34],
      [0x12, 0x35],
      [0x0e, 0x44],
    ]);
  });

  it('have different bytes in personal places, though one of them is what would be invented', () => {
    const locked = [{ line: 1, bytes: '1-2', why: 'identity', personal: true }];
    const values = [
      [0xa1, 0xb2],
      [0, 2],
      [1, 2],
      [0, 1],
      [0xff, 0xfe],
    ];
    const copies = copiedTogether(
      values.map((bytes) => textOf(bytes)),
      { locked },
    );
    distinct(copies.map(dataOf));
  });

  it('have days that there are, in each order in which a profile writes them', () => {
    const date = { bytes: '1-3', coding: 'bcd', personal: true };
    const options = ['DDMMYY', 'YYMMDD'].map((order, at) => ({
      ...{ ...date, id: order, title: order, date: order },
      line: 1 + at,
    }));
    const day = [0x11, 0x11, 0x11];
    const [copy = ''] = copiedTogether([textOf([...day, 0x80, 0x80, 0x80, ...day])], { options });
    assert.deepEqual(
      [dataIn(copy).slice(0, 3), dataIn(copy).slice(6, 9)],
      [
        [0x01, 0x01, 0x00],
        [0x00, 0x01, 0x01],
      ],
    );
  });

  it('have no special value in place of another one', () => {
    const number = { number: { coding: 'bcd' }, special: { 1: 'erased' } };
    const options = [{ id: 'own', title: 'Own', line: 1, bytes: '1-2', ...number, personal: true }];
    const copies = copiedTogether(
      [0x0001, 0x4711].map((value) => textOf([value >> 8, value & 0xff])),
      { options },
    );
    distinct(copies.map(dataOf));
  });

  it('are refused where there are not enough values to invent', () => {
    const hidden = (texts: readonly string[]) => {
      const result = shareDumps([source(textOf([], ['# 1 2 3 4 5 6 7 8 9 0']))], [], texts);
      return result.ok ? '' : say(result.why);
    };
    const NONE = /^Nothing can be put in place of ".+" that stands for nothing else\.$/;
    assert.match(hidden(['--']), NONE);
    assert.match(hidden(Array.from({ length: 10 }, (_, digit) => String(digit))), NONE);
    const locked = [{ line: 1, bytes: '1-1', why: 'identity', personal: true }];
    const used = Array.from({ length: 253 }, (_, at) => at + 1).map((value) => (value === 0x20 ? 254 : value));
    const sources = used.map((value) =>
      source(textOf([value]), { locked }, { file: `file:///cars/${value}`, name: `${value}.cfgdump` }),
    );
    const few = shareDumps(
      sources.filter((_, at) => at % 3 === 0),
      [],
    );
    assert.ok(few.ok, few.ok ? '' : say(few.why));
    distinct(few.value.dumps.map(({ text }) => String(dataIn(text)[0])));
    const all = shareDumps(sources, []);
    // Of two decimal digits there are a hundred, and these stay decimal.
    assert.match(
      all.ok ? '' : say(all.why),
      /^\d+\.cfgdump: Nothing can be put in place of "bytes of line 1" that stands for nothing else/,
    );
  });
});

describe('copies of one run', () => {
  const FLAG = { id: 'own', title: 'Own', line: 1, byte: 1, values: { 0: 'no', 1: 'yes' }, personal: true };

  it('all say that bytes are invented where one has any: which one would tell what it was', () => {
    const [yes = '', no = ''] = copiedTogether([textOf([1]), textOf([0])], { options: [FLAG] });
    assert.equal(yes, no);
    assert.match(no, /^@use masked\n/);
    const plain = [textOf([0, 1]), textOf([0, 2])];
    assert.deepEqual(copiedTogether(plain, { options: [FLAG] }), plain);
  });
});
