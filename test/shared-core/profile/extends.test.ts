// A profile over those that it extends: what is merged, what is taken out, and where problems are.
import assert from 'node:assert/strict';
import { parseTree } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { toldIn } from '../../../shared-core/src/profile/extends.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { MERGED_LISTS, mergedList } from '../../../shared-core/src/profile/mergeLists.js';
import { basesOf } from '../../support/chains.js';

const OPTION = (id: string, byte: number, more: object = {}) => ({
  id,
  line: 1,
  byte,
  values: { 0: 'no', 1: 'yes' },
  ...more,
});
const BASE = {
  format: 1,
  title: 'base',
  lines: { from: 1, to: 4, data: 8, sum: 0 },
  options: [OPTION('fog', 1, { hazard: 'lighting' }), OPTION('horn', 2)],
  locked: [
    { line: 2, bytes: '1-2', why: 'identity' },
    { line: 3, byte: 1, why: 'keys' },
  ],
  volatile: [{ line: 4, byte: 1 }],
  balance: [
    { line: 4, byte: 8 },
    { line: 4, byte: 7 },
  ],
};
const B = 'b.dump-profile.json';

const read = (own: object, base: object = BASE) =>
  readProfile(JSON.stringify({ format: 1, extends: B, ...own }), basesOf({ [B]: JSON.stringify(base) }));
const sound = (own: object, base?: object) => {
  const { profile, problems } = read(own, base);
  assert.deepEqual(
    problems.map(({ message }) => say(message)),
    [],
  );
  return profile;
};
const said = (own: object, base?: object) => read(own, base).problems.map(({ message }) => say(message));

