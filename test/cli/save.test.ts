import assert from 'node:assert/strict';
import {
  chmodSync,
  chownSync,
  linkSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { after, before, describe, it } from 'mocha';
import { Failure } from '../../server/src/files/failure.js';
import { leftPlans } from '../../server/src/files/journals.js';
import { type Fs, type Machine, thisMachine } from '../../server/src/files/machine.js';
import { placeToWrite } from '../../server/src/files/place.js';
import { placeOfRead, save, saveAll } from '../../server/src/files/save.js';
import { say } from '../../shared-core/src/base/index.js';
import { JOURNAL_NAME } from '../../shared-core/src/jobs/index.js';
import { bench } from '../support/commandLine.js';
import { run, why } from '../support/runs.js';

const CALLS = Object.keys({
  accessSync: 0,
  closeSync: 0,
  fchmodSync: 0,
  fchownSync: 0,
  fstatSync: 0,
  fsyncSync: 0,
  lstatSync: 0,
  mkdirSync: 0,
  openSync: 0,
  readdirSync: 0,
  readFileSync: 0,
  readSync: 0,
  realpathSync: 0,
  renameSync: 0,
  rmdirSync: 0,
  statSync: 0,
  unlinkSync: 0,
  writeSync: 0,
} satisfies Record<keyof Fs, 0>);

/** The calls of the system, of which none does anything after so many, as if the run had been killed there. */
function killedAfter(calls: number): { readonly fs: Fs; readonly made: () => number } {
  const { fs } = thisMachine();
  let made = 0;
  const counted = Object.fromEntries(
    CALLS.map((name) => [
      name,
      (...args: readonly unknown[]) => {
        if (made++ >= calls) throw new Error('killed');
        return Reflect.apply(Reflect.get(fs, name), fs, args);
      },
    ]),
  );
  return { fs: { ...fs, ...counted }, made: () => made };
}

/** Finishes or undoes what was left in some folders, as a command does that writes there. */
async function settledBy(machine: Machine, folders: readonly string[]): Promise<readonly string[]> {
  const said: string[] = [];
  for (const { settle } of await leftPlans(machine, folders)) {
    const settled = await settle('finish', {});
    if (!settled.ok) throw new Failure(settled.why);
    said.push(say(settled.value));
  }
  return said;
}

/** A dump whose profile allows any value of its one byte. */
const dump = (value: string) => `@profile ${PROFILE}\n1: ${value}\n`;
const PROFILE_FOLDER = mkdtempSync(join(tmpdir(), 'countersum-'));
const PROFILE = join(PROFILE_FOLDER, 'own.dump-profile.json');
before(() => writeFileSync(PROFILE, JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } })));
after(() => rmSync(PROFILE_FOLDER, { recursive: true, force: true }));

