import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { describe, it } from 'mocha';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { convert } from '../../shared-core/src/convert/index.js';
import { textAfter } from '../../shared-core/src/format/index.js';
import { recognise } from '../../shared-core/src/format/notationOf.js';
import { changeDump } from '../../shared-core/src/model/gate.js';
import { bindText } from '../../shared-core/src/model/index.js';
import { lastIndexUpTo } from '../../shared-core/src/model/layout.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { bytesAt } from '../support/images.js';
import { loaded } from '../support/loaded.js';
import { whyNotStarted } from '../support/programs.js';

const NONE = { kind: 'none' } as const;

function run(input: string | Uint8Array, command: string, ...args: string[]): Buffer {
  const { status, stdout, stderr, error } = spawnSync(command, args, { input });
  assert.equal(status, 0, whyNotStarted(command, error) ?? String(stderr));
  return stdout;
}

/** Bytes of all values, text, and stretches that repeat. */
const SAMPLES: readonly Uint8Array[] = [
  Uint8Array.from({ length: 300 }, (_, i) => (i * 37 + (i >> 3)) & 0xff),
  Buffer.from('a text | with > bars, 0: 41 42  ABCD  and blanks at its end      '),
  new Uint8Array(100),
  Uint8Array.from([...new Uint8Array(64).fill(0x41), 0x31, 2, 3, ...new Uint8Array(61), ...new Uint8Array(160)]),
  Uint8Array.of(7),
];

const LISTS: readonly (readonly string[])[] = [
  ['xxd', '-p'],
  ['xxd', '-i'],
  ['xxd', '-i', '-n', 'ee'],
];

const VIEWERS: readonly (readonly string[])[] = [
  ['xxd'],
  ['xxd', '-g1'],
  ['xxd', '-a'],
  ['xxd', '-u', '-c', '8'],
  ['xxd', '-c', '24', '-g', '4'],
  ['hexdump', '-C'],
  ['hexdump', '-C', '-v'],
  ['od', '-A', 'x', '-t', 'x1'],
  ['od', '-A', 'x', '-t', 'x1', '-v'],
  ['od', '-A', 'x', '-t', 'x1z'],
];

