import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { leftPlans } from '../../server/src/files/journals.js';
import type { Machine } from '../../server/src/files/machine.js';
import { placeToWrite } from '../../server/src/files/place.js';
import { save, saveAll } from '../../server/src/files/save.js';
import { say } from '../../shared-core/src/base/index.js';
import { JOURNAL_NAME } from '../../shared-core/src/jobs/index.js';
import { why } from '../support/runs.js';
import { windowsDisk } from '../support/windowsDisk.js';

const A = 'C:\\Cars\\A.cfgdump';

describe('on a disk of Windows, a file', () => {
  const put = (machine: Machine, name: string, text = 'after') =>
    save(machine, placeToWrite(machine, name), (sink) => sink.text(text));

  it('is the same by a name in any case, with any slash, and keeps the one that it has', () => {
    const disk = windowsDisk({ [A]: 'before' });
    for (const [i, name] of ['c:\\cars\\a.CFGDUMP', 'C:/CARS/a.cfgdump', 'C:\\Cars\\sub\\..\\A.cfgdump'].entries()) {
      put(disk.run(1), name, `${i}`);
      assert.deepEqual([disk.files(), disk.read(A)], [[A], `${i}`]);
    }
    disk.link('C:\\link.cfgdump', 'cars\\a.cfgdump');
    put(disk.run(1), 'c:\\LINK.cfgdump', 'linked');
    assert.deepEqual([disk.files(), disk.read(A)], [[A], 'linked']);
  });

  it('is made new beside others, on a drive or a share', () => {
    const disk = windowsDisk({ [A]: 'x', '\\\\host\\share\\cars\\b.cfgdump': 'x' });
    put(disk.run(1), 'c:\\CARS\\new.cfgdump');
    put(disk.run(1), '\\\\host\\share\\cars\\B.cfgdump');
    assert.equal(disk.read('C:\\Cars\\new.cfgdump'), 'after');
    assert.equal(disk.read('\\\\host\\share\\cars\\b.cfgdump'), 'after');
    assert.equal(disk.files().length, 3);
  });

  it('is not written by a name that other programs take for something else', () => {
    const disk = windowsDisk({ [A]: 'before' });
    for (const name of ['nul', 'COM1.cfgdump', 'Con.txt', 'A.cfgdump:hidden', 'A.cfgdump.', 'A.cfgdump ', 'x..'])
      assert.match(
        why(() => put(disk.run(1), `C:\\Cars\\${name}`)),
        /is no name for a file on Windows\. Name another file/,
        name,
      );
    for (const name of ['new\\', 'new/'])
      assert.match(
        why(() => put(disk.run(1), `C:\\Cars\\${name}`)),
        /is the name of a folder/,
      );
    for (const name of ['.', '..', 'C:\\'])
      assert.match(
        why(() => put(disk.run(1), name === 'C:\\' ? name : `C:\\Cars\\${name}`)),
        /it is a folder/,
      );
    assert.deepEqual([disk.files(), disk.read(A)], [[A], 'before']);
    put(disk.run(1), 'C:\\Cars\\console.cfgdump');
    put(disk.run(1), 'C:\\Cars\\com10');
    assert.equal(disk.files().length, 3);
  });

  it('stays as it is, with nothing beside it, where it is read-only, in use, or sealed', () => {
    const disk = windowsDisk({ [A]: 'before', 'C:\\Cars\\sealed.cfgdump': '@SEAL x\r\n' });
    disk.mark(A, { isReadOnly: true });
    assert.match(
      why(() => put(disk.run(1), 'c:\\cars\\a.cfgdump')),
      /is read-only/,
    );
    disk.mark(A, { isReadOnly: false, isInUse: true });
    assert.match(
      why(() => put(disk.run(1), 'c:\\cars\\a.cfgdump')),
      /cannot be written: it is in use/,
    );
    assert.match(
      why(() => put(disk.run(1), 'c:\\cars\\SEALED.cfgdump')),
      /is a sealed backup/,
    );
    assert.deepEqual([disk.files().length, disk.read(A)], [2, 'before']);
  });

  it('is written by one run at a time, though they name it in other letters', () => {
    const disk = windowsDisk({ [A]: 'before' });
    let refused = '';
    const machine = disk.run(1, [1, 2]);
    save(machine, placeToWrite(machine, A), (sink) => {
      refused = why(() => put(disk.run(2, [1, 2]), 'c:\\CARS\\a.CfgDump', 'of 2'));
      sink.text('of 1');
    });
    assert.match(refused, /is being written by another run/);
    assert.deepEqual([disk.files(), disk.read(A)], [[A], 'of 1']);
  });
});

