import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmdirSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { after, before, describe, it } from 'mocha';

const CLI = resolve('dist/cli.js');

describe('the command line reads', () => {
  let folder: string;
  const GOOD = `${':0410000001020304E2\n'.repeat(1)}:00000001FF\n`;
  const BAD = GOOD.replace('E2', 'E3');

  before(() => {
    folder = mkdtempSync(join(tmpdir(), 'countersum-'));
    for (const name of ['rear-body.cfgdump', 'rear-body.as-found.cfgdump', 'rear-body.dump-profile.json'])
      copyFileSync(join('examples/trailer-socket', name), join(folder, name));
    writeFileSync(join(folder, 'good.hex'), GOOD);
    writeFileSync(join(folder, 'bad.hex'), BAD);
  });
  after(() => rmSync(folder, { recursive: true, force: true }));

  const shell = (script: string) =>
    spawnSync('bash', ['--norc', '-c', script.replaceAll('countersum', `"${process.execPath}" "${CLI}"`)], {
      cwd: folder,
      encoding: 'utf8',
    });

  it('a pipe once and whole: a damaged image is not good', () => {
    const found = shell('countersum check <(cat bad.hex)');
    assert.equal(found.status, 1, found.stdout + found.stderr);
    assert.match(found.stdout, /line-sum/);
    assert.equal(shell('countersum check <(cat good.hex)').status, 0);
    assert.equal(shell('countersum check <(cat bad.hex; sleep 0.2; cat good.hex)').status, 1);
  });

  it('standard input, with paths from the working folder', () => {
    const found = shell('cat rear-body.as-found.cfgdump | countersum check - --json');
    assert.equal(found.status, 0, found.stdout + found.stderr);
    const [file] = JSON.parse(found.stdout).files;
    assert.deepEqual([file.file, file.profile], ['-', 'rear-body.dump-profile.json']);
    assert.equal(shell('cat bad.hex | countersum check -').status, 1);
    assert.equal(shell('countersum check - < rear-body.cfgdump').status, 1);
  });

  it('standard input whatever a folder is called, and never as another module of its vehicle', () => {
    mkdirSync(join(folder, '-'));
    const found = shell('countersum check - < good.hex');
    rmdirSync(join(folder, '-'));
    assert.equal(found.status, 0, found.stdout + found.stderr);
    const needs = [{ profile: 'q.dump-profile.json', option: 'b', in: [1] }];
    const option = { id: 'a', title: 'A', line: 1, byte: 1, values: { 1: 'yes' }, needs };
    const profile = { format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 }, options: [option] };
    writeFileSync(join(folder, 'p.dump-profile.json'), JSON.stringify(profile));
    const text = '@profile p.dump-profile.json\\n@vehicle 1\\n1: 01\\n';
    const said = shell(`printf '${text}' | countersum check - --json`);
    assert.doesNotMatch(said.stdout, /read already|cannot be read: it/);
  });

  it('standard input once, also where options are set, sums are corrected or lines restored', () => {
    for (const args of ['set - trailer-socket=7-pin', 'fix -', 'restore -']) {
      const found = shell(`cat rear-body.as-found.cfgdump | countersum ${args}`);
      assert.doesNotMatch(found.stderr, /read already/, args);
      assert.equal(found.status, args.startsWith('restore') ? 2 : 0, found.stderr);
    }
    const set = shell('cat rear-body.as-found.cfgdump | countersum set - trailer-socket=7-pin');
    assert.equal(set.stdout, shell('countersum set rear-body.as-found.cfgdump trailer-socket=7-pin').stdout);
  });

  it('standard input not twice as two dumps', () => {
    const found = shell('cat rear-body.cfgdump | countersum compare - -');
    assert.equal(found.status, 2);
    assert.match(found.stderr, /read already/);
  });

  it('no device and no folder as a dump', () => {
    for (const [name, why] of [
      ['/dev/zero', 'no regular file'],
      ['.', 'no such file|folder'],
    ] as const) {
      const found = shell(`countersum compare ${name} rear-body.cfgdump`);
      assert.equal(found.status, 2);
      assert.match(found.stderr, new RegExp(why));
    }
  });

  it('no pipe that a header names', () => {
    const text = readFileSync(join(folder, 'rear-body.cfgdump'), 'utf8');
    writeFileSync(join(folder, 'piped.cfgdump'), text.replace('rear-body.dump-profile.json', '/dev/fd/9'));
    const found = shell('countersum check piped.cfgdump 9< <(cat rear-body.dump-profile.json)');
    assert.equal(found.status, 1);
    assert.match(found.stdout, /profile-unreadable.*no regular file/);
  });

  it('nothing in circles of links', () => {
    symlinkSync('loop.cfgdump', join(folder, 'loop.cfgdump'));
    const found = shell('countersum check loop.cfgdump');
    assert.deepEqual(
      [found.status, found.stderr],
      [2, 'countersum: loop.cfgdump cannot be read: its links lead in a circle\n'],
    );
  });
});