describe('a profile that extends another', () => {
  it('has all that the other says, and says for itself what it writes', () => {
    const profile = sound({ title: 'variant' });
    assert.equal(profile.title, 'variant');
    assert.deepEqual(
      profile.options.map(({ id }) => id),
      ['fog', 'horn'],
    );
    assert.deepEqual(
      profile.locked.map(({ why }) => why),
      ['identity', 'keys'],
    );
    assert.equal(sound({ title: null }).title, undefined);
  });

  it('merges options by their ids, in the place where they were', () => {
    const profile = sound({ options: [OPTION('new', 3), { id: 'fog', title: 'Fog', values: { 1: null, 2: 'auto' } }] });
    assert.deepEqual(
      profile.options.map(({ id }) => id),
      ['fog', 'horn', 'new'],
    );
    const [fog] = profile.options;
    assert.deepEqual([fog?.title, fog?.hazards], ['Fog', ['lighting']]);
    assert.deepEqual(fog?.meaning.kind === 'values' && [...fog.meaning.words], [
      [0, 'no'],
      [2, 'auto'],
    ]);
  });

  it('merges locked, volatile and balance places by their places, however these are written', () => {
    const profile = sound({
      locked: [
        { line: '0x2', bytes: '1-2', why: 'VIN' },
        { line: 3, bytes: '1-1', entry: null },
        { line: 1, byte: 8, why: 'own' },
      ],
      volatile: [{ line: 4, byte: '1', why: 'counter' }],
      balance: [{ line: 4, bytes: '8', entry: null }],
    });
    assert.deepEqual(
      profile.locked.map(({ why }) => why),
      ['VIN', 'own'],
    );
    assert.deepEqual(
      profile.volatile.map(({ why }) => why),
      ['counter'],
    );
    assert.equal(profile.balance.length, 1);
  });

  it('merges places of images and copies by their places', () => {
    const image = {
      format: 1,
      addresses: { from: 0, to: 255 },
      locked: [{ address: '0x10', length: 4, why: 'a' }],
      copies: [{ name: 'one', place: { address: 32, length: 4 }, at: ['0x30'] }],
    };
    const profile = sound(
      { locked: [{ from: 16, to: '0x13', why: 'b' }], copies: [{ place: { from: 32, to: 35 }, name: 'two' }] },
      image,
    );
    assert.deepEqual(
      profile.locked.map(({ why }) => why),
      ['b'],
    );
    assert.deepEqual(
      profile.copies.map(({ name, places }) => [name, places.length]),
      [['two', 2]],
    );
  });

  it('takes an entry out where that says "entry": null, and says where there is none', () => {
    assert.deepEqual(
      sound({ options: [{ id: 'fog', entry: null }] }).options.map(({ id }) => id),
      ['horn'],
    );
    assert.deepEqual(sound({ options: null }).options, []);
    assert.match(String(said({ options: [{ id: 'fgo', entry: null }] })), /no such entry/);
    assert.match(String(said({ locked: [{ line: 2, byte: 1, entry: null }] })), /no such entry/);
    assert.match(String(said({ options: [{ id: 'fog', entry: 1 }] })), /Nothing else can be said here/);
    assert.match(String(said({ options: [{ id: 'fog', title: 'x', entry: null }] })), /Unknown key "title"/);
    assert.match(String(said({}, { ...BASE, options: [{ id: 'fog', entry: null }] })), /Unknown key "entry"/);
  });

  it('takes out no key that is not there: it may be mistyped', () => {
    assert.match(String(said({ lokced: null })), /There is no "lokced"/);
    assert.match(String(said({ options: [{ id: 'fog', hazrad: null }] })), /There is no "hazrad"/);
    assert.match(
      String(said({ options: [{ id: 'new', line: 2, byte: 1, excludess: null }] })),
      /There is no "excludess"/,
    );
  });

  it('merges no two entries of its own', () => {
    assert.match(String(said({ options: [OPTION('new', 3), OPTION('new', 4)] })), /"new"/);
    assert.match(String(said({ options: [{ id: 'fog', title: 'a' }, OPTION('fog', 4)] })), /"fog"/);
  });

  it('lays several one over the other', () => {
    const own = JSON.stringify({ format: 1, extends: ['a', 'b'], title: null });
    const { profile, problems } = readProfile(
      own,
      basesOf({
        a: JSON.stringify(BASE),
        b: JSON.stringify({ format: 1, module: 7, options: [{ id: 'horn', byte: 5 }] }),
      }),
    );
    assert.deepEqual([problems, profile.module, profile.title], [[], 7, undefined]);
    assert.deepEqual(profile.options[1]?.parts[0]?.place, { kind: 'line', line: 1, byte: 5, count: 1 });
  });

  it('takes the place of a list that is none', () => {
    assert.deepEqual(said({ locked: {} }), ['A list [ … ] is wanted here.']);
    assert.deepEqual(said({}, { ...BASE, locked: {} }).length, 1);
    assert.equal(sound({ locked: [{ line: 1, byte: 1 }] }, { ...BASE, locked: {} }).locked.length, 1);
  });

  it('does not ask where the other is described', () => {
    sound({}, { ...BASE, $schema: 5 });
    assert.equal(said({ $schema: 5 }).length, 1);
  });

  it('says "format" for itself', () => {
    const text = JSON.stringify({ extends: B });
    assert.match(
      String(readProfile(text, basesOf({ [B]: JSON.stringify(BASE) })).problems.map(({ message }) => say(message))),
      /"format": 1 is missing/,
    );
  });

  it('tells where in the other a problem is, at its "extends"', () => {
    const base = JSON.stringify({ ...BASE, lockd: [] }, undefined, 2);
    const own = `{ "format": 1, "extends": "${B}" }`;
    const {
      profile,
      problems: [problem, ...others],
    } = readProfile(own, basesOf({ [B]: base }));
    assert.ok(problem?.there);
    assert.deepEqual(others, []);
    assert.equal(own.slice(problem.span.start, problem.span.end), `"${B}"`);
    assert.equal(base.slice(problem.there.start, problem.there.end), '"lockd"');
    assert.match(say(problem.message), /^b\.dump-profile\.json, line \d+: Unknown key "lockd"/);
    assert.deepEqual(profile.flaw?.span, problem.there);
  });

  it('keeps of each thing in which file it is, and what it changes there', () => {
    const profile = sound({ options: [{ id: 'fog', title: 'Fog' }] });
    const [fog, horn] = profile.options;
    assert.deepEqual(
      [fog?.source.file, fog?.source.over?.file, horn?.source.file],
      [undefined, `file:///car/${B}`, `file:///car/${B}`],
    );
    assert.equal(profile.locked[0]?.source.file, `file:///car/${B}`);
  });

  it('is none where the others were not read, or its "extends" is unclear: what is locked may be in them', () => {
    for (const [text, words] of [
      ['"a"', /were not read/],
      ['5', /A text in quotes/],
      ['[]', /list is empty/],
      ['["a", " "]', /path is empty/],
      ['["a", 5]', /A text in quotes/],
    ] as const) {
      const { profile, problems } = readProfile(`{ "format": 1, "extends": ${text}, "title": "own", "lockd": 1 }`);
      assert.deepEqual([problems.length, problems[0]?.code, profile.title], [1, 'profile-unreadable', undefined]);
      assert.match(String(problems.map(({ message }) => say(message))), words);
      assert.ok(profile.flaw);
    }
  });

  // Compared one by one, each of these would take minutes.
  it('takes lists of any length, and tells any number of problems', () => {
    const entries = Array.from({ length: 50_000 }, (_, i) => ({ line: 1, byte: i + 1, entry: null }));
    const [target, patch] = [parseTree(JSON.stringify(entries)), parseTree(JSON.stringify(entries))];
    const { locked } = MERGED_LISTS;
    assert.ok(target && patch && locked);
    assert.deepEqual(mergedList(locked, target, { node: patch, problems: [] }).children, []);

    const text = '\n'.repeat(100_000);
    const { files, asked } = basesOf({ [B]: text });
    const chain = { span: { start: 1, end: 2 }, bases: files, asked };
    const problems = Array.from({ length: 100_000 }, (_, i) => ({
      ...{ code: 'profile-invalid' as const, message: phrase('any') },
      span: { start: i, end: i + 1, file: files[0]?.file ?? '' },
    }));
    const lines = toldIn(chain, problems).map(({ message }) => message.parts[1]);
    assert.deepEqual([lines[0], lines[1], lines.at(-1)], [1, 2, 100_000]);
  });
});
