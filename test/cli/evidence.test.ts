// What was set in a module and read back as it was planned may be noted in the profile: once, in the file that describes
// the option, and never where anything is in doubt.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const DUMP = 'rear-body.cfgdump';
const BACK = 'rear-body.back.cfgdump';
const FOUND = 'rear-body.as-found.cfgdump';
const PROFILE = 'rear-body.dump-profile.json';

describe('verify --seen', () => {
  const { call, read, write, everything } = bench();

  const readBack = (taken: string) => {
    const set = call('set', DUMP, 'trailer-socket=13-pin', '--write');
    assert.equal(set.status, 0, set.stderr);
    write(BACK, read(DUMP).replace(/^@backup.*/m, `@taken ${taken}`));
    // Of what was read later, nothing is left but this.
    write('rear-body.read-back.cfgdump', '');
    // A seal is of the bytes: when they were read may be said later.
    write(FOUND, read(FOUND).replace(/^@taken.*/m, '@taken 2024-02-28'));
  };
  const optionIn = (name: string, id = 'trailer-socket') =>
    JSON.parse(read(name)).options.find((one: { id: string }) => one.id === id);
  const verify = (...more: readonly string[]) => call('verify', DUMP, BACK, ...more);

  it('notes once where an option was set and tried, and nothing else changes', () => {
    readBack('2024-02-29');
    const before = everything();
    const { status, stdout, stderr } = verify('--seen', 'Ada');
    assert.equal(status, 0, stderr);
    assert.match(stdout, /byte for byte/);
    assert.match(stderr, /Noted in .*rear-body\.dump-profile\.json as set and tried: Trailer socket/);
    const tried = { date: '2024-02-29', how: 'set-and-tried', by: 'Ada', vehicle: 'BA' };
    const noted = { part: 'RB-2041-07', software: '0311', ...tried };
    assert.deepEqual(optionIn(PROFILE).seen, [noted]);
    const after = everything();
    assert.deepEqual(
      Object.keys(after).filter((name) => after[name] !== before[name]),
      [PROFILE],
    );
    for (const name of ['Ada', 'Ben']) {
      const again = verify('--seen', name);
      assert.equal(again.status, 0);
      assert.match(again.stderr, /nothing new/);
    }
    assert.deepEqual(everything(), after);
    assert.equal(call('check', PROFILE).status, 0);
  });

  it('makes nothing surer where one person reads one write of one vehicle again on another day', () => {
    readBack('2024-02-29');
    write(PROFILE, read(PROFILE).replace(/"confidence": "confirmed"/g, '"confidence": "guess"'));
    assert.equal(optionIn(PROFILE).confidence, 'guess');
    for (const day of ['2024-02-29', '2024-03-01', '2024-03-02']) {
      write(BACK, read(BACK).replace(/^@taken.*/m, `@taken ${day}`));
      const { status, stderr } = verify('--seen', 'Ada');
      assert.equal(status, 0, stderr);
      assert.equal(optionIn(PROFILE).confidence, 'likely', day);
    }
    // Somebody else is another one who has tried it.
    write(BACK, read(BACK).replace(/^@taken.*/m, '@taken 2024-03-03'));
    assert.equal(verify('--seen', 'Ben').status, 0);
    assert.equal(optionIn(PROFILE).confidence, 'confirmed');
  });

  it('notes nothing where what was read is not what was planned, or is not shown to be', () => {
    readBack('2024-02-29');
    const sound = everything();
    for (const [name, text] of [
      [
        BACK,
        read(BACK)
          .replace(/^@part.*\n/m, '')
          .replace(/^@vin .*8$/m, '@vin 0DEM0T4X0TA020417'),
      ],
      [DUMP, read(DUMP).replace(/^@backup.*\n/m, '')],
      [PROFILE, read(PROFILE).replace('"title"', '"titel"')],
      ['rear-body.as-found.cfgdump', read('rear-body.as-found.cfgdump').replace(/^ 4: .*\n/m, '')],
    ] as const) {
      for (const [each, was] of Object.entries(sound)) write(each, was);
      assert.notEqual(text, read(name), name);
      write(name, text);
      const before = everything();
      const { status, stderr } = verify('--seen', 'Ada');
      assert.notEqual(status, 0, name);
      assert.match(stderr, /Nothing was written into the profile: /, name);
      assert.deepEqual(everything(), before);
    }
  });

  const notRead: Readonly<Record<string, readonly [back: () => string, found: () => string, why: RegExp]>> = {
    'was read before the backup': [
      () => read(BACK).replace(/^@taken.*/m, '@taken 2020-01-01T00:00:00Z'),
      () => read(FOUND),
      /rear-body\.back\.cfgdump is dated before the backup: its "@taken" is 2020-01-01T00:00:00Z, that of rear-body\.as-found\.cfgdump is 2024-02-28/,
    ],
    'is to be read one day': [
      () => read(BACK).replace(/^@taken.*/m, '@taken 9126-01-01'),
      () => read(FOUND),
      /"@taken" of rear-body\.back\.cfgdump is 9126-01-01, which is in the future/,
    ],
    'is a copy of the dump in work': [() => read(DUMP), () => read(FOUND), /names a backup \("@backup"\)/],
    'names a backup, though it says when it was read': [
      () => `@taken 2024-02-29\n${read(DUMP)}`,
      () => read(FOUND),
      /names a backup \("@backup"\)/,
    ],
    'does not say when it was read': [
      () => read(BACK).replace(/^@taken.*\n/m, ''),
      () => read(FOUND),
      /"@taken" is missing in rear-body\.back\.cfgdump/,
    ],
    'was read on the day of the backup': [
      () => read(BACK).replace(/^@taken.*/m, '@taken 2024-02-28'),
      () => read(FOUND),
      /does not tell which of them was read later/,
    ],
    'cannot be ordered, as the backup has no time': [
      () => read(BACK),
      () => read(FOUND).replace(/^@taken.*\n/m, ''),
      /"@taken" is missing in rear-body\.as-found\.cfgdump/,
    ],
  };
  for (const [what, [back, found, why]] of Object.entries(notRead)) {
    it(`notes nothing where what was read ${what}`, () => {
      readBack('2024-02-29');
      const texts = [back(), found()] as const;
      write(BACK, texts[0]);
      write(FOUND, texts[1]);
      const before = everything();
      const { status, stdout, stderr } = verify('--seen', 'Ada');
      assert.match(stdout, /byte for byte|Both hold the same bytes, but this proves nothing more/);
      assert.equal(status, 2);
      assert.match(stderr, /Nothing was written into the profile: /);
      assert.match(stderr, why);
      assert.deepEqual(everything(), before);
    });
  }

  it('notes it in the file in which the option is described, where the profile of the dump extends that', () => {
    write('v.dump-profile.json', JSON.stringify({ format: 1, extends: PROFILE, title: 'Variant' }));
    write(DUMP, read(DUMP).replace(PROFILE, 'v.dump-profile.json'));
    write('rear-body.as-found.cfgdump', read('rear-body.as-found.cfgdump').replace(PROFILE, 'v.dump-profile.json'));
    readBack('2024-02-29');
    assert.equal(verify('--seen', 'Ada').status, 0);
    assert.equal(optionIn(PROFILE).seen.length, 1);
    assert.equal(JSON.parse(read('v.dump-profile.json')).options, undefined);
    assert.match(verify('--seen', 'Ada').stderr, /nothing new/);
  });

  it('a variant that has the option at another place gets it itself', () => {
    const { line, byte, bits } = optionIn(PROFILE);
    const variant = { format: 1, extends: PROFILE, options: [{ id: 'trailer-socket', line, byte, bits }] };
    write('v.dump-profile.json', JSON.stringify(variant));
    for (const name of [DUMP, 'rear-body.as-found.cfgdump'])
      write(name, read(name).replace(PROFILE, 'v.dump-profile.json'));
    readBack('2024-02-29');
    const before = read(PROFILE);
    assert.equal(verify('--seen', 'Cy').status, 0);
    assert.deepEqual(
      optionIn('v.dump-profile.json').seen.map((one: { by?: string }) => one.by),
      ['Cy'],
    );
    assert.equal(read(PROFILE), before);
  });

  it('is counted by "profile test", told by "show", and leaves out who it was in copies for others', () => {
    readBack('2024-02-29');
    const profile = JSON.parse(read(PROFILE));
    const tried = { how: 'set-and-tried', date: '2024-02-29', by: 'Ada Example' };
    for (const one of profile.options) {
      delete one.confidence;
      one.seen = [tried, { ...tried, by: 'Ben Example' }, { how: 'told' }];
    }
    profile.options[1].seen = [tried];
    write(PROFILE, JSON.stringify(profile, null, 2));
    const count = profile.options.length;
    const tested = call('profile', 'test', PROFILE).stdout;
    assert.match(tested, new RegExp(`seen on: ${count}, of these confirmed: ${count - 1}, set and tried once: 1`));
    const shown = call('share', DUMP, '--out', 'copies');
    assert.equal(shown.status, 0, shown.stderr);
    const copy = read(`copies/${PROFILE}`);
    assert.doesNotMatch(copy, /Ada|Ben/);
    assert.match(shown.stdout, /masked/);
    const { seen } = JSON.parse(copy).options[0];
    assert.deepEqual(seen, [
      { how: 'set-and-tried', date: '2024-02-29' },
      { how: 'set-and-tried', date: '2024-02-29' },
      { how: 'told' },
    ]);
    assert.equal(copy.split('\n').length, read(PROFILE).split('\n').length);
    assert.equal(call('check', 'copies').status, 0);
  });
});
