// Rows of a hex view are lines with sums of their own, as those of raw bytes are.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync, rmSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';
import { runCommand } from '../support/inProcess.js';

const SUMS = { method: 'add', bits: 8, complement: 'twos', over: ['data'] };
const LINES = { from: 0, to: 112, step: 16, data: 15, sum: 1 };
const lineOf = (seed: number) => {
  const data = Array.from({ length: 15 }, (_, i) => (seed * (7 * i + 3) + i * i) & 0xff);
  return [...data, -data.reduce((sum, byte) => sum + byte, 0) & 0xff];
};
const BYTES = [0x52, 0x0e, 0x31, 0x77, 0x9c, 0x15, 0xe3, 0x48].flatMap(lineOf);
const pair = (byte: number) => byte.toString(16).padStart(2, '0');
const rowsOf = (bytes: readonly number[]) =>
  Array.from({ length: bytes.length / 16 }, (_, i) => bytes.slice(16 * i, 16 * i + 16));
const address = (row: number) => (16 * row).toString(16).padStart(8, '0');
const xxd = (bytes: readonly number[]) =>
  rowsOf(bytes)
    .map((row, i) => {
      const shown = row.map((byte) => (byte >= 0x20 && byte < 0x7f ? String.fromCharCode(byte) : '.'));
      return `${address(i)}: ${row.map(pair).join(' ')}  ${shown.join('')}\n`;
    })
    .join('');
const od = (bytes: readonly number[]) =>
  [...rowsOf(bytes).map((row, i) => `${address(i)} ${row.map(pair).join(' ')}`), address(bytes.length / 16), ''].join(
    '\n',
  );

