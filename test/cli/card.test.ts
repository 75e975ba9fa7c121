import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { assertExpected } from '../support/expected.js';

const CLI = resolve('dist/cli.js');

describe('the job on the command line', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'countersum-'));
    cpSync('examples', folder, { recursive: true });
    plan('rear-body', 'trailer-socket=13-pin');
    plan('cluster', 'trailer-lamp=shown');
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  const call = (...args: readonly string[]) =>
    spawnSync(process.execPath, [CLI, ...args], { cwd: folder, encoding: 'utf8' });
  const read = (name: string) => readFileSync(join(folder, name), 'utf8');
  const write = (name: string, text: string) => writeFileSync(join(folder, name), text);

  /** The dump in work, with an option set and all sums right. */
  function plan(module: string, setting: string): void {
    const { stdout } = call('set', `${module}.as-found.cfgdump`, setting);
    write(
      `${module}.cfgdump`,
      stdout.replace(/^@taken.*\n/m, `@backup ${module}.as-found.cfgdump\n`).replace(/^@seal.*\n/m, ''),
    );
  }

  const REAR = ['rear-body.as-found.cfgdump', 'rear-body.cfgdump'] as const;
  const CLUSTER = ['cluster.as-found.cfgdump', 'cluster.cfgdump'] as const;
  const BOTH = [...REAR, ...CLUSTER, '--retrofit', 'trailer-socket.retrofit.json'] as const;

  it('card: the whole job of both modules, status 0, on standard output or in a file', () => {
    const { stdout, status } = call('card', ...BOTH);
    assert.equal(status, 0);
    assertExpected('card/command-line.md', stdout.replace(/\d{4}-\d\d-\d\d \d\d:\d\d UTC(?= \| &nbsp;)/, 'TIME'));
    assert.equal(call('card', ...BOTH, '--out', 'card.md').stdout, '');
    assert.match(read('card.md'), /^# Job card: 13-pin trailer socket/);
  });

  it('card: status 1 and the reason where the plan must not be written yet', () => {
    const { stdout, status } = call('card', ...REAR, '--retrofit', 'trailer-socket.retrofit.json', '--json');
    assert.equal(status, 1);
    assert.match(JSON.parse(stdout).open[0], /also changes the module of cluster\.dump-profile\.json/);
  });

  it('card: refused with one line and status 2', () => {
    write('other.cfgdump', read('rear-body.cfgdump').replace('TA020418', 'TA020419'));
    write('torn.retrofit.json', read('trailer-socket.retrofit.json').slice(0, 300));
    for (const [args, why] of [
      [[REAR[0]], /Use: countersum card BEFORE AFTER/],
      [[REAR[0], 'nowhere.cfgdump'], /nowhere\.cfgdump cannot be read: no such file/],
      [[REAR[0], 'other.cfgdump'], /not of the same module: "@vin"/],
      [[REAR[0], CLUSTER[1]], /not of the same module: "@part"/],
      [[...REAR, '--retrofit', 'torn.retrofit.json'], /torn\.retrofit\.json/],
    ] as const) {
      const { stdout, stderr, status } = call('card', ...args);
      assert.deepEqual([stdout, status], ['', 2]);
      assert.match(stderr, why);
      assert.equal(stderr.trimEnd().split('\n').length, 1);
    }
  });
});
