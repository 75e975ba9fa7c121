import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { flagsSet } from '../../../shared-core/src/options/choices.js';
import { choicesOf, valuesOf } from '../../../shared-core/src/options/index.js';
import { setOption } from '../../../shared-core/src/options/setOption.js';
import { type Option, readProfile } from '../../../shared-core/src/profile/index.js';
import { dumpOf } from '../../support/demo.js';

/** A dump of two lines of four bytes whose profile has these parts; what is wrong in the profile does not matter here. */
function dumpWith(parts: object, text = '1: 12 34 56 78\n2: 93 00 00 00\n'): Dump {
  const { profile } = readProfile(JSON.stringify({ format: 1, lines: { from: 1, to: 2, data: 4, sum: 0 }, ...parts }));
  return dumpOf(text, profile);
}

const onOff = { id: 'o', title: 'It', line: 1, byte: 2, bits: '3-0', values: { 4: 'off', 5: 'on' } };

function optionOf(dump: Dump, id = 'o'): Option {
  const option = dump.profile.options.find((one) => one.id === id);
  assert.ok(option);
  return option;
}

function setIn(dump: Dump, raw: bigint, id = 'o'): string {
  const set = setOption(dump, optionOf(dump, id), raw);
  return set.ok ? textOfRows(afterWrites(dump, set.value).rows) : say(set.why);
}

