// A profile in several files gives on the command line what the same profile in one file gives, byte for byte.
import assert from 'node:assert/strict';
import { mkdirSync, symlinkSync } from 'node:fs';
import { parse } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const REAR = 'rear-body.dump-profile.json';
const BASE = 'lib/base.dump-profile.json';

describe('a profile that extends another, on the command line', () => {
  const { call, everything, path, read, write } = bench();

  /** The profile of the demo, cut in two: the second half of its options and its locks are in the file itself. */
  const cut = () => {
    const whole = parse(read(REAR));
    const { options, locked, title, samples, ...rest } = whole;
    const half = Math.ceil(options.length / 2);
    const base = { ...rest, title: 'Any rear body', options: options.slice(0, half), locked: [] };
    mkdirSync(path('lib'));
    write(BASE, JSON.stringify(moved(base), undefined, 2));
    write(
      REAR,
      JSON.stringify({ format: 1, extends: BASE, title, options: options.slice(half), locked, samples }, undefined, 2),
    );
  };
  // Its conditions mention the profile of the cluster.
  const moved = (base: object) => JSON.parse(JSON.stringify(base).replaceAll('"cluster.dump', '"../cluster.dump'));

  it('check, show, set, plan, verify and use-profile answer the same', () => {
    const COMMANDS = [
      ['check', 'rear-body.cfgdump'],
      ['check', 'rear-body.as-found.cfgdump', '--json'],
      ['show', 'rear-body.cfgdump'],
      ['show', 'rear-body.cfgdump', '--json'],
      ['set', 'rear-body.cfgdump', 'trailer-socket=7-pin'],
      ['plan', 'trailer-socket.retrofit.json', '.'],
      ['verify', 'rear-body.cfgdump', 'rear-body.read-back.cfgdump'],
      ['use-profile', REAR, 'rear-body.cfgdump'],
      ['profile', 'test', REAR],
      ['check', 'trailer-socket.retrofit.json'],
    ];
    const answers = () => COMMANDS.map((command) => call(...command));
    const before = answers();
    cut();
    assert.deepEqual(answers(), before);
    assert.ok(before.some(({ status, stdout }) => status === 0 && stdout.includes('fits; set and set back')));
    assert.equal(call('check', BASE, REAR).status, 0, call('check', BASE, REAR).stdout);
  });

  it('says at "extends" what is wrong with the other, and then checks, proves and writes nothing', () => {
    cut();
    symlinkSync('loop.json', path('loop.json'));
    for (const [extended, words] of [
      ['missing.json', /"missing\.json" cannot be read/],
      ['loop.json', /"loop\.json" cannot be read/],
      ['.', /"\." cannot be read/],
      ['rear-body.cfgdump', /cannot be extended: /],
      [REAR, /in a circle/],
    ] as const) {
      write(REAR, JSON.stringify({ format: 1, extends: extended }));
      const before = JSON.stringify(everything());
      const checked = call('check', REAR);
      assert.equal(checked.status, 1);
      assert.match(checked.stdout, words);
      assert.match(checked.stdout, /^rear-body\.dump-profile\.json:1:23: /m);
      assert.equal(call('check', 'rear-body.cfgdump').status, 1);
      assert.doesNotMatch(call('check', 'rear-body.cfgdump').stdout, /all good/);
      assert.notEqual(call('set', 'rear-body.cfgdump', 'trailer-socket=7-pin', '--in-place').status, 0);
      assert.notEqual(call('profile', 'test', REAR).status, 0);
      assert.equal(JSON.stringify(everything()), before);
    }
  });

  it('says in which line of the other a problem is', () => {
    cut();
    write(BASE, read(BASE).replace('"locked"', '"lockd"'));
    const { stdout, status } = call('check', REAR);
    assert.equal(status, 1);
    assert.match(
      stdout,
      /^rear-body\.dump-profile\.json:3:\d+: .*base\.dump-profile\.json, line \d+: Unknown key "lockd"/m,
    );
  });
});
