// Where the answer of a command goes, what is left as it is, and the status that says how it ended.
import assert from 'node:assert/strict';
import nodeFs, { chmodSync, type PathLike, readFileSync, rmSync, statSync, symlinkSync, utimesSync } from 'node:fs';
import { describe, it } from 'mocha';
import type { Machine } from '../../server/src/files/machine.js';
import { demoFile } from '../support/demo.js';
import { demoBench, FOUND, PROFILE, REAR, RIGHT } from '../support/demoBench.js';
import { runCommand } from '../support/inProcess.js';
import { run as runOf } from '../support/runs.js';

const BACK = 'rear-body.read-back.cfgdump';
const NAMES = [REAR, FOUND, BACK, PROFILE];

describe('the answer of a command', () => {
  const { path, read, write, run, refused, files, root, layOut } = demoBench(NAMES);
  const status = async (command: string, ...words: readonly string[]) => (await run(command, ...words)).status;

  describe('goes', () => {
    it('to standard output, and then no file is written', async () => {
      const was = files();
      assert.equal((await run('fix', REAR)).text, RIGHT);
      assert.deepEqual(files(), was);
    });

    it('into the answer for scripts as well, whichever command makes a text', async () => {
      write('sheet.csv', (await run('profile export', PROFILE)).text);
      write('a.hex', ':0410000001020304E2\n:00000001FF\n');
      for (const [command, ...words] of [
        ['fix', REAR],
        ['set', REAR, 'tailgate=by hand'],
        ['restore', REAR],
        ['convert', 'a.hex', '--to', 's-record'],
        ['profile export', PROFILE],
        ['profile import', 'sheet.csv', PROFILE],
        ['profile merge', PROFILE, PROFILE, '--base', PROFILE],
        ['card', FOUND, REAR],
        ['record', path('.')],
      ] as const) {
        const printed = await run(command, ...words);
        const answered = await run(command, ...words, '--json');
        assert.notEqual(printed.status, 2, `${command}: ${printed.notes}`);
        assert.equal(answered.status, printed.status, `${command}: ${answered.notes}`);
        const { text } = JSON.parse(answered.text);
        // A page may say at which time it was made.
        if (/^(?:card|record)$/.test(command)) assert.match(text, /^# /, command);
        else assert.equal(text, printed.text, command);
      }
    });

    it('to the file itself with --write, and to another one with --out, the first staying as it is', async () => {
      const { text, status: ended } = await run('fix', REAR, '--out', 'new.cfgdump');
      assert.deepEqual([ended, read('new.cfgdump'), read(REAR)], [0, RIGHT, demoFile(REAR)]);
      assert.doesNotMatch(text, /^@/m);
      assert.equal(await status('fix', REAR, '--write'), 0);
      assert.equal(read(REAR), RIGHT);
    });

    it('to a file that is there only where it is the dump itself, by whatever name, or with --force', async () => {
      write('there.cfgdump', 'own');
      await refused(/exists\. Name another file, or replace it with --force/, 'fix', REAR, '--out', 'there.cfgdump');
      assert.equal(await status('fix', REAR, '--out', 'there.cfgdump', '--force'), 0);
      assert.equal(read('there.cfgdump'), RIGHT);
      symlinkSync(path(REAR), path('link.cfgdump'));
      assert.equal(await status('fix', REAR, '--out', 'link.cfgdump'), 0);
      assert.equal(read(REAR), RIGHT);
    });

    it('whole where nothing had to change, whatever stood there, and leaves the dump itself as it is', async () => {
      write('right.cfgdump', RIGHT);
      for (const [command, ...words] of [
        ['fix', 'right.cfgdump'],
        ['set', 'right.cfgdump', 'trailer-socket=13-pin'],
      ] as const) {
        write('stale.cfgdump', 'stale');
        assert.equal(await status(command, ...words, '--out', 'stale.cfgdump', '--force'), 0);
        assert.equal(read('stale.cfgdump'), read('right.cfgdump'));
      }
    });

    it('to no file that it was made from, and to none that such a file names, with --force either', async () => {
      const ends = ['--force'];
      await refused(/is one of the files that this result was made from/, 'card', FOUND, REAR, '--out', REAR, ...ends);
      await refused(/is one of the files|is the profile or the backup/, 'fix', REAR, '--out', PROFILE, ...ends);
      await refused(/is a sealed backup, and stays as it is/, 'fix', REAR, '--out', FOUND, ...ends);
      write('a.hex', ':0410000001020304E2\n:00000001FF\n; @backup old.hex\n');
      write('old.hex', ':00000001FF\n');
      const convert = ['convert', 'a.hex', '--to', 's-record', '--out'] as const;
      await refused(/is the profile or the backup of a file that this result/, ...convert, 'old.hex', ...ends);
    });

    it('to no file where nothing changed: it keeps its time', async () => {
      const then = new Date('2026-01-02T03:04:05Z');
      utimesSync(path(FOUND), then, then);
      write('right.cfgdump', RIGHT);
      utimesSync(path('right.cfgdump'), then, then);
      const { text, status: ended } = await run('fix', 'right.cfgdump', '--write');
      assert.equal(ended, 0);
      assert.match(text, /all sums are right, nothing to change/);
      assert.equal(statSync(path('right.cfgdump')).mtimeMs, then.getTime());
      assert.equal(await status('fix', REAR, '--write'), 0);
      assert.notEqual(statSync(path(REAR)).mtimeMs, then.getTime());
    });

    it('to no file that is read-only, or that changed to what is no text in UTF-8', async () => {
      chmodSync(path(REAR), 0o444);
      await refused(/is read-only/, 'fix', REAR, '--write');
      chmodSync(path(REAR), 0o644);
    });

    it('with its headers beside raw bytes, never over other headers', async () => {
      const hex = ':0410000001020304E2\n:00000001FF\n; @part A\n';
      write('a.hex', hex);
      const convert = ['convert', 'a.hex', '--to', 'binary', '--offset', '0x1000', '--out', 'a.bin'] as const;
      write('a.bin.dump-headers', '@part B\n');
      await refused(/a\.bin\.dump-headers exists and holds other headers/, ...convert);
      write('a.bin.dump-headers', '@part A\n');
      assert.equal(await status(...convert), 0);
      assert.deepEqual([...readFileSync(path('a.bin'))], [1, 2, 3, 4]);
      write('a.bin.dump-headers', '@part A\r\n\r\n');
      assert.equal(await status(...convert, '--force'), 0, 'the same headers, however their lines end');
      write('b.hex', hex.replace('; @part A\n', ''));
      assert.equal(await status('convert', 'b.hex', '--to', 'binary', '--offset', '0x1000', '--out', 'b.bin'), 0);
      assert.ok(!files().has('b.bin.dump-headers'));
      await refused(
        /a\.bin\.dump-headers exists and holds other headers/,
        'convert',
        'b.hex',
        ...convert.slice(2),
        '--force',
      );
    });

    it('to a new file also where nothing changed, with what it is called after', async () => {
      write('right.cfgdump', RIGHT);
      assert.equal(await status('fix', 'right.cfgdump', '--out', 'copy.cfgdump'), 0);
      assert.equal(read('copy.cfgdump'), RIGHT);
    });

    it('with its headers into a new file beside raw bytes', async () => {
      write('a.hex', ':0410000001020304E2\n:00000001FF\n; @part A\n');
      assert.equal(await status('convert', 'a.hex', '--to', 'binary', '--offset', '0x1000', '--out', 'c.bin'), 0);
      assert.equal(read('c.bin.dump-headers'), '@part A\n');
    });

    it('never with headers alone: those beside raw bytes go again where the bytes cannot be written', async () => {
      const convert = (machine: Machine, text: string) => {
        write('a.hex', text);
        const words = ['--to', 'binary', '--offset', '0x1000', '--out', path('a.bin')];
        return runCommand(['convert', path('a.hex'), ...words], machine);
      };
      const renameSync = (from: PathLike, to: PathLike) => {
        if (String(to) === path('a.bin')) throw Object.assign(new Error(), { code: 'ENOSPC' });
        nodeFs.renameSync(from, to);
      };
      for (const headers of ['; @part A\n', '']) {
        const text = `:0410000001020304E2\n:00000001FF\n${headers}`;
        const { status, notes } = await convert(runOf(1, { fs: { renameSync } }), text);
        assert.equal(status, 2);
        assert.match(notes, /a\.bin cannot be written: no space is left/);
        assert.deepEqual(
          [...files().keys()].filter((name) => name.startsWith('a.bin')),
          [],
        );
        assert.equal((await convert(runOf(1), text)).status, 0);
        for (const name of ['a.bin', 'a.bin.dump-headers']) rmSync(path(name), { force: true });
      }
    });

    it('in the encoding of its file, to wherever it goes', async () => {
      const latin = (text: string) => Buffer.from(text.replace('# Demo', '# Dämo'), 'latin1');
      write('latin.cfgdump', latin(demoFile(REAR)));
      assert.equal(await status('fix', 'latin.cfgdump', '--out', 'new.cfgdump'), 0);
      assert.deepEqual(readFileSync(path('new.cfgdump')), latin(RIGHT));
      assert.equal(await status('fix', 'latin.cfgdump', '--write'), 0);
      assert.deepEqual(readFileSync(path('latin.cfgdump')), latin(RIGHT));
      write('latin.cfgdump', latin(demoFile(REAR)));
      assert.equal((await run('fix', 'latin.cfgdump')).text, latin(RIGHT).toString('latin1'));
    });

    it('to no terminal where it is raw bytes; anything else is shown there', async () => {
      const show = (...words: readonly string[]) =>
        runCommand(
          words.map((word) => (/^[\w.-]+\.\w+$/.test(word) ? path(word) : word)),
          undefined,
          true,
        );
      write('a.hex', ':040000000102030FE7\n:00000001FF\n');
      write('raw.bin', Uint8Array.of(0, 1, 2, 3));
      write('raw.bin.dump-headers', '@profile raw.dump-profile.json\n');
      write(
        'raw.dump-profile.json',
        JSON.stringify({
          format: 1,
          addresses: { from: 0, to: 3 },
          options: [{ id: 'a', title: 'A', address: 1, values: { 1: 'x', 2: 'y' } }],
        }),
      );
      for (const words of [
        ['convert', 'a.hex', '--to', 'binary'],
        ['set', 'raw.bin', 'a=y'],
      ]) {
        const shown = await show(...words);
        assert.deepEqual([shown.status, shown.text], [2, ''], shown.notes);
        assert.match(shown.notes, /raw bytes, which are not shown on a terminal\. Give --out FILE/);
        assert.equal((await run(...(words as [string, ...string[]]))).status, 0);
      }
      assert.equal((await show('fix', REAR)).text, RIGHT);
      assert.equal((await show('convert', 'a.hex', '--to', 's-record')).status, 0);
    });

    it('never as a dump that has lost bytes; a page may name such a thing', async () => {
      write('lost.cfgdump', demoFile(REAR).replace('# Demo', '# \ufffd'));
      await refused(/row 1 holds bytes that are no UTF-8 text, and writing would lose them/, 'fix', 'lost.cfgdump');
      write('lost.cfgdump', demoFile(REAR).replace('stock no.', '\ufffd'));
      write('found.cfgdump', demoFile(FOUND).replace('stock no.', '\ufffd'));
      assert.match((await run('card', 'found.cfgdump', 'lost.cfgdump')).text, /\ufffd/);
    });

    it('behind the caution that a record may be damaged whose own sum was wrong, in text and for scripts', async () => {
      const option = { id: 'fog', title: 'Fog lamps', address: 1, number: {} };
      write('p.dump-profile.json', JSON.stringify({ format: 1, addresses: { from: 0, to: 3 }, options: [option] }));
      write('a.hex', ':0400000001020304F3\n:00000001FF\n');
      for (const call of [
        ['set', 'a.hex', 'fog=9'],
        ['fix', 'a.hex'],
      ] as const) {
        const [name, ...words] = call;
        const by = [...words, '--profile', 'p.dump-profile.json'];
        assert.match((await run(name, ...by)).notes, /sum of line 0000 was wrong before: its bytes may be damaged/);
        const { cautions } = JSON.parse((await run(name, ...by, '--json')).text);
        assert.match(cautions.join(), /sum of line 0000 was wrong before: its bytes may be damaged/);
      }
    });

    it('behind the cautions of what is written', async () => {
      const { notes, status: ended } = await run('set', REAR, 'trailer-socket=7-pin', '--write');
      assert.equal(ended, 0, notes);
      assert.match(notes, /Trailer socket: .*Affects the lighting/);
      write(REAR, demoFile(REAR));
      const { cautions } = JSON.parse((await run('set', REAR, 'trailer-socket=7-pin', '--json')).text);
      assert.match(cautions.join(), /Affects the lighting/);
    });

    it('and says where its headers stay out, and where its name promises another form', async () => {
      write('a.hex', ':0410000001020304E2\n:00000001FF\n; @part A\n');
      const { notes } = await run('convert', 'a.hex', '--to', 'binary', '--offset', '0x1000');
      assert.match(notes, /has no place for headers, so they are left out here/);
      const named = await run('convert', 'a.hex', '--to', 's-record', '--out', 'b.hex');
      assert.match(named.notes, /b\.hex: its name promises intel-hex, and what it contains is s-record/);
      for (const out of ['b.s19', 'b.txt', 'b'])
        assert.doesNotMatch((await run('convert', 'a.hex', '--to', 's-record', '--out', path(out))).notes, /promises/);
      write('b.hex', ':0410000001020304E2\n:00000001FF\n');
      const bare = await run('convert', 'b.hex', '--to', 'binary', '--offset', '0x1000');
      assert.doesNotMatch(bare.notes, /has no place for headers/);
      assert.match(
        (await run('convert', 'b.hex', '--to', 'binary', '--offset', '0x1000', '--out', 'c.hex')).notes,
        /c\.hex: its name promises intel-hex, and what it contains is raw bytes/,
      );
      write('raw.bin', Uint8Array.of(0, 1, 2, 3));
      write('raw.bin.dump-headers', '@profile raw.dump-profile.json\n');
      const option = { id: 'a', title: 'A', address: 1, values: { 1: 'x', 2: 'y' } };
      const profile = { format: 1, addresses: { from: 0, to: 3 }, options: [option] };
      write('raw.dump-profile.json', JSON.stringify(profile));
      const set = async (out: string) => (await run('set', 'raw.bin', 'a=y', '--out', out)).notes;
      assert.match(await set('d.hex'), /d\.hex: its name promises intel-hex, and what it contains is raw bytes/);
      assert.doesNotMatch(await set('d.bin'), /promises/);
    });

    it('as JSON with the text only where that goes to no file', async () => {
      const json = async (...words: readonly string[]) => JSON.parse((await run('fix', REAR, '--json', ...words)).text);
      assert.equal((await json()).text, RIGHT);
      write('a.hex', ':0410000001020304E2\n:00000001FF\n');
      for (const form of ['dump-text', 's-record']) {
        const { text } = await run('convert', 'a.hex', '--to', form);
        assert.equal(JSON.parse((await run('convert', 'a.hex', '--to', form, '--json')).text).text, text);
      }
      const raw = JSON.parse((await run('convert', 'a.hex', '--to', 'binary', '--offset', '0x1000', '--json')).text);
      assert.equal(raw.text, undefined);
      assert.match((await run('fix', REAR, '--json')).text, /^\{\n {2}"file": /);
      assert.equal((await json('--out', 'new.cfgdump')).text, undefined);
      assert.ok(Array.isArray((await json()).cautions) || (await json()).cautions === undefined);
    });

    it('is for raw bytes alone where it says from which address these are', async () => {
      for (const offset of ['0x10', '0', '1'])
        await refused(/is for raw bytes, and none were read/, 'check', REAR, '--offset', offset);
      await refused(/is for raw bytes, and none were read/, 'check', REAR, '--word', '2le', '--offset', '0x10');
      write('raw.bin', Uint8Array.of(0, 1, 2, 3));
      assert.notEqual(await status('check', 'raw.bin', '--from', 'binary', '--offset', '0x10'), 2);
    });
  });

  describe('says by its status', () => {
    it('of a check: 0 that all is good, 1 that it is not, 2 that something cannot be read', async () => {
      write('right.cfgdump', RIGHT);
      assert.equal(await status('check', 'right.cfgdump'), 0);
      assert.equal(await status('check', REAR), 1);
      assert.equal(await status('check', 'right.cfgdump', REAR), 1);
      assert.equal(await status('check', 'right.cfgdump', 'gone.cfgdump'), 2);
      assert.equal(await status('check', PROFILE), 0);
      write('torn.dump-profile.json', '{ "format": 1');
      assert.equal(await status('check', 'torn.dump-profile.json'), 1);
    });

    it('of a comparison: 0 the same, 1 different, 2 not to be told', async () => {
      assert.equal(await status('compare', FOUND, FOUND), 0);
      assert.equal(await status('compare', FOUND, REAR), 1);
      write('torn.cfgdump', demoFile(REAR).replace(' 9: 00 00', ' 9: 00 0'));
      assert.equal(await status('compare', FOUND, 'torn.cfgdump'), 2);
    });

    it('of a verification: 0 as planned, 1 other than planned or a wrong plan, 2 not to be told', async () => {
      const back = (text: string) => text.replace(/^@backup.*/m, '@taken 2026-03-02T11:30:00Z');
      write('plan.cfgdump', RIGHT);
      write('back.cfgdump', back(RIGHT));
      assert.equal(await status('verify', 'plan.cfgdump', 'back.cfgdump'), 0);
      await refused(/is a sealed backup: it says how the module was found/, 'verify', 'plan.cfgdump', FOUND);
      write('other-back.cfgdump', back(demoFile(FOUND)).replace(/^@seal.*\n/m, ''));
      assert.equal(await status('verify', 'plan.cfgdump', 'other-back.cfgdump'), 1);
      write('wrong-back.cfgdump', back(demoFile(REAR)));
      assert.equal(await status('verify', REAR, 'wrong-back.cfgdump'), 1);
      write('torn.cfgdump', back(RIGHT).replace(/^ 9:.*\n/m, ''));
      assert.equal(await status('verify', 'plan.cfgdump', 'torn.cfgdump'), 2);
      await refused(/are the same file/, 'verify', 'plan.cfgdump', 'plan.cfgdump');
      symlinkSync(path('plan.cfgdump'), path('same.cfgdump'));
      await refused(/are the same file/, 'verify', 'plan.cfgdump', 'same.cfgdump');
    });

    it('of a card and a record: 0 nothing open, 1 something open, 2 not read whole', async () => {
      write('plan.cfgdump', RIGHT);
      write('torn.cfgdump', RIGHT.replace(/^ 9:.*\n/m, ''));
      assert.equal(await status('card', FOUND, 'plan.cfgdump'), 0);
      assert.equal(await status('card', FOUND, REAR), 1);
      assert.equal(await status('card', FOUND, 'torn.cfgdump'), 2);
      await refused(/Use: countersum card BEFORE AFTER…/, 'card', FOUND, REAR, FOUND);
      assert.equal((await runCommand(['record', root()])).status, 2);
      layOut([FOUND, PROFILE]);
      write(REAR, RIGHT);
      assert.equal((await runCommand(['record', root()])).status, 1);
      write(BACK, RIGHT.replace(/^@backup.*/m, '@taken 2026-03-02T11:02:00Z'));
      assert.equal((await runCommand(['record', root()])).status, 0);
    });

    it('of a repair: 0 that all sums are right, 1 that something is left', async () => {
      assert.equal(await status('fix', REAR), 0);
      // The file sum stays wrong.
      const lines = await run('fix', REAR, '--lines');
      assert.equal(lines.status, 1);
      write(
        'locked.cfgdump',
        RIGHT.replace('06 F4 20 41  00 01 | 57', '06 F4 20 41  00 02 | 58').replace('21 B2', '21 B3'),
      );
      const locked = await run('fix', 'locked.cfgdump');
      assert.equal(locked.status, 1, locked.notes);
      // One does not make up for the other.
      write('both.cfgdump', read('locked.cfgdump').replace('21 B3', '21 B4'));
      const { left, guarded } = JSON.parse((await run('fix', 'both.cfgdump', '--lines', '--json')).text);
      assert.deepEqual([left.length, guarded.length], [1, 1]);
      assert.equal(await status('fix', 'both.cfgdump', '--lines'), 1);
    });
  });

  describe('of lines that are restored', () => {
    it('is for all that differ, or for those that are named by label or number', async () => {
      assert.equal(await status('restore', REAR, '--write'), 0);
      assert.equal(read(REAR).split('\n').slice(8).join(), demoFile(FOUND).split('\n').slice(10).join());
      write(REAR, demoFile(REAR));
      assert.equal(await status('restore', REAR, '04'), 0);
      await refused(/line 5 does not differ from the backup/, 'restore', REAR, '5');
      await refused(/there is no line 99/, 'restore', REAR, '99');
      await refused(/there is no line x/, 'restore', REAR, '4', 'x');
    });
  });
});
