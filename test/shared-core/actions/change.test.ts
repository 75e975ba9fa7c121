import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { type Consent, changeOf, type Subject, whyNoChange } from '../../../shared-core/src/actions/change.js';
import type { Change } from '../../../shared-core/src/actions/index.js';
import { balancePlaces, fix, fixOnSave } from '../../../shared-core/src/actions/repair.js';
import { restore, takeLines } from '../../../shared-core/src/actions/restore.js';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { phrase, type Result, say } from '../../../shared-core/src/base/index.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { textAfter } from '../../../shared-core/src/format/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const why = (result: Result<Change>) => (result.ok ? '' : say(result.why));
const SAYS = phrase('done');
const SEAL = sealOf(lines(profileOf(LINES), LINES_TEXT));
const edit = (row: number, start: number, end: number, text: string) => ({ edits: [{ row, start, end, text }] });

describe('a change of a dump that nothing explains', () => {
  const gone = { kind: 'unreadable', why: phrase('gone') } as const;
  const none = { kind: 'none' } as const;
  const bare = lines(profileOf({}), LINES_TEXT);
  const header = edit(0, 0, 0, '@vin A\n');

  it('may be made to headers, and to no byte', () => {
    const byte = edit(0, 3, 5, 'A2');
    for (const [status, words] of [
      [gone, /^gone$/],
      [none, /^No profile explains this dump, so nothing can be changed in it/],
    ] as const) {
      assert.equal(why(changeOf(loaded(bare, status), header, SAYS, {})), '');
      assert.match(why(changeOf(loaded(bare, status), byte, SAYS, {})), words);
      const never = whyNoChange(loaded(bare, status), {});
      assert.match(never === undefined ? '' : say(never.why), words);
    }
    assert.equal(why(changeOf(loaded(bare, SOUND), byte, SAYS, {})), '');
  });

  it('may be made to the sums of records, which every image has', () => {
    const wrong = image(profileOf({}), IMAGE_RECORDS[0].replace(/..$/, '00'), END);
    assert.equal(whyNoChange(loaded(wrong, none), {}), undefined);
    const righted = fix(loaded(wrong, none), { totals: 'rewrite' });
    assert.equal(righted.ok && textAfter(wrong.rows, righted.value.edits), `${IMAGE_RECORDS[0]}\n${END}\n`);
    assert.match(why(fix(loaded(wrong, gone), { totals: 'rewrite' })), /^gone$/);
  });

  it('is not made to a sealed file, whatever it is', () => {
    const sealed = lines(profileOf(LINES), `@seal ${sealOf(bare)}\n${LINES_TEXT}`);
    const never = whyNoChange(loaded(sealed, SOUND), {});
    assert.match(never === undefined ? '' : say(never.why), /sealed backup and stays as it is/);
    assert.equal(whyNoChange(loaded(sealed, SOUND), { elsewhere: true }), undefined);
  });
});

