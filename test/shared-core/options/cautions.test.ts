import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { changedOptions } from '../../../shared-core/src/model/optionReading.js';
import { cautionAhead, cautionsInShort, cautionsOfChange } from '../../../shared-core/src/options/cautions.js';
import { shortCaution } from '../../../shared-core/src/options/hazard.js';
import { caution } from '../../../shared-core/src/options/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { dumpOf } from '../../support/demo.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const { profile } = readProfile(
  JSON.stringify({
    format: 1,
    lines: { from: 1, to: 1, data: 3, sum: 0 },
    options: [
      { id: 'b', title: 'Brake assist', line: 1, byte: 1, number: {}, hazard: ['braking', 'steering'] },
      { id: 'c', title: 'Colour', line: 1, byte: 2, number: {} },
      { id: 'l', title: 'Lamp', line: 1, byte: 3, bits: '0', values: { 0: 'no', 1: 'yes' }, hazard: 'lighting' },
    ],
  }),
);

describe('what a person must know before a change', () => {
  const dump = dumpOf('1: 01 02 03\n', profile);
  const changed = (byte: number, value: number) => afterWrites(dump, [{ row: 0, byte, value, reason: 'option' }]);

  it('is the caution of each option that changes and can hurt people', () => {
    const says = (byte: number, value: number) => cautionsOfChange(dump, changed(byte, value)).map((one) => say(one));
    assert.deepEqual(
      says(0, 9).map((text) => text.slice(0, 49)),
      ['Brake assist: ⚠ Affects the brakes, the steering.'],
    );
    assert.deepEqual(says(1, 9), [], 'no hazard');
    assert.deepEqual(says(2, 1), [], 'bits beside the option');
    assert.match(says(2, 2).join(), /^Lamp: ⚠ Affects the lighting\./);
  });

  it('is that the sums of lines are only a guess, wherever a line changes', () => {
    const text = '1: 01 02 | 03\n2: 04 05 | 09\n';
    const says = (confidence: object, ...changes: readonly number[]) => {
      const lineSum = { method: 'add', over: ['data'], ...confidence };
      const lines = { from: 1, to: 2, data: 2, sum: 1 };
      const before = dumpOf(text, readProfile(JSON.stringify({ format: 1, lines, lineSum })).profile);
      const after = afterWrites(
        before,
        changes.map((value) => ({ row: 0, byte: 2, value, reason: 'line-sum' })),
      );
      const ahead = cautionAhead(before, []);
      return [cautionsOfChange(before, after).length, cautionsInShort(before, after, []), ahead].map((one) =>
        typeof one === 'object' ? say(one) : one,
      );
    };
    const short = '⚠ line sums: only a guess';
    assert.deepEqual(says({ confidence: 'guess' }, 7), [1, short, short]);
    assert.deepEqual(says({ confidence: 'guess' }), [0, undefined, short]);
    assert.deepEqual(says({ confidence: 'likely' }, 7), [0, undefined, undefined]);
    assert.deepEqual(says({}, 7), [0, undefined, undefined]);
  });

  it('is that a file sum is only a guess, where it is written over or bytes are written to keep it', () => {
    const text = '1: 01 02 03\n2: 00 06\n';
    const guessed = (more: object) =>
      dumpOf(
        text,
        readProfile(
          JSON.stringify({
            format: 1,
            lines: [{ from: 1, to: 1, data: 3, sum: 0 }],
            totals: [{ name: 'file sum', label: 2, method: 'add', bits: 16, over: ['data'], ...more }],
          }),
        ).profile,
      );
    const says = (more: object, ...writes: readonly (readonly [row: number, byte: number, value: number])[]) => {
      const before = guessed(more);
      const after = afterWrites(
        before,
        writes.map(([row, byte, value]) => ({ row, byte, value, reason: 'option' as const })),
      );
      const [short] = [cautionsInShort(before, after, [])];
      return [...cautionsOfChange(before, after), ...(short === undefined ? [] : [short])].map((one) => say(one));
    };
    const sum = [1, 1, 7] as const;
    assert.deepEqual(says({ confidence: 'guess' }, [0, 0, 2], sum), [
      'That the file sum is a sum of these bytes is a guess, and it is written over. If it is none, data are lost. Compare with a second dump first.',
      '⚠ file sum: only a guess',
    ]);
    assert.match(
      says({ confidence: 'guess', keep: true }, [0, 0, 2], [0, 1, 1]).join(),
      /bytes are written to keep it/,
    );
    assert.match(
      says({ confidence: 'guess' }, [0, 0, 2], [0, 1, 1]).join(),
      /bytes are written to keep it/,
      'also where the profile would have it written over, and a line was to balance',
    );
    assert.match(
      says({ confidence: 'guess', keep: true }, [0, 0, 2], sum).join(),
      /it is written over/,
      'also where the profile would have it kept',
    );
    assert.deepEqual(says({ confidence: 'guess' }), [], 'nothing is written');
    assert.deepEqual(says({ confidence: 'likely' }, [0, 0, 2], sum), [], 'no guess');
    assert.deepEqual(says({}, [0, 0, 2], sum), [], 'not said');
  });

  it('is that bytes of a line may be damaged, where its sum was wrong and its backup does not tell which may differ', () => {
    const own = profileOf({
      lines: { from: 1, to: 2, data: 4, sum: 1 },
      lineSum: { method: 'add', over: ['data'] },
      options: [{ id: 'fog', title: 'Fog lamps', line: 1, byte: 1, number: {} }],
      balance: [{ line: 1, byte: 2 }],
      totals: [{ name: 'check byte', line: 1, byte: 3, method: 'xor', bits: 8, over: ['data'] }],
    });
    const read = (line: string, other = '2: 00 00 00 00 | 00') => lines(own, `${line}\n${other}\n`);
    const backup = read('1: 01 02 03 04 | 0A');
    const says = (line: string, told: Dump | undefined, other?: string) => {
      const before = read(line, other);
      const writes = [0, 1].map((row) => ({ row, byte: 4, value: 0x77, reason: 'line-sum' as const }));
      return cautionsOfChange(before, afterWrites(before, writes), { writes, backup: told }).map((one) => say(one));
    };
    // A sum that was right, or one of a line into which nothing is written, is no sign of damage.
    assert.deepEqual(says('1: 01 02 03 04 | 0A', undefined), []);
    for (const meant of ['1: 99 02 03 04 | 00', '1: 01 99 03 04 | 00', '1: 01 02 99 04 | 00', '1: 01 02 03 04 | 00']) {
      assert.deepEqual(says(meant, backup), [], meant);
      assert.match(says(meant, undefined).join(), /^The sum of line 1 was wrong before: its bytes may be damaged\./);
    }
    const damaged = '1: 01 02 03 99 | 00';
    assert.match(says(damaged, backup).join(), /^The sum of line 1 was wrong before/);
    const meant = '1: 99 02 03 04 | 00';
    // A backup that is damaged there itself, has another line, or has none of this label, explains nothing.
    for (const useless of ['1: 01 02 03 04 | 0B', '1: 01 02 03 | 06', '3: 01 02 03 04 | 0A'])
      assert.match(says(meant, read(useless)).join(), /^The sum of line 1 was wrong before/, useless);
    assert.match(
      says(damaged, undefined, '2: 00 00 00 00 | 01').join(),
      /^The sums of 2 lines, the first of them line 1, were wrong before/,
    );
  });

  it('names the options that hold other bits', () => {
    assert.deepEqual(
      [changed(0, 9), changed(1, 9), changed(2, 1), dump].map((after) =>
        changedOptions(dump, after).map(({ id }) => id),
      ),
      [['b'], ['c'], [], []],
    );
  });

  it('is in short what the changed options touch, each once, and which options change with no one asking for it', () => {
    const [brakes, colour] = profile.options;
    assert.ok(brakes && colour);
    const short = (after: typeof dump, also: readonly (typeof colour)[] = []) => {
      const said = cautionsInShort(dump, after, also);
      return said && say(said);
    };
    assert.equal(short(dump), undefined);
    assert.equal(short(changed(1, 9)), undefined);
    assert.equal(short(changed(0, 9)), '⚠ affects the brakes, the steering');
    assert.equal(short(changed(1, 9), [colour]), '⚠ also changes Colour');
    assert.equal(short(changed(2, 2), [colour, brakes]), '⚠ affects the lighting ⚠ also changes Colour, Brake assist');
  });

  it('is nothing where there is no hazard, in long and in short', () => {
    assert.deepEqual([caution([]), shortCaution([])], [undefined, undefined]);
    const [long, short] = [caution(['braking']), shortCaution(['braking', 'emissions'])];
    assert.match(long ? say(long) : '', /^⚠ Affects the brakes\. A wrong setting can hurt people/);
    assert.equal(short && say(short), '⚠ affects the brakes, emissions');
  });
});
