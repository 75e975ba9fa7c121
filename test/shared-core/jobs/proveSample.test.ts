// A profile held against a dump that was read from a module: what it says wrongly must be found before anybody relies on it.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { proveSample } from '../../../shared-core/src/jobs/library/proveSample.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const [FOG, KEY] = LINES.options;
const REAR = { id: 'rear', title: 'Rear', line: 3, byte: 1, bits: '3-0', values: { 0: 'no', 1: 'yes' } };
const proved = (json: object = {}, text = LINES_TEXT, expect: Readonly<Record<string, string>> = {}) => {
  const dump = lines(profileOf({ ...LINES, ...json }), text);
  const files = { file: 's', name: 's', profileFile: undefined, backupFile: undefined };
  const { faults, ...counts } = proveSample(
    { ...loaded(dump, SOUND), ...files },
    { dump: 's', expect: new Map(Object.entries(expect)) },
  );
  return { ...counts, faults: faults.map((said) => say(said)) };
};
const good = (options: number, values: number) => ({ options, values, faults: [] });

describe('a sample of a profile', () => {
  it('is held against what it is expected to hold', () => {
    assert.deepEqual(proved({}, LINES_TEXT, { fog: 'yes' }), good(1, 1));
    assert.deepEqual(proved({}, LINES_TEXT, { fog: 'no', key: 'off' }).faults, [
      'Fog lamps is expected to be no, and is yes.',
      'Immobiliser is expected to be off, and is on.',
    ]);
    assert.match(proved({}, LINES_TEXT, { fog: 'maybe' }).faults.join(), /maybe/);
  });

  it('that is damaged shows nothing of what can be set, and names five faults at most', () => {
    for (const [text, words] of [
      [LINES_TEXT.replace('| 11', '| 12'), /^line-sum: /],
      [LINES_TEXT.replace('02 27', '02 28'), /^total-sum: /],
      [LINES_TEXT.replace(/3: .*\n/, ''), /line 3|Line 3/],
      ['', /s/],
    ] as const) {
      const { faults, options, values } = proved({}, text);
      assert.match(faults[0] ?? '', words, text);
      assert.deepEqual([options, values], [0, 0]);
    }
    const torn = LINES_TEXT.replace(/ (..)$/gm, ' FF') + Array.from({ length: 9 }, (_, i) => `${i + 4}: 00\n`).join('');
    const { faults } = proved({}, torn);
    assert.equal(faults.filter((one) => /^[a-z-]+: /.test(one)).length, 5);
  });

  it('has each value of a list set and taken back, each flag turned over and the ends of each number; none of the security', () => {
    assert.deepEqual(proved({ options: [KEY] }), good(0, 0));
    assert.deepEqual(proved({ options: [FOG, REAR] }), good(2, 2));
    const three = { ...REAR, values: { 0: 'no', 1: 'yes', 2: 'both' } };
    assert.deepEqual(proved({ options: [three] }), good(1, 2));
    const flags = {
      id: 'doors',
      title: 'Doors',
      line: 3,
      byte: 1,
      bits: '2-0',
      flags: { 0: 'left', 1: 'right', 2: 'rear' },
    };
    assert.deepEqual(proved({ options: [flags] }), good(1, 3));
    const number = (more: object) => ({ id: 'n', title: 'N', line: 3, byte: 1, number: more });
    // It holds 0: only the other end is tried, and of two limits both.
    assert.deepEqual(proved({ options: [number({})] }), good(1, 1));
    const middle = LINES_TEXT.replace('00 00 00 | 00', '05 00 00 | 05').replace('02 27', '02 2C');
    assert.deepEqual(proved({ options: [number({})] }, middle), good(1, 2));
    assert.deepEqual(proved({ options: [number({ min: 2, max: 9 })] }, middle), good(1, 2));
  });

  it('has set with an option what that needs, as far as it is not there and is of the same dump', () => {
    const off = LINES_TEXT.replace('01 10 00 | 11', '00 10 00 | 10').replace('02 27', '02 26');
    const needing = (...needs: readonly object[]) => ({ options: [FOG, { ...REAR, needs }] });
    const fog = (...values: readonly number[]) => ({ option: 'fog', in: values });
    for (const text of [LINES_TEXT, off]) {
      assert.deepEqual(proved(needing(fog(1)), text), good(2, 2), text);
      assert.deepEqual(proved(needing(fog(0, 1)), text), good(2, 2), text);
      const other = { profile: 'other.dump-profile.json', option: 'fog', in: [7] };
      assert.deepEqual(proved(needing(other), text), good(2, 2), text);
    }
    assert.match(proved(needing(fog(7)), off).faults.join(), /^Rear cannot become yes: /);
    // What is needed may need something itself, in a circle too.
    const chain = {
      options: [
        { ...FOG, needs: [{ option: 'third', in: [1] }] },
        { ...REAR, needs: [fog(1)] },
        { ...REAR, id: 'third', title: 'Third', byte: 2, needs: [{ option: 'rear', in: [1] }] },
      ],
    };
    assert.deepEqual(proved(chain, off), good(3, 3));
  });

  it('may be set so that options exclude each other, which is no fault of the profile', () => {
    const options = [FOG, { ...REAR, needs: [{ option: 'fog', in: [0] }] }];
    const both = LINES_TEXT.replace('00 00 00 | 00', '01 00 00 | 01').replace('02 27', '02 28');
    const off = both.replace('01 10 00 | 11', '00 10 00 | 10').replace('02 28', '02 27');
    assert.deepEqual(proved({ options }, off).faults, []);
  });

  it('shows that nothing can balance, or that another option moves', () => {
    const kept = { totals: [{ ...LINES.totals[0], keep: true }] };
    assert.match(proved({ ...kept, balance: [] }).faults.join(), /^Fog lamps cannot become no: /);
    const moved = { ...REAR, title: 'At the balance place', byte: 3, number: {}, bits: undefined, values: undefined };
    const { faults } = proved({ ...kept, options: [FOG, moved] });
    assert.ok(
      faults.some((one) => /^Fog lamps cannot become no: .*At the balance place/.test(one)),
      faults.join('\n'),
    );
  });
});
