import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { appendFileSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { createDiskHost, isDeviceName } from '../../server/src/diskHost.js';
import { say } from '../../shared-core/src/base/index.js';
import type { OpenFile } from '../../shared-core/src/workspace/index.js';

describe('files on a disk', () => {
  const host = createDiskHost();
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'countersum-'));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));
  const uri = (name: string) => pathToFileURL(join(folder, name)).toString();
  const put = (name: string, text: string) => writeFileSync(join(folder, name), text);
  async function open(name: string): Promise<OpenFile> {
    const opened = await host.open(uri(name));
    assert.ok(opened.ok, opened.ok ? '' : say(opened.why));
    return opened.value;
  }
  const whyNot = async (name: string, pipe = false) => {
    const opened = await host.open(uri(name), { pipe });
    return opened.ok ? 'opened' : say(opened.why);
  };
  const whole = (file: OpenFile) => [...file.chunks()].map((chunk) => file.decode(chunk)).join('');

  it('are read as often as is wanted, small ones and large ones', async () => {
    for (const size of [0, 10, 3 * 2 ** 20 + 1]) {
      put('a', 'x'.repeat(size));
      const file = await open('a');
      assert.equal(file.size, size);
      assert.ok(whole(file) === 'x'.repeat(size) && whole(file) === file.text());
      assert.equal(file.close().ok, true);
    }
  });

  it('are refused in the end where they were changed meanwhile', async () => {
    const CHANGES: readonly (() => void)[] = [
      () => appendFileSync(join(folder, 'a'), 'y'),
      () => truncateSync(join(folder, 'a'), 5),
      () => put('a', 'z'.repeat(3 * 2 ** 20)),
    ];
    for (const change of CHANGES)
      for (const size of [10, 3 * 2 ** 20]) {
        put('a', 'x'.repeat(size));
        const file = await open('a');
        // The clock of a file system may be as coarse as this.
        await new Promise((resolve) => setTimeout(resolve, 20));
        change();
        whole(file);
        const closed = file.close();
        assert.equal(closed.ok ? '' : say(closed.why), 'it was changed while it was read');
      }
  });

  it('are regular ones: no folders, pipes, devices or circles of links, and none is waited for', async () => {
    mkdirSync(join(folder, 'd'));
    symlinkSync('loop', join(folder, 'loop'));
    symlinkSync('/dev/zero', join(folder, 'zero'));
    execFileSync('mkfifo', [join(folder, 'pipe')]);
    assert.equal(await whyNot('d'), 'it is a folder');
    assert.equal(await whyNot('loop'), 'its links lead in a circle');
    assert.equal(await whyNot('zero', true), 'it is no regular file');
    assert.equal(await whyNot('pipe'), 'it is no regular file');
    assert.equal(await whyNot('gone'), 'no such file');
    assert.equal(await whyNot('d/../gone/x'), 'no such file');
    assert.equal(await whyNot(`${'long'.repeat(100)}`), 'its name is too long');
  });

  it('are not those of other computers or schemes', async () => {
    for (const other of ['file://host/share/a', 'http://host/a', 'untitled:a', 'file:///a%2Fb'])
      assert.equal((await host.open(other)).ok, false);
  });

  it('are the same behind a link', async () => {
    put('a', '');
    symlinkSync('a', join(folder, 'b'));
    put('c', '');
    assert.equal(await host.identity(uri('a')), await host.identity(uri('b')));
    assert.notEqual(await host.identity(uri('a')), await host.identity(uri('c')));
    assert.equal(await host.identity(uri('gone')), undefined);
  });

  it('are listed without following links', async () => {
    put('a', '');
    mkdirSync(join(folder, 'd'));
    symlinkSync('d', join(folder, 'e'));
    const listed = await host.list(pathToFileURL(folder).toString());
    assert.deepEqual(listed.ok && [...listed.value].sort((x, y) => x.name.localeCompare(y.name)), [
      { name: 'a', type: 'file' },
      { name: 'd', type: 'folder' },
      { name: 'e', type: 'other' },
    ]);
  });
});

describe('names of devices', () => {
  it('are those of Windows, in every folder and with every ending', () => {
    for (const name of ['nul', 'C:/cars/CON', 'COM1.cfgdump', 'lpt9 .txt', 'aux.dump-profile.json', 'con:'])
      assert.equal(isDeviceName(name, 'win32'), true, name);
    for (const name of ['null', 'console.cfgdump', 'com.cfgdump', 'COM10', 'a.nul'])
      assert.equal(isDeviceName(name, 'win32'), false, name);
    assert.equal(isDeviceName('aux.dump-profile.json', 'linux'), false);
  });
});
