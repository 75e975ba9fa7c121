// What stands for a value in copies: of its form, another one for each value, and nothing of any value left in it.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { vinCheckDigit } from '../../../shared-core/src/checks/vin.js';
import { isVin, type Secret } from '../../../shared-core/src/jobs/share/masks.js';
import { masksFor } from '../../support/sharedCopies.js';

const secret = (text: string, more: Partial<Secret> = {}): Secret => ({
  text,
  inParts: false,
  inBytes: false,
  ...more,
});
const masks = (...texts: readonly (string | Secret)[]) =>
  new Map(
    masksFor(texts.map((one) => (typeof one === 'string' ? secret(one) : one))).map(({ text, mask }) => [text, mask]),
  );

describe('a mask', () => {
  it('has a letter for each letter, a digit for each digit, and all else as it is', () => {
    const form = (text: string) =>
      text
        .replace(/\p{Nd}/gu, '0')
        .replace(/\p{Lu}/gu, 'A')
        .replace(/\p{Ll}/gu, 'a');
    fc.assert(
      fc.property(
        fc.array(fc.stringMatching(/^[A-Za-z0-9][A-Za-z0-9 .-]{3,19}$/), { minLength: 1, maxLength: 6 }),
        (texts) => {
          for (const [text, mask] of masks(...texts)) assert.equal(form(mask), form(text));
        },
      ),
    );
  });

  it('is another one for each value, also for values of one form', () => {
    const texts = Array.from({ length: 120 }, (_, i) => `K-${500 + i}`);
    assert.equal(new Set(masks(...texts).values()).size, texts.length);
    const words = Array.from({ length: 60 }, (_, i) => `${'QWERT'.charAt(i % 5)}${'ZUIOPASDFGHJ'.charAt(i / 5)}`);
    assert.equal(new Set(masks(...words).values()).size, words.length);
  });

  it('is one for a value in whatever letters, and the first that is named of the same length says how it is looked for', () => {
    const found = masksFor([secret('Ab 12', { inBytes: true }), secret('aB 12')]);
    assert.deepEqual(
      found.map(({ text, inBytes }) => [text, inBytes]),
      [['Ab 12', true]],
    );
  });

  it('counts in the last digits of a value, or in its last letters where there are none', () => {
    assert.equal(masks('B-QZ 4799').get('B-QZ 4799'), 'X-XX 0001');
    assert.equal(masks('4799 QZ').get('4799 QZ'), '0001 XX');
    assert.equal(masks('qz-BK').get('qz-BK'), 'xx-XY');
  });

  it('comes first for the longest value, so that no part of it is masked by itself', () => {
    assert.deepEqual(
      masksFor([secret('12'), secret('1234'), secret('123')]).map(({ text }) => text),
      ['1234', '123', '12'],
    );
  });

  it('holds nothing of any value, forwards or backwards', () => {
    // Of two letters as masks have them, beside a longer text of letters alone.
    assert.doesNotMatch(masks('aaAAa', 'Xx').get('aaAAa') ?? '', /xx/i);
    // Of one digit, beside longer numbers.
    assert.doesNotMatch(masks('B4712345', '0 - ').get('B4712345') ?? '', /0/);
    // By its form "X001" would come first.
    assert.notEqual(masks('Q987', 'X001').get('Q987'), 'X001');
    assert.notEqual(masks('Q987', '100X').get('Q987'), 'X001');
  });

  it('of a VIN is one with a right check digit (ISO 3779 and 49 CFR 565.15) where the VIN has that', () => {
    // 49 CFR 565.15, the number of its table of an example.
    const checked = '1M8GDM9AXKP042788';
    assert.equal(vinCheckDigit(checked), checked.charAt(8));
    const mask = masks(checked).get(checked) ?? '';
    assert.ok(isVin(mask), mask);
    assert.equal(mask.charAt(8), vinCheckDigit(mask));
    const unchecked = '1M8GDM9A1KP042788';
    const other = masks(unchecked).get(unchecked) ?? '';
    assert.ok(isVin(other), other);
    assert.equal(other.charAt(8), '0', 'a digit in the place of a check digit says nothing of which value it is');
    const small = masks(checked.toLowerCase()).get(checked.toLowerCase()) ?? '';
    assert.equal(small.charAt(8).toUpperCase(), vinCheckDigit(small.toUpperCase()));
  });
});
