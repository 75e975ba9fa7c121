// Learning and finding options on the command line, as whole processes: goals 1 s, 3 s and, for 2,000 dumps, 2 s beside
// the time that reading the files takes anyway.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { median } from './lspClient.mjs';

const PROFILE = JSON.stringify({
  format: 1,
  lines: { from: 1, to: 128, data: 8, sum: 1 },
  lineSum: { method: 'add', over: ['label', 'data'] },
});

export function benchLearn(table) {
  const folder = mkdtempSync(join(tmpdir(), 'countersum-bench-'));
  try {
    const small = Array.from({ length: 20 }, (_, i) => write(folder, `small-${i}`, dump(26, i + 1)));
    table.push(timed('learn, 1 dump of 26 lines', ['learn', small[0]]));
    table.push(timed('learn, 20 dumps of 26 lines', ['learn', ...small]));
    const profile = write(folder, 'bench.dump-profile.json', PROFILE);
    const many = Array.from({ length: 2000 }, (_, i) => write(folder, `car-${i}`, dump(128, i + 1)));
    for (const count of [500, 1000, 2000]) {
      const half = count / 2;
      const groups = ['--with', ...many.slice(0, half), '--without', ...many.slice(half, count)];
      table.push(timed(`find-option, ${count} dumps of 1 KiB`, ['find-option', '--profile', profile, ...groups]));
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function timed(what, args) {
  const times = Array.from({ length: 3 }, () => {
    const start = performance.now();
    const { status, stderr } = spawnSync(process.execPath, ['dist/cli.js', ...args, '--json'], { maxBuffer: 1 << 28 });
    if (status !== 0) throw new Error(`${what}: ${stderr}`);
    return performance.now() - start;
  });
  return { what, ms: median(times) };
}

function write(folder, name, text) {
  const file = join(folder, name.includes('.') ? name : `${name}.cfgdump`);
  writeFileSync(file, text);
  return file;
}

/** Lines of 8 bytes, most of them alike in all dumps, each summed over its number and its bytes. */
function dump(lines, beginning) {
  let noise = beginning;
  const next = () => {
    noise = (Math.imul(noise, 1103515245) + 12345) >>> 0;
    return noise >>> 24;
  };
  return Array.from({ length: lines }, (_, i) => {
    const data = Array.from({ length: 8 }, (_, byte) => (i * 31 + byte * 7) & 0xff).map((byte) =>
      next() < 40 ? byte ^ (1 << (next() & 3)) : byte,
    );
    const sum = data.reduce((all, byte) => all + byte, i + 1) & 0xff;
    return `${i + 1}: ${Buffer.from([...data, sum]).toString('hex')}\n`;
  }).join('');
}
