import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';
import { LINES, LINES_TEXT } from '../support/smallDumps.js';

describe('profile list', () => {
  const { call, write, everything } = bench('empty');
  const put = (name: string, profile: object) =>
    write(`${name}.dump-profile.json`, JSON.stringify({ format: 1, ...profile }));

  it('says of each profile what it is for, what it builds on, and how sure it is', () => {
    const samples = [{ dump: 'a.cfgdump', expect: { fog: 'yes' } }];
    const [fog, key] = LINES.options;
    put('z', {
      ...LINES,
      options: [
        { ...fog, confidence: 'confirmed' },
        { ...key, seen: [{ how: 'told' }] },
      ],
      title: 'Lamps',
      samples,
      appliesTo: { part: ['LA-*'] },
    });
    put('b', { extends: 'z.dump-profile.json', title: 'Lamps, later', appliesTo: { software: ['2.*'] } });
    write('a.cfgdump', `@part LA-1\n@software 2.1\n${LINES_TEXT}`);
    const before = everything();
    assert.deepEqual(call('profile', 'list', '.'), {
      status: 0,
      stdout: [
        'z.dump-profile.json: Lamps · part LA-* · any software level · options: 2, of these confirmed: 1 · proofs: 1',
        'b.dump-profile.json: Lamps, later · part LA-* · software 2.* · options: 2, of these confirmed: 1 · proofs: 1 · extends z.dump-profile.json',
        '',
      ].join('\n'),
      stderr: '',
    });
    assert.deepEqual(everything(), before);
    const { profiles } = JSON.parse(call('profile', 'list', '--json', '.').stdout);
    assert.deepEqual(profiles[1], {
      file: 'b.dump-profile.json',
      title: 'Lamps, later',
      part: ['LA-*'],
      software: ['2.*'],
      extends: ['z.dump-profile.json'],
      options: [
        { id: 'fog', title: 'Fog lamps', confidence: 'confirmed', seen: 0 },
        { id: 'key', title: 'Immobiliser', confidence: 'guess', seen: 1 },
      ],
      proofs: 1,
      problems: [],
    });
  });

  it('counts the samples that are there and hold, each once', () => {
    write('a.cfgdump', `@part LA-1\n${LINES_TEXT}`);
    write('b.cfgdump', `@part LB-1\n${LINES_TEXT}`);
    write('c.cfgdump', `@part LA-1\n${LINES_TEXT.replace('02 27', '02 28')}`);
    const yes = { fog: 'yes' };
    for (const [samples, proofs] of [
      [[{ dump: 'a.cfgdump', expect: yes }], 1],
      [[{ dump: 'a.cfgdump', expect: yes }, { dump: './a.cfgdump' }], 1],
      [
        [
          { dump: 'a.cfgdump', expect: yes },
          { dump: './a.cfgdump', expect: { fog: 'no' } },
        ],
        0,
      ],
      [[{ dump: 'a.cfgdump', expect: { fog: 'no' } }], 0],
      [[{ dump: 'missing.cfgdump' }], 0],
      [[{ dump: 'b.cfgdump' }, { dump: 'c.cfgdump' }], 0],
    ] as const) {
      put('z', { ...LINES, samples, appliesTo: { part: ['LA-*'] } });
      const { stdout } = call('profile', 'list', '.');
      assert.match(stdout, new RegExp(`proofs: ${proofs}$`, 'm'), JSON.stringify(samples));
      assert.equal(JSON.parse(call('profile', 'list', '--json', '.').stdout).profiles[0].proofs, proofs);
    }
    // Where several fit, that is what tells them apart.
    put('y', { ...LINES, samples: [{ dump: 'a.cfgdump', expect: yes }], appliesTo: { part: ['LA-*'] } });
    const { stderr } = call('show', 'a.cfgdump', '--profiles', '.');
    assert.match(stderr, /y\.dump-profile\.json \([^)]*proofs: 1\); z\.dump-profile\.json \([^)]*proofs: 0\)/);
  });

  it('says nothing of how sure an option is of which nobody has said anything', () => {
    put('z', { ...LINES });
    const [profile] = JSON.parse(call('profile', 'list', '--json', '.').stdout).profiles;
    assert.deepEqual(
      profile.options.map(({ confidence }: { readonly confidence: unknown }) => confidence),
      [null, null],
    );
  });

  it('a torn profile and one with a problem are in the list with what is wrong', () => {
    put('good', { ...LINES });
    write('torn.dump-profile.json', '{ "format": 1, "lines": { "from"');
    put('odd', { ...LINES, colour: 'red' });
    const { status, stdout } = call('profile', 'list', '.');
    assert.equal(status, 1);
    assert.match(stdout, /^good\.dump-profile\.json: any part/m);
    // Of what cannot be read nobody can say that it is for any module.
    assert.match(stdout, /^torn\.dump-profile\.json: options that can be read: 0 · problems: 1$/m);
    assert.match(stdout, /^torn\.dump-profile\.json: [A-Z"]/m);
    assert.match(stdout, /^odd\.dump-profile\.json: .*problems: 1\nodd\.dump-profile\.json: .*colour/m);
  });

  it('says so where there is no profile, and where the folder cannot be read', () => {
    assert.deepEqual(call('profile', 'list', '.').status, 2);
    assert.match(call('profile', 'list', '.').stderr, /no profile was found there/);
    assert.equal(call('profile', 'list', 'no-such-folder').status, 1);
    assert.match(call('profile', 'list', 'no-such-folder').stdout, /cannot be read: no such file/);
  });
});