describe('setting an option', () => {
  it('writes its bits and leaves all others', () => {
    assert.equal(setIn(dumpWith({ options: [onOff] }), 5n), '1: 12 35 56 78\n2: 93 00 00 00\n');
    const number = { ...onOff, values: undefined, number: { min: 0, max: 15 } };
    assert.equal(setIn(dumpWith({ options: [number] }), 0n), '1: 12 30 56 78\n2: 93 00 00 00\n');
    assert.equal(setIn(dumpWith({ options: [number] }), 15n), '1: 12 3F 56 78\n2: 93 00 00 00\n');
    const wide = { id: 'o', line: 1, bytes: '2-3', order: 'little', number: {} };
    assert.equal(setIn(dumpWith({ options: [wide] }), 0x0102n), '1: 12 02 01 78\n2: 93 00 00 00\n');
  });

  it('writes bits that lie apart, the highest part first, and leaves all others', () => {
    const line = {
      id: 'o',
      line: 1,
      bits: [
        { byte: 2, bits: '1-0' },
        { byte: 4, bits: '7' },
      ],
      number: {},
    };
    assert.equal(setIn(dumpWith({ options: [line] }), 5n), '1: 12 36 56 F8\n2: 93 00 00 00\n');
    assert.equal(setIn(dumpWith({ options: [line] }), 2n), '1: 12 35 56 78\n2: 93 00 00 00\n');
    const lines = {
      id: 'o',
      bits: [
        { line: 2, byte: 1 },
        { line: 1, byte: 1, bits: '3-0' },
      ],
      number: {},
    };
    assert.equal(setIn(dumpWith({ options: [lines] }), 0xabcn), '1: 1C 34 56 78\n2: AB 00 00 00\n');
    const sameByte = {
      id: 'o',
      line: 1,
      bits: [
        { byte: 1, bits: '0' },
        { byte: 1, bits: '7' },
      ],
      number: {},
    };
    assert.equal(setIn(dumpWith({ options: [sameByte] }), 3n), '1: 93 34 56 78\n2: 93 00 00 00\n');
  });

  it('refuses bits that lie apart where one of them is locked, or belongs to a security option', () => {
    const bits = [
      { byte: 2, bits: '1-0' },
      { byte: 4, bits: '7' },
    ];
    const option = { id: 'o', title: 'It', line: 1, bits, number: {} };
    const locked = dumpWith({ options: [option], locked: [{ line: 1, byte: 4, why: 'identity' }] });
    assert.equal(setIn(locked, 5n), 'It is in bytes that are locked (identity).');
    const keys = {
      id: 'k',
      title: 'Keys',
      line: 1,
      bits: [{ byte: 3 }, { byte: 4, bits: '6-0' }],
      number: {},
      hazard: 'security',
    };
    assert.equal(setIn(dumpWith({ options: [option, keys] }), 5n), '1: 12 36 56 F8\n2: 93 00 00 00\n');
    assert.match(setIn(dumpWith({ options: [option, keys] }), 0n, 'k'), /concerns the security of the vehicle/);
  });

  it('counts bits and halves of a byte the other way round where the profile says so', () => {
    const reversed = { id: 'o', line: 1, bytes: '1-2', reversed: 'bits', number: {} };
    assert.equal(setIn(dumpWith({ options: [reversed] }), 0x0180n), '1: 80 01 56 78\n2: 93 00 00 00\n');
    const field = { id: 'o', line: 1, byte: 1, bits: '6-4', reversed: 'bits', number: {} };
    assert.equal(setIn(dumpWith({ options: [field] }), 4n), '1: 12 34 56 78\n2: 93 00 00 00\n');
    assert.equal(setIn(dumpWith({ options: [field] }), 1n), '1: 42 34 56 78\n2: 93 00 00 00\n');
    const swapped = { id: 'o', line: 1, bytes: '1-2', swapped: 'nibbles', order: 'little', number: { coding: 'bcd' } };
    assert.equal(setIn(dumpWith({ options: [swapped] }), 0x1234n), '1: 43 21 56 78\n2: 93 00 00 00\n');
  });

  it('refuses a locked place, whatever byte of the option the lock is in', () => {
    const wide = { id: 'o', title: 'It', line: 1, bytes: '2-3', number: {} };
    for (const lock of [
      { line: 1, byte: 2 },
      { line: 1, byte: 3 },
      { line: 1, bytes: '1-4' },
    ]) {
      const dump = dumpWith({ options: [wide], locked: [{ ...lock, why: 'identity' }] });
      assert.equal(setIn(dump, 1n), 'It is in bytes that are locked (identity).', JSON.stringify(lock));
    }
    const bits = dumpWith({ options: [onOff], locked: [{ line: 1, byte: 2, why: 'identity' }] });
    assert.equal(setIn(bits, 5n), 'It is in bytes that are locked (identity).', 'a lock is of whole bytes');
    const beside = dumpWith({
      options: [onOff],
      locked: [
        { line: 1, byte: 1 },
        { line: 2, byte: 2 },
      ],
    });
    assert.match(setIn(beside, 5n), /^1: 12 35/);
  });

  it('refuses security and what changes by itself', () => {
    assert.match(setIn(dumpWith({ options: [{ ...onOff, hazard: 'security' }] }), 5n), /^It concerns the security/);
    assert.match(
      setIn(dumpWith({ options: [{ ...onOff, hazard: ['other', 'security'] }] }), 5n),
      /concerns the security/,
    );
    assert.equal(
      setIn(dumpWith({ options: [onOff], volatile: [{ line: 1, byte: 2, why: 'counter' }] }), 5n),
      'It is in bytes that change by themselves in the module (counter): what is written there would not last.',
    );
  });

  it('leaves security bits alone: those beside it in the byte do not change, those it shares are refused', () => {
    const immo = { id: 'i', title: 'Immobiliser', line: 1, byte: 2, values: { 0: 'no' }, hazard: 'security' };
    const beside = dumpWith({ options: [onOff, { ...immo, bits: '7-4' }] });
    assert.match(setIn(beside, 5n), /^1: 12 35/);
    const shared = dumpWith({ options: [onOff] });
    const option = optionOf(dumpWith({ options: [{ ...immo, bits: '4-2' }] }), 'i');
    const both = { ...shared, profile: { ...shared.profile, options: [...shared.profile.options, option] } };
    assert.match(setIn(both, 5n), /It shares bits with "Immobiliser", which concerns the security/);
  });

  it('refuses a place that is missing in whole or in part', () => {
    const wide = { id: 'o', title: 'It', line: 1, bytes: '3-4', number: {} };
    assert.match(
      setIn(dumpWith({ options: [onOff] }, '2: 93 00 00 00\n'), 5n),
      /its line is missing or cannot be read/,
    );
    assert.match(setIn(dumpWith({ options: [wide] }, '1: 12 34 56\n'), 5n), /its line is missing or cannot be read/);
    assert.match(setIn(dumpWith({ options: [wide] }, '1: 12 34 5x 78\n'), 5n), /its line is missing or cannot be read/);
  });

  const KNOWN: readonly (readonly [string, object, bigint, RegExp])[] = [
    ['words', onOff, 6n, /does not know what It means with the value 6\. It knows off \(4\), on \(5\)\./],
    ['what does not fit', onOff, 16n, /It has 4 bits and cannot hold 10\./],
    ['what is negative', onOff, -1n, /It has 4 bits and cannot hold 01\./],
    [
      'too low',
      { ...onOff, values: undefined, number: { min: 3, unit: 's' } },
      2n,
      /It takes 3 to … s; 2 is outside\./,
    ],
    ['too high', { ...onOff, values: undefined, number: { max: 3, scale: 2 } }, 2n, /It takes … to 3; 4 is outside\./],
    ['no text', { ...onOff, bits: undefined, values: undefined, text: 'ascii' }, 0x07n, /takes up to 1 plain ASCII/],
    [
      'flags without words',
      { ...onOff, line: 2, byte: 1, bits: undefined, values: undefined, flags: { 0: 'left', 1: 'right' } },
      0x83n,
      /with the value 0x83\. It knows left \(1\), right \(2\)\./,
    ],
  ];
  for (const [name, option, raw, why] of KNOWN) {
    it(`refuses what the profile does not know: ${name}`, () => {
      assert.match(setIn(dumpWith({ options: [option] }), raw), why);
    });
  }

  it('takes flags where those without words stay as they are', () => {
    const flags = { id: 'o', line: 2, byte: 1, flags: { 0: 'left', 1: 'right' } };
    assert.match(setIn(dumpWith({ options: [flags] }), 0x91n), /2: 91/);
  });
});

