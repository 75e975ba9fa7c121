import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { compareDumps } from '../../../shared-core/src/compare/compareDumps.js';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { readRows, textOfRows } from '../../../shared-core/src/format/rows.js';
import { planTrials, type Tried } from '../../../shared-core/src/jobs/trials/planTrials.js';
import { trialSheet } from '../../../shared-core/src/jobs/trials/trialSheet.js';
import { comparedDump } from '../../../shared-core/src/learn/findOption/comparedDump.js';
import { findOption } from '../../../shared-core/src/learn/findOption/findOption.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import { bind } from '../../../shared-core/src/model/dump.js';
import { wrongTotals } from '../../../shared-core/src/model/totalReading.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';
import { repairAll } from '../../../shared-core/src/repair/repairAll.js';
import { assertExpected } from '../../support/expected.js';
import { dumpIn } from '../learn/dumps.js';

const PROFILE = {
  format: 1,
  lines: { from: 1, to: 4, data: 4, sum: 1 },
  lineSum: { method: 'add', over: ['data'] },
  totals: [{ label: 'total', method: 'add', bits: 16, over: ['data'], keep: true }],
  balance: [{ line: 4, byte: 4 }],
};

/** A dump with all sums right; bytes are given by "line.byte". */
function car(given: Readonly<Record<string, number>>, more: object = {}) {
  const bytes: Readonly<Record<string, number>> = { '2.1': 0x22, ...given };
  const line = (label: number) =>
    [1, 2, 3, 4].map((byte) => (bytes[`${label}.${byte}`] ?? 0).toString(16).padStart(2, '0')).join(' ');
  const text = `${[1, 2, 3, 4].map((label) => `${label}: ${line(label)} | 00\n`).join('')}total: 00 A2\n`;
  const dump = dumpIn(text, { ...PROFILE, ...more });
  const repair = repairAll(dump, { totals: 'keep' });
  return repair.ok ? afterWrites(dump, repair.value.writes) : dump;
}

/** Eight cars: 1.1 bit 0 tells them apart, 2.2 bit 4 too but for one, and 3.3 bit 7 goes with 1.1. */
function search() {
  const dumps = Array.from({ length: 8 }, (_, i) => {
    const fitted = i < 4;
    const bytes = { '1.1': fitted ? 1 : 0, '2.2': fitted && i !== 0 ? 0x10 : 0, '3.3': fitted ? 0x80 : 0 };
    // Their file sums were rewritten, so that no byte balances.
    const rewritten = { totals: [{ ...PROFILE.totals[0], keep: false }] };
    return { name: `car ${i}`, dump: comparedDump(car(bytes, rewritten)), group: fitted ? 0 : 1 };
  });
  return findOption(dumps, ['with', 'without']);
}

const NAMES = { name: 'tow bar', words: ['fitted', 'not fitted'] };
const where = ({ place, to }: Tried) => `${place.line}.${place.byte}:${place.bits.low}=${to}`;

