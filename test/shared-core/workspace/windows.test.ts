// Paths, links and names by the rules of Windows, over a host that imitates them: names of any case are one, either slash
// parts a path, a drive is where a path begins, and nothing is read from a share that a file names.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { whyNotWritable } from '../../../shared-core/src/model/index.js';
import {
  createWorkspace,
  fileName,
  type Host,
  listFiles,
  relativePath,
  resolveUri,
} from '../../../shared-core/src/workspace/index.js';
import { namedUri } from '../../../shared-core/src/workspace/uri.js';
import { type WindowsDisk, windowsDisk } from '../../support/windowsDisk.js';

const PROFILE = JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } });
const DUMP = 'file:///c%3A/Cars/2041/A.cfgdump';

/** What becomes of a dump in `C:\Cars\2041` with these headers. */
async function loaded(
  headers: string,
  more: Readonly<Record<string, string>> = {},
  change?: (disk: WindowsDisk) => void,
) {
  const disk = windowsDisk({
    'C:\\Cars\\2041\\A.cfgdump': `${headers}\r\n1: 00\r\n`,
    'C:\\Cars\\P.dump-profile.json': PROFILE,
    'D:\\Library\\P.dump-profile.json': PROFILE,
    'C:\\Cars\\2041\\Old.cfgdump': '1: 01\r\n',
    '\\\\host\\share\\P.dump-profile.json': PROFILE,
    ...more,
  });
  change?.(disk);
  const opened: string[] = [];
  const host: Host = {
    ...disk.host,
    open: (uri, allowed) => {
      opened.push(uri);
      return disk.host.open(uri, allowed);
    },
  };
  const found = await createWorkspace(host).load(DUMP);
  assert.ok(found.ok, found.ok ? '' : say(found.why));
  const { profile, backup, profileFile, dump } = found.value;
  return {
    profile: profile.kind === 'unreadable' ? say(profile.why) : profile.kind,
    backup: backup.kind === 'unreadable' ? say(backup.why) : backup.kind,
    profileFile,
    isWritten: whyNotWritable(dump) === undefined,
    opened: opened.length,
  };
}

describe('on Windows, a path in a dump', () => {
  it('leads to its file with either slash, in letters of any case, on any drive', async () => {
    for (const [path, file] of [
      ['..\\P.dump-profile.json', 'file:///c%3A/Cars/P.dump-profile.json'],
      ['../P.dump-profile.json', 'file:///c%3A/Cars/P.dump-profile.json'],
      ['..\\p.DUMP-PROFILE.json', 'file:///c%3A/Cars/p.DUMP-PROFILE.json'],
      ['C:\\Cars\\P.dump-profile.json', 'file:///c%3A/Cars/P.dump-profile.json'],
      ['c:/cars/P.dump-profile.json', 'file:///c%3A/cars/P.dump-profile.json'],
      ['D:\\Library\\P.dump-profile.json', 'file:///d%3A/Library/P.dump-profile.json'],
      ['file:///C:/Cars/P.dump-profile.json', 'file:///c%3A/Cars/P.dump-profile.json'],
      ['..\\2041\\..\\P.dump-profile.json', 'file:///c%3A/Cars/P.dump-profile.json'],
    ] as const) {
      const found = await loaded(`@profile ${path}`);
      assert.deepEqual([found.profile, found.profileFile, found.isWritten], ['read', file, true], path);
    }
  });

  it('is refused where it leads to a share, to a device of the system, or to the folder that a drive is in, and nothing is opened', async () => {
    for (const [path, words] of [
      ['\\\\host\\share\\P.dump-profile.json', /on another computer/],
      ['//host/share/P.dump-profile.json', /on another computer/],
      ['\\/host\\share\\P.dump-profile.json', /on another computer/],
      ['\\\\?\\C:\\Cars\\P.dump-profile.json', /on another computer/],
      ['\\\\?\\UNC\\host\\share\\P.dump-profile.json', /on another computer/],
      ['\\\\.\\C:', /on another computer/],
      ['file://host/share/P.dump-profile.json', /on another computer/],
      ['C:P.dump-profile.json', /a path on a drive begins "C:\/"/],
      ['C:..\\P.dump-profile.json', /a path on a drive begins "C:\/"/],
      ['d:', /a path on a drive begins "d:\/"/],
    ] as const) {
      const found = await loaded(`@profile ${path}\r\n@backup ${path}`);
      assert.match(found.profile, words, path);
      assert.match(found.backup, words, path);
      assert.deepEqual([found.isWritten, found.opened], [false, 1], path);
    }
  });

  it('stays on the share that the dump itself is on', () => {
    const base = 'file://host/share/cars/a.cfgdump';
    for (const [path, file] of [
      ['..\\p.json', 'file://host/share/p.json'],
      ['..\\..\\..\\..\\p.json', 'file://host/p.json'],
      ['\\p.json', 'file://host/p.json'],
      ['\\\\host\\share\\p.json', undefined],
      ['\\\\other\\share\\p.json', undefined],
      ['file://other/share/p.json', undefined],
    ] as const) {
      const found = namedUri(base, path);
      assert.equal(found.ok ? found.value : undefined, file, path);
    }
  });

  it('is written from one file to another with slashes, and from its drive where that is another one', () => {
    for (const [to, path] of [
      ['file:///c%3A/Cars/P.json', '../P.json'],
      ['file:///C%3A/Cars/P.json', '../P.json'],
      ['file:///d%3A/Library/P.json', 'd:/Library/P.json'],
      ['file:///c%3A/Cars/2041/a b.json', 'a b.json'],
    ] as const) {
      assert.equal(relativePath(DUMP, to), path);
      assert.equal(resolveUri(DUMP, path).toLowerCase(), to.toLowerCase().replace('a b', 'a%20b'));
    }
    assert.equal(relativePath('file:///d%3A/a', 'file:///c%3A/b'), 'c:/b');
    assert.equal(relativePath('file:///home/a', 'file:///c%3A/b'), '../c:/b', 'where it is no drive');
    assert.equal(relativePath(DUMP, 'file://host/share/P.json'), undefined);
    assert.equal(fileName(DUMP), 'A.cfgdump');
  });
});

