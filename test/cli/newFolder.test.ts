// A folder that is new or empty gets all files of a run or none, whatever fails and whenever.
import assert from 'node:assert/strict';
import { existsSync, mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { after, beforeEach, describe, it } from 'mocha';
import { type Fs, thisMachine } from '../../server/src/files/machine.js';
import { fillFolder, folderToFill } from '../../server/src/files/newFolder.js';
import { makeFolder } from '../support/folder.js';
import { run, why } from '../support/runs.js';

const folder = makeFolder();
const FILES = [
  { name: 'a.cfgdump', bytes: Buffer.from('1: 00\n') },
  { name: 'b.hex', bytes: Buffer.from(':00000001FF\n') },
];
const WRITTEN = { 'a.cfgdump': '1: 00\n', 'b.hex': ':00000001FF\n' };
const below = (name: string) => Object.fromEntries(Object.entries(WRITTEN).map(([file, text]) => [name + file, text]));
const all = () => Object.fromEntries(folder.files());
const fill = (name: string, { fs, files = FILES }: { fs?: Partial<Fs>; files?: typeof FILES } = {}) => {
  const machine = run(1, fs === undefined ? {} : { fs });
  fillFolder(machine, folderToFill(machine, folder.of(name)), files);
};

describe('a folder that is filled', () => {
  beforeEach(() => folder.clear());
  after(() => folder.remove());

  it('is one that is new, in folders that are new too, or one that is empty, also by a link to it', () => {
    fill('out');
    fill('deep/er/out');
    mkdirSync(folder.of('empty'));
    fill('empty');
    mkdirSync(folder.of('own'));
    symlinkSync(folder.of('own'), folder.of('link'));
    const machine = run(1);
    assert.equal(folderToFill(machine, folder.of('link')).path, folder.of('own'));
    assert.deepEqual(all(), {
      ...{ ...below('out/'), ...below('deep/er/out/'), ...below('empty/') },
      link: 'no regular file',
    });
  });

  it('is none that holds anything, and no file', () => {
    mkdirSync(folder.of('own'));
    writeFileSync(folder.of('own/note'), 'mine');
    assert.match(
      why(() => fill('own')),
      /is not empty\. Name a folder that is new or empty/,
    );
    assert.match(
      why(() => fill('own/note')),
      /cannot be written/,
    );
    assert.deepEqual(all(), { 'own/note': 'mine' });
  });

  it('gets nothing where two files would have one name', () => {
    const files = [...FILES, ...FILES];
    assert.match(
      why(() => fill('out', { files })),
      /a\.cfgdump: two copies would have this name/,
    );
    assert.deepEqual(all(), {});
    assert.equal(existsSync(folder.of('out')), false);
  });

  it('gets nothing, and nothing is left beside it, wherever a call of the system fails', () => {
    const { fs } = thisMachine();
    const calls = ['openSync', 'writeSync', 'fsyncSync', 'mkdirSync', 'renameSync'] as const;
    let failed = 0;
    for (const name of calls)
      for (let good = 0; ; good++) {
        folder.clear();
        let made = 0;
        let isHit = false;
        const failing = (...args: readonly unknown[]): unknown => {
          if (made++ !== good) return Reflect.apply(fs[name], fs, args);
          isHit = true;
          throw Object.assign(new Error(), { code: 'ENOSPC' });
        };
        try {
          fill('out', { fs: { [name]: failing } });
        } catch {
          failed++;
        }
        if (!isHit) break;
        assert.deepEqual(all(), {}, `${name}, after ${good}`);
      }
    assert.ok(failed >= 8, `${failed}`);
    assert.deepEqual(all(), below('out/'));
  });

  it('gets nothing where somebody has put something into it meanwhile, which stays', () => {
    mkdirSync(folder.of('out'));
    const { fs } = thisMachine();
    const mkdir: Fs['mkdirSync'] = (...args) => {
      writeFileSync(folder.of('out/theirs'), 'theirs');
      return fs.mkdirSync(...args);
    };
    assert.match(
      why(() => fill('out', { fs: { mkdirSync: mkdir } })),
      /cannot be written/,
    );
    assert.deepEqual(all(), { 'out/theirs': 'theirs' });
  });
});