describe('trials', () => {
  it('are single places, the likeliest first; those that move together are one after the other', () => {
    const { trials } = planTrials(search(), car({}), NAMES);
    assert.deepEqual(
      trials.map(({ tried }) => where(tried)),
      ['1.1:0=1', '3.3:7=1', '2.2:4=1'],
    );
    for (const { chance, gain } of trials) assert.ok(chance > 0 && chance < 1 && gain > 0 && gain < 1);
  });

  it('keep all sums right, and change nothing but the place, the balance and sums', () => {
    const dump = car({});
    const { trials } = planTrials(search(), dump, NAMES);
    assert.ok(trials.length > 0);
    for (const { after, tried } of trials) {
      assert.deepEqual([after.wrongSums, wrongTotals(after)], [[], []]);
      const reasons = compareDumps(dump, after).lines.flatMap(({ label, bytes }) =>
        bytes.map(({ byte, reason }) => `${label}.${byte} ${reason}`),
      );
      const { line, byte } = tried.place;
      assert.deepEqual(
        reasons.filter((one) => !/ (?:line-sum|balance)$/.test(one)).map((one) => one.split(' ')[0]),
        [`${line}.${byte}`],
      );
    }
  });

  it('are none on a dump of which not all sums can be told', () => {
    const sound = car({});
    const { trials, leftOut } = planTrials(
      search(),
      dumpIn(`${textOfRows(sound.rows)}1: 00 00 00 00 | 00\n`, PROFILE),
      NAMES,
    );
    assert.deepEqual(trials, []);
    assert.ok(leftOut.some(({ why }) => /correct this first: Not whole: line 1 is in it twice/.test(say(why))));
  });

  it('near what is dangerous come last and say why; what is locked, or dangerous itself, is left out', () => {
    const more = {
      locked: [{ line: 3, byte: 3, why: 'identity' }],
      options: [
        { id: 'brake', title: 'Brake assist', line: 1, byte: 1, bits: '7', values: { '0': 'no' }, hazard: 'braking' },
      ],
    };
    const { trials, leftOut } = planTrials(search(), car({}, more), NAMES);
    assert.deepEqual(
      trials.map(({ tried }) => where(tried)),
      ['2.2:4=1', '1.1:0=1'],
    );
    assert.deepEqual(trials[0]?.cautions, []);
    assert.match(
      trials[1]?.cautions.map((one) => say(one)).join() ?? '',
      /Other bits of the same byte are "Brake assist"/,
    );
    assert.deepEqual(
      leftOut.map(({ tried, why }) => `${where(tried)} ${say(why)}`),
      ['3.3:7=1 its byte is locked (identity)'],
    );
    const itself = { options: [{ ...more.options[0], bits: '0' }] };
    const other = planTrials(search(), car({}, itself), NAMES);
    assert.match(other.leftOut.map(({ why }) => say(why)).join(), /this is "Brake assist", which affects the brakes/);
  });

  it('say where the profile takes the place for an option that is a guess', () => {
    const options = [
      { id: 'x', title: 'Wiper', line: 1, byte: 1, bits: '0', values: { '0': 'no', '1': 'yes' }, confidence: 'guess' },
    ];
    const { trials } = planTrials(search(), car({}, { options }), NAMES);
    const said = trials.flatMap(({ tried, cautions }) => cautions.map((one) => `${where(tried)} ${say(one)}`));
    assert.deepEqual(said, ['1.1:0=1 What the profile says of Wiper is unconfirmed (guess).']);
  });

  it('are left out where the dump holds the value already, and where nothing can balance it', () => {
    const { trials, leftOut } = planTrials(search(), car({ '1.1': 1 }), NAMES);
    assert.ok(!trials.some(({ tried }) => where(tried) === '1.1:0=1'));
    assert.ok(leftOut.some(({ why }) => say(why) === 'this dump holds that value already'));
    const unbalanced = planTrials(search(), car({ '4.4': 0x80 }, { balance: [] }), NAMES);
    assert.deepEqual(unbalanced.trials, []);
    assert.match(unbalanced.leftOut.map(({ why }) => say(why)).join(), /names no "balance" place/);
  });

  it('are not made on a dump with wrong sums', () => {
    const { trials, leftOut } = planTrials(search(), car({}, { balance: [] }), NAMES);
    assert.deepEqual(trials, []);
    assert.ok(leftOut.every(({ why }) => /correct this first: The sum of line/.test(say(why))));
  });

  it('are none of a byte that balances the file sum, and of an option only where that is dangerous and shares its bits', () => {
    const options = (more: object) => [
      { id: 'x', title: 'X', line: 1, byte: 1, bits: '0', values: { '0': 'no' }, ...more },
    ];
    const leftOutOf = (more: object) =>
      planTrials(search(), car({}, more), NAMES).leftOut.map(({ tried, why }) => `${where(tried)} ${say(why)}`);
    assert.deepEqual(
      leftOutOf({
        balance: [
          { line: 4, byte: 4 },
          { line: 3, byte: 3 },
        ],
      }),
      ['3.3:7=1 the profile uses this byte to balance the file sum'],
    );
    assert.deepEqual(leftOutOf({ options: options({}) }), []);
    assert.deepEqual(leftOutOf({ options: options({ hazard: 'braking', byte: 2 }) }), []);
    assert.deepEqual(leftOutOf({ options: options({ hazard: 'braking', bits: '1' }) }), []);
    assert.equal(leftOutOf({ options: options({ hazard: 'braking', bits: '1-0', values: { '0': 'no' } }) }).length, 1);
    assert.equal(
      leftOutOf({ options: options({ hazard: 'braking', bits: undefined, values: { '0': 'no' } }) }).length,
      1,
    );
  });

  it('say what lies in the same line that a slip could hit', () => {
    const hazard = { id: 'x', title: 'X', line: 2, byte: 4, bits: '0', values: { '0': 'no' }, hazard: 'braking' };
    const more = {
      locked: [
        { line: 1, byte: 3, why: 'identity' },
        { line: 4, byte: 1, why: 'far' },
      ],
      options: [hazard],
    };
    const { trials } = planTrials(search(), car({}, more), NAMES);
    assert.deepEqual(
      trials.map(({ tried, cautions }) => [
        where(tried),
        cautions.map((said) => say(said).replace(/ "X"\..*/, ' "X"')),
      ]),
      [
        ['3.3:7=1', []],
        ['1.1:0=1', ['The same line holds locked bytes (identity). They must stay as they are.']],
        ['2.2:4=1', ['The same line holds "X"']],
      ],
    );
  });

  it('have the chance that is left once those before them have shown nothing, and tell what such a trial can', () => {
    const [first, second] = planTrials(search(), car({}), NAMES).trials;
    assert.ok(first && second);
    // Both move together, so that each has half of what they have; one of fifty trials shows the wrong thing.
    const left = 1 - first.chance * 0.98;
    assert.ok(Math.abs(second.chance - first.chance / left) < 1e-9, `${first.chance} ${second.chance}`);
    const entropy = (p: number) => -p * Math.log2(p) - (1 - p) * Math.log2(1 - p);
    for (const { chance, gain } of [first, second])
      assert.ok(Math.abs(gain - (entropy(0.98 * chance + 0.02 * (1 - chance)) - entropy(0.02))) < 1e-9);
  });

  it('may be made on a sealed backup, and on a dump of which nobody has confirmed that the profile is for it', () => {
    const text = textOfRows(car({}).rows);
    const sealed = dumpIn(`@seal sha256:${'0'.repeat(64)}\n${text}`, PROFILE);
    const sheet = (dump: typeof sealed) =>
      trialSheet(planTrials(search(), dump, NAMES), { name: 'tow bar', file: 'car' }, say);
    assert.equal(planTrials(search(), sealed, NAMES).trials.length, 3);
    assert.doesNotMatch(sheet(sealed), /no backup/);
    assert.doesNotMatch(sheet(dumpIn(`@backup found\n${text}`, PROFILE)), /no backup/);
    const bare = dumpIn(text, { ...PROFILE, appliesTo: { part: ['RB-*'] } });
    assert.equal(planTrials(search(), bare, NAMES).trials.length, 3);
    assert.match(sheet(bare), /This dump has no backup/);
  });

  it('of a memory image are called by their addresses, those that are left out too', () => {
    const image = (byte: number, more: object = {}) =>
      bind(
        readRows(`:04000000${byte === 0 ? '00000000FC' : '01000000FB'}\n:00000001FF\n`, intelHex),
        intelHex,
        readProfile(JSON.stringify({ format: 1, addresses: { from: 0, to: 3 }, ...more })).profile,
      );
    const dumps = Array.from({ length: 8 }, (_, i) => ({
      name: `${i}`,
      dump: comparedDump(image(i < 4 ? 1 : 0)),
      group: i < 4 ? 0 : 1,
    }));
    const found = findOption(dumps, ['with', 'without']);
    const sheet = (more: object) =>
      trialSheet(planTrials(found, image(0, more), NAMES), { name: 'tow bar', file: 'a.hex' }, say);
    assert.match(sheet({}), /^## Trial 1: address 0000, bit 0 from 0 to 1$/m);
    assert.match(sheet({ locked: [{ address: 0, why: 'x' }] }), /^- address 0000, bit 0: its byte is locked \(x\)$/m);
  });

  it('are a sheet as it is held here, with the car that the dump names', () => {
    const head = '@vehicle no. 1\n@vin V\n@part P\n@software S\n';
    const profile = {
      ...PROFILE,
      locked: [
        { line: 2, byte: 4, why: 'identity' },
        { line: 3, byte: 3, why: 'key' },
      ],
    };
    const dump = dumpIn(head + textOfRows(car({}).rows), profile);
    assertExpected(
      'trials/sheet.md',
      trialSheet(planTrials(search(), dump, NAMES), { name: 'tow bar', file: 'car' }, say),
    );
  });

  /** Cars that a byte marks in each of some places; `fitted` and `bare` are what it holds. */
  function marked(places: Readonly<Record<string, readonly [fitted: number, bare: number]>>) {
    const dumps = Array.from({ length: 8 }, (_, i) => {
      const fitted = i < 4;
      const bytes = Object.fromEntries(Object.entries(places).map(([at, [one, other]]) => [at, fitted ? one : other]));
      return {
        name: `car ${i}`,
        dump: comparedDump(car(bytes, { totals: [{ ...PROFILE.totals[0], keep: false }] })),
        group: fitted ? 0 : 1,
      };
    });
    return findOption(dumps, ['with', 'without']);
  }

  it('are no more than eight, as nobody works through more', () => {
    const places = ['1.1', '1.2', '1.3', '1.4', '2.2', '2.3', '2.4', '3.1', '3.2'];
    const found = marked(Object.fromEntries(places.map((at) => [at, [1, 0] as const])));
    assert.equal(planTrials(found, car({}), NAMES).trials.length, 8);
    const fewer = marked(Object.fromEntries(places.slice(1).map((at) => [at, [1, 0] as const])));
    assert.equal(planTrials(fewer, car({}), NAMES).trials.length, 8);
  });

  it('set each of the places that move together to what it holds itself in cars with the equipment', () => {
    const found = marked({ '1.1': [1, 0], '3.3': [0, 0x80] });
    const { trials, leftOut } = planTrials(found, car({ '3.3': 0x80 }), NAMES);
    const all = [...trials, ...leftOut].map(({ tried }) => tried);
    assert.deepEqual(all.map(where).sort(), ['1.1:0=1', '3.3:7=0']);
    for (const { from, to } of all) assert.equal(from, 1 - to);
    assert.ok(trials.length > 0);
    assert.deepEqual(
      planTrials(found, car({}), NAMES).trials.map(({ tried }) => where(tried)),
      ['1.1:0=1'],
    );
  });

  it('set a place to what cars with the equipment hold, whatever a dump in no group holds', () => {
    const held = (option: number, moved: number, group: number | undefined) => ({
      name: `car ${option} ${moved}`,
      dump: comparedDump(car({ '1.1': option, '3.3': moved })),
      group,
    });
    // It holds the one place as cars with the equipment do, and the other as those without.
    const dumps = [held(1, 0, undefined), held(1, 3, 0), held(1, 3, 0), held(0, 0, 1), held(0, 0, 1)];
    const { trials } = planTrials(findOption(dumps, ['with', 'without']), car({}), NAMES);
    assert.deepEqual(
      trials.map(({ tried }) => where(tried)),
      ['1.1:0=1', '3.3:0=3'],
    );
  });

  it('there are none where nothing was found', () => {
    const alike = findOption([], ['with', 'without']);
    const plan = planTrials(alike, car({}), NAMES);
    assert.deepEqual(plan, { isImage: false, trials: [], leftOut: [] });
    assert.match(trialSheet(plan, { name: 'tow bar', file: 'car' }, say), /There is nothing to try/);
  });

  it('make a sheet with the exact lines, and the old ones as the way back', () => {
    const dump = car({});
    const sheet = trialSheet(
      planTrials(search(), dump, NAMES),
      { name: 'tow bar', file: 'car.cfgdump' },
      say,
    ).replaceAll('\u00a0', ' ');
    assert.match(sheet, /^# Trials: tow bar\n/);
    assert.match(sheet, /## Trial 1: line 1, byte 1, bit 0 from 0 to 1/);
    assert.ok(sheet.includes('<code>0**0** 00 00 00 │ 0**0**</code> | <code>0**1** 00 00 00 │ 0**1**</code>'));
    assert.ok(sheet.includes('| ☐ | **1** | <code>00 00 00 00 │ 00</code> |'));
    assert.match(sheet, /The way back:/);
    assert.match(sheet, /no backup/);
  });
});