describe('rows of a hex view that end in sums of their own', () => {
  const { write, read, path } = bench('empty');
  const run = (name: string, ...words: readonly string[]) =>
    runCommand([name, ...words.map((word) => (/^\w+\.\w/.test(word) ? path(word) : word))]);

  it('are learned by the rule that the same raw bytes are learned by', async () => {
    write('roof.bin', Buffer.from(BYTES));
    const raw = await run('learn', 'roof.bin', '--title', 'Roof');
    assert.equal(raw.status, 0, raw.notes);
    assert.deepEqual(JSON.parse(raw.text).lines, LINES);
    for (const view of [xxd(BYTES), od(BYTES)]) {
      write('view.txt', view);
      const { status, text, notes } = await run('learn', 'view.txt', '--title', 'Roof');
      assert.equal(status, 0, notes);
      assert.deepEqual(JSON.parse(text), JSON.parse(raw.text));
      assert.match(notes, /8 of 8 lines explained/);
      assert.doesNotMatch(notes, /not read/);
    }
  });

  it('are checked and corrected by a profile of the raw bytes', async () => {
    write('roof.dump-profile.json', JSON.stringify({ format: 1, lines: LINES, lineSum: SUMS }));
    const by = ['--profile', 'roof.dump-profile.json'];
    for (const view of [xxd, od]) {
      write('view.txt', view(BYTES));
      assert.match((await run('check', ...by, 'view.txt')).text, /all good/);
      write('view.txt', view(BYTES.map((byte, at) => (at === 20 ? byte ^ 1 : byte))));
      const { status, text: said } = await run('check', ...by, 'view.txt');
      assert.equal(status, 1);
      assert.match(said, /view\.txt:2:\d+: error line-sum/);
      assert.equal((await run('fix', ...by, '--write', 'view.txt')).status, 0);
      assert.match((await run('check', ...by, 'view.txt')).text, /all good/);
      assert.equal(read('view.txt').split('\n')[0], view(BYTES).split('\n')[0]);
    }
  });

  it('are not good where a row is missing, or where rows contradict each other', async () => {
    write('roof.dump-profile.json', JSON.stringify({ format: 1, lines: LINES, lineSum: SUMS }));
    const view = xxd(BYTES).split('\n');
    const without = (row: number) => view.filter((_, at) => at !== row).join('\n');
    const twice = [...view.slice(0, 2), view[1], ...view.slice(2)].join('\n');
    for (const text of [without(3), without(7), twice]) {
      write('view.txt', text);
      const { status, text: said } = await run('check', '--profile', 'roof.dump-profile.json', 'view.txt');
      assert.notEqual(status, 0, said);
      assert.doesNotMatch(said, /all good/);
    }
  });

  it('are the same and can be restored from each other whichever program printed them', async () => {
    write('p.dump-profile.json', JSON.stringify({ format: 1, lines: LINES, lineSum: SUMS }));
    write('a.bin', Buffer.from(BYTES));
    write('b.bin', Buffer.from(BYTES.map((byte, at) => (at === 36 ? byte ^ 2 : at === 47 ? (byte - 2) & 0xff : byte))));
    const by = ['--profile', 'p.dump-profile.json'];
    const views = { xxd: ['xxd', '-g1'], hexdump: ['hexdump', '-C'], od: ['od', '-A', 'x', '-t', 'x1'] } as const;
    const printed = ([program, ...words]: readonly [string, ...string[]], name: string) =>
      execFileSync(program, [...words, path(name)], { encoding: 'utf8' });
    for (const [name, call] of Object.entries(views)) {
      write(`a.${name}`, printed(call, 'a.bin'));
      write(`b.${name}`, printed(call, 'b.bin'));
      write(`r.${name}`, read(`a.${name}`));
    }
    const names = Object.keys(views);
    for (const [one, other] of names.flatMap((one) => names.map((other) => [one, other] as const))) {
      const said = await run('verify', ...by, `a.${one}`, `r.${other}`);
      assert.equal(said.status, 0, `${one} ${other}: ${said.text}${said.notes}`);
      assert.equal((await run('compare', ...by, `a.${one}`, `r.${other}`)).status, 0);
      const different = await run('compare', ...by, `a.${one}`, `b.${other}`);
      assert.equal(different.status, 1);
      assert.doesNotMatch(different.text, /is new|Line 128/);
      write(`a.${one}.dump-headers`, '@profile p.dump-profile.json\n@vehicle c1\n');
      write(`c.${other}`, read(`b.${other}`));
      write(`c.${other}.dump-headers`, `@profile p.dump-profile.json\n@vehicle c1\n@backup a.${one}\n`);
      const restored = await run('restore', '--write', `c.${other}`);
      assert.equal(restored.status, 0, `${one} ${other}: ${restored.text}${restored.notes}`);
      assert.equal(read(`c.${other}`), read(`a.${other}`));
      for (const view of names) rmSync(path(`a.${view}.dump-headers`), { force: true });
    }
  });

  it('are not whole where the address that ends the view says another length', async () => {
    write('p.dump-profile.json', JSON.stringify({ format: 1, lines: LINES, lineSum: SUMS }));
    write('a.xxd', xxd(BYTES));
    for (const end of [0x70, 0x7f, 0x81, 0x90]) {
      write('a.od', od(BYTES).replace(/[0-9a-f]+\n?$/, `${pair(end).padStart(8, '0')}\n`));
      const by = ['--profile', 'p.dump-profile.json'];
      const checked = await run('check', ...by, 'a.od');
      assert.notEqual(checked.status, 0, checked.text);
      assert.doesNotMatch(checked.text, /all good/);
      assert.notEqual((await run('verify', ...by, 'a.xxd', 'a.od')).status, 0);
      assert.notEqual((await run('convert', ...by, 'a.od', '--to', 'binary', '--out', 'a.bin')).status, 0);
    }
  });

  it('are converted by their addresses, as a program does that undoes the view', async () => {
    write('p.dump-profile.json', JSON.stringify({ format: 1, lines: LINES, lineSum: SUMS }));
    const by = ['--profile', 'p.dump-profile.json'];
    for (const [name, view] of [
      ['a.xxd', xxd(BYTES)],
      ['a.od', od(BYTES)],
    ] as const) {
      write(name, view);
      const raw = await run('convert', ...by, name, '--to', 'binary', '--out', 'out.bin', '--force');
      assert.equal(raw.status, 0, raw.notes);
      assert.deepEqual(readFileSync(path('out.bin')), Buffer.from(BYTES));
      const image = await run('convert', ...by, name, '--to', 'intel-hex', '--out', 'out.hex', '--force');
      assert.equal(image.status, 0, image.notes);
      const back = await run('convert', 'out.hex', '--to', 'hex-view', '--out', 'back.xxd', '--force');
      assert.equal(back.status, 0, back.notes);
      assert.equal(read('back.xxd'), xxd(BYTES));
    }
    assert.deepEqual(execFileSync('xxd', ['-r', path('a.xxd')]), readFileSync(path('out.bin')));
    // Of raw bytes the profile says that they are numbered lines: the same at every door.
    const view = await run('convert', ...by, 'out.bin', '--to', 'hex-view', '--out', 'back.xxd', '--force');
    assert.equal(view.status, 2, view.notes);
  });
});