describe('on Windows, a dump', () => {
  it('is itself by its name in any case, and is no backup of itself', async () => {
    for (const name of ['a.cfgdump', 'A.CFGDUMP', '.\\a.cfgdump', 'c:\\cars\\2041\\A.CfgDump', 'link.cfgdump'])
      assert.equal(
        (await loaded(`@backup ${name}`, {}, (disk) => disk.link('C:\\Cars\\2041\\link.cfgdump', 'a.CFGDUMP'))).backup,
        'itself',
        name,
      );
    assert.equal((await loaded('@backup old.CFGDUMP')).backup, 'read');
    assert.match((await loaded('@profile a.cfgdump')).profile, /problem|cannot be read|itself/);
    assert.equal((await loaded('@profile a.cfgdump')).isWritten, false);
  });

  it('is listed once, and not behind a link, by a folder in any letters', async () => {
    const disk = windowsDisk({ 'C:\\Cars\\A.cfgdump': '1: 00', 'C:\\Cars\\Sub\\B.HEX': '', 'D:\\far\\c.cfgdump': '' });
    disk.link('C:\\Cars\\link.cfgdump', 'A.cfgdump');
    disk.link('C:\\Cars\\Far', 'D:\\far');
    disk.link('C:\\Cars\\lost.cfgdump', 'gone.cfgdump');
    const list = await listFiles(disk.host, ['file:///C:/CARS']);
    assert.deepEqual(
      list.dumps.map((uri) => uri.replace(/^.*?CARS\//, '')),
      ['A.cfgdump', 'Sub/B.HEX', 'lost.cfgdump'],
    );
  });

  it('is looked at by other modules, in whatever letters it was opened and its profile is named', async () => {
    const needs = [{ profile: 'p.dump-profile.json', option: 'a', in: [0] }];
    const asking = JSON.stringify({
      ...JSON.parse(PROFILE),
      options: [{ id: 'a', title: 'A', line: 1, byte: 1, values: { 0: 'no' }, needs }],
    });
    const disk = windowsDisk({
      'C:\\Cars\\p.dump-profile.json': PROFILE,
      'C:\\Cars\\q.dump-profile.json': asking,
      'C:\\Cars\\A.cfgdump': '@profile P.DUMP-PROFILE.json\r\n@vehicle one\r\n1: 00\r\n',
      'C:\\Cars\\B.cfgdump': '@profile q.dump-profile.json\r\n@vehicle one\r\n1: 00\r\n',
    });
    const found = await createWorkspace(disk.host).load('file:///c%3A/cars/a.CFGDUMP', { dependents: true });
    assert.ok(found.ok);
    assert.equal(found.value.profile.kind, 'read');
    const [b, ...others] = found.value.dependents ?? [];
    assert.ok(b);
    assert.equal(others.length, 0);
    const own = found.value.dump;
    assert.deepEqual(
      b
        .modulesWith(own)('p.dump-profile.json')
        .map(({ dump }) => dump === own),
      [true],
    );
  });
});