describe('what is not to be written', () => {
  /** Sums are wrong, and a line is not as in the backup: every action has something to do. */
  const WRONG = LINES_TEXT.replace('02 27', '02 29').replace('00 00 00 | 00', '00 00 01 | 02');
  const backup = { kind: 'read', dump: lines(profileOf(LINES), `@seal ${SEAL}\n${LINES_TEXT}`) } as const;
  const ACTIONS: Readonly<Record<string, (subject: Subject, consent?: Consent) => Result<unknown>>> = {
    'an option': (subject, consent) => setOptions(subject, [{ id: 'fog', to: { raw: 0n } }], consent),
    'all sums': (subject, consent) => fix(subject, { totals: 'rewrite' }, consent),
    'sums on saving': (subject) => fixOnSave(subject),
    'a place to balance': (subject, consent) => finish(balancePlaces(subject, consent)),
    'lines of the backup': (subject, consent) => restore(subject, undefined, consent),
    'lines of another dump': (subject, consent) =>
      takeLines(subject, lines(profileOf(LINES), LINES_TEXT), undefined, consent),
  };
  const refused = (action: keyof typeof ACTIONS, json: object, head: string, consent?: Consent) => {
    const dump = lines(readProfile(JSON.stringify({ format: 1, ...LINES, ...json })).profile, `${head}${WRONG}`);
    const result = ACTIONS[action]?.(loaded(dump, SOUND, backup), consent);
    return result?.ok === false ? say(result.why) : '';
  };

  it('is written by no action, and each says why', () => {
    for (const action of Object.keys(ACTIONS)) {
      assert.equal(refused(action, {}, ''), '', action);
      for (const [json, head, words] of [
        [{}, `@seal ${SEAL}\n`, /sealed backup and stays as it is/],
        [{}, `@seel ${SEAL}\n`, /"@seel" is probably meant as "@seal"/],
        [{}, '@use comparison\n', /only here to compare with/],
        [{}, '@use comparision\n', /^Row 1: .*what the dump is here for/],
        [{}, '@part A\n@part B\n', /@part/],
        [{ lokced: [] }, '', /lokced/],
        [{ appliesTo: { part: ['RB-*'] } }, '@part MX-1\n', /MX-1/],
      ] as const)
        assert.match(refused(action, json, head), words, `${action} ${head}`);
    }
  });

  it('is written after a person has confirmed of which module it is, where nothing but that is open', () => {
    for (const action of Object.keys(ACTIONS)) {
      const json = { appliesTo: { part: ['RB-*'] } };
      assert.match(refused(action, json, ''), /@part/, action);
      if (action === 'sums on saving') continue;
      assert.equal(refused(action, json, '', { unconfirmed: true }), '', action);
      assert.match(refused(action, json, '@part MX-1\n', { unconfirmed: true }), /MX-1/, action);
    }
  });

  it('is written elsewhere from a sealed file, and never from one that is only here to compare with', () => {
    for (const action of Object.keys(ACTIONS)) {
      if (action === 'sums on saving') continue;
      assert.equal(refused(action, {}, `@seal ${SEAL}\n`, { elsewhere: true }), '', action);
      assert.match(refused(action, {}, '@use comparison\n', { elsewhere: true }), /only here to compare/, action);
    }
  });
});

