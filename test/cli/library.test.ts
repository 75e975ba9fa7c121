import assert from 'node:assert/strict';
import { cpSync, mkdirSync, readdirSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const { call, callWith, everything, path, read, shell, write } = bench('empty');

const BASE = {
  format: 1,
  title: 'Seat, all levels',
  lines: { from: 1, to: 2, data: 3, sum: 1 },
  lineSum: { method: 'add', over: ['label', 'data'] },
  appliesTo: { part: ['SE-*'] },
  options: [{ id: 'heat', title: 'Heat', line: 1, byte: 1, values: { 1: 'off', 2: 'on' }, confidence: 'confirmed' }],
};
const VARIANT = { format: 1, extends: 'base.dump-profile.json', appliesTo: { software: ['2*'] } };
const DOOR = { ...BASE, title: 'Door', appliesTo: { part: ['DO-1'] } };
const LINES = '1: 01 02 03 | 07\n2: 10 21 00 | 33\n';

describe('--profiles', () => {
  const setUp = (more: Readonly<Record<string, object>> = {}) => {
    mkdirSync(path('library/below'), { recursive: true });
    const all = {
      'base.dump-profile.json': BASE,
      'variant.dump-profile.json': VARIANT,
      'below/door.dump-profile.json': DOOR,
      ...more,
    };
    for (const [name, profile] of Object.entries(all)) write(`library/${name}`, JSON.stringify(profile));
    write('old.cfgdump', `@part SE-1\n@software 1.0\n${LINES}`);
    write('new.cfgdump', `@part SE-1\n@software 2.1\n${LINES}`);
    write('door.cfgdump', `@part DO-1\n${LINES}`);
  };
  const refused = (said: RegExp, ...args: readonly string[]) => {
    const before = JSON.stringify(everything());
    const { status, stdout, stderr } = call(...args);
    assert.equal(status, 2, stdout);
    assert.match(stderr, said);
    assert.equal(JSON.stringify(everything()), before);
  };

  it('takes the one profile that fits the module, the lines and the sums, and names it beside the answer', () => {
    setUp();
    for (const [dump, profile] of [
      ['old.cfgdump', 'library/base.dump-profile.json'],
      ['door.cfgdump', 'library/below/door.dump-profile.json'],
    ] as const) {
      const { status, stdout, stderr } = call('check', dump, '--profiles', 'library', '--json');
      assert.equal(status, 0, stderr);
      assert.equal(stderr, `${dump}: the profile is ${profile}\n`);
      assert.equal(JSON.parse(stdout).files[0].profile, profile);
    }
    assert.match(call('show', 'old.cfgdump', '--profiles', 'library').stdout, /Heat: off/);
    const { stdout, stderr } = callWith({ input: read('door.cfgdump') }, 'show', '-', '--profiles', 'library');
    assert.match(stdout, /Heat: off/, stderr);
    const piped = shell('"$@" show <(cat door.cfgdump) --profiles library');
    assert.match(piped.stdout, /Heat: off/, piped.stderr);
  });

  it('takes a variant before the profile that it extends', () => {
    setUp();
    const { stderr } = call('check', 'new.cfgdump', '--profiles', 'library');
    assert.equal(stderr, 'new.cfgdump: the profile is library/variant.dump-profile.json\n');
  });

  it('sets options and corrects sums by it, and leaves alone what the dump names itself', () => {
    setUp();
    const { status, stderr } = call('set', 'old.cfgdump', 'heat=on', '--profiles', 'library', '--write');
    assert.equal(status, 0, stderr);
    assert.equal(read('old.cfgdump'), `@part SE-1\n@software 1.0\n${LINES.replace('01 02 03 | 07', '02 02 03 | 08')}`);
    assert.equal(call('fix', 'old.cfgdump', '--profiles', 'library').status, 0);
    write('own.cfgdump', `@profile library/base.dump-profile.json\n@part SE-1\n${LINES}`);
    assert.equal(call('check', 'own.cfgdump', '--profiles', 'library').stderr, '');
  });

  it('plans a retrofit in a dump that names no profile', () => {
    setUp();
    write('orig.cfgdump', read('old.cfgdump'));
    write('old.cfgdump', `@backup orig.cfgdump\n${read('old.cfgdump')}`);
    const retrofit = {
      format: 1,
      title: 'Heat',
      changes: [{ profile: 'library/base.dump-profile.json', set: { heat: 'on' } }],
    };
    write('heat.retrofit.json', JSON.stringify(retrofit));
    const { status, stdout, stderr } = call('plan', 'heat.retrofit.json', 'old.cfgdump', '--profiles', 'library');
    assert.equal(status, 0, stderr + stdout);
    assert.match(stderr, /^old\.cfgdump: the profile is library\/base\.dump-profile\.json$/m);
  });

  it('refuses where several fit, and says what tells them apart', () => {
    const other = { ...BASE, appliesTo: { part: ['SE-1'], software: ['1.?'] }, options: [] };
    setUp({ 'other.dump-profile.json': other });
    refused(
      /old\.cfgdump: several profiles fit: library\/base\.dump-profile\.json \(any software level · options: 1, of these confirmed: 1 · proofs: 0\); library\/other\.dump-profile\.json \(software 1\.\? · options: 0.*Say which with --profile FILE\./,
      ...['set', 'old.cfgdump', 'heat=on', '--profiles', 'library', '--write'],
    );
  });

  it('refuses where none fits, and says which is nearest and why', () => {
    setUp({ 'low.dump-profile.json': { ...DOOR, appliesTo: { part: ['LA-1'], software: ['7'] } } });
    const check = (text: string, said: RegExp) => {
      write('some.cfgdump', text);
      refused(said, 'check', 'some.cfgdump', '--profiles', 'library');
    };
    check(`@part XX-1\n${LINES}`, /of the profiles there \(4\), none is for its "@part"/);
    check(`@part LA-1\n@software 6\n${LINES}`, /low\.dump-profile\.json is nearest\. .*"@software" is "6" here/);
    check(LINES, /is nearest\. .*this dump has no "@part"/);
    check(`@part DO-1\n${LINES.replace('33', '34')}`, /door\.dump-profile\.json is for this module, and not all lines/);
    check(`@part DO-1\n${LINES}3: 01 02 03 | 09\n`, /door\.dump-profile\.json is for this module, and not all lines/);
  });

  it('refuses while a profile for the module has a problem, and says which profiles could not be read', () => {
    setUp({ 'bad.dump-profile.json': { ...DOOR, locked: [{ line: 9, byte: 1 }] } });
    write('library/torn.dump-profile.json', '{ "format": 1, "appliesTo": {');
    refused(/bad\.dump-profile\.json is for this module\. /, 'check', 'door.cfgdump', '--profiles', 'library');
  });

  it('refuses while one that cannot be read may be the one that fits, and names it', () => {
    setUp();
    assert.equal(call('check', 'old.cfgdump', '--profiles', 'library').status, 0);
    for (const torn of ['{ "format": 1, "appliesTo": {', '{ "format": 1, "extends": "nowhere.dump-profile.json" }']) {
      write('library/torn.dump-profile.json', torn);
      refused(
        /nobody can tell whether it does so alone\. library\/torn\.dump-profile\.json cannot be read, so it may be the one that fits: /,
        ...['check', 'old.cfgdump', '--profiles', 'library'],
      );
    }
  });

  it('a folder that is missing is refused, also where nothing asks for a profile of it', () => {
    setUp();
    write('door.dump-profile.json', read('library/below/door.dump-profile.json'));
    write('named.cfgdump', `@profile door.dump-profile.json\n${read('door.cfgdump')}`);
    assert.equal(call('check', 'named.cfgdump', '--profiles', 'library').status, 0);
    for (const file of ['named.cfgdump', 'door.dump-profile.json'])
      refused(/nowhere/, 'check', file, '--profiles', 'nowhere');
  });

  it('goes by several folders, takes a file of two of them once, and no folder without a profile', () => {
    setUp();
    mkdirSync(path('nothing'));
    assert.equal(call('check', 'door.cfgdump', '--profiles', 'library', '--profiles', 'library/below').status, 0);
    refused(/nothing: no profile was found there/, 'check', 'door.cfgdump', '--profiles', 'nothing');
    refused(/Give "--profile" or "--profiles", not both/, 'check', 'door.cfgdump', '--profiles=library', '--profile=x');
  });
});

describe('The library among the examples', () => {
  it('is proved by its samples, each of which gets its own profile where it names none', () => {
    cpSync('examples/library', path('library'), { recursive: true });
    const { status, stdout } = call('profile', 'test', 'library');
    assert.equal(status, 0, stdout);
    assert.match(stdout, /proved by their samples: 6, without a sample: 0, with faults: 0/);
    const samples = readdirSync(path('library/samples'));
    assert.equal(samples.length, 6);
    for (const name of samples) {
      write(name, read(`library/samples/${name}`).replace(/^@profile .*\n/, ''));
      const { stderr } = call('check', name, '--profiles', 'library');
      assert.equal(stderr, `${name}: the profile is library/${name.replace('.cfgdump', '.dump-profile.json')}\n`);
    }
  });
});
