import assert from 'node:assert/strict';
import { mkdirSync, readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const { call, everything, path, read, write } = bench('empty');

const PROFILE = {
  format: 1,
  lines: { from: 1, to: 2, data: 3, sum: 1 },
  lineSum: { method: 'add', over: ['label', 'data'] },
  appliesTo: { part: ['SE-*'] },
};
const TEXT = '1: 01 02 03 | 07\n2: 10 21 00 | 33\n';
const OWN = `@part SE-1\n${TEXT}`;

describe('use-profile', () => {
  const setUp = () => {
    mkdirSync(path('below'));
    write('p.dump-profile.json', JSON.stringify(PROFILE));
    write('a.cfgdump', OWN);
    write('below/b.cfgdump', OWN.replaceAll('\n', '\r\n'));
    write('named.cfgdump', `@profile other.dump-profile.json\n${OWN}`);
    write('sealed.cfgdump', `@seal sha256:00\n${OWN}`);
    write('door.cfgdump', `@part DO-1\n${TEXT}`);
    write('wrong.cfgdump', OWN.replace('| 33', '| 34'));
  };

  it('says in which dumps the profile may be named, and why the others stay as they are', () => {
    setUp();
    const before = JSON.stringify(everything());
    const { status, stdout, stderr } = call('use-profile', 'p.dump-profile.json', '.');
    assert.equal(status, 0, stderr);
    assert.match(stdout, /^a\.cfgdump may name p\.dump-profile\.json$/m);
    for (const said of [
      /^door\.cfgdump stays as it is: The profile is for another module/m,
      /^named\.cfgdump stays as it is: it names other\.dump-profile\.json already\.$/m,
      /^sealed\.cfgdump stays as it is: it is sealed\.$/m,
      /^wrong\.cfgdump stays as it is: the profile does not explain all of its lines and sums\.$/m,
    ])
      assert.match(stderr, said);
    assert.equal(JSON.stringify(everything()), before);
  });

  it('--write names it in all of them, by its path from each, and another run finds nothing to do', () => {
    setUp();
    const { named, left } = JSON.parse(call('use-profile', 'p.dump-profile.json', '.', '--write', '--json').stdout);
    assert.deepEqual([named, left.length], [['a.cfgdump', 'below/b.cfgdump'], 4]);
    assert.equal(read('a.cfgdump'), `@profile p.dump-profile.json\n${OWN}`);
    assert.equal(read('below/b.cfgdump'), `@profile ../p.dump-profile.json\r\n${OWN.replaceAll('\n', '\r\n')}`);
    assert.equal(call('check', 'a.cfgdump', 'below/b.cfgdump').status, 0);
    assert.equal(call('use-profile', 'p.dump-profile.json', '.', '--write').status, 1);
  });

  it('--write leaves dumps as they are that are set aside from the work, and says so', () => {
    setUp();
    for (const use of ['another-module', 'comparision']) {
      const text = `@use ${use}\n${OWN}`;
      write('a.cfgdump', text);
      const { stderr } = call('use-profile', 'p.dump-profile.json', 'a.cfgdump', '--write');
      assert.match(stderr, /^a\.cfgdump stays as it is: .*"@use /m);
      assert.equal(read('a.cfgdump'), text);
    }
  });

  it('--write names the profile in a dump to compare with, which no option is found without', () => {
    setUp();
    write('a.cfgdump', `@use comparison\n${OWN}`);
    assert.equal(call('use-profile', 'p.dump-profile.json', 'a.cfgdump', '--write').status, 0);
    assert.match(read('a.cfgdump'), /^@profile p\.dump-profile\.json$/m);
    assert.ok(read('a.cfgdump').endsWith(OWN));
  });

  it('--write keeps encoding, mark and line ends', () => {
    setUp();
    const utf16 = (text: string) => Buffer.from(`\ufeff${text}`, 'utf16le');
    write('a.cfgdump', utf16(OWN));
    write('mark.cfgdump', `\ufeff${OWN}`);
    write('cr.cfgdump', OWN.replaceAll('\n', '\r'));
    assert.equal(call('use-profile', 'p.dump-profile.json', '.', '--write').status, 0);
    assert.deepEqual(readFileSync(path('a.cfgdump')), utf16(`@profile p.dump-profile.json\n${OWN}`));
    assert.equal(read('mark.cfgdump'), `\ufeff@profile p.dump-profile.json\n${OWN}`);
    assert.equal(read('cr.cfgdump'), `@profile p.dump-profile.json\r${OWN.replaceAll('\n', '\r')}`);
    assert.equal(call('check', 'a.cfgdump', 'mark.cfgdump', 'cr.cfgdump').status, 0);
  });

  const GUESSED = JSON.stringify({
    ...PROFILE,
    totals: [{ name: 'file sum', method: 'add', bits: 16, confidence: 'guess' }],
  });
  const A = `@use comparison\n@vehicle car A\n@profile p.dump-profile.json\n${OWN}total: 0037\n`;
  const B =
    '@use comparison\n@vehicle car B\n@profile p.dump-profile.json\n@part SE-1\n1: 05 02 03 | 0B\n2: 10 21 00 | 33\ntotal: 003B\n';

  it('--confirm takes the guess away from a file sum that two dumps with other values follow', () => {
    write('p.dump-profile.json', GUESSED);
    write('a.cfgdump', A);
    write('b.cfgdump', B);
    const alone = call('use-profile', 'p.dump-profile.json', 'a.cfgdump', '--confirm');
    assert.match(alone.stderr, /^The file sum is only a guess: a dump of another car, with another value, /m);
    assert.doesNotMatch(alone.stdout, /is confirmed/);
    assert.equal(read('p.dump-profile.json'), GUESSED);
    const told = call('use-profile', 'p.dump-profile.json', 'a.cfgdump', 'b.cfgdump', '--write');
    assert.match(
      told.stderr,
      /^The file sum was a guess\. a\.cfgdump \(0037\) and b\.cfgdump \(003B\), as they were read/m,
    );
    assert.match(told.stderr, /^"--confirm" writes that into the profile\.$/m);
    assert.doesNotMatch(told.stdout, /is confirmed/);
    assert.equal(read('p.dump-profile.json'), GUESSED);
    assert.match(call('check', 'a.cfgdump').stdout, /^a\.cfgdump: only a guess: file sum\. A dump of another car/m);
    assert.doesNotMatch(call('check', 'a.cfgdump').stdout, /all good/);
    const { status, stdout } = call('use-profile', 'p.dump-profile.json', 'a.cfgdump', 'b.cfgdump', '--confirm');
    assert.equal(status, 0);
    assert.match(stdout, /^p\.dump-profile\.json says now that its file sum is confirmed$/m);
    const [total] = JSON.parse(read('p.dump-profile.json')).totals;
    assert.deepEqual(
      [total.confidence, total.note],
      ['confirmed', 'Follows from the bytes in a.cfgdump (0037) and b.cfgdump (003B).'],
    );
    assert.match(call('check', 'a.cfgdump', 'b.cfgdump').stdout, /Files checked: 2, all good/);
    assert.equal(call('use-profile', 'p.dump-profile.json', 'a.cfgdump', 'b.cfgdump', '--confirm').status, 1);
  });

  it('says where a file sum is described that is only a guess, where the profile builds on that file', () => {
    write('base.dump-profile.json', GUESSED);
    write('p.dump-profile.json', JSON.stringify({ format: 1, extends: 'base.dump-profile.json' }));
    write('a.cfgdump', A);
    const { stderr } = call('use-profile', 'p.dump-profile.json', 'a.cfgdump');
    assert.match(
      stderr,
      /^The file sum is only a guess, described in base\.dump-profile\.json, which p\.dump-profile\.json extends\. Give that profile to "use-profile" to confirm it\.$/m,
    );
  });

  it('of an image names it behind the end record', () => {
    const total = { name: 'sum', address: 3, method: 'xor', over: [{ from: 0, to: 2 }] };
    write('i.dump-profile.json', JSON.stringify({ format: 1, addresses: { from: 0, to: 3 }, totals: [total] }));
    const image = ':0400000001020300F6\n:00000001FF';
    write('i.hex', image);
    const { status, stderr } = call('use-profile', 'i.dump-profile.json', 'i.hex', '--write');
    assert.equal(status, 0, stderr);
    assert.equal(read('i.hex'), `${image}\n; @profile i.dump-profile.json\n`);
  });

  it('of raw bytes says to write the header only where it is not there yet and the profile explains them', () => {
    const total = { name: 'sum', address: 3, method: 'xor', over: [{ from: 0, to: 2 }] };
    write('i.dump-profile.json', JSON.stringify({ format: 1, addresses: { from: 0, to: 3 }, totals: [total] }));
    const told = (bytes: readonly number[], headers: string) => {
      write('ee.bin', Buffer.from(bytes));
      write('ee.bin.dump-headers', headers);
      return call('use-profile', 'i.dump-profile.json', 'ee.bin').stderr;
    };
    const right = [1, 2, 3, 0];
    assert.equal(
      told(right, '@vehicle car A\n'),
      'ee.bin stays as it is: it holds raw bytes. Write "@profile" into the file of its headers.\n',
    );
    assert.equal(
      told(right, '@vehicle car A\n@profile i.dump-profile.json\n'),
      'ee.bin stays as it is: it names i.dump-profile.json already.\n',
    );
    assert.equal(told(right, '@seal sha256:00\n'), 'ee.bin stays as it is: it is sealed.\n');
    assert.equal(
      told([1, 2, 3, 4], '@vehicle car A\n'),
      'ee.bin stays as it is: the profile does not explain all of its lines and sums.\n',
    );
  });

  it('is status 2 without a dump, and with a profile that cannot be read', () => {
    write('a.cfgdump', OWN);
    assert.equal(call('use-profile', 'p.dump-profile.json').status, 2);
    assert.equal(call('use-profile', 'p.dump-profile.json', 'a.cfgdump').status, 2);
  });
});

describe('find-option --add', () => {
  it('writes the option by the name, the words and the caution that are given', () => {
    const names = Array.from({ length: 12 }, (_, i) => `d${i}.cfgdump`);
    for (const [i, name] of names.entries()) {
      const fitted = i % 2 === 0;
      write(
        name,
        `@profile q.dump-profile.json\n${fitted ? '@fitted' : '@absent'} tow\n1: 00 ${fitted ? '20' : '00'} 0${i % 5}\n`,
      );
    }
    write('q.dump-profile.json', JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 3, sum: 0 } }));
    const add = (...more: readonly string[]) => call('find-option', '--tag', 'tow', ...names, ...more);
    const given = ['--add', 'tow', '--title', 'Tow bar', '--words', '13-pin, none', '--hazard', 'lighting'];
    const { status, stderr } = add(...given, '--write');
    assert.equal(status, 0, stderr);
    const [option] = JSON.parse(read('q.dump-profile.json')).options;
    assert.deepEqual(
      [option.id, option.title, option.values, option.hazard],
      ['tow', 'Tow bar', { 0: 'none', 1: '13-pin' }, 'lighting'],
    );
    write('q.dump-profile.json', JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 3, sum: 0 } }));
    assert.equal(add('--add', 'tow', '--hazard', 'emissions, lighting', '--write').status, 0);
    assert.deepEqual(JSON.parse(read('q.dump-profile.json')).options[0].hazard, ['lighting', 'emissions']);
    assert.match(add('--add', 'tow', '--words', 'only one').stderr, /wants two texts/);
    assert.match(add('--title', 'Tow bar').stderr, /go with "--add" only/);
    for (const wrong of ['mood', 'lighting,mood', 'lighting,lighting', ''])
      assert.equal(add('--add', 'tow', '--hazard', wrong).status, 2, wrong);
  });
});
