import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { knownInWords } from '../../../shared-core/src/model/knownInWords.js';
import { rawOfText } from '../../../shared-core/src/model/optionText.js';
import { choicesOf, flagsSet } from '../../../shared-core/src/options/choices.js';
import { valuesInWords } from '../../../shared-core/src/options/inWords.js';
import { knownFlags, whyUnknown } from '../../../shared-core/src/options/knownValue.js';
import { readOptionValue, readOptionValueIn } from '../../../shared-core/src/options/readOptionValue.js';
import { setOption } from '../../../shared-core/src/options/setOption.js';
import { readWrittenNumber } from '../../../shared-core/src/options/writtenNumber.js';
import type { Option } from '../../../shared-core/src/profile/index.js';
import { profileOf } from '../../support/smallDumps.js';

const profileWith = (written: object) =>
  profileOf({ lines: { from: 1, to: 1, data: 4, sum: 0 }, options: [{ id: 'o', title: 'It', line: 1, ...written }] });
const optionOf = (written: object) => profileWith(written).options[0] as Option;
const dumpWith = (written: object, bytes: string) => bindText('a.cfgdump', `1: ${bytes}\n`, profileWith(written));
const read = (written: object, text: string) => {
  const value = readOptionValue(optionOf(written), text);
  return value.ok ? value.value : say(value.why);
};
const readIn = (written: object, bytes: string, text: string) => {
  const dump = dumpWith(written, bytes);
  const value = readOptionValueIn(dump, dump.profile.options[0] as Option, text);
  return value.ok ? value.value : say(value.why);
};

describe('a value that the profile does not know', () => {
  it('is a flag without words that is not there now, whichever bit it is', () => {
    const flags = optionOf({ byte: 1, flags: { 1: 'left', 2: 'right' } });
    assert.equal(knownFlags(flags.meaning as Parameters<typeof knownFlags>[0]), 6n);
    for (const raw of [1n, 3n, 8n]) {
      assert.match(say(whyUnknown(flags, raw) ?? { pattern: '', parts: [] }), /does not know what It means/);
      assert.match(say(whyUnknown(flags, 6n, raw) ?? { pattern: '', parts: [] }), /does not know what It means/);
      assert.equal(whyUnknown(flags, raw | 2n, raw), undefined);
    }
    assert.equal(whyUnknown(flags, 0n), undefined);
    assert.equal(whyUnknown(flags, 6n), undefined);
  });

  it('is told from those it knows, of which the first twelve are named', () => {
    const many = (count: number) =>
      say(
        knownInWords(
          optionOf({ byte: 1, values: Object.fromEntries(Array.from({ length: count }, (_, i) => [i, `v${i}`])) }),
        ),
      );
    assert.match(many(12), /v10 \(0x0A\), v11 \(0x0B\)$/);
    assert.match(many(13), /v11 \(0x0B\) and 1 more$/);
    assert.match(many(14), /v11 \(0x0B\) and 2 more$/);
    assert.equal(many(0), 'no value at all');
  });

  it('is one below nothing, which is said as what it is', () => {
    const dump = dumpWith({ byte: 1, values: {} }, '00 00 00 00');
    const set = setOption(dump, dump.profile.options[0] as Option, -5n);
    assert.equal(set.ok ? '' : say(set.why), 'It has 8 bits and cannot hold 05.');
  });
});

