// The whole command line over memory images, beside programs of the system that read the same file, in one run.
import { spawnSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, readFileSync, rmSync, statSync, writeFileSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { importCore, noisyBytes } from './core.mjs';
import { median } from './lspClient.mjs';

const MIB = 1 << 20;
const PAYLOADS = [1, 4, 16, 64];

export function benchImages(table) {
  const folder = mkdtempSync(join(tmpdir(), 'countersum-bench-'));
  try {
    for (const payload of PAYLOADS) {
      const file = join(folder, `${payload}.hex`);
      writeImage(file, payload * MIB);
      const programs = {
        countersum: [process.execPath, ['dist/cli.js', 'check', file]],
        objcopy: ['objcopy', ['-I', 'ihex', '-O', 'binary', file, join(folder, 'out.bin')]],
        srec_info: ['srec_info', [file, '-intel']],
        'npm intel-hex': [
          process.execPath,
          ['-e', `require('intel-hex').parse(require('fs').readFileSync('${file}'))`],
        ],
        'countersum convert': [
          process.execPath,
          ['dist/cli.js', 'convert', file, '--to', 's-record', '--out', join(folder, 'a.s19'), '--force'],
        ],
        'objcopy convert': ['objcopy', ['-I', 'ihex', '-O', 'srec', file, join(folder, 'b.s19')]],
      };
      const row = { 'payload MiB': payload, 'file MB': statSync(file).size / 1e6 };
      // One after the other in each round, so that a busy moment of the machine falls on all of them.
      const times = Array.from({ length: 5 }, () =>
        Object.values(programs).map(([command, args]) => time(command, args)),
      );
      for (const [i, name] of Object.keys(programs).entries())
        row[`${name} ms`] = median(times.map((round) => round[i]));
      table.push(row);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** What is wanted of a whole process beside its peer, as columns of the table that `benchImages` makes. */
export const IMAGE_GOALS = [
  { what: 'countersum', beside: 'objcopy', goal: 1 },
  { what: 'countersum convert', beside: 'objcopy convert', goal: 0.8 },
];

/** Two images of 16 MiB that differ in three bytes, or are the same, compared. */
export function benchCompare(table) {
  const folder = mkdtempSync(join(tmpdir(), 'countersum-bench-'));
  const inFolder = (name) => join(folder, name);
  const report = inFolder('most');
  // Peak memory as the kernel counted it, which the process writes when it ends.
  const hook = `data:text/javascript,import fs from "node:fs";process.on("exit",()=>fs.writeFileSync(${JSON.stringify(report)},String(process.resourceUsage().maxRSS)))`;
  const compare = (...args) => [process.execPath, ['--import', hook, 'dist/cli.js', 'compare', ...args]];
  try {
    const bytes = noisyBytes(16 * MIB);
    writeFileSync(inFolder('a.bin'), bytes);
    for (const at of [0x1234, 0x80000, 0xfffff]) bytes[at] ^= 0x5a;
    writeFileSync(inFolder('b.bin'), bytes);
    for (const name of ['a', 'b'])
      spawnSync('objcopy', ['-I', 'binary', '-O', 'ihex', inFolder(`${name}.bin`), inFolder(`${name}.hex`)]);
    const [hexA, hexB, binA, binB] = ['a.hex', 'b.hex', 'a.bin', 'b.bin'].map(inFolder);
    const rows = {
      'Intel HEX that differs': [compare(hexA, hexB), ['srec_cmp', [hexA, '-intel', hexB, '-intel']]],
      'Intel HEX that is the same': [compare(hexA, hexA), ['srec_cmp', [hexA, '-intel', hexA, '-intel']]],
      'raw bytes that differ': [
        compare(binA, binB, '--from', 'binary'),
        ['srec_cmp', [binA, '-binary', binB, '-binary']],
      ],
    };
    const times = Array.from({ length: 5 }, () =>
      Object.values(rows).map((pair) =>
        pair.map(([command, args], side) => {
          const ms = time(command, args, [0, 1, 2]);
          return side === 0 ? { ms, most: Number(readFileSync(report, 'latin1')) / 1024 } : { ms };
        }),
      ),
    );
    for (const [i, what] of Object.keys(rows).entries()) {
      const of = (side, figure) => median(times.map((round) => round[i][side][figure]));
      const [ms, peer] = [of(0, 'ms'), of(1, 'ms')];
      table.push({
        ...{ '2 × 16 MiB': what, ms, 'srec_cmp ms': peer, ratio: ms / peer, goal: 0.5 },
        ...{ 'peak MB': of(0, 'most'), 'goal MB': 200 },
      });
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The same payload in other written forms, each beside a program that reads or writes it. */
export function benchForms(table) {
  const folder = mkdtempSync(join(tmpdir(), 'countersum-bench-'));
  const inFolder = (name) => join(folder, name);
  const [raw, view, out] = [inFolder('a.bin'), inFolder('a.xxd'), inFolder('out')];
  const dump = (...args) => [process.execPath, ['dist/cli.js', ...args]];
  try {
    writeFileSync(raw, noisyBytes(16 * MIB));
    writeFileSync(view, spawnSync('xxd', [raw], { maxBuffer: 128 * MIB }).stdout);
    const rows = {
      'check binary': [dump('check', raw, '--from', 'binary'), ['objcopy', ['-I', 'binary', '-O', 'ihex', raw, out]]],
      'convert binary to intel-hex': [
        dump('convert', raw, '--from', 'binary', '--to', 'intel-hex', '--out', out),
        ['srec_cat', [raw, '-binary', '-o', out, '-intel']],
      ],
      'check hex-view': [dump('check', view), ['xxd', ['-r', view, out]]],
      'convert hex-view to binary': [dump('convert', view, '--to', 'binary', '--out', out), ['xxd', ['-r', view, out]]],
      'start alone': [dump('--version'), [process.execPath, ['-e', '0']]],
    };
    const times = Array.from({ length: 5 }, () =>
      Object.values(rows).map((pair) =>
        pair.map(([command, args]) => {
          rmSync(out, { force: true });
          return time(command, args);
        }),
      ),
    );
    for (const [i, what] of Object.keys(rows).entries()) {
      const [own, peer] = [0, 1].map((side) => median(times.map((round) => round[i][side])));
      const [, [program]] = rows[what];
      table.push({
        '16 MiB': what,
        ms: own,
        beside: program === process.execPath ? 'node -e 0' : program,
        'its ms': peer,
        ratio: own / peer,
      });
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Milliseconds until the form of a text is known by its first 64 KiB. */
export async function benchRecognition(table) {
  const core = await importCore();
  const bytes = noisyBytes(16 * 1024);
  const text = Array.from(
    bytes,
    (byte, i) => (i % 16 === 0 ? `0x${core.hex(i, 4)}: ` : ' ') + core.hex(byte) + (i % 16 === 15 ? '\n' : ''),
  ).join('');
  const dump = core.bindText('a.cfgdump', text, core.EMPTY_PROFILE);
  for (const form of core.FORMS) {
    const written = form.id === 'dump-text' ? { ok: true, value: { text } } : core.convert(dump, form.id);
    const head = written.value.text.slice(0, 1 << 16);
    const times = Array.from({ length: 9 }, () => {
      const start = performance.now();
      core.notationOf('a.txt', head);
      return performance.now() - start;
    });
    table.push({ form: form.id, 'first ms': times[0], 'median ms': median(times) });
  }
}

/** Milliseconds of a whole process; undefined where the program lacks or fails. */
function time(command, args, good = [0]) {
  const start = performance.now();
  const { status } = spawnSync(command, args, { stdio: 'ignore' });
  return good.includes(status) ? performance.now() - start : undefined;
}

/** Records of 16 bytes that look like a program: no two lines are equal. */
function writeImage(file, size) {
  const handle = openSync(file, 'w');
  const record = (address, type, data) => {
    const bytes = Buffer.from([data.length, address >> 8, address, type, ...data, 0]);
    bytes[bytes.length - 1] = -bytes.reduce((sum, byte) => sum + byte, 0);
    return `:${bytes.toString('hex').toUpperCase()}\n`;
  };
  let text = '';
  let noise = 1;
  for (let at = 0; at < size; at += 16) {
    if (at % 0x10000 === 0) {
      writeSync(handle, text);
      text = record(0, 4, [at >>> 24, at >>> 16]);
    }
    const data = Array.from({ length: 16 }, () => {
      noise = (Math.imul(noise, 1103515245) + 12345) >>> 0;
      return noise >>> 24;
    });
    text += record(at & 0xffff, 0, data);
  }
  writeSync(handle, `${text}:00000001FF\n`);
  closeSync(handle);
}
