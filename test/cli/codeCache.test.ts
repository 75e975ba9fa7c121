// The program as it is installed: what V8 has compiled of it is kept beside it, and is never needed.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, it } from 'mocha';
import { makeFolder } from '../support/folder.js';

const DEMO = 'examples/seat-heater/seat.as-found.bin';

describe('what is kept of the program that was compiled', () => {
  const installed = () => {
    const folder = makeFolder();
    for (const name of ['cli.js', 'cli.code.js']) copyFileSync(join('dist', name), join(folder.path, name));
    const runWith = (limits: readonly string[], ...words: readonly string[]) => {
      const call = [...limits, join(folder.path, 'cli.js'), ...words];
      const { status, stdout, stderr } = spawnSync(process.execPath, call, { encoding: 'utf8' });
      return { status, said: `${stdout}${stderr}` };
    };
    const run = (...words: readonly string[]) => runWith([], ...words);
    const caches = () => readdirSync(folder.path).filter((name) => !name.endsWith('.js'));
    return { folder, run, runWith, caches };
  };

  it('is there after the first run that did something, and the answers stay the same with it and with one that is damaged', () => {
    const { folder, run, caches } = installed();
    assert.equal(run('--version').status, 0);
    assert.deepEqual(caches(), []);
    const first = run('check', DEMO);
    assert.equal(first.status, 0);
    const [cache = '', ...others] = caches();
    assert.deepEqual([cache, others], [`cli.code.js.${process.versions.v8}.cache`, []]);
    const kept = readFileSync(join(folder.path, cache));
    assert.deepEqual(run('check', DEMO), first);
    assert.ok(readFileSync(join(folder.path, cache)).equals(kept), 'it is not written again');
    writeFileSync(join(folder.path, cache), kept.subarray(0, kept.length / 2));
    assert.deepEqual(run('check', DEMO), first);
    assert.ok(readFileSync(join(folder.path, cache)).length > kept.length / 2, 'it is made anew');
    folder.remove();
  });

  it('is another one under other limits of V8, and neither takes the place of the other', () => {
    const { folder, run, runWith, caches } = installed();
    const first = run('check', DEMO);
    const kept = readFileSync(join(folder.path, caches()[0] ?? ''));
    for (let time = 0; time < 2; time++) assert.deepEqual(runWith(['--max-semi-space-size=2'], 'check', DEMO), first);
    const [own = '', other, ...more] = caches().sort((a, b) => a.length - b.length);
    assert.deepEqual([other, more], [own.replace(/cache$/, 'max-semi-space-size=2.cache'), []]);
    assert.ok(readFileSync(join(folder.path, own)).equals(kept));
    folder.remove();
  });

  it('is not missed where it cannot be written, and nothing half written stays', () => {
    const { folder, run, caches } = installed();
    const cache = `cli.code.js.${process.versions.v8}.cache`;
    // A folder of that name is in the way of anybody, root too.
    mkdirSync(join(folder.path, cache));
    for (let time = 0; time < 2; time++) {
      assert.match(run('check', DEMO).said, /all good/);
      assert.deepEqual(caches(), [cache]);
    }
    folder.remove();
  });
});