describe('what a person writes', () => {
  it('may have blanks around it, in words too', () => {
    assert.equal(read({ byte: 1, values: { 1: 'yes' } }, ' yes '), 1n);
    assert.equal(read({ byte: 1, values: { 1: 'yes' } }, '\t0x1 '), 1n);
    assert.deepEqual(readWrittenNumber(' 5\u00a0 km ', ' km'), { number: 5, thousands: undefined });
    assert.deepEqual(readWrittenNumber(' 5 ', ''), { number: 5, thousands: undefined });
  });

  it('is a text of as many plain characters as there is room for, and no more', () => {
    const text = { bytes: '1-4', text: 'ascii' };
    assert.equal(read(text, 'ABCD'), 0x41424344n);
    assert.equal(read(text, 'AB'), 0x41422020n);

    assert.equal(read(text, 'ABCDE'), 'It takes up to 4 plain ASCII characters.');
    assert.equal(read(text, 'AB\u00c4'), 'It takes up to 4 plain ASCII characters.');
  });

  it('is one of two numbers only where both may be meant', () => {
    const steps = (max: number) => ({ bytes: '1-2', number: { scale: 0.5, max } });
    assert.equal(read(steps(1000), '1,500'), 3n);
    assert.match(String(read(steps(2000), '1,500')), /can mean 1\.5 or 1500/);
  });

  it('is a number near to which only those are named that the option can hold', () => {
    const ten = { byte: 1, number: { scale: 10 } };
    assert.equal(read(ten, '2554'), 'It cannot hold 2554 exactly. The nearest values: 2550.');
    assert.equal(read(ten, '2544'), 'It cannot hold 2544 exactly. The nearest values: 2540, 2550.');
    assert.equal(read(ten, '-10'), 'It has too few bits (8) for -10.');
    assert.match(String(read({ byte: 1, number: { scale: 1e-300 } }, '1e99')), /^It has too few bits \(8\) for /);
  });

  it('is a word that is near to one that the profile has', () => {
    assert.equal(
      read({ byte: 1, values: { 0: 'never', 1: 'always' } }, 'alwais'),
      '"alwais" is no value of It; is "always" meant?',
    );
    assert.equal(
      read({ byte: 1, flags: { 0: 'left', 1: 'right' } }, 'rihgt'),
      '"rihgt" is no value of It; is "right" meant?',
    );
    const pins = { byte: 1, values: { 0: 'none', 1: '7-pin', 2: '13-pin with camera' } };
    assert.equal(read(pins, '7-pim'), '"7-pim" is no value of It; is "7-pin" meant?');
    // A number that differs is no slip of the hand: it is another thing.
    for (const other of ['13-pin', '8-pin', '-pin'])
      assert.equal(
        read(pins, other),
        `"${other}" is no value of It. It takes none (0), 7-pin (1), 13-pin with camera (2).`,
      );
  });

  it('is the value itself, whatever a dump holds now: only a text is padded as it was', () => {
    assert.equal(readIn({ byte: 1, number: {} }, '00 00 00 00', '32'), 32n);
    assert.equal(readIn({ byte: 1, values: { 32: 'yes' } }, '00 00 00 00', 'yes'), 32n);
    const text = { bytes: '1-4', text: 'ascii' };
    assert.equal(readIn(text, '41 42 43 00', 'XY'), 0x58590000n);
    assert.equal(readIn(text, '41 42 43 FF', 'XY'), 0x5859ffffn);
    assert.equal(readIn(text, '41 42 43 20', 'XY'), 0x58592020n);
    assert.equal(readIn(text, '41 42 00 00', 'AB'), 0x41420000n);
  });
});

describe('flags that are set', () => {
  it('leave those without words as they are, and begin with none where the dump does not say', () => {
    const flags = { byte: 1, flags: { 1: 'left', 2: 'right' } };
    const set = (bytes: string, bits: readonly number[]) => {
      const dump = dumpWith(flags, bytes);
      const value = flagsSet(dump, dump.profile.options[0] as Option, bits);
      return value.ok && value.value;
    };
    assert.equal(set('81 00 00 00', [1]), 0x83n);
    assert.equal(set('87 00 00 00', []), 0x81n);
    assert.equal(set('8x 00 00 00', [2]), 4n);
    const dump = dumpWith(flags, '02 00 00 00');
    assert.deepEqual(choicesOf(dump, dump.profile.options[0] as Option), [
      { raw: 0n, words: 'left', current: false },
      { raw: 6n, words: 'right', current: false },
    ]);
  });
});

describe('the values of a list', () => {
  it('are those of the profile and the words beside them, with the one that the dump has', () => {
    const of = (option: object) => {
      const dump = dumpWith({ byte: 1, ...option }, '07 00 00 00');
      return choicesOf(dump, dump.profile.options[0] as Option);
    };
    const never = { raw: 255n, words: 'never', current: false };
    const long = { raw: 7n, words: 'long', current: true };
    assert.deepEqual(of({ values: { 7: 'long', 1: 'short' } }), [{ raw: 1n, words: 'short', current: false }, long]);
    assert.deepEqual(of({ number: {}, special: { 7: 'long', 255: 'never' } }), [long, never]);
    assert.deepEqual(of({ number: {} }), []);
  });

  it('of a text hold no blanks that go on behind its place', () => {
    const { meaning } = optionOf({ bytes: '1-3', text: 'ascii' });
    assert.ok(meaning.kind === 'text');
    assert.equal(rawOfText(meaning, 24, '    '), undefined);
    assert.equal(rawOfText(meaning, 24, '   '), 0x202020n);
  });
});

describe('what may be written for a number', () => {
  it('is from its lowest to its highest, also where a step goes down', () => {
    const said = (number: object) => say(valuesInWords(optionOf({ byte: 1, number })) ?? { pattern: '', parts: [] });
    assert.equal(said({}), 'A number from 0 to 255');
    assert.equal(said({ signed: true }), 'A number from -128 to 127');
    assert.equal(said({ scale: 2, signed: true }), 'A number from -256 to 254, in steps of 2');
    assert.equal(said({ scale: -1, offset: 10 }), 'A number from -245 to 10');
    assert.equal(said({ scale: 0.1 }), 'A number from 0 to 25.5, in steps of 0.1');
    assert.equal(said({ scale: 0.123456789012, max: 1 }), 'A number from 0 to 1, in steps of 0.123456789012');
    assert.equal(said({ scale: 1 / 3 }), `A number from 0 to 85, in steps of ${1 / 3}`);
    assert.equal(said({ offset: 1 / 3 }), 'A number from 0.333333333333 to 255.333333333');
  });
});
