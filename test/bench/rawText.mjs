// A binary of 1 MiB as the editor opens it: its bytes become a text, the text is opened, and its first marks come; then keys.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { median, startLsp } from './lspClient.mjs';

const SIZE = 1 << 20;
const KEYS = 30;

export async function benchRawText(table) {
  const folder = mkdtempSync(join(tmpdir(), 'countersum-bench-'));
  try {
    const runs = [];
    for (let run = 0; run < 5; run++) runs.push(await openAndType(folder));
    const figures = Object.keys(runs[0]).map((name) => [name, median(runs.map((one) => one[name]))]);
    table.push({ bytes: SIZE, ...Object.fromEntries(figures) });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function openAndType(folder) {
  const bytes = Uint8Array.from({ length: SIZE }, (_, i) => (i * 37 + (i >> 8)) & 0xff);
  bytes.fill(0, SIZE - 2);
  const sum = bytes.reduce((all, byte) => (all + byte) & 0xffff, 0);
  bytes.set([sum >> 8, sum & 0xff], SIZE - 2);
  const profile = {
    format: 1,
    addresses: { from: 0, to: SIZE - 1 },
    options: [{ id: 'a', title: 'A', address: 0x40, values: { 0: 'no', 1: 'yes' } }],
    totals: [{ name: 'sum', method: 'add', bits: 16, over: [{ from: 0, to: SIZE - 3 }], address: SIZE - 2 }],
  };
  writeFileSync(join(folder, 'p.dump-profile.json'), JSON.stringify(profile));
  writeFileSync(join(folder, 'ee.bin'), bytes);
  writeFileSync(join(folder, 'ee.bin.dump-headers'), '@profile p.dump-profile.json\n');
  const server = await startLsp(process.execPath, ['dist/server.js', '--stdio']);
  const uri = pathToFileURL(join(folder, 'ee.bin')).toString();
  const base64 = Buffer.from(bytes).toString('base64');
  const began = performance.now();
  const { text } = await server.request('countersum/rawText', { base64, headers: '@profile p.dump-profile.json\n' });
  const textDone = performance.now();
  await server.notify('textDocument/didOpen', { textDocument: { uri, languageId: 'cfgdump', version: 1, text } });
  await server.request('textDocument/diagnostic', { textDocument: { uri } });
  const opened = performance.now();
  const typed = [];
  for (let key = 0; key < KEYS; key++) {
    const place = { line: 500 + key, character: 12 };
    const start = performance.now();
    await server.notify('textDocument/didChange', {
      textDocument: { uri, version: key + 2 },
      contentChanges: [{ range: { start: place, end: { ...place, character: 13 } }, text: 'F' }],
    });
    await server.request('textDocument/diagnostic', { textDocument: { uri } });
    typed.push(performance.now() - start);
  }
  server.stop();
  return {
    'text ms': textDone - began,
    'first marks ms': opened - began,
    'key ms': median(typed),
    'longest key ms': Math.max(...typed),
  };
}
