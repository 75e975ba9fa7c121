import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { checkDump, isGood, verdictOf } from '../../../shared-core/src/checks/index.js';
import type { OtherModule } from '../../../shared-core/src/checks/otherModules.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import type { Profile } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const GEOMETRY = { lines: { from: 1, to: 2, data: 1, sum: 1 }, lineSum: { method: 'add', over: ['data'] } };
const OTHER = 'q.dump-profile.json';
const YES_NO = { values: { 0: 'no', 1: 'yes' } };

/** A module whose lamp has a condition on the tow bar, of its own or of the module of another profile. */
const withCondition = (kind: 'needs' | 'excludes', condition: object): Profile =>
  profileOf({
    ...GEOMETRY,
    options: [
      { id: 'lamp', title: 'Lamp', line: 1, byte: 1, ...YES_NO, [kind]: [condition] },
      { id: 'tow', title: 'Tow bar', line: 2, byte: 1, ...YES_NO },
    ],
  });
const OWN = { option: 'tow', in: [1] };
const THEIRS = { profile: OTHER, ...OWN };

const OFF = '1: 00 00\n2: 00 00\n';
const ON = '1: 01 01\n2: 00 00\n';
const other = (text: string, profile = withCondition('needs', OWN)): OtherModule => ({
  file: 'b',
  name: 'b.cfgdump',
  dump: lines(profile, text),
});
const SET = other('1: 00 00\n2: 01 01\n');
const NOT_SET = other(OFF);
const TORN = other('1: 00 00\n2: xx 01\n');
const UNREAD: OtherModule = { dump: undefined, why: phrase('{0} cannot be read: {1}', 'c', '?') };
const IN_WORK = other('@backup old\n1: 00 00\n2: 01 01\n');

/** What setting the lamp to "yes" comes to: nothing where it may be, else why not and what could be accepted. */
function asked(profile: Profile, modules: readonly OtherModule[], text = OFF, despite: readonly string[] = []) {
  const subject = { ...loaded(lines(profile, text), SOUND), modules: () => modules };
  const result = setOptions(subject, [{ id: 'lamp', to: { raw: 1n } }], { despite, isTyped: true });
  return result.ok ? '' : `${say(result.why)} ${result.asks?.kind === 'despite' ? result.asks.options.join() : '-'}`;
}

function verdict(dump: Dump, modules: readonly OtherModule[]) {
  const all = { ...loaded(dump, SOUND), modules: () => modules };
  const problems = checkDump(all);
  const found = verdictOf(all, problems);
  const conditions = problems.filter(({ code }) => code === 'option-needs').length;
  return { good: isGood(found), conditions, unchecked: found.unchecked.map((said) => say(said)).join('\n') };
}

const SUMMED = profileOf({
  ...GEOMETRY,
  totals: [{ name: 'file sum', label: 'total', method: 'add', bits: 8, over: ['data'] }],
  options: [{ id: 'tow', title: 'Tow bar', line: 2, byte: 1, ...YES_NO }],
});
/** The other module with the tow bar at a value, which all that is asked of it would keep if it were sound. */
const summed = (tow: number, of: (text: string) => string) =>
  other(of(`@part A\n1: 00 00\n2: 0${tow} 0${tow}\ntotal: 0${tow}\n`), SUMMED);

const UNSOUND: readonly (readonly [what: string, of: (text: string) => string, why: RegExp])[] = [
  ['its line is there a second time', (text) => `${text}2: 05 05\n`, /was not read whole: line 2 is in it twice/],
  ['it ends in a byte that is no text', (text) => `${text}\0\0`, /was not read whole: row/],
  ['a header is given twice', (text) => `@part X\n${text}`, /was not read whole: "@part" is given twice/],
  [
    'the sum of its line is wrong',
    (text) => text.replace(/^(2: \d+).*/m, '$1 77'),
    /The sum of line 2 in b\.cfgdump is wrong/,
  ],
  [
    'the file sum over it is wrong',
    (text) => text.replace(/^total.*/m, 'total: 77'),
    /The file sum of b\.cfgdump is wrong/,
  ],
  [
    'the file sum over it is missing',
    (text) => text.replace(/^total.*/m, ''),
    /was not read whole: the file sum is missing/,
  ],
];

const UNSEEN: readonly (readonly [what: string, modules: readonly OtherModule[], why: RegExp])[] = [
  ['no dump of the other module is at hand', [], /no dump of that module of this vehicle is here/],
  ['its line in the other module cannot be read', [TORN], /Its line in b\.cfgdump is missing or cannot be read/],
  ['the other profile has no such option', [other(OFF, profileOf(GEOMETRY))], /has no option "tow"/],
  ['a file that may be the other module cannot be read', [UNREAD], /c cannot be read/],
  ['a file that cannot be read may be in work, where another was only read', [SET, UNREAD], /c cannot be read/],
];

