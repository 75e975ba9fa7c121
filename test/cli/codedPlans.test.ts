import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { cpSync, readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, it } from 'mocha';
import { bench, CLI } from '../support/commandLine.js';

const RETROFIT = {
  format: 1,
  title: 'Heated seat with its tell-tale',
  changes: [
    { profile: 'seat.dump-profile.json', set: { 'seat-heater': 'two levels' } },
    { profile: 'display.dump-profile.json', set: { lamp: 'shown' } },
  ],
};
const DISPLAY = {
  format: 1,
  lines: { from: 1, to: 2, data: 4, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['data'] },
  options: [{ id: 'lamp', title: 'Lamp', line: 2, byte: 1, bits: 0, values: { 0: 'dark', 1: 'shown' } }],
};
const display = (first: number) =>
  `@profile display.dump-profile.json\n@vehicle stock no. 2077\n@backup display.as-found.cfgdump\n# größer\n1: 01 02 03 04 0A\n2: 0${first} 02 03 04 0${(first + 9).toString(16).toUpperCase()}\n`;
/** UTF-16, little-endian, with its mark. */
const utf16 = (text: string) => Buffer.from(`\ufeff${text}`, 'utf16le');

describe('a plan over raw bytes and a text in UTF-16', () => {
  const { folder, path, write, call, names } = bench('empty');
  const layOut = () => {
    cpSync('examples/seat-heater', folder(), { recursive: true });
    assert.equal(call('restore', 'seat.bin', '--write').status, 0);
    write('display.dump-profile.json', JSON.stringify(DISPLAY));
    write('display.cfgdump', utf16(display(0)));
    write(
      'display.as-found.cfgdump',
      utf16(display(0).replace('@backup display.as-found.cfgdump', '@taken 2026-04-11T08:30:00Z')),
    );
    write('heated.retrofit.json', JSON.stringify(RETROFIT));
  };
  const contents = () => [readFileSync(path('seat.bin')), readFileSync(path('display.cfgdump'))];

  it('writes both, each as it was written', () => {
    layOut();
    const [seat] = contents();
    const { status, stdout, stderr } = call('plan', 'heated.retrofit.json', '--write');
    assert.equal(status, 0, stdout + stderr);
    const [after, shown] = contents();
    assert.deepEqual(shown, utf16(display(1)));
    assert.equal(after?.length, seat?.length);
    assert.equal(after?.[0x28], 0x15);
    assert.equal(call('check', 'seat.bin', 'display.cfgdump').status, 0);
  });

  it('is all or nothing, wherever it is killed', function () {
    this.timeout(120_000);
    layOut();
    const before = contents();
    call('plan', 'heated.retrofit.json', '--write');
    const planned = contents();
    let cut = 0;
    for (let kill = 8; ; kill += 7) {
      write('seat.bin', before[0] as Buffer);
      write('display.cfgdump', before[1] as Buffer);
      const args = ['--require', resolve('test/attack/killAt.cjs'), CLI, 'plan', 'heated.retrofit.json', '--write'];
      const env = { ...process.env, COUNTERSUM_KILL: String(kill) };
      const { signal } = spawnSync(process.execPath, args, { cwd: folder(), env });
      if (signal === null) break;
      cut++;
      const { status, stderr } = call('plan', 'heated.retrofit.json', '--write');
      assert.equal(status, 0, stderr);
      assert.deepEqual(contents(), planned);
    }
    assert.ok(cut > 3);
    assert.deepEqual(
      names().filter((name) => /countersum|tmp/.test(name)),
      [],
    );
  });
});
