// Two versions of a profile as one: by what they mean, and never in silence; by itself and as git does it.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const FOG = '{ "id": "fog", "title": "Fog light", "line": 1, "byte": 1, "values": { "0": "no", "1": "yes" } }';
const SEAT = '{ "id": "seat", "title": "Seat heater", "line": 2, "byte": 1, "values": { "0": "no", "1": "yes" } }';
const HOOK = '{ "id": "hook", "title": "Tow hook", "line": 3, "byte": 1, "bits": "7-4", "values": { "0": "no" } }';

const profileOf = (options: readonly string[], more = '') => `{
  // Found out in the workshop.
  "format": 1,
  "title": "Body",
  "lines": { "from": 1, "to": 4, "data": 4 },
${more}  "options": [
${options.map((option) => `    ${option}`).join(',\n')}
  ]
}
`;

describe('merging profiles', () => {
  const { call, read, write, shell } = bench('empty');
  const merge = (mine: string, theirs: string, base: string, ...more: readonly string[]) => {
    write('mine.dump-profile.json', mine);
    write('theirs.dump-profile.json', theirs);
    write('base.dump-profile.json', base);
    return call(
      'profile',
      'merge',
      'mine.dump-profile.json',
      'theirs.dump-profile.json',
      '--base',
      'base.dump-profile.json',
      ...more,
    );
  };

  it('takes what each has added, changed and removed, and keeps layout and comments of mine', () => {
    const base = profileOf([FOG, SEAT], '  "locked": [{ "line": 4 }],\n');
    const mine = profileOf([FOG.replace('Fog light', 'Rear fog light'), SEAT], '  "locked": [{ "line": 4 }],\n');
    const theirs = profileOf(
      [FOG.replace('"1": "yes"', '"1": "yes", "2": "both"'), HOOK],
      '  "locked": [{ "line": 4, "why": "identity" }],\n',
    );
    const { status, stdout } = merge(mine, theirs, base);
    assert.equal(status, 0, stdout);
    const fog = FOG.replace('Fog light', 'Rear fog light').replace('"1": "yes"', '"1": "yes", "2": "both"');
    assert.match(stdout, /\/\/ Found out in the workshop\./);
    const { options, locked } = JSON.parse(stdout.replace(/^ *\/\/.*$/m, ''));
    assert.deepEqual(options, [JSON.parse(fog), JSON.parse(HOOK)]);
    assert.deepEqual(locked, [{ line: 4, why: 'identity' }]);
  });

  it('of a profile that nobody else has changed is mine, and of one that I have not changed means what theirs means', () => {
    const [base, other] = [profileOf([FOG]), profileOf([SEAT, FOG])];
    assert.equal(merge(other, base, base).stdout, other);
    const means = (text: string) => {
      const { options, ...rest } = JSON.parse(text.replace(/^ *\/\/.*$/m, ''));
      return { ...rest, options: [...options].sort((a, b) => a.id.localeCompare(b.id)) };
    };
    assert.deepEqual(means(merge(base, other, base).stdout), means(other));
  });

  const CONFLICTS: readonly (readonly [string, readonly string[], readonly string[], readonly string[], RegExp])[] = [
    [
      'the same place with two meanings',
      [FOG, HOOK],
      [FOG, HOOK.replace('hook', 'roof').replace('Tow hook', 'Roof')],
      [FOG],
      /same place with two meanings: "hook" \(mine\) and "roof" \(theirs\)/,
    ],
    [
      'the same meaning at two places',
      [FOG, HOOK],
      [FOG, HOOK.replace('"hook"', '"tow"').replace('"line": 3', '"line": 4')],
      [FOG],
      /same meaning at two places: "hook" \(mine\) and "tow" \(theirs\)/,
    ],
    [
      'one option at two places',
      [FOG.replace('"byte": 1', '"byte": 2')],
      [FOG.replace('"byte": 1', '"byte": 3')],
      [FOG],
      /both have moved it/,
    ],
    [
      'an option moved and given another meaning',
      [FOG.replace('"byte": 1', '"byte": 2')],
      [FOG.replace('"no"', '"off"')],
      [FOG],
      /one has moved it/,
    ],
    [
      'both changed the same words',
      [FOG.replace('"no"', '"none"')],
      [FOG.replace('"no"', '"off"')],
      [FOG],
      /values 0: both have changed it\. Mine: "none"; theirs: "off"/,
    ],
    [
      'one removed what the other changed',
      [SEAT],
      [SEAT, FOG.replace('"no"', '"off"')],
      [SEAT, FOG],
      /both have changed it\. Mine: nothing/,
    ],
    [
      'both added one id with another meaning',
      [FOG, SEAT],
      [FOG, SEAT.replace('"no"', '"cold"')],
      [FOG],
      /both have changed it/,
    ],
  ];
  for (const [what, mine, theirs, base, said] of CONFLICTS)
    it(`says it and writes nothing where there is a conflict: ${what}`, () => {
      const before = profileOf(mine);
      const { status, stdout } = merge(before, profileOf(theirs), profileOf(base), '--write');
      assert.equal(status, 1);
      assert.match(stdout, said);
      assert.equal(read('mine.dump-profile.json'), before);
    });

  it('lists every conflict', () => {
    const [mine, theirs] = ['a', 'b'].map((word) =>
      profileOf([FOG, SEAT].map((one) => one.replace('"no"', `"${word}"`))),
    );
    const { stdout } = merge(mine ?? '', theirs ?? '', profileOf([FOG, SEAT]), '--json');
    assert.equal(JSON.parse(stdout).conflicts.length, 2);
  });

  it('is refused for what is no profile or one with a problem, and without what both began with', () => {
    const good = profileOf([FOG]);
    for (const broken of ['{', '{}', good.replace('"format": 1', '"format": 2')])
      for (const [which, ...three] of [
        ['mine', broken, good, good],
        ['theirs', good, broken, good],
        ['base', good, good, broken],
      ] as const) {
        const { status, stdout, stderr } = merge(...three, '--write');
        assert.deepEqual([status, stdout], [2, '']);
        assert.match(stderr, new RegExp(`${which}\\.dump-profile\\.json has problems; correct them first\\. .+`));
        assert.equal(read('mine.dump-profile.json'), three[0]);
      }
    assert.equal(call('profile', 'merge', 'mine.dump-profile.json', 'theirs.dump-profile.json').status, 2);
  });

  it('reads the profiles that all three extend from where the profile belongs', () => {
    shell('mkdir there');
    write('there/body.dump-profile.json', profileOf([FOG]));
    const own = (options: string) => `{ "format": 1, "extends": "body.dump-profile.json", "options": [${options}] }\n`;
    const there = ['--at', 'there/p.dump-profile.json'];
    const merged = merge(own(SEAT), own('{ "id": "fog", "hazard": "lighting" }'), own(''), ...there);
    assert.equal(merged.status, 0, merged.stderr);
    assert.match(merged.stdout, /"seat"[\s\S]*"lighting"/);
    const { status, stdout } = merge(own(SEAT), own('{ "id": "fog", "line": 2 }'), own(''), ...there);
    assert.equal(status, 1);
    assert.match(stdout, /same place with two meanings: "seat" \(mine\) and "fog" \(theirs\)/);
    const lost = merge(own(SEAT), own(''), own(''));
    assert.equal(lost.status, 2);
    assert.match(lost.stderr, /mine\.dump-profile\.json has problems.*body\.dump-profile\.json.* cannot be read/);
  });

  const REPOSITORY = `
    set -e
    printf '#!/bin/sh\\nexec "%s" "%s" "$@"\\n' "$1" "$2" > ../countersum-$$ && chmod +x ../countersum-$$
    trap 'rm ../countersum-$$' EXIT
    export GIT_CONFIG_GLOBAL=/dev/null
    git init -q -b mine
    git config user.name a; git config user.email a@example.org
    echo '*.dump-profile.json merge=countersum' > .gitattributes
    git config merge.countersum.name 'profiles by what they mean'
    git config merge.countersum.driver "../countersum-$$ profile merge %A %B --base %O --at %P --write"
    mkdir -p of; test ! -e body || cp body of/body.dump-profile.json
    test ! -e base || cp base of/p.dump-profile.json; git add .gitattributes of; git commit -qm base
    git checkout -q -b theirs; cp theirs of/p.dump-profile.json; git add of; git commit -qm theirs
    git checkout -q mine; mkdir -p of; cp mine of/p.dump-profile.json; git add of; git commit -qm mine
    git merge -q -m merged theirs`;

  it('is what git does with two branches', () => {
    write('base', profileOf([FOG]));
    // In the same line for git, and two things for people.
    write('mine', profileOf([FOG, SEAT]));
    write('theirs', profileOf([FOG, HOOK]));
    const { status, stderr } = shell(REPOSITORY);
    assert.equal(status, 0, stderr);
    assert.match(read('of/p.dump-profile.json'), /"seat"[\s\S]*"hook"/);
  });

  it('is what git does with profiles that extend another, whichever folder they are in', () => {
    const own = (options: string) => `{ "format": 1, "extends": "body.dump-profile.json", "options": [${options}] }\n`;
    write('body', profileOf([FOG]));
    write('base', own(''));
    write('mine', own(SEAT));
    write('theirs', own(HOOK));
    const { status, stderr } = shell(REPOSITORY);
    assert.equal(status, 0, stderr);
    assert.match(read('of/p.dump-profile.json'), /"seat"[\s\S]*"hook"/);
  });

  it('is what git does where each has added the profile', () => {
    write('mine', profileOf([FOG, SEAT]));
    write('theirs', profileOf([FOG, HOOK]));
    const { status, stderr } = shell(REPOSITORY);
    assert.equal(status, 0, stderr);
    assert.match(read('of/p.dump-profile.json'), /"fog"[\s\S]*"seat"[\s\S]*"hook"/);
  });

  it('keeps in git what people say of locks', () => {
    const locks = (more: string, said = '') =>
      profileOf([FOG], `  "locked": [\n${said}    { "line": 4, "byte": 1 }${more}\n  ],\n`);
    write('base', locks('', '    // hardware version: immobiliser reads it\n'));
    write('mine', locks('', '    // hardware version: immobiliser reads it\n    // and see note 7\n'));
    write('theirs', locks(', { "line": 4, "byte": 2 }', '    // hardware version: immobiliser reads it\n'));
    const { status, stderr } = shell(REPOSITORY);
    assert.equal(status, 0, stderr);
    assert.match(read('of/p.dump-profile.json'), /immobiliser reads it\n.*see note 7\n[^/]*"byte": 2/);
  });

  it('leaves a conflict to the person in git', () => {
    write('base', profileOf([FOG]));
    write('mine', profileOf([FOG.replace('"no"', '"a"')]));
    write('theirs', profileOf([FOG.replace('"no"', '"b"')]));
    const { status, stdout, stderr } = shell(REPOSITORY);
    assert.equal(status, 1, stderr);
    assert.match(stdout + stderr, /CONFLICT/);
    assert.match(stdout + stderr, /both have changed it/);
    assert.equal(read('of/p.dump-profile.json'), read('mine'));
  });
});
