import assert from 'node:assert/strict';
import { join } from 'node:path';
import { describe, it } from 'mocha';
import { intelHex } from '../scoring/scoreImage.js';
import { bench } from '../support/commandLine.js';
import { runCommand } from '../support/inProcess.js';

describe('images on the command line that nobody has described', function () {
  this.timeout(120_000);
  const { write, folder } = bench('empty');
  const call = (command: string, ...words: readonly string[]) =>
    runCommand([
      command,
      ...words.map((word) => (/\.(hex|bin|json|cfgdump)$/.test(word) ? join(folder(), word) : word)),
    ]);

  /** Bytes of a car: an option, filler, a number of the car and a sum of 16 bits over the first 0x7E bytes behind them. */
  const imageOf = (car: number, fitted: boolean): Uint8Array => {
    const bytes = Uint8Array.from({ length: 256 }, (_, i) => (i < 0x60 ? (i * 73 + (i >> 3) + 1) & 0xff : 0xff));
    bytes[0x21] = fitted ? 0x52 : 0x51;
    bytes.set([(car * 77) & 0xff, (car * 131) & 0xff, (car * 29) & 0xff], 0x30);
    const sum = bytes.subarray(0, 0x7e).reduce((all, byte) => all + byte, 0);
    bytes.set([sum >> 8, sum & 0xff], 0x7e);
    return bytes;
  };
  const write16 = () => {
    const cars = Array.from({ length: 16 }, (_, car) => `car${car}`);
    for (const [car, name] of cars.entries()) {
      write(`${name}.bin`, imageOf(car + 1, car < 8));
      write(`${name}.hex`, intelHex(imageOf(car + 1, car < 8)));
    }
    return cars;
  };

  it('say which sums, copies, texts and filler they show, each with its chance; the draft opens them', async () => {
    const cars = write16();
    for (const [ending, from] of [
      ['hex', []],
      ['bin', ['--from', 'binary']],
    ] as const) {
      const files = cars.slice(0, 6).map((name) => `${name}.${ending}`);
      const told = await call('learn', ...files, ...from, '--out', `${ending}.dump-profile.json`);
      assert.equal(told.status, 0, told.notes);
      assert.match(told.notes, /1 sum over the bytes found; practically certain \(chance /);
      assert.match(told.notes, /16-bit sum, over 0000 to 007D; at address 007E; practically certain \(chance /);
      assert.match(told.notes, /filler FF from 0060 to 007D; practically certain/);
      const { findings, candidates } = JSON.parse((await call('learn', ...files, ...from, '--json')).text);
      const [sum] = findings.filter(({ kind }: { kind: string }) => kind === 'sum');
      assert.deepEqual([sum.from, sum.to, sum.undecided], ['0x007E', '0x007F', false]);
      assert.ok(sum.chance < 1e-6);
      assert.deepEqual(candidates[0].profile.totals[0].over, [{ from: '0x0', to: '0x7D' }]);
      const check = await call('check', `car15.${ending}`, ...from, '--profile', `${ending}.dump-profile.json`);
      assert.equal(check.status, 0, check.text + check.notes);
    }
  });

  it('show their equipment without a profile: a sum that was learned is no place for it', async () => {
    const cars = write16();
    for (const [ending, from] of [
      ['hex', []],
      ['bin', ['--from', 'binary']],
    ] as const) {
      const files = cars.map((name) => `${name}.${ending}`);
      const groups = ['--with', ...files.slice(0, 8), '--without', ...files.slice(8)];
      const found = await call('find-option', ...from, ...groups);
      assert.equal(found.status, 0, found.notes);
      assert.match(found.text, /^address 0021, bits 1-0; with: 2, without: 1/);
      assert.doesNotMatch(found.text, /007[EF]/);
      assert.match(found.notes, /the sums were learned from these dumps and left out/);
    }
  });

  it('without any sum have places that nobody can tell from those of sums, which is said', async () => {
    const names = Array.from({ length: 8 }, (_, i) => {
      const bytes = Array.from(
        { length: 3 },
        (_, at) => ((i >> 1) * (at + 3) * 37 + at * at * 11 + (at === 1 ? i & 1 : 0)) & 0xff,
      );
      write(`bare${i}.cfgdump`, bytes.map((byte, at) => `${at + 1}: ${byte.toString(16).padStart(2, '0')}\n`).join(''));
      return `bare${i}.cfgdump`;
    });
    const of = (rest: number) => names.filter((_, i) => i % 2 === rest);
    const found = await call('find-option', '--with', ...of(1), '--without', ...of(0));
    assert.match(found.text, /^line 2, byte 1, bits 1-0; /);
    assert.match(found.notes, /no sums were learned, so sums may come up as candidates\./);
  });
});