describe('a condition of which nobody can tell whether it is kept', () => {
  for (const kind of ['needs', 'excludes'] as const) {
    const profile = withCondition(kind, THEIRS);
    for (const [what, modules, why] of UNSEEN) {
      it(`stops the option from being set and is no "all good" (${kind}): ${what}`, () => {
        // What is excluded would be there in a dump that can be read.
        const seen = kind === 'needs' ? modules : modules.map((one) => (one === SET ? NOT_SET : one));
        assert.match(asked(profile, seen), why);
        assert.match(asked(profile, seen), / tow$/);
        assert.match(asked(profile, seen), kind === 'needs' ? /needs|what it needs/ : /not go with|goes with what/);
        assert.equal(asked(profile, seen, OFF, ['tow']), '');
        const found = verdict(lines(profile, ON), seen);
        assert.deepEqual([found.good, found.conditions], [false, 0]);
        assert.notEqual(found.unchecked.replace(/^its profile.*\n?/gm, ''), '');
        assert.deepEqual(verdict(lines(profile, OFF), seen).unchecked.replace(/^its profile.*\n?/gm, ''), '');
      });
    }

    it(`stops the option from being set (${kind}): its own line cannot be read`, () => {
      const own = withCondition(kind, OWN);
      const torn = OFF.replace('2: 00', '2: xx');
      assert.match(asked(own, [], torn), /Its line is missing or cannot be read\. tow$/);
      assert.match(
        verdict(lines(own, ON.replace('2: 00', '2: xx')), []).unchecked,
        /Nobody can tell whether Lamp "yes"/,
      );
    });
  }

  for (const kind of ['needs', 'excludes'] as const) {
    const profile = withCondition(kind, THEIRS);
    const value = kind === 'needs' ? 1 : 0;
    for (const [what, of, why] of UNSOUND) {
      it(`stops the option from being set (${kind}): a dump of the other module shows it and cannot be relied on, since ${what}`, () => {
        assert.equal(asked(profile, [summed(value, (text) => text)]), '');
        assert.match(asked(profile, [summed(value, of)]), why);
        assert.equal(asked(profile, [summed(value, of)], OFF, ['tow']), '');
        const found = verdict(lines(profile, ON), [summed(value, of)]);
        assert.deepEqual([found.good, found.conditions], [false, 0]);
        assert.match(found.unchecked, why);
      });
    }
  }

  const needs = withCondition('needs', THEIRS);

  it('names both options and the module of which no dump is here, or the one in which it is broken', () => {
    const excludes = withCondition('excludes', THEIRS);
    assert.equal(
      asked(needs, []),
      'Lamp "yes" needs "tow" of q.dump-profile.json, and no dump of that module of this vehicle is here. Read it too. tow',
    );
    assert.equal(
      asked(excludes, []),
      'Lamp "yes" does not go with some values of "tow" of q.dump-profile.json, and no dump of that module of this vehicle is here. Read it too. tow',
    );
    assert.equal(asked(needs, [NOT_SET]), 'Lamp "yes" needs Tow bar at "yes" in b.cfgdump; it is "no" there. tow');
    assert.equal(
      asked(excludes, [SET]),
      'Lamp "yes" does not go with Tow bar at "yes" in b.cfgdump; it is "yes" there. tow',
    );
    const several = withCondition('needs', { ...THEIRS, in: [0, 1] });
    assert.equal(asked(several, [SET]) + asked(several, [NOT_SET]), '');
  });

  it('of the module itself names both options, and what they are', () => {
    const said = (kind: 'needs' | 'excludes', text: string) =>
      checkDump(loaded(lines(withCondition(kind, OWN), text), SOUND)).map(({ code, message }) => [code, say(message)]);
    assert.deepEqual(said('needs', ON), [['option-needs', 'Lamp "yes" needs Tow bar at "yes"; it is "no".']]);
    assert.deepEqual(said('excludes', ON.replace('2: 00 00', '2: 01 01')), [
      ['option-needs', 'Lamp "yes" does not go with Tow bar at "yes"; it is "yes".'],
    ]);
    assert.deepEqual([...said('excludes', ON), ...said('needs', OFF)], []);
  });

  it('hides none that is seen broken, and is hidden by none', () => {
    for (const modules of [
      [NOT_SET, TORN],
      [TORN, NOT_SET],
      [UNREAD, NOT_SET],
    ]) {
      assert.match(asked(needs, modules), /needs Tow bar at "yes" in b\.cfgdump; it is "no" there\. Nobody can tell/);
      const found = verdict(lines(needs, ON), modules);
      assert.deepEqual([found.good, found.conditions], [false, 1]);
      assert.match(found.unchecked, /Nobody can tell/);
    }
  });

  it('is kept where all dumps that may be the module agree; a dump in work is it before what was only read', () => {
    const taken = (one: string) => other(`@taken 2026-03-02T11:02:00Z\n${one}`);
    for (const modules of [[SET], [SET, SET], [IN_WORK, UNREAD], [IN_WORK, taken(OFF)], [taken(OFF), IN_WORK]])
      assert.equal(asked(needs, modules), '');
  });

  it('is unseen where dumps that may be the module disagree', () => {
    const alsoInWork = other(`@backup old\n${OFF}`);
    for (const modules of [
      [SET, NOT_SET],
      [NOT_SET, SET],
      [IN_WORK, NOT_SET],
      [alsoInWork, IN_WORK],
    ]) {
      assert.match(asked(needs, modules), /Nobody can tell.* are dumps of one module and disagree.* tow$/);
      const found = verdict(lines(needs, ON), modules);
      assert.deepEqual([found.good, found.conditions], [false, 0]);
      assert.match(found.unchecked, /disagree/);
    }
    assert.match(asked(needs, [SET, TORN]), /Nobody can tell/);
  });

  it('is accepted by the name of what it is about, and by no other', () => {
    assert.match(asked(needs, [NOT_SET], OFF, ['toww']), /needs Tow bar at .* tow$/);
    assert.match(
      asked(needs, [NOT_SET], OFF, ['tow', 'lamp', 'x']),
      /^No condition on lamp, x is unmet\. Leave it out: only tow has to be accepted\. -$/,
    );
    assert.match(asked(needs, [SET], OFF, ['tow']), /^No condition on tow is unmet, so there is nothing to accept/);
    assert.equal(asked(needs, [NOT_SET], OFF, ['tow']), '');
  });

  it('is no matter of a change that does not concern it', () => {
    const subject = { ...loaded(lines(needs, ON), SOUND), modules: () => [UNREAD] };
    assert.ok(setOptions(subject, [{ id: 'tow', to: { raw: 1n } }]).ok);
  });
});
