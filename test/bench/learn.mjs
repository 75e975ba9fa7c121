// Learning and finding options on the command line, as whole processes: goals 1 s, 3 s and, for 2,000 dumps, 2 s beside
// the time that reading the files takes anyway.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { measure, median, startLsp } from './lspClient.mjs';

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

/** A digit typed into one dump while random bytes of another are searched for a rule: goal 20 ms, beside the same at rest. */
export async function benchTypingWhileLearning(table) {
  const folder = mkdtempSync(join(tmpdir(), 'countersum-bench-'));
  const server = await startLsp(process.execPath, ['dist/server.js', '--stdio']);
  try {
    const noise = Array.from({ length: 400 }, (_, i) => {
      const bytes = Uint8Array.from({ length: 40 }, (_, at) => Math.imul(i * 40 + at + 1, 0x9e3779b1) >>> 13);
      return `${i + 1}: ${Buffer.from(bytes).toString('hex')}\n`;
    });
    const uri = pathToFileURL(write(folder, 'noise', noise.join(''))).href;
    const start = { line: 1, character: 4 };
    const edits = ['1', '2'].map((text) => ({ range: { start, end: { line: 1, character: 5 } }, text }));
    const typing = (name) =>
      measure(server, { uri: `untitled:${name}`, languageId: 'cfgdump', text: dump(26, 1), edits, hoverAt: start });
    const rest = await typing('rest');
    const search = server.request('countersum/learn', { uri, others: [] });
    const busy = await typing('busy');
    table.push(
      { what: 'a digit typed, at rest', ms: rest.typed },
      { what: 'a digit typed, during a search', ms: busy.typed },
    );
    await search;
  } finally {
    server.stop();
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