describe('viewers of bytes', () => {
  for (const [viewer = '', ...args] of VIEWERS) {
    it(`what "${[viewer, ...args].join(' ')}" prints is known and read as the bytes that it was given, "*" included`, () => {
      for (const bytes of SAMPLES) {
        const text = run(bytes, viewer, ...args).toString('latin1');
        const found = recognise('saved.txt', text);
        assert.ok(found.kind === 'form');
        assert.equal(found.form.id, 'hex-view', text);
        const dump = bindText('saved.txt', text, EMPTY_PROFILE);
        assert.deepEqual(bytesAt(dump), new Map(Array.from(bytes, (byte, i) => [i, byte])), text);
        assert.deepEqual(
          checkDump(loaded(dump, NONE, NONE)).map(({ code }) => code),
          [],
          text,
        );
      }
    });
  }

  it('that end in a length: cut off behind any of its lines a listing is never good', () => {
    for (const [viewer = '', ...args] of [VIEWERS[5], VIEWERS[7]].map((one) => one ?? [])) {
      for (const bytes of SAMPLES) {
        const lines = run(bytes, viewer, ...args)
          .toString('latin1')
          .split(/(?<=\n)/);
        for (let count = 1; count < lines.length; count++) {
          const dump = bindText('a.hexdump', lines.slice(0, count).join(''), EMPTY_PROFILE);
          assert.ok(
            checkDump(loaded(dump, NONE, NONE)).some(({ severity }) => severity === 'error'),
            lines[count],
          );
        }
      }
    }
  });

  for (const [viewer = '', ...args] of LISTS) {
    it(`what "${[viewer, ...args].join(' ')}" prints is read as a list of the bytes that it was given, and never where it is cut off`, () => {
      for (const bytes of SAMPLES) {
        const text = run(bytes, viewer, ...args).toString('latin1');
        const found = recognise('saved.txt', text);
        const isShort = bytes.length < 16 && !text.includes('0x');
        assert.deepEqual(
          found.kind === 'form' ? found.form.id : found.forms.map(({ id }) => id),
          isShort ? ['hex-list'] : 'hex-list',
        );
        const dump = bindText('saved.hexlist', text, EMPTY_PROFILE);
        assert.deepEqual(bytesAt(dump), new Map(Array.from(bytes, (byte, i) => [i, byte])), text);
        assert.deepEqual(checkDump(loaded(dump, NONE, NONE)), [], text);
        if (!text.includes('{')) continue;
        const lines = text.split(/(?<=\n)/);
        for (let count = 1; count < lines.length - 1; count++) {
          const part = bindText('saved.hexlist', lines.slice(0, count).join(''), EMPTY_PROFILE);
          assert.ok(
            checkDump(loaded(part, NONE, NONE)).some(({ severity }) => severity === 'error'),
            lines[count],
          );
        }
      }
    });
  }

  it('lists that may be decimal or words are asked for, and two arrays are not taken for one', () => {
    for (const text of ['10, 20, 30, 40\n', 'int a[] = {\n 10, 20, 30\n};\n', '3132 3334 3536\n', '10 20 30 40 50\n'])
      assert.equal(recognise('a.txt', text).kind, 'unclear', text);
    const two = 'char a[] = { 0x31 };\nchar b[] = { 0x32 };\n';
    const codes = checkDump(loaded(bindText('a.txt', two, EMPTY_PROFILE), NONE, NONE)).map(({ code }) => code);
    assert.deepEqual(codes, ['data-after-end', 'overlap']);
  });

  it('that print addresses in decimal or octal, or words in another order, are not read by mistake', () => {
    const [bytes = new Uint8Array(0)] = SAMPLES;
    for (const args of [
      ['xxd', '-d'],
      ['xxd', '-e'],
      ['xxd', '-b'],
      ['od', '-t', 'x1'],
      ['od'],
      ['od', '-A', 'd', '-t', 'x1'],
      ['hexdump'],
    ]) {
      const text = run(bytes, args[0] ?? '', ...args.slice(1)).toString('latin1');
      const found = recognise('saved.txt', text);
      assert.ok(found.kind === 'unclear' || found.form.id === 'dump-text', text);
      const dump = bindText('saved.txt', text, EMPTY_PROFILE);
      assert.ok(
        checkDump(loaded(dump, NONE, NONE)).some(({ severity }) => severity === 'error'),
        text,
      );
      // The same under a name that promises a hex view.
      const named = bindText('saved.xxd', text, EMPTY_PROFILE);
      assert.ok(
        checkDump(loaded(named, NONE, NONE)).some(({ severity }) => severity === 'error'),
        text,
      );
    }
  });

  it('are read by "xxd -r" after a conversion as the same bytes, and a conversion is what xxd -g1 prints', () => {
    for (const bytes of SAMPLES) {
      const text = `0x0: ${Buffer.from(bytes).toString('hex')}\n`;
      const converted = convert(bindText('a.cfgdump', text, EMPTY_PROFILE), 'hex-view');
      assert.ok(converted.ok);
      assert.deepEqual(new Uint8Array(run(converted.value.text, 'xxd', '-r')), Uint8Array.from(bytes));
      assert.equal(converted.value.text, run(bytes, 'xxd', '-g1').toString('latin1'));
    }
  });

  it('show a changed byte in its digits and its character, and what "*" leaves out cannot be changed', () => {
    const [, , , bytes = new Uint8Array(0)] = SAMPLES;
    for (const args of [
      ['xxd', '-a'],
      ['hexdump', '-C'],
      ['od', '-A', 'x', '-t', 'x1z'],
    ]) {
      const view = (of: Uint8Array) => run(of, args[0] ?? '', ...args.slice(1)).toString('latin1');
      const dump = bindText('saved.txt', view(bytes), EMPTY_PROFILE);
      const cellOf = (address: number) => {
        const at = lastIndexUpTo(dump.layout, address);
        return { row: dump.layout.order[at] as number, byte: address - (dump.layout.keys[at] as number) };
      };
      const write = (address: number) =>
        changeDump(dump, { writes: [{ ...cellOf(address), value: 0x7e, reason: 'option' }] });
      const changed = write(0x41);
      assert.ok(changed.ok);
      const expected = bytes.slice();
      expected[0x41] = 0x7e;
      assert.equal(textAfter(dump.rows, changed.value.edits), view(expected));
      for (const address of args[0] === 'xxd' ? [] : [0, 0x3f]) assert.equal(write(address).ok, false);
      for (const address of [bytes.length - 17, bytes.length - 33])
        assert.equal(write(address).ok, false, `${address}`);
    }
  });
});
