import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { chmodSync, cpSync, existsSync, mkdirSync } from 'node:fs';
import { delimiter, dirname, resolve } from 'node:path';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';
import { programMissing } from '../support/programs.js';

/** Two programs that no machine has, so that they are always missing. */
const PROGRAMS = `[
  { commands: ['no-such-one'], debian: 'package-one', use: 'the first use' },
  { commands: ['no-such-two'], debian: 'package-two', use: 'the second use' },
]`;

describe('npm start and npm test set up what they need', () => {
  const { folder, path, read, write } = bench('empty');

  /** A program that notes what it is called with, and then does what a shell is told. */
  function fake(name: string, script: string): void {
    mkdirSync(path('bin'), { recursive: true });
    write(`bin/${name}`, `#!/bin/sh\necho ${name} "$@" >>${path('calls')}\n${script}\n`);
    chmodSync(path(`bin/${name}`), 0o755);
  }
  const calls = () => (existsSync(path('calls')) ? read('calls').trimEnd().split('\n') : []);
  const run = (args: readonly string[], env: Readonly<Record<string, string>> = {}) => {
    const options = { cwd: folder(), env: { PATH: path('bin'), ...env }, encoding: 'utf8' } as const;
    const { status, stdout, stderr } = spawnSync(process.execPath, args, options);
    return { status, stdout, stderr };
  };
  const install = (env: Readonly<Record<string, string>> = {}, uid = 0) => {
    const module = JSON.stringify(resolve('scripts/prepare.mjs'));
    const script = `process.getuid = () => ${uid}; (await import(${module})).installPrograms(${PROGRAMS});`;
    return run(['--input-type=module', '-e', script], env);
  };

  it('the packages of the system are named before they are installed, and how to prevent it', () => {
    fake('apt-get', 'echo noise');
    const { status, stdout } = install();
    assert.equal(status, 0);
    assert.match(stdout, /package-one \(the first use\), package-two \(the second use\)/);
    assert.match(stdout, /COUNTERSUM_NO_INSTALL=1/);
    assert.ok(stdout.indexOf('COUNTERSUM_NO_INSTALL=1') < stdout.indexOf('Missing'));
    assert.deepEqual(
      calls().map((call) => call.replace(/^.*\b(update|install)\b.* (\S+)$/, '$1 $2')),
      ['update -qq', 'install package-one', 'install package-two'],
    );
  });

  it('an installation that fails shows its error and what to type', () => {
    fake('apt-get', 'echo out of luck; echo no network >&2; exit 100');
    const { status, stdout } = install();
    assert.equal(status, 0);
    assert.match(stdout, /no network/);
    assert.match(stdout, /out of luck/);
    for (const name of ['package-one', 'package-two']) assert.match(stdout, new RegExp(`sudo apt-get install ${name}`));
  });

  it('nothing is installed with COUNTERSUM_NO_INSTALL, nor by whom it is not allowed to', () => {
    fake('apt-get', '');
    for (const { stdout } of [install({ COUNTERSUM_NO_INSTALL: '1' }), install({}, 1000)]) {
      assert.deepEqual(calls(), []);
      assert.match(stdout, /Missing: no-such-one \(the first use\)\. .*sudo apt-get install package-one/);
    }
  });

  it('packages of the project that cannot be installed end it with the reason and what to type', () => {
    for (const name of ['scripts', 'package.json', 'package-lock.json']) cpSync(name, path(name), { recursive: true });
    const tools = { PATH: [path('bin'), dirname(process.execPath)].join(delimiter) };
    fake('npm', 'echo no registry >&2; exit 7');
    for (const script of ['start', 'test']) {
      const failed = run([`scripts/${script}.mjs`], tools);
      assert.equal(failed.status, 1, failed.stdout);
      assert.match(failed.stdout + failed.stderr, /no registry/);
      assert.match(failed.stdout + failed.stderr, /npm ci --ignore-scripts/);
      const prevented = run([`scripts/${script}.mjs`], { ...tools, COUNTERSUM_NO_INSTALL: '1' });
      assert.equal(prevented.status, 1);
      assert.match(prevented.stdout + prevented.stderr, /COUNTERSUM_NO_INSTALL .*npm ci --ignore-scripts/);
      for (const { stdout, stderr } of [failed, prevented]) {
        assert.doesNotMatch(stdout + stderr, /\n {4}at /);
        if (script === 'test') assert.match(stdout, /\n0 passed, 1 failed\n$/);
      }
    }
    assert.equal(calls().length, 2);
  });

  it('a test that needs a missing program says what to do', () => {
    assert.match(programMissing('srec_cat'), /^Missing: srec_cat .*sudo apt-get install srecord$/);
    assert.match(programMissing('nvim'), /^Missing: nvim .*sudo apt-get install neovim$/);
  });
});
