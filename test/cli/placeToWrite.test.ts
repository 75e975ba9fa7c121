import assert from 'node:assert/strict';
import fs, { chmodSync, mkdirSync, type PathLike } from 'node:fs';
import { basename } from 'node:path';
import { describe, it } from 'mocha';
import { lookThrough } from '../../server/src/files/fileContent.js';
import type { Fs } from '../../server/src/files/machine.js';
import { placeToWrite } from '../../server/src/files/place.js';
import { placeOfRead, save, saveAll, whyNotSaved } from '../../server/src/files/save.js';
import { say } from '../../shared-core/src/base/index.js';
import { bench } from '../support/commandLine.js';
import { run, why } from '../support/runs.js';

describe('a file that is not to be written', () => {
  const { path, write, everything } = bench('empty');
  const whyNot = (name: string, fs: Partial<Fs> = {}) => why(() => placeToWrite(run(1, { fs }), path(name)));

  it('is one that is sealed, with its name misspelt or in UTF-16 too, behind signs and blanks of any number', () => {
    const sealed: readonly (string | Uint8Array)[] = [
      `@${' '.repeat(200)}seal x\n`,
      '@\t \tSEAL',
      '1: 00\n@@seal x\n',
      ...(['@seal x\n', '1: 00\r\n; @ Seal\r\n', `# @sael sha256:${'0a'.repeat(32)}\n`] as const).flatMap((text) => {
        const little = Buffer.from(`\ufeff${text}`, 'utf16le');
        return [little, Buffer.from(little).swap16()];
      }),
    ];
    for (const [i, content] of sealed.entries()) {
      write(`${i}`, content);
      assert.match(whyNot(`${i}`), /is a sealed backup/, String(content));
    }
    for (const [i, text] of [
      '@sealant x\n',
      '@seal-like x\n',
      'k@seal x\n',
      '1: 00 # no @seal\n',
      `@part A\n# sha256:${'0a'.repeat(32)}`,
    ].entries())
      for (const encoding of ['utf8', 'utf16le'] as const) {
        write(`free-${i}`, Buffer.from(text, encoding));
        assert.equal(placeToWrite(run(1), path(`free-${i}`)).name, path(`free-${i}`), text);
      }
  });

  it('is looked for without a large buffer in small files, of which a fleet has thousands', () => {
    const sizes: number[] = [];
    write('small', '1: 00\n'.repeat(1000));
    lookThrough(fs, path('small'), ({ buffer }) => sizes.push(buffer.byteLength));
    assert.ok(Math.max(...sizes) <= 1 << 16, String(sizes));
  });

  it('is one that is sealed anywhere in a file of many megabytes, whose lines begin in one part of it and end in another', () => {
    const part = 1 << 20;
    for (const before of [(1 << 14) - 3, 1 << 14, part - 3, part - 1, part, part + 1, 2 * part - 4]) {
      const text = Buffer.alloc(before, '1: 00\n');
      write('large', Buffer.concat([text, Buffer.from('\n@seal x\n'), Buffer.alloc(part)]));
      assert.match(whyNot('large'), /is a sealed backup/, String(before));
    }
    write('large', Buffer.concat([Buffer.alloc(part - 2, 'k'), Buffer.from('@seal x\n')]));
    assert.equal(placeToWrite(run(1), path('large')).name, path('large'));
  });

  it('is one that its owner may not write, whoever else may use it, and one that the system refuses', () => {
    write('a', 'x');
    for (const mode of [0o444, 0o555, 0o466]) {
      chmodSync(path('a'), mode);
      assert.match(whyNot('a'), /is read-only/);
    }
    chmodSync(path('a'), 0o644);
    const accessSync = () => {
      throw Object.assign(new Error(), { code: 'EACCES' });
    };
    assert.match(whyNot('a', { accessSync }), /cannot be written: not allowed/);
  });

  it('is one in a folder that takes no other file, which a look before writing tells as well', () => {
    write('a', '1: 00\n');
    const rewrite = { file: path('a'), before: '1: 00\n', text: '1: 01\n', bytesOf: (one: string) => Buffer.from(one) };
    const accessSync = (name: PathLike) => {
      if (name === path('.')) throw Object.assign(new Error(), { code: 'EACCES' });
    };
    const whyNotNow = (fs: Partial<Fs>) => {
      const said = whyNotSaved(run(1, { fs }), [rewrite]);
      return said && say(said);
    };
    assert.equal(whyNotNow({}), undefined);
    assert.match(whyNotNow({ accessSync }) ?? '', /cannot be written: not allowed/);
    assert.match(whyNotNow({ realpathSync: () => path('b') }) ?? '', /has changed since it was read/);
  });

  it('is one that is not there, by the name of a folder', () => {
    mkdirSync(path('folder'));
    assert.match(whyNot('new/'), /is the name of a folder/);
  });

  it('is one that holds bytes which were not read: the row is named', () => {
    write('a', '# K\ufffdfer\n1: 00\n');
    const rewrite = (text: string, before = 'free') => ({
      file: path('b'),
      before,
      text,
      bytesOf: (one: string) => Buffer.from(one),
    });
    assert.match(
      why(() => placeOfRead(run(1), path('a'), '1: 00\n# K\ufffdfer\n')),
      /row 2 holds bytes that are no UTF-8/,
    );
    write('b', 'free');
    const before = everything();
    for (const [text, row] of [
      ['\ufffd', 1],
      ['x\n\ufffd', 2],
      ['\n\ufffd', 2],
    ] as const)
      assert.match(
        why(() => saveAll(run(1), [rewrite(text)])),
        new RegExp(`row ${row} holds bytes that are no UTF-8`),
      );
    assert.match(
      why(() => save(run(1), placeToWrite(run(1), path('b')), (sink) => sink.text('\ufffd'))),
      /row 1 holds bytes that are no UTF-8/,
    );
    assert.deepEqual(everything(), before);
  });
});