describe('writing a file', () => {
  const { path, read, write, names, everything } = bench('empty');
  const put = (name: string, text: string, machine = run(1)) =>
    save(machine, placeToWrite(machine, path(name)), (sink) => sink.text(text));

  it('makes a new one, or replaces one whole, and leaves nothing else behind', () => {
    put('a', 'one');
    put('a', 'two');
    assert.deepEqual(everything(), { a: 'two' });
  });

  it('keeps the owner and all rights, and writes through links', () => {
    write('own', 'before');
    const [uid, gid] = process.getuid?.() === 0 ? [1234, 2345] : [statSync(path('own')).uid, statSync(path('own')).gid];
    chownSync(path('own'), uid, gid);
    chmodSync(path('own'), 0o6741);
    symlinkSync('own', path('link'));
    symlinkSync(path('link'), path('far'));
    put('far', 'after');
    const { mode, uid: owner, gid: ownGroup } = statSync(path('own'));
    assert.deepEqual([read('own'), mode & 0o7777, owner, ownGroup], ['after', 0o6741, uid, gid]);
    assert.ok(lstatSync(path('link')).isSymbolicLink() && lstatSync(path('far')).isSymbolicLink());
    assert.deepEqual(names(), ['own']);
  });

  it('is refused where the owner or the rights cannot be kept', () => {
    write('a', 'before');
    const fails = () => {
      throw Object.assign(new Error(), { code: 'EPERM' });
    };
    const other = (handle: number) => ({ ...thisMachine().fs.fstatSync(handle), uid: 4321 });
    for (const fs of [{ fstatSync: other, fchownSync: fails }, { fstatSync: other }, { fchmodSync: () => {} }]) {
      chmodSync(path('a'), 0o4640);
      assert.match(
        why(() => put('a', 'after', run(1, { fs: fs as Partial<Fs> }))),
        /a has an owner or rights that a new file cannot get/,
      );
      assert.deepEqual(everything(), { a: 'before' });
    }
  });

  it('is refused for what is no file that can be replaced', () => {
    mkdirSync(path('folder'));
    symlinkSync('nowhere', path('dangling'));
    symlinkSync('circle', path('circle'));
    for (const [name, words] of [
      ['folder', /it is a folder/],
      ['folder/', /it is a folder/],
      ['new/', /no such file|name of a folder/],
      ['nowhere/a', /no such file/],
      ['dangling', /a link to a file that does not exist/],
      ['circle', /links lead in a circle/],
    ] as const)
      assert.match(
        why(() => put(name, 'after')),
        words,
      );
    for (const [name, words] of [
      ['/dev/null', /it is a device, a pipe or a socket/],
      ['/dev/stdout', /Leave out --out/],
      ['/dev/fd/1', /Leave out --out/],
      ['-', /Leave out --out/],
    ] as const)
      assert.match(
        why(() => placeToWrite(thisMachine(), name)),
        words,
      );
    assert.deepEqual(names(), []);
  });

  it('is refused for a file that is read-only, has another name, or is sealed', () => {
    write('read-only', 'x');
    chmodSync(path('read-only'), 0o444);
    write('one', 'x');
    linkSync(path('one'), path('other'));
    const sealed = [
      '@seal sha256:00\n1: 00\n',
      '1: 00\r@seal x\r',
      '@seal',
      '\ufeff1: 00\n  @seal x',
      '; @seal x\n',
      ':00000001FF\r\n;@seal x\r\n',
    ];
    for (const [i, text] of sealed.entries()) write(`sealed-${i}`, text);
    const before = everything();
    assert.match(
      why(() => put('read-only', 'after')),
      /is read-only/,
    );
    for (const name of ['one', 'other'])
      assert.match(
        why(() => put(name, 'after')),
        /another name \(a hard link\)/,
      );
    for (const i of sealed.keys())
      assert.match(
        why(() => put(`sealed-${i}`, 'after')),
        /is a sealed backup/,
      );
    assert.deepEqual(everything(), before);
    write('free', '# a copy without @seal, to work on\n@sealant none\n');
    put('free', 'after');
    assert.equal(read('free'), 'after');
  });

  it('is refused where bytes that are no UTF-8 would be lost', () => {
    const bytes = Buffer.from('# K\xe4fer\n1: 00\n', 'latin1');
    write('latin', bytes);
    assert.match(
      why(() => put('latin', `${bytes}`)),
      /row 1 holds bytes that are no UTF-8/,
    );
    assert.deepEqual(readFileSync(path('latin')), bytes);
    assert.deepEqual(names(), ['latin']);
  });

  it('is refused where the file has changed since it was read, however late', () => {
    write('a', 'one');
    assert.match(
      why(() => placeOfRead(run(1), path('a'), 'two')),
      /a has changed since it was read/,
    );
    const changes: readonly (() => void)[] = [
      () => write('a', 'eno'),
      () => chmodSync(path('a'), 0o600),
      () => renameSync(path('a'), path('b')),
      () => {
        write('c', 'one');
        renameSync(path('a'), path('b'));
        symlinkSync('c', path('a'));
      },
    ];
    for (const change of changes) {
      write('a', 'one');
      chmodSync(path('a'), 0o644);
      const place = placeOfRead(run(1), path('a'), 'one');
      assert.match(
        why(() =>
          save(run(1), place, (sink) => {
            sink.text('two');
            change();
          }),
        ),
        /a has changed since it was read/,
      );
      assert.ok(!Object.values(everything()).includes('two'));
      assert.deepEqual(
        names().filter((name) => name.startsWith('.')),
        [],
      );
    }
    const place = placeToWrite(run(1), path('new'));
    write('new', 'of somebody else');
    assert.match(
      why(() => save(run(1), place, (sink) => sink.text('two'))),
      /new has changed/,
    );
    assert.equal(read('new'), 'of somebody else');
  });

  it('of two runs at once one gives way, whichever came first', () => {
    for (const [first, second, winner] of [
      [1, 2, 'of 1'],
      [2, 1, 'of 1'],
    ] as const) {
      write('a', 'before');
      const of = (pid: number, wait = () => {}) => ({ ...run(pid, { alive: [1, 2] }), wait });
      const refused: string[] = [];
      // The second comes while the first is still writing beside the place, and is seen by it where it has to wait.
      const later = () => {
        const place = placeToWrite(of(second), path('a'));
        const give = (pid: number) => refused.push(why(() => save(of(pid), place, (sink) => sink.text(`of ${pid}`))));
        give(second);
      };
      const place = placeToWrite(of(first), path('a'));
      const work = () =>
        save(of(first), place, (sink) => {
          sink.text(`of ${first}`);
          if (first === 1) later();
        });
      work();
      assert.equal(read('a'), first === 1 ? winner : 'of 2');
      assert.deepEqual(names(), ['a']);
      assert.equal(refused.length, first === 1 ? 1 : 0);
    }
  });

  it('waits for a run that gives way, and gives way to one that stays', () => {
    write('a', 'before');
    const other = `.countersum.000000000007.${thisMachine().host}.7.${hashOfA()}.tmp`;
    write(other, '');
    let waits = 0;
    const patient = {
      ...run(1, { alive: [1, 7] }),
      wait: () => {
        if (++waits === 3) renameSync(path(other), path('gone'));
      },
    };
    put('a', 'after', patient);
    assert.deepEqual([waits, read('a')], [3, 'after']);
    write(other, '');
    assert.match(
      why(() => put('a', 'later', run(8, { alive: [7, 8] }))),
      /is being written by another run/,
    );
    assert.match(
      why(() => put('a', 'later', run(1, { alive: [1, 7] }))),
      /is being written by another run/,
    );
    assert.equal(read('a'), 'after');
  });

  /** The part of the name of a temporary that stands for "a", taken from one that is made. */
  function hashOfA(): string {
    let seen = '';
    const { fs } = thisMachine();
    const spying = {
      ...fs,
      renameSync: (from: string, to: string) => {
        seen = from;
        fs.renameSync(from, to);
      },
    } as Partial<Fs>;
    put('a', read('a'), run(3, { fs: spying }));
    return seen.split('.').at(-2) ?? '';
  }

  it('removes what runs left that were killed, and nothing of those that are alive or on another machine', () => {
    const { host } = thisMachine();
    const left = `.countersum.0000000000aa.${host}.11.00000000.tmp`;
    const old = `.countersum.0000000000bb.01234567.12.00000000.tmp`;
    const kept = [
      `.countersum.0000000000cc.${host}.13.00000000.tmp`,
      `.countersum.0000000000dd.01234567.14.00000000.tmp`,
      '.countersum.tmp',
      '.other.tmp',
    ];
    for (const name of [left, old, ...kept]) write(name, '');
    const yesterday = new Date(Date.now() - 86_400_000);
    utimesSync(path(old), yesterday, yesterday);
    put('a', 'after', run(1, { alive: [1, 13] }));
    assert.deepEqual(names(), ['a', ...kept].sort());
  });

  it('wherever it is killed, the file is whole, and the next run can write it', () => {
    let calls = 0;
    for (let done = false; !done; calls++) {
      write('a', 'before');
      const { fs } = killedAfter(calls);
      try {
        put('a', 'after', run(1, { fs }));
        done = true;
      } catch {
        assert.ok(['before', 'after'].includes(read('a')));
      }
      put('a', 'next', run(2, { alive: [2] }));
      assert.deepEqual(everything(), { a: 'next' });
    }
    assert.ok(calls > 15, String(calls));
  });
});

