// Sums over long runs beside zlib and npm crc; the solver; edits in a large image. All in one process, one after the other.
import { crc32 } from 'node:zlib';
import crc from 'crc';
import { importCore, noisyBytes } from './core.mjs';
import { median } from './lspClient.mjs';

const MIB = 1 << 20;
const ROUNDS = 9;

export async function benchSums() {
  const core = await importCore();
  return { sums: throughput(core), solver: solver(core), edits: edits(core) };
}

/** MB a second over 16 MiB. */
function throughput(core) {
  const bytes = noisyBytes(16 * MIB);
  const catalogue = (model) => core.checksumOf({ method: 'crc', model, ...core.crcModel(model) });
  const over = (checksum) => () => core.valueOver(checksum, bytes);
  const plain = { order: 'big', start: 0n };
  const sums = {
    'CRC-32 (zlib)': () => crc32(bytes),
    'CRC-32 (npm crc)': () => crc.crc32(bytes),
    'CRC-32': over(catalogue('CRC-32/ISO-HDLC')),
    'CRC-16/MODBUS (npm crc)': () => crc.crc16modbus(bytes),
    'CRC-16/MODBUS': over(catalogue('CRC-16/MODBUS')),
    'CRC-16/IBM-3740, not reflected': over(catalogue('CRC-16/IBM-3740')),
    'CRC-64/XZ': over(catalogue('CRC-64/XZ')),
    'add, 16 bits': over(core.checksumOf({ method: 'add', bits: 16, unit: 1, complement: 'none', ...plain })),
    'add-end-around, 16 bits': over(core.checksumOf({ method: 'add-end-around', bits: 16, ...plain })),
    'xor, 8 bits': over(core.checksumOf({ method: 'xor', bits: 8, ...plain })),
    'Fletcher-16': over(core.checksumOf({ method: 'fletcher', bits: 16, order: 'big' })),
    'Adler-32': over(core.checksumOf({ method: 'adler' })),
  };
  return Object.entries(sums).map(([sum, run]) => ({ sum, 'MB/s': Math.round(bytes.length / 1000 / timed(run)) }));
}

/** Milliseconds to bring sums back that one changed byte has put wrong. */
function solver(core) {
  const total = (more) => ({ name: 'sum', keep: true, ...more });
  const image = (size, width, totals, free) => ({ size, width, totals, free });
  const end = (size, width) => ({ over: [{ from: 0, to: size - 9 }], address: size - 8 + width });
  const cases = {
    'a 16-bit sum with 8 bytes': image(
      0x1000,
      8,
      [total({ method: 'add', bits: 16, ...end(0x1000, 0) })],
      [0x100, 0x107],
    ),
    'a CRC-32 with 4 bytes of a 1 MiB image': image(
      MIB,
      4,
      [total({ method: 'crc', model: 'CRC-32/ISO-HDLC', ...end(MIB, 0) })],
      [0x8000, 0x8003],
    ),
    'a CRC-16 and a 16-bit sum at once with 8 bytes': image(
      0x1000,
      8,
      [
        total({ method: 'crc', model: 'CRC-16/ARC', ...end(0x1000, 0) }),
        total({ name: 'second', method: 'add', bits: 16, ...end(0x1000, 4) }),
      ],
      [0x100, 0x107],
    ),
  };
  return Object.entries(cases).map(([what, { size, totals, free }]) => {
    const { profile } = core.readProfile(JSON.stringify({ format: 1, totals }));
    const sound = core.bindText('a.hex', hexOf(core, noisyBytes(size)), profile);
    const right = core.afterWrites(
      sound,
      core.rewriteTotals(sound, () => true),
    );
    const wrong = core.wrongTotals(core.afterWrites(right, [{ row: 9, byte: 3, value: 0x5a, reason: 'option' }]));
    const dump = core.afterWrites(right, [{ row: 9, byte: 3, value: 0x5a, reason: 'option' }]);
    const cells = core.freeCellsAt(dump, { from: free[0], to: free[1] });
    const solve = () => core.rebalance(dump, cells, wrong);
    if (!solve().ok) throw new Error(what);
    return { balancing: what, ms: timed(solve) };
  });
}

/** Milliseconds from an edit to fresh problems in an image of 1 MiB that a CRC-32 runs over. */
function edits(core) {
  const totals = [
    { name: 'sum', method: 'crc', model: 'CRC-32/ISO-HDLC', over: [{ from: 0, to: MIB - 9 }], address: MIB - 8 },
  ];
  const { profile } = core.readProfile(JSON.stringify({ format: 1, totals }));
  let dump = core.bindText('a.hex', hexOf(core, noisyBytes(MIB)), profile);
  const status = { kind: 'read', wrong: undefined, problems: 0 };
  const edit = (line, from, endLine, to, text) => {
    const range = { start: { row: line, column: from }, end: { row: endLine, column: to }, text };
    const { rows, change } = core.replaceText(dump.rows, range, dump.notation);
    dump = core.rebind(dump, rows, change);
    return core.checkDump(dump, status, { kind: 'none' });
  };
  const middle = 30_000;
  const rounds = {
    'a digit is typed': [() => edit(middle, 12, middle, 13, 'A'), () => edit(middle, 12, middle, 13, 'B')],
    'a line is put in, and taken out': [
      () => edit(middle, 0, middle, 0, '; a note\n'),
      () => edit(middle, 0, middle + 1, 0, ''),
    ],
    'a line is cut, and made whole': [
      () => edit(middle, 20, middle, 20, '\n'),
      () => edit(middle, 20, middle + 1, 0, ''),
    ],
  };
  return Object.entries(rounds).map(([what, steps]) => ({
    edit: what,
    ms: median(Array.from({ length: 3 * ROUNDS }, () => Math.max(...steps.map((step) => time(step))))),
  }));
}

function hexOf(core, bytes) {
  const text = Array.from(
    { length: Math.ceil(bytes.length / 16) },
    (_, i) => `0x${(16 * i).toString(16)}: ${Buffer.from(bytes.subarray(16 * i, 16 * i + 16)).toString('hex')}`,
  ).join('\n');
  const converted = core.convert(core.bindText('a.cfgdump', text, core.EMPTY_PROFILE), 'intel-hex');
  return converted.value.text;
}

function timed(work) {
  return median(Array.from({ length: ROUNDS }, () => time(work)));
}

function time(work) {
  const start = performance.now();
  work();
  return performance.now() - start;
}
