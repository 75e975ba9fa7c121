// The hook of the documentation under git itself: what is good is committed, what is not is refused.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench, CLI } from '../support/commandLine.js';

const DUMP = 'cluster.cfgdump';
const { PATH = '' } = process.env;
const PAGE = 'docs/how-to/check-before-a-commit.md';

describe('the check before a commit', function () {
  this.timeout(30_000);
  const { folder, path, read, write } = bench();
  const git = (...args: readonly string[]) => {
    const env = {
      ...process.env,
      PATH: `${path('.git/bin')}:${PATH}`,
      GIT_CONFIG_GLOBAL: '/dev/null',
      GIT_CONFIG_SYSTEM: '/dev/null',
    };
    const who = ['-c', 'user.name=a', '-c', 'user.email=a@example.invalid'];
    return spawnSync('git', [...who, ...args], { cwd: folder(), env, encoding: 'utf8' });
  };
  const commits = () => git('rev-list', '--count', 'HEAD').stdout.trim();
  const setUp = () => {
    for (const name of ['rear-body.cfgdump', 'rear-body.read-back.cfgdump']) rmSync(path(name));
    const found = read('cluster.as-found.cfgdump').replace(/^@seal.*\n/m, '');
    write(DUMP, found.replace(/^@taken.*/m, '@backup cluster.as-found.cfgdump'));
    assert.equal(git('init', '-q').status, 0);
    const [, hook = ''] = /^```text\n((?:.*\n)*?)```/m.exec(readFileSync(PAGE, 'utf8')) ?? [];
    mkdirSync(path('.git/hooks'), { recursive: true });
    mkdirSync(path('.git/bin'));
    write('.git/hooks/pre-commit', hook);
    write('.git/bin/countersum', `#!/bin/sh\nexec '${process.execPath}' '${CLI}' "$@"\n`);
    for (const name of ['hooks/pre-commit', 'bin/countersum']) chmodSync(path(`.git/${name}`), 0o755);
    git('add', '-A');
    const first = git('commit', '-qm', 'as found');
    assert.equal(first.status, 0, first.stderr);
  };
  const spoil = () => {
    const spoiled = read(DUMP).replace(/^( 3:.*\| )../m, '$100');
    assert.notEqual(spoiled, read(DUMP));
    write(DUMP, spoiled);
  };

  it('lets a good commit pass, and refuses one with a wrong sum', () => {
    setUp();
    write('notes.txt', 'a note\n');
    git('add', '-A');
    assert.equal(git('commit', '-qm', 'a note').status, 0);
    spoil();
    const { status, stderr } = git('commit', '-qam', 'a wrong sum');
    assert.equal(status, 1);
    assert.match(stderr, /cluster\.cfgdump:.*line-sum/);
    assert.equal(commits(), '2');
  });

  it('goes by what is to be committed, not by what is in the folder', () => {
    setUp();
    const good = read(DUMP);
    spoil();
    git('add', DUMP);
    write(DUMP, good);
    assert.equal(git('commit', '-qm', 'a wrong sum').status, 1);
    git('add', DUMP);
    spoil();
    write('notes.txt', 'a note\n');
    git('add', 'notes.txt');
    assert.equal(git('commit', '-qm', 'a note').status, 0);
  });
});
