// Correcting many sums at once, in the core and with the command line over a large image.
import { spawnSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { importCore, noisyBytes } from './core.mjs';
import { median } from './lspClient.mjs';

const MIB = 1 << 20;
const ROUNDS = 3;

/** Milliseconds of *Correct All Checksums*, from the dump to its edits. */
export async function benchFixes(table) {
  const core = await importCore();
  const cases = {
    '20,000 wrong line sums': [wrongLines(core, 20_000), 500],
    '3,000 wrong totals beside 100,000 balance places': [manyTotals(core, false), 2000],
    'one wrong of 3,000 kept totals, with 100,000 balance places': [manyTotals(core, true), 2000],
  };
  for (const [what, [dump, goal]] of Object.entries(cases)) {
    const subject = { dump, profile: { kind: 'read' }, backup: { kind: 'none' }, modules: () => [] };
    const times = Array.from({ length: ROUNDS }, () => {
      const start = performance.now();
      const result = core.fix(subject, { totals: 'keep' });
      if (!result.ok || result.value.writes.length === 0 || result.value.sums.left.length > 0)
        throw new Error(`${what}: ${JSON.stringify(result.ok ? result.value.sums.left[0] : result.why)}`);
      return performance.now() - start;
    });
    table.push({ correcting: what, ms: median(times), 'at most ms': goal });
  }
}

/** Milliseconds of the whole command line over an image of which every record has a wrong sum. */
export function benchWrongImage(table, payload = 64) {
  const folder = mkdtempSync(join(tmpdir(), 'countersum-bench-'));
  try {
    const file = join(folder, 'wrong.hex');
    writeWrongImage(file, payload * MIB);
    for (const args of [
      ['check', file],
      ['fix', file, '--out', join(folder, 'right.hex'), '--force'],
    ]) {
      const start = performance.now();
      const { status } = spawnSync(process.execPath, ['dist/cli.js', ...args], { stdio: 'ignore' });
      const name = `${args[0]}: ${payload} MiB, every record sum wrong (exit ${status})`;
      table.push({ correcting: name, ms: performance.now() - start, 'at most ms': '' });
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function wrongLines(core, count) {
  const bytes = noisyBytes(8 * count);
  const text = Array.from({ length: count }, (_, i) => {
    const data = bytes.subarray(8 * i, 8 * i + 8);
    const sum = data.reduce((all, byte) => all + byte, 0x5a);
    return `${i + 1}: ${Buffer.from(data).toString('hex')}${core.hex(sum & 0xff)}`;
  }).join('\n');
  return bound(core, text, { lines: { from: 1, to: count, data: 8, sum: 1 }, lineSum: { method: 'add', bits: 8 } });
}

/** Lines of 100 bytes, all of which may balance, and three totals over each of them. */
function manyTotals(core, kept) {
  const [count, size] = [1000, 100];
  const data = noisyBytes(size * count);
  const rows = Array.from(
    { length: count },
    (_, i) => `${i + 1}: ${Buffer.from(data.subarray(size * i, size * i + size)).toString('hex')}`,
  );
  const totals = Array.from({ length: 3 * count }, (_, i) => ({
    name: `sum ${i + 1}`,
    label: `t${i + 1}`,
    method: 'add',
    bits: 16,
    over: ['data'],
    lines: `${(i % count) + 1}-${(i % count) + 1}`,
    ...(kept && { keep: true }),
  }));
  const balance = rows.map((_, i) => ({ line: i + 1, bytes: `1-${size}` }));
  const text = `${rows.join('\n')}\n${totals.map(({ label }) => `${label}: 0000`).join('\n')}`;
  const empty = bound(core, text, { lines: { from: 1, to: count, data: size, sum: 0 }, totals, balance });
  if (!kept) return empty;
  const right = core.afterWrites(
    empty,
    core.rewriteTotals(empty, () => true),
  );
  return core.afterWrites(right, [{ row: count / 2, byte: 3, value: 0x5a, reason: 'option' }]);
}

function bound(core, text, profile) {
  const { profile: read, problems } = core.readProfile(JSON.stringify({ format: 1, title: 'T', ...profile }));
  if (problems.length > 0) throw new Error(JSON.stringify(problems));
  return core.bindText('a.cfgdump', text, read);
}

/** Records of 16 bytes with sums that are wrong by one. */
function writeWrongImage(file, size) {
  const handle = openSync(file, 'w');
  const bytes = noisyBytes(size);
  const record = (address, type, data, by) => {
    const all = Buffer.from([data.length, address >> 8, address, type, ...data, 0]);
    all[all.length - 1] = by - all.reduce((sum, byte) => sum + byte, 0);
    return `:${all.toString('hex').toUpperCase()}\n`;
  };
  let text = '';
  for (let at = 0; at < size; at += 16) {
    if (at % 0x10000 === 0) {
      writeSync(handle, text);
      text = record(0, 4, [at >>> 24, at >>> 16], 0);
    }
    text += record(at & 0xffff, 0, bytes.subarray(at, at + 16), 1);
  }
  writeSync(handle, `${text}:00000001FF\n`);
  closeSync(handle);
}