describe('on a disk of Windows, a plan', () => {
  const dump = (folder: string, value: string) => `@profile ${folder}own.dump-profile.json\r\n1: ${value}\r\n`;
  const PROFILE = JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } });
  /** Two modules, one of them in a folder below, and the folder that both are in. */
  const places = (top: string) => {
    const files = { [`${top}A.cfgdump`]: dump('', '01'), [`${top}Sub\\b.cfgdump`]: dump('..\\', '02') };
    const after = { [`${top}A.cfgdump`]: dump('', 'F1'), [`${top}Sub\\b.cfgdump`]: dump('..\\', 'F2') };
    return { files, after, disk: windowsDisk({ ...files, [`${top}own.dump-profile.json`]: PROFILE }) };
  };
  const rewritesOf = (files: Readonly<Record<string, string>>, after: Readonly<Record<string, string>>) =>
    Object.entries(files).map(([file, before]) => ({
      file: file.toLowerCase(),
      before,
      text: after[file] ?? '',
      bytesOf: (text: string) => Buffer.from(text),
    }));
  const texts = (disk: ReturnType<typeof windowsDisk>, files: object) =>
    Object.keys(files).map((name) => disk.read(name));

  for (const top of ['C:\\Cars\\', 'C:\\'])
    it(`in ${top} is carried out or undone by the next run, wherever it is killed and from whichever folder it comes`, async () => {
      const ends = new Set<string>();
      let isDone = false;
      for (let calls = 0; !isDone; calls++) {
        const { files, after, disk } = places(top);
        disk.killAfter(calls);
        try {
          saveAll(disk.run(1), rewritesOf(files, after));
          isDone = true;
        } catch {
          // Killed.
        }
        disk.killAfter(Number.POSITIVE_INFINITY);
        const folder = calls % 2 === 0 ? top.replace(/(?<=\w)\\$/, '') : `${top}Sub`;
        for (const plan of await leftPlans(disk.run(2), [disk.fs.realpathSync(folder)])) {
          const settled = await plan.settle('finish', {});
          assert.ok(settled.ok, settled.ok ? '' : say(settled.why));
        }
        const now = texts(disk, files);
        assert.ok(
          [Object.values(files), Object.values(after)].some((one) => `${one}` === `${now}`),
          `${calls}: ${now}`,
        );
        assert.deepEqual(
          disk.files().filter((name) => name.endsWith(JOURNAL_NAME)),
          [],
        );
        ends.add(`${now}`);
      }
      assert.equal(ends.size, 2);
    });

  it('over two drives is refused before anything is written', () => {
    const files = { 'C:\\a.cfgdump': dump('', '01'), 'D:\\b.cfgdump': dump('', '02') };
    const after = { 'C:\\a.cfgdump': dump('', 'F1'), 'D:\\b.cfgdump': dump('', 'F2') };
    const disk = windowsDisk(files);
    assert.match(
      why(() => saveAll(disk.run(1), rewritesOf(files, after))),
      /must be in one folder/,
    );
    assert.deepEqual([disk.files(), texts(disk, files)], [Object.keys(files), Object.values(files)]);
  });

  it('whose journal names a file outside, in whatever way, writes nothing', async () => {
    for (const file of [
      '..\\x.cfgdump',
      'C:\\x.cfgdump',
      'C:/x.cfgdump',
      'sub\\b.cfgdump',
      'a.CFGDUMP',
      'A.cfgdump.',
      'A.cfgdump:s',
      'link.cfgdump',
    ]) {
      const { files, after, disk } = places('C:\\Cars\\');
      disk.write('C:\\x.cfgdump', dump('', '01'));
      disk.link('C:\\Cars\\link.cfgdump', '..\\x.cfgdump');
      const [one = ''] = Object.values(after);
      const modules = [
        { file: 'Sub/b.cfgdump', before: dump('..\\', '02'), after: dump('..\\', 'F2') },
        { file, before: dump('', '01'), after: one },
      ];
      const { host } = disk.run(1);
      disk.write(`C:\\Cars\\${JOURNAL_NAME}`, JSON.stringify({ format: 1, host, pid: 1, modules }));
      disk.write('C:\\Cars\\Sub\\b.cfgdump', dump('..\\', 'F2'));
      const [plan] = await leftPlans(disk.run(2), ['C:\\Cars']);
      const settled = await plan?.settle('finish', {});
      assert.equal(settled?.ok, false, file);
      assert.equal(disk.read('C:\\x.cfgdump'), dump('', '01'), file);
      assert.equal(disk.read('C:\\Cars\\A.cfgdump'), files['C:\\Cars\\A.cfgdump'], file);
    }
  });
});