describe('what an option may be set to', () => {
  const words = (dump: Dump) => choicesOf(dump, optionOf(dump)).map((choice) => choice.words);

  it('is what the profile has words for, with what is there now', () => {
    const dump = dumpWith({ options: [onOff] });
    assert.deepEqual(choicesOf(dump, optionOf(dump)), [
      { raw: 4n, words: 'off', current: true },
      { raw: 5n, words: 'on', current: false },
    ]);
  });

  it('of flags, each of them the other way round, where all that are set have words', () => {
    const flags = { id: 'o', line: 2, byte: 1, flags: { 0: 'left', 1: 'right', 2: 'rear', 4: 'fog', 7: 'hazard' } };
    const dump = dumpWith({ options: [flags] });
    assert.deepEqual(
      choicesOf(dump, optionOf(dump)).map(({ raw }) => raw),
      [0x92n, 0x91n, 0x97n, 0x83n, 0x13n],
    );
    const missing = dumpWith({ options: [flags] }, '1: 12 34 56 78\n');
    assert.deepEqual(choicesOf(missing, optionOf(missing)), []);
  });

  it('of flags, nothing from a list while one is set that has no words', () => {
    const dump = dumpWith({ options: [{ id: 'o', line: 2, byte: 1, flags: { 0: 'left', 2: 'rear' } }] });
    assert.deepEqual(choicesOf(dump, optionOf(dump)), []);
  });

  it('of flags, any of those with words together, whatever the others are', () => {
    const flags = { id: 'o', line: 2, byte: 1, flags: { 0: 'left', 2: 'rear' } };
    const dump = dumpWith({ options: [flags] });
    const option = optionOf(dump);
    assert.deepEqual(
      [[], [0], [2], [0, 2]].map((bits) => flagsSet(dump, option, bits)),
      [0x92n, 0x93n, 0x96n, 0x97n].map((value) => ({ ok: true, value })),
    );
  });

  it('of flags that the profile does not have, or of an option without flags, is refused', () => {
    const flags = { id: 'o', line: 2, byte: 1, flags: { 0: 'left', 2: 'rear' } };
    const whyNot = (meaning: object, bits: readonly number[]) => {
      const dump = dumpWith({ options: [meaning] });
      const result = flagsSet(dump, optionOf(dump), bits);
      return result.ok ? assert.fail(String(result.value)) : say(result.why);
    };
    assert.match(whyNot(flags, [0, 1]), /has no flag in bit 1\. It knows left \(1\), rear \(4\)/);
    for (const bit of [-1, 0.5, Number.NaN]) assert.match(whyNot(flags, [bit]), /has no flag in bit/);
    for (const bits of [[], [0]]) assert.match(whyNot(onOff, bits), /is no set of flags: give it one value/);
  });

  it('is nothing for numbers and texts', () => {
    for (const meaning of [{ number: {} }, { text: 'ascii' }])
      assert.deepEqual(words(dumpWith({ options: [{ id: 'o', line: 1, byte: 1, ...meaning }] })), []);
  });

  it('is nothing where it cannot be set, though its values can be read', () => {
    for (const more of [
      { locked: [{ line: 1, byte: 2 }] },
      { volatile: [{ line: 1, byte: 2 }] },
      { options: [{ ...onOff, hazard: 'security' }] },
    ]) {
      const dump = dumpWith({ options: [onOff], ...more });
      assert.deepEqual(words(dump), [], JSON.stringify(more));
      assert.deepEqual(
        valuesOf(dump, optionOf(dump)).map((choice) => choice.words),
        ['off', 'on'],
      );
    }
    const flags = { id: 'o', line: 1, byte: 2, flags: { 0: 'left' } };
    assert.deepEqual(words(dumpWith({ options: [flags], locked: [{ line: 1, byte: 2 }] })), []);
  });
});