describe('writing several files', () => {
  const { path, read, write, names, everything, folder } = bench('empty');
  const BEFORE = { a: dump('01'), 'b.cfgdump': dump('02'), 'sub/c': dump('03') };
  const AFTER = { a: dump('F1'), 'b.cfgdump': dump('f2'), 'sub/c': dump('F3') };
  const rewrites = () =>
    Object.entries(BEFORE).map(([name, before]) => ({
      file: path(name),
      before,
      text: AFTER[name as keyof typeof AFTER],
      bytesOf: (text: string) => Buffer.from(text),
    }));
  const begin = () => {
    mkdirSync(path('sub'), { recursive: true });
    for (const [name, text] of Object.entries(BEFORE)) write(name, text);
  };

  it('writes all of them, and leaves nothing else behind', () => {
    begin();
    saveAll(run(1), rewrites());
    assert.deepEqual(everything(), AFTER);
  });

  it('writes none where one was changed since it was read, or cannot be written', () => {
    begin();
    const [first, second, third] = rewrites();
    for (const broken of [
      { ...third!, before: 'drei' },
      { ...third!, file: path('nowhere/c') },
      { ...third!, text: 'bad \ufffd' },
    ]) {
      assert.throws(() => saveAll(run(1), [first!, second!, broken]), Failure);
      assert.deepEqual(everything(), BEFORE);
    }
    chmodSync(path('sub/c'), 0o444);
    assert.throws(() => saveAll(run(1), rewrites()), Failure);
    assert.deepEqual(everything(), BEFORE);
  });

  it('puts back what was written already where one cannot take its place', () => {
    begin();
    const { fs } = thisMachine();
    const renameSync: Fs['renameSync'] = (from, to) => {
      if (String(to).endsWith('/c')) throw Object.assign(new Error(), { code: 'EIO' });
      fs.renameSync(from, to);
    };
    assert.match(
      why(() => saveAll(run(1, { fs: { renameSync } }), rewrites())),
      /c cannot be written: the disk reports an error/,
    );
    assert.deepEqual(everything(), BEFORE);
  });

  it('where that fails too, the next run sees to it', async () => {
    begin();
    const { fs } = thisMachine();
    let taken = 0;
    const renameSync: Fs['renameSync'] = (from, to) => {
      if (!String(to).endsWith(JOURNAL_NAME) && ++taken > 2) throw Object.assign(new Error(), { code: 'EIO' });
      fs.renameSync(from, to);
    };
    assert.throws(() => saveAll(run(1, { fs: { renameSync } }), rewrites()), Failure);
    assert.ok(names().includes(JOURNAL_NAME));
    const said = await settledBy(run(2, { alive: [2] }), [path('sub')]);
    assert.match(said.join(), /has been finished: a, b\.cfgdump, sub\/c/);
    assert.deepEqual(everything(), AFTER);
  });

  it('wherever it is killed, the next run finishes or undoes it, from whichever folder it comes', async () => {
    const ends = new Map<string, number>();
    for (let calls = 0, done = false; !done; calls++) {
      begin();
      const { fs } = killedAfter(calls);
      try {
        saveAll(run(1, { fs }), rewrites());
        done = true;
      } catch {
        // Killed.
      }
      await settledBy(run(2, { alive: [2] }), [[folder()], [path('sub')], [folder(), path('sub')]][calls % 3]!);
      const { a, 'b.cfgdump': b, 'sub/c': c, ...others } = everything();
      const now = JSON.stringify({ a, 'b.cfgdump': b, 'sub/c': c });
      assert.ok(now === JSON.stringify(BEFORE) || now === JSON.stringify(AFTER), `${calls}: ${now}`);
      assert.deepEqual(
        Object.keys(others).filter((name) => !/tmp$/.test(name)),
        [],
        String(calls),
      );
      // What is left beside the files goes with the next write there.
      for (const name of ['a', 'sub/c']) put(run(3, { alive: [3] }), name);
      assert.deepEqual(Object.keys(everything()).sort(), ['a', 'b.cfgdump', 'sub/c'], String(calls));
      ends.set(now, (ends.get(now) ?? 0) + 1);
    }
    assert.deepEqual([...ends.keys()].sort(), [JSON.stringify(BEFORE), JSON.stringify(AFTER)].sort());
    for (const count of ends.values()) assert.ok(count > 10, String(count));
  });

  const put = (machine: Machine, name: string) =>
    save(machine, placeToWrite(machine, path(name)), (sink) => sink.text('next'));

  it('wherever the run is killed that finishes a plan, the one after it does', async () => {
    for (let calls = 0, done = false; !done; calls++) {
      begin();
      const journal = { format: 1, host: thisMachine().host, pid: 1, modules: modules() };
      write(JOURNAL_NAME, JSON.stringify(journal));
      write('a', AFTER.a);
      const { fs } = killedAfter(calls);
      done = await settledBy(run(2, { fs, alive: [2] }), [folder()]).then(
        () => true,
        () => false,
      );
      await settledBy(run(3, { alive: [3] }), [folder()]);
      const { a, 'b.cfgdump': b, 'sub/c': c, ...others } = everything();
      assert.deepEqual({ a, 'b.cfgdump': b, 'sub/c': c }, AFTER, String(calls));
      assert.ok(!(JOURNAL_NAME in others));
    }
  });

  const modules = () =>
    Object.entries(BEFORE).map(([file, before]) => ({ file, before, after: AFTER[file as keyof typeof AFTER] }));
  const leave = (change: object = {}) =>
    write(JOURNAL_NAME, JSON.stringify({ format: 1, host: thisMachine().host, pid: 1, modules: modules(), ...change }));
  const settle = (alive: readonly number[] = [2]) => settledBy(run(2, { alive }), [folder()]);
  /** Refused, and nothing changed, the journal neither. */
  const refused = async (words: RegExp, alive?: readonly number[]) => {
    const was = everything();
    await assert.rejects(settle(alive), (error) => error instanceof Failure && words.test(say(error.said)));
    assert.deepEqual(everything(), was);
  };

  it('leaves a plan alone that is under way', async () => {
    begin();
    leave();
    write('a', AFTER.a);
    await refused(/Another run is writing the modules/, [1, 2]);
    leave({ host: '01234567' });
    await refused(/Another run is writing the modules/);
  });

  it('never takes a run on another machine for dead, however long ago it began: a person says so', async () => {
    begin();
    leave({ host: '01234567' });
    write('a', AFTER.a);
    const lastYear = new Date(Date.now() - 365 * 86_400_000);
    utimesSync(path(JOURNAL_NAME), lastYear, lastYear);
    await refused(/If none is under way, open the folder in the editor and choose "Finish the Plan"/);
    const [plan] = await leftPlans(run(2), [folder()]);
    assert.equal((await plan?.settle('finish', { isOver: true }))?.ok, true);
    assert.deepEqual(everything(), AFTER);
  });

  it('a second plan waits for the first', () => {
    begin();
    leave();
    assert.match(
      why(() => saveAll(run(2), rewrites())),
      /Another run is writing the modules/,
    );
    assert.equal(read('a'), BEFORE.a);
  });

  it('undoes what cannot be finished; where neither can be, everything stays and the journal too', async () => {
    begin();
    leave();
    write('a', AFTER.a);
    chmodSync(path('b.cfgdump'), 0o444);
    assert.match((await settle()).join(), /has been undone/);
    assert.deepEqual(everything(), BEFORE);
    leave();
    write('a', AFTER.a);
    chmodSync(path('a'), 0o444);
    await assert.rejects(settle(), Failure);
    assert.equal(read('a'), AFTER.a);
    assert.ok(names().includes(JOURNAL_NAME));
  });

  it('is refused where a module was changed since: then the journal tells nothing for sure', async () => {
    for (const now of [
      { a: BEFORE.a, 'b.cfgdump': 'own', 'sub/c': BEFORE['sub/c'] },
      { a: 'own', 'b.cfgdump': AFTER['b.cfgdump'], 'sub/c': AFTER['sub/c'] },
      { a: 'own', 'b.cfgdump': BEFORE['b.cfgdump'], 'sub/c': BEFORE['sub/c'] },
      { a: AFTER.a, 'b.cfgdump': AFTER['b.cfgdump'], 'sub/c': 'own' },
    ]) {
      begin();
      leave();
      for (const [name, text] of Object.entries(now)) write(name, text);
      await refused(/was changed since, so it can neither be finished nor undone/);
    }
  });

  it('writes nothing where one change of the journal may not be made, whichever it is', async () => {
    const module = {
      format: 1,
      lines: { from: 1, to: 2, data: 2, sum: 1 },
      lineSum: { method: 'add', bits: 8, over: ['data'] },
    };
    const locked = { ...module, locked: [{ line: 2, byte: 1, why: 'serial number' }] };
    write('b.dump-profile.json', JSON.stringify(locked));
    write('other.dump-profile.json', JSON.stringify({ ...module, appliesTo: { part: ['X*'] } }));
    write('flawed.dump-profile.json', JSON.stringify({ ...module, more: 1 }));
    const text = (one = '01 02 03', two = '01 02 03', head = '@profile b.dump-profile.json') =>
      `${head}\n1: ${one}\n2: ${two}\n`;
    const mine = text();
    for (const [from, to, words] of [
      [mine, text('05 02 03'), /sum of line 1 would be wrong/],
      [text('05 02 03'), text('06 02 03'), /sum of line 1 would be wrong/],
      [mine, text(undefined, '05 02 07'), /serial number/],
      [mine, text('05 02 07', '01 02 03\n3: 00 00 00'), /More than bytes of its lines/],
      [mine, text('05 02 07').replace('@profile', '@profile '), /More than bytes of its lines/],
      [mine, text('05 02 07').replace('1: 05', '4: 05'), /More than bytes of its lines/],
      [mine, text('0G 02 07'), /could not be read/],
      [text(undefined, undefined, '@none x'), text('05 02 07', undefined, '@none x'), /No profile that can be read/],
      ...['nowhere.json', 'flawed.dump-profile.json', 'other.dump-profile.json'].map((name) => {
        const head = `@part Y1\n@profile ${name}`;
        return [text(undefined, undefined, head), text('05 02 07', undefined, head), /may not be made/] as const;
      }),
    ] as const)
      for (const order of [1, -1]) {
        begin();
        write('b.cfgdump', from);
        const both = [modules()[0]!, { file: 'b.cfgdump', before: from, after: to }];
        leave({ modules: order > 0 ? both : both.reverse() });
        if (order > 0) write('a', AFTER.a);
        else write('b.cfgdump', to);
        await refused(words);
      }
    begin();
    write('b.cfgdump', mine);
    leave({ modules: [modules()[0], { file: 'b.cfgdump', before: mine, after: text('05 02 07') }] });
    write('a', AFTER.a);
    assert.match((await settle()).join(), /has been finished/);
    assert.equal(read('b.cfgdump'), text('05 02 07'));
  });

  it('a journal from elsewhere reaches no file outside, no hidden one and no sealed one', async () => {
    begin();
    const outside = `${dirname(folder())}/${folder().split('/').at(-1)}-outside`;
    writeFileSync(outside, 'outside');
    try {
      write('.hidden', 'hidden');
      symlinkSync(outside, path('link'));
      const to = (file: string, before: string) => [
        { file: 'a', before: BEFORE.a, after: AFTER.a },
        { file, before, after: 'evil' },
      ];
      write('a', AFTER.a);
      for (const file of [`../${outside.split('/').at(-1)}`, outside, '.hidden', 'sub/../.hidden', './b.cfgdump', '']) {
        leave({ modules: to(file, file.includes('b.cfg') ? 'two' : file.includes('hidden') ? 'hidden' : 'outside') });
        await refused(/no journal of a plan that can be read/);
      }
      leave({ modules: to('link', 'outside') });
      await refused(/neither/);
      const sealed = '@seal sha256:00\n1: 00\n';
      write('sealed.cfgdump', sealed);
      leave({ modules: to('sealed.cfgdump', sealed) });
      await refused(/may not be made/);
      assert.equal(read('sealed.cfgdump'), sealed);
      assert.equal(readFileSync(outside, 'utf8'), 'outside');
    } finally {
      thisMachine().fs.unlinkSync(outside);
    }
  });

  it('a journal that cannot be read is in the way, and says so', async () => {
    begin();
    const whole = { format: 1, host: 'x', pid: 1, modules: modules() };
    for (const text of [
      '',
      '{',
      '[]',
      JSON.stringify({ ...whole, format: 2 }),
      JSON.stringify({ ...whole, modules: [] }),
      JSON.stringify({ ...whole, more: 1 }),
      JSON.stringify({ ...whole, modules: [...modules(), ...modules()] }),
      JSON.stringify({ ...whole, modules: [{ file: 'a', before: 'x' }] }),
      JSON.stringify({ ...whole, pid: '1' }),
    ]) {
      write(JOURNAL_NAME, text);
      await refused(/no journal of a plan that can be read/);
    }
  });
});