describe('a file with a name that only Windows keeps for itself', () => {
  const { path, names } = bench('empty');
  it('is written on other systems', () => {
    const all = ['A.', 'a:b', 'aux.cfgdump', 'c ', 'nul'];
    for (const name of all) save(run(1), placeToWrite(run(1), path(name)), (sink) => sink.text('x'));
    assert.deepEqual(names(), all);
  });
});

describe('several files', () => {
  const { path, write, everything } = bench('empty');
  const rewrite = (name: string) => ({
    file: path(name),
    before: 'before',
    text: 'after',
    bytesOf: (text: string) => Buffer.from(text),
  });

  it('may be one, and may lie beside each other in folders whose names begin alike', () => {
    for (const folder of ['car', 'car2']) mkdirSync(path(folder));
    for (const names of [['a'], ['car/a', 'car2/b'], ['car2/b', 'a', 'car/a']]) {
      for (const name of names) write(name, 'before');
      saveAll(run(1), names.map(rewrite));
      const all = everything();
      assert.deepEqual(
        names.map((name) => all[name]),
        names.map(() => 'after'),
      );
      assert.equal(Object.keys(all).filter((name) => name.includes('.countersum')).length, 0);
    }
  });
});

describe('several files of which', () => {
  const { path, write, read, everything, names } = bench('empty');
  const rewrites = () =>
    ['a', 'b'].map((name) => ({
      file: path(name),
      before: `${name} before`,
      text: `${name} after`,
      bytesOf: (text: string) => Buffer.from(text),
    }));
  const begin = () => {
    for (const name of ['a', 'b']) write(name, `${name} before`);
  };
  /** The system's calls, with a count of the files that took their places. */
  const watched = (onFlush: () => void) => {
    const { fs } = run(1);
    const renamed: string[] = [];
    const counting: Partial<Fs> = {
      fsyncSync: (handle) => {
        onFlush();
        fs.fsyncSync(handle);
      },
      renameSync: (from, to) => {
        renamed.push(String(to));
        fs.renameSync(from, to);
      },
    };
    return { fs: counting, renamed };
  };

  it('one changes before the first takes its place are all left alone, not even written and put back', () => {
    begin();
    const { fs, renamed } = watched(() => write('b', 'of somebody else'));
    assert.match(
      why(() => saveAll(run(1, { fs }), rewrites())),
      /b has changed since it was read/,
    );
    assert.deepEqual(renamed, []);
    assert.deepEqual(everything(), { a: 'a before', b: 'of somebody else' });
  });

  it('one is being written by another run are all left alone', () => {
    begin();
    const other = run(7);
    let seen = '';
    const fs: Partial<Fs> = {
      renameSync: () => {
        seen = why(() => saveAll(run(8, { alive: [7, 8] }), rewrites()));
      },
    };
    save({ ...other, fs: { ...other.fs, ...fs } }, placeToWrite(other, path('b')), (sink) => sink.text('of 7'));
    assert.match(seen, /b is being written by another run/);
    assert.equal(read('a'), 'a before');
    assert.deepEqual(
      names().filter((name) => name.includes('.8.')),
      [],
    );
  });
});

describe('a run that meets others at one file', () => {
  const { path, write, names, read } = bench('empty');
  const { host } = run(1);
  /** What another run has beside a file: the name of it, as this run would make it. */
  const temporaryOf = (pid: number) => {
    let name = '';
    const machine = run(pid);
    const fs: Fs = {
      ...machine.fs,
      renameSync: (from) => {
        name = String(from);
      },
    };
    save({ ...machine, fs }, placeToWrite(machine, path('a')), (sink) => sink.text(''));
    return name;
  };
  const waits = (pid: number, alive: readonly number[]) => {
    let waited = 0;
    const wait = (milliseconds: number) => {
      waited += milliseconds;
    };
    const machine = { ...run(pid, { alive }), wait };
    const said = why(() => save(machine, placeToWrite(machine, path('a')), (sink) => sink.text('after')));
    return { said, waited };
  };

  it('gives way at once to one that comes before it, and waits five seconds for one behind it', () => {
    write('a', 'before');
    const temporaryOf7 = temporaryOf(7);
    assert.deepEqual(
      names().filter((name) => name.includes(host)),
      [`.countersum.000000000007.${host}.7.${names()[0]?.split('.').at(-2)}.tmp`],
    );
    for (const [pid, waited] of [
      [8, 0],
      [3, 5000],
    ] as const) {
      const met = waits(pid, [3, 7, 8]);
      assert.match(met.said, /is being written by another run\. Nothing was changed/);
      assert.equal(met.waited, waited);
    }
    write(basename(temporaryOf7).replace('.000000000007.', '.000000000001.').replace('.7.', '.1.'), '');
    assert.equal(waits(3, [1, 3, 7]).waited, 0);
    assert.equal(read('a'), 'before');
  });
});
