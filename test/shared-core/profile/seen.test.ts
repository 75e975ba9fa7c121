// Where an option was seen: how sure it is follows from that where the profile does not say, and what a profile says
// otherwise is told and blocks nothing.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { changeProfile } from '../../../shared-core/src/learn/changeProfile.js';
import { mergeProfiles, readProfile } from '../../../shared-core/src/profile/index.js';
import { editedProfile } from '../../../shared-core/src/profile/profileText.js';
import { evidenceProblems } from '../../../shared-core/src/workspace/jsonProblems.js';
import { LINES } from '../../support/smallDumps.js';

const FOG = LINES.options[0];
const TRIED = { part: 'RB-1', software: '03', date: '2024-02-29', how: 'set-and-tried', by: 'Ada' };
const text = (fog: object) => JSON.stringify({ format: 1, ...LINES, options: [{ ...FOG, ...fog }] }, null, 2);
const read = (fog: object) => readProfile(text(fog));
const sure = (...seen: readonly object[]) => read({ seen }).profile.options[0]?.confidence;
const ELSEWHERE = { ...TRIED, date: '2024-03-01', vehicle: '4D' };

describe('where an option was seen', () => {
  it('says how sure it is: two that set and tried it, in different vehicles or by different people, confirm it', () => {
    assert.equal(sure(), undefined);
    assert.equal(sure({ how: 'told' }, { how: 'found-by-search' }), 'guess');
    assert.equal(sure(TRIED), 'likely');
    assert.equal(sure(TRIED, { ...TRIED, by: 'Ben' }), 'confirmed');
    assert.equal(sure({ ...TRIED, vehicle: '3f' }, ELSEWHERE), 'confirmed');
  });

  it('does not count another day as another trial: of one vehicle, or of one that nobody knows', () => {
    assert.equal(sure(TRIED, { ...TRIED, date: '2024-03-01' }), 'likely');
    assert.equal(sure(TRIED, ELSEWHERE), 'likely');
    assert.equal(sure({ ...TRIED, vehicle: '4d' }, ELSEWHERE), 'likely');
    assert.equal(sure({ ...TRIED, vehicle: '4d' }, { ...ELSEWHERE, by: 'Ben' }), 'confirmed');
  });

  it('takes one name in two spellings for one person', () => {
    for (const [one, other] of [
      ['Zo\u00eb', 'Zoe\u0308'],
      ['Ada', 'A\u200bda'],
      ['Ada', '\u2060ADA\ufe0f'],
      ['Ada L', 'Ada\u00a0L'],
      ['Ada L', 'AdaL'],
      ['Groß', 'GROSS'],
      ['Ada', '\uff21da'],
    ])
      assert.equal(sure({ ...TRIED, by: one }, { ...TRIED, by: other }), 'likely', JSON.stringify(other));
  });

  it('counts no module that the profile is not for, and no day to come, and says so there', () => {
    const appliesTo = { part: ['RB-*'], software: ['03*'] };
    const now = Date.now();
    const dayAfter = (days: number) => new Date(now + days * 86_400_000).toISOString().slice(0, 10);
    for (const [more, sure, words] of [
      [{ part: 'ZZ-1' }, 'likely', /does not count.*"ZZ-1"/],
      [{ software: '0412' }, 'likely', /does not count.*"0412"/],
      [{ date: '2999-01-01' }, 'likely', /does not count.*future/],
      [{ date: dayAfter(3) }, 'likely', /does not count.*future/],
      [{ date: dayAfter(0) }, 'confirmed', undefined],
      [{ part: 'rb - 1', software: '0311' }, 'confirmed', undefined],
      [{ part: undefined, software: undefined }, 'confirmed', undefined],
      [{ by: 'a d a' }, 'likely', /counts once/],
      [{ part: 'ZZ-1', how: 'told' }, 'likely', undefined],
    ] as const) {
      const options = [{ ...FOG, seen: [TRIED, { ...TRIED, by: 'Ben', ...more }] }];
      const source = JSON.stringify({ format: 1, ...LINES, appliesTo, options });
      const { profile, problems } = readProfile(source);
      assert.deepEqual(problems, []);
      assert.equal(profile.options[0]?.confidence, sure, JSON.stringify(more));
      const [said, ...others] = evidenceProblems(profile);
      assert.deepEqual(others, []);
      if (words === undefined) assert.equal(said, undefined, JSON.stringify(more));
      else {
        assert.ok(said, JSON.stringify(more));
        assert.match(say(said.message), words);
        assert.equal(said.code, 'option-evidence');
        assert.deepEqual(JSON.parse(source.slice(said.span.start, said.span.end)), options[0]?.seen[1]);
      }
    }
  });

  it('counts what may be the same once', () => {
    assert.equal(sure(TRIED, TRIED), 'likely');
    assert.equal(sure(TRIED, { ...TRIED, by: ' ada ' }), 'likely');
    assert.equal(sure(TRIED, { how: 'set-and-tried' }), 'likely');
    assert.equal(sure(TRIED, { ...TRIED, date: '2024-03-01', how: 'told' }), 'likely');
  });

  it('does not stand over what the profile says, which is told where it is otherwise', () => {
    for (const [confidence, seen, words] of [
      ['confirmed', [TRIED], /says "confirmed".*"likely"/],
      ['guess', [TRIED, { ...TRIED, by: 'Ben' }], /says "guess".*"confirmed"/],
      ['likely', [{ how: 'found-by-search' }], undefined],
      ['likely', [TRIED], undefined],
      ['confirmed', [], undefined],
    ] as const) {
      const { profile, problems } = read({ confidence, seen });
      assert.deepEqual(problems, []);
      assert.equal(profile.options[0]?.confidence, confidence);
      const [said] = evidenceProblems(profile);
      if (words === undefined) assert.equal(said, undefined);
      else {
        assert.ok(said);
        assert.match(say(said.message), words);
        assert.equal(text({ confidence, seen }).slice(said.span.start, said.span.end), `"${confidence}"`);
      }
    }
  });

  it('what is wrong with it makes the profile one for reading only', () => {
    for (const [seen, words] of [
      [{}, /A list/],
      [['told'], /An object/],
      [[{}], /"how" is missing/],
      [[{ how: 'tried' }], /One of/],
      [[{ how: 'told', when: '2024-01-01' }], /Unknown key "when"/],
      [[{ how: 'told', date: '2023-02-29' }], /A day is wanted/],
      [[{ how: 'told', date: '29.02.2024' }], /A day is wanted/],
      [[{ how: 'told', by: ' ' }], /text is empty/],
      [[{ how: 'told', vehicle: '0DEM0T4X0TA020417' }], /Two hex digits/],
      [[{ how: 'told', part: 1 }], /A text in quotes/],
    ] as const) {
      const { problems, profile } = read({ seen });
      const [problem, ...others] = problems;
      assert.ok(problem !== undefined && others.length === 0, JSON.stringify(seen));
      assert.match(say(problem.message), words);
      assert.notEqual(profile.flaw, undefined);
    }
  });

  const noted = (profile: string, observation: object) => {
    const { profile: before } = readProfile(text({ seen: [{ how: 'told', ...observation }] }));
    const [one] = before.options[0]?.seen?.observations ?? [];
    assert.ok(one);
    return changeProfile(profile, { kind: 'seen', seen: [{ id: 'fog', observation: one }] });
  };

  it('is added once, with all else as it is', () => {
    const before = text({});
    const first = noted(before, TRIED);
    assert.ok(first.ok);
    const once = editedProfile(before, first.value);
    assert.deepEqual(JSON.parse(once).options[0].seen, [TRIED]);
    for (const again of [TRIED, { ...TRIED, by: 'Ben' }, { ...TRIED, date: undefined }])
      assert.equal(noted(once, again).ok, false);
    const second = noted(once, { ...TRIED, date: '2024-03-01' });
    assert.ok(second.ok);
    const twice = editedProfile(once, second.value);
    assert.deepEqual(JSON.parse(twice).options[0].seen, [TRIED, { ...TRIED, date: '2024-03-01' }]);
    assert.equal(readProfile(twice).profile.options[0]?.confidence, 'likely');
    // One day is long enough for two vehicles.
    const third = noted(text({ seen: [{ ...TRIED, vehicle: '3F' }] }), { ...TRIED, vehicle: '4D' });
    assert.ok(third.ok);
    assert.equal(noted(text({ seen: [{ ...TRIED, vehicle: '4D' }] }), { ...TRIED, vehicle: '4d' }).ok, false);
  });

  it('makes an option as sure as it was tried, and never less sure', () => {
    const sure = (confidence: string, ...days: readonly string[]) =>
      days.reduce((profile, date, at) => {
        const edits = noted(profile, { ...TRIED, date, vehicle: `0${at}` });
        assert.ok(edits.ok);
        return editedProfile(profile, edits.value);
      }, text({ confidence }));
    const said = (profile: string) => JSON.parse(profile).options[0].confidence;
    assert.equal(said(sure('guess', '2024-03-01')), 'likely');
    assert.equal(said(sure('likely', '2024-03-01')), 'likely');
    assert.equal(said(sure('guess', '2024-03-01', '2024-03-02')), 'confirmed');
    assert.equal(said(sure('confirmed', '2024-03-01')), 'confirmed');
    // What the profile is not for makes nothing surer.
    const narrow = JSON.stringify({ ...JSON.parse(text({ confidence: 'guess' })), appliesTo: { part: ['AA'] } });
    const edits = noted(narrow, TRIED);
    assert.ok(edits.ok);
    assert.equal(said(editedProfile(narrow, edits.value)), 'guess');
  });

  it('is not added to a profile with a problem', () => {
    const wrong = text({}).replace('"title"', '"titel"');
    assert.notEqual(wrong, text({}));
    assert.equal(noted(wrong, TRIED).ok, false);
    assert.equal(noted(text({ seen: {} }), TRIED).ok, false);
  });

  it('of two people is merged, and what both list counts once', () => {
    const other = { ...TRIED, by: 'Ben' };
    const told = { how: 'told' };
    const merge = (mine: object, theirs: object, base: object) =>
      mergeProfiles({
        mine: { name: 'mine', text: text(mine) },
        theirs: { name: 'theirs', text: text(theirs) },
        base: { name: 'base', text: text(base) },
      });
    const seenIn = (merged: ReturnType<typeof merge>) => {
      assert.ok(merged.ok && merged.value.text !== undefined, JSON.stringify(merged));
      return JSON.parse(merged.value.text).options[0].seen;
    };
    const both = merge({ seen: [told, TRIED] }, { seen: [told, other, TRIED] }, { seen: [told] });
    assert.deepEqual(seenIn(both), [told, TRIED, other]);
    assert.deepEqual(seenIn(merge({ seen: [TRIED] }, { seen: [other] }, {})), [TRIED, other]);
    assert.deepEqual(seenIn(merge({ seen: [TRIED] }, { seen: [told, TRIED, other] }, { seen: [told, TRIED] })), [
      TRIED,
      other,
    ]);
    // Whether a list that one has taken out is to come back is for a person to say.
    const out = merge({}, { seen: [told, TRIED] }, { seen: [told] });
    assert.ok(out.ok && out.value.conflicts.length === 1);
  });
});
