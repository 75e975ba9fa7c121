import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { fix } from '../../../shared-core/src/actions/repair.js';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';

const hex = (byte: number) => (byte & 0xff).toString(16).padStart(2, '0').toUpperCase();

/** Bytes that look like no other line's. */
const noise = (line: number, at: number) => (Math.imul(line * 131 + at + 1, 0x9e3779b1) >>> 24) & 0xff;
const lineOf = (line: number, size: number) => Array.from({ length: size }, (_, at) => noise(line, at));

function bound(text: string, profile: object): Dump {
  const { profile: read, problems } = readProfile(JSON.stringify({ format: 1, ...profile }));
  assert.deepEqual(problems, []);
  return bindText('a.cfgdump', text, read);
}

/** Milliseconds of the processor, the best of three rounds: others may use the machine as well. */
function workOf(run: () => void): number {
  const rounds = [1, 2, 3].map(() => {
    const before = process.cpuUsage();
    run();
    return process.cpuUsage(before).user / 1000;
  });
  return Math.min(...rounds);
}

function assertFixed(dump: Dump): number {
  const result = fix(loaded(dump, SOUND), { totals: 'keep' });
  assert.ok(result.ok, result.ok ? '' : say(result.why));
  assert.deepEqual(result.value.sums.left, []);
  return result.value.writes.length;
}

/** Lines of 100 bytes that may all balance, and sums over one line each. */
function manyTotals(count: number, lines: number, kept: boolean): Dump {
  const rows = Array.from({ length: lines }, (_, i) => `${i + 1}: ${lineOf(i, 100).map(hex).join(' ')}`);
  const totals = Array.from({ length: count }, (_, i) => {
    const line = (i % lines) + 1;
    const own = { name: `sum ${i + 1}`, label: `t${i + 1}`, lines: `${line}-${line}`, over: ['data'] };
    return { ...own, method: 'add', bits: 16, ...(kept && { keep: true }) };
  });
  const stored = totals.map(({ label }) => `${label}: 00 00`);
  return bound([...rows, ...stored].join('\n'), {
    lines: { from: 1, to: lines, data: 100, sum: 0 },
    totals,
    balance: rows.map((_, i) => ({ line: i + 1, bytes: '1-100' })),
  });
}

describe('very many sums', () => {
  it('of lines, 20,000 of them, are put right within half a second', () => {
    const rows = Array.from({ length: 20_000 }, (_, i) => {
      const data = lineOf(i, 8);
      return `${i + 1}: ${[...data, data.reduce((sum, byte) => sum + byte, 1)].map(hex).join(' ')}`;
    });
    const dump = bound(rows.join('\n'), {
      lines: { from: 1, to: 20_000, data: 8, sum: 1 },
      lineSum: { method: 'add', bits: 8 },
    });
    assert.ok(workOf(() => assert.equal(assertFixed(dump), 20_000)) <= 500);
  });

  it('of a whole file, 3,000 beside 100,000 balance places, are read and put right within two seconds', () => {
    assert.ok(workOf(() => assert.ok(assertFixed(manyTotals(3000, 1000, false)) > 0)) <= 2000);
  });

  it('that are kept, a thousand of them all wrong, are balanced each with the bytes of its own line', () => {
    const lines = 1000;
    const rows = Array.from({ length: lines }, (_, i) => `${i + 1}: ${lineOf(i, 8).map(hex).join(' ')}`);
    const totals = rows.map((_, i) => {
      const own = { name: `sum ${i + 1}`, label: `t${i + 1}`, lines: `${i + 1}-${i + 1}`, over: ['data'] };
      return { ...own, method: i % 2 ? 'add' : 'xor', bits: 16, keep: true };
    });
    const stored = totals.map(({ label }, i) => `${label}: 0${i % 5} ${hex(noise(i, 99))}`);
    const dump = bound([...rows, ...stored].join('\n'), {
      lines: { from: 1, to: lines, data: 8, sum: 0 },
      totals,
      balance: rows.map((_, i) => ({ line: i + 1, bytes: '1-8' })),
    });
    assert.ok(workOf(() => assert.ok(assertFixed(dump) >= lines)) <= 3000);
  }).timeout(60_000);

  it('over a dump of which most lines are missing are told quickly', () => {
    const lines = 400_000;
    const dump = () =>
      bound('1: 00\n400000: 00\n', {
        lines: { from: 1, to: lines, data: 1, sum: 0 },
        totals: Array.from({ length: 1000 }, (_, i) => ({
          ...{ name: `sum ${i}`, label: `t${i}`, method: 'add' },
          ...{ lines: `${i + 1}-${lines - i}`, over: ['data'] },
        })),
      });
    assert.ok(workOf(() => assert.ok(dump().totals[5]?.run.obstacle !== undefined)) <= 2000);
    assert.deepEqual(dump().totals[5]?.run.obstacle, { kind: 'lines-missing', first: 6, count: lines - 10 });
    assert.deepEqual(dump().totals[0]?.run.obstacle, { kind: 'lines-missing', first: 2, count: lines - 2 });
  });

  it('of which none is known are told quickly, however many other names are wanted', () => {
    const totals = Array.from({ length: 1000 }, (_, i) => ({ name: `sum ${i}`, label: `sum${i}`, method: 'add' }));
    const rows = Array.from({ length: 3000 }, (_, i) => `sun${i}a: 00`);
    const dump = bound(rows.join('\n'), { lines: { from: 1, to: 9, data: 1, sum: 0 }, totals });
    assert.ok(workOf(() => assert.ok(checkDump(loaded(dump, SOUND)).length > 3000)) <= 1000);
  });
});