describe('what a person is told of a change', () => {
  const KEPT = {
    ...LINES,
    totals: LINES.totals.map((total) => ({ ...total, keep: true })),
    options: [{ ...LINES.options[0], hazard: 'lighting' }, LINES.options[1]],
  };
  const subject = (json: object, text = LINES_TEXT): Subject => loaded(lines(profileOf(json), text), SOUND);
  const set = (json: object) => {
    const result = setOptions(subject(json), [{ id: 'fog', to: { raw: 0n } }]);
    assert.ok(result.ok, why(result));
    return result.value;
  };

  it('is what the option touches, before it is written', () => {
    const { cautions, inShort } = set(KEPT);
    assert.deepEqual(
      cautions.map((one) => say(one)),
      [
        'Fog lamps: ⚠ Affects the lighting. A wrong setting can hurt people and may be unlawful: local rules and licensed practice decide.',
      ],
    );
    assert.equal(inShort && say(inShort), '⚠ affects the lighting');
    const harmless = set(LINES);
    assert.deepEqual([harmless.cautions, harmless.inShort], [[], undefined]);
  });

  it('is that a record may be damaged whose own sum was wrong before it is written into', () => {
    const [first, second, third] = IMAGE_RECORDS;
    const damaged = image(profileOf(IMAGE), first.replace(/..$/, 'D4'), second, third, END);
    const changes = [
      setOptions(loaded(damaged, SOUND), [{ id: 'fog', to: { raw: 0n } }]),
      fix(loaded(damaged, SOUND), { totals: 'rewrite' }),
    ];
    for (const change of changes) {
      assert.ok(change.ok, why(change));
      const { cautions, inShort } = change.value;
      assert.match(
        cautions.map((one) => say(one)).join('\n'),
        /^The sum of line 0010 was wrong before: its bytes may be damaged\./,
      );
      assert.equal(inShort && say(inShort), '⚠ row 1 may be damaged');
    }
    // Another record that is right, and one that is put right from elsewhere.
    const sound = image(profileOf(IMAGE), ...IMAGE_RECORDS, END);
    const harmless = setOptions(loaded(sound, SOUND), [{ id: 'fog', to: { raw: 0n } }]);
    assert.deepEqual(harmless.ok && harmless.value.cautions, []);
    const writes = [{ row: 0, byte: 4, value: 0xd5, reason: 'restore' } as const];
    const restored = changeOf(loaded(damaged, SOUND), { writes }, SAYS, {});
    assert.deepEqual(restored.ok && restored.value.cautions, []);
    const several = image(profileOf(IMAGE), first.replace(/..$/, 'D4'), second.replace(/..$/, 'D0'), third, END);
    const both = fix(loaded(several, SOUND), { totals: 'rewrite' });
    assert.match(
      both.ok ? both.value.cautions.map((one) => say(one)).join('\n') : why(both),
      /^The sums of 2 lines, the first of them line 0010, were wrong before: their bytes may be damaged\./,
    );
  });

  it('is the same of a line of dump text whose own sum was wrong', () => {
    const damaged = lines(profileOf(LINES), LINES_TEXT.replace(/^(2: .*\|\s*)[0-9A-F]{2}/m, '$1EE'));
    const row = damaged.wrongSums[0];
    assert.ok(row !== undefined);
    const change = fix(loaded(damaged, SOUND), { totals: 'rewrite' });
    assert.ok(change.ok, why(change));
    assert.match(
      change.value.cautions.map((one) => say(one)).join('\n'),
      /^The sum of line 2 was wrong before: its bytes may be damaged\./,
    );
  });

  it('is nothing of a line in which only an option or its sum is not as the own sealed backup holds it', () => {
    const damaged = lines(profileOf(LINES), LINES_TEXT.replace(/^(2: .*\|\s*)[0-9A-F]{2}/m, '$1EE'));
    const cautions = (text: string, sealHolds = true) => {
      const dump = { ...lines(profileOf(LINES), text), sealHolds };
      const change = fix(loaded(damaged, SOUND, { kind: 'read', dump }), { totals: 'rewrite' });
      assert.ok(change.ok, why(change));
      return change.value.cautions.length;
    };
    assert.equal(cautions(LINES_TEXT), 0);
    assert.equal(cautions(LINES_TEXT.replace(/^(2: .*\|\s*)[0-9A-F]{2}/m, '$1EE')), 1, 'wrong when it was read too');
    assert.equal(cautions(LINES_TEXT.replace(/^2: .*\n/m, '')), 1, 'not in the backup');
    assert.equal(cautions(LINES_TEXT, false), 1, 'changed since it was sealed');
    const read = (line: string, total: string) => LINES_TEXT.replace(/^2: .*/m, line).replace('02 27', total);
    assert.equal(cautions(read('2: 00 10 00 | 10', '02 26')), 0, 'an option was set');
    assert.equal(cautions(read('2: 01 10 40 | 51', '02 67')), 1, 'a byte that is no option was other when it was read');
  });

  it('is how it was balanced, where bytes balance, and nothing of it where sums are only rewritten', () => {
    const balanced = set(KEPT);
    assert.deepEqual([balanced.balanced?.unique, balanced.balanced?.fewest], [true, true]);
    assert.deepEqual(balanced.writes.map(({ row, byte, reason }) => `${row}:${byte} ${reason}`).sort(), [
      '1:0 option',
      '1:3 line-sum',
      '2:2 balance',
      '2:3 line-sum',
    ]);
    assert.equal(set(LINES).balanced, undefined);
  });

  it('is which option balancing changes too, and from what to what', () => {
    const shared = {
      ...KEPT,
      options: [
        ...LINES.options,
        { id: 'beep', title: 'Beep', line: 3, byte: 3, hazard: 'other', values: { 0: 'no', 1: 'yes' } },
      ],
    };
    const { cautions, inShort } = set(shared);
    const said = cautions.map((one) => say(one));
    assert.equal(said.at(-1), 'Balancing also changes Beep: no → yes.');
    assert.match(said[0] ?? '', /^Beep: ⚠ Affects the safety of people/);
    assert.equal(inShort && say(inShort), '⚠ affects the safety of people ⚠ also changes Beep');
  });

  it('is that balancing would give an option a value that the profile does not know: refused', () => {
    const shared = {
      ...KEPT,
      options: [...LINES.options, { id: 'beep', title: 'Beep', line: 3, byte: 3, values: { 0: 'no', 4: 'yes' } }],
    };
    const refused = setOptions(subject(shared), [{ id: 'fog', to: { raw: 0n } }]);
    assert.match(
      why(refused),
      /^Balancing would change Beep too\. The profile does not know what Beep means with the value 1\..* Balance with another line\.$/,
    );
  });
});
