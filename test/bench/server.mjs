// The language server beside the JSON language server on as many lines, in one run.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { measure, median, startLsp } from './lspClient.mjs';

const SIZES = [26, 1000, 10_000, 100_000, 300_000];

/** What is wanted of the figures of a dump beside those of as many lines of JSON. */
export const SERVER_GOALS = { 'open ms': 0.25, 'edit ms': 0.25, 'hover ms': 1, 'peak MB': 1 };

export async function benchServer(table) {
  const folder = mkdtempSync(join(tmpdir(), 'countersum-bench-'));
  try {
    const node = median(Array.from({ length: 5 }, () => timeOf(() => execFileSync(process.execPath, ['-e', '0']))));
    const starts = { countersum: [], json: [] };
    for (const lines of SIZES) {
      const ours = await medians(async () => {
        const server = await startLsp(process.execPath, ['dist/server.js', '--stdio']);
        starts.countersum.push(server.started);
        return finish(server, measure(server, dumpOf(folder, lines)));
      });
      const json = await medians(async () => {
        const server = await startLsp(process.execPath, [
          'node_modules/vscode-langservers-extracted/bin/vscode-json-language-server',
          '--stdio',
        ]);
        starts.json.push(server.started);
        return finish(server, measure(server, jsonOf(folder, lines)));
      });
      for (const [name, row] of [
        ['countersum', ours],
        ['json server', json],
      ]) {
        table.push({
          lines,
          server: name,
          'open ms': row.opened,
          'edit ms': row.typed,
          'hover ms': row.hover,
          'peak MB': row.peak,
        });
      }
    }
    return {
      'node -e 0': node,
      'countersum start': median(starts.countersum),
      'json server start': median(starts.json),
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function finish(server, measured) {
  const result = await measured;
  server.stop();
  return result;
}

/** The median of each figure over five runs. */
async function medians(run) {
  const runs = [await run(), await run(), await run(), await run(), await run()];
  return Object.fromEntries(Object.keys(runs[0]).map((figure) => [figure, median(runs.map((one) => one[figure]))]));
}

function timeOf(work) {
  const start = performance.now();
  work();
  return performance.now() - start;
}

/** A dump of so many lines whose sums are right but for the one that the edits touch. */
function dumpOf(folder, lines) {
  const profile = {
    format: 1,
    lines: { from: 1, to: lines, data: 6, sum: 1 },
    lineSum: { method: 'add', bits: 8, over: ['data'] },
    totals: [{ name: 'file sum', method: 'add', bits: 16, keep: true }],
    balance: [{ line: 1, byte: 1 }],
  };
  writeFileSync(join(folder, `p${lines}.dump-profile.json`), JSON.stringify(profile));
  const rows = [`@profile p${lines}.dump-profile.json`];
  let total = 0;
  for (let label = 1; label <= lines; label++) {
    const data = Array.from({ length: 6 }, (_, i) => (label * 31 + i * 57) & 0xff);
    const sum = data.reduce((a, b) => a + b);
    total += sum;
    rows.push(`${label}: ${[...data, sum & 0xff].map(hex).join(' ')}`);
  }
  rows.push(`total: ${hex((total >> 8) & 0xff)} ${hex(total & 0xff)}`, '');
  const line = lines >> 1;
  const column = rows[line].length - 2;
  const put = (text) => ({ range: { start: { line, character: column }, end: { line, character: column + 1 } }, text });
  return {
    uri: pathToFileURL(join(folder, `d${lines}.cfgdump`)).toString(),
    languageId: 'cfgdump',
    text: rows.join('\n'),
    edits: [put('0'), put('F'), put('7')],
    hoverAt: { line, character: column - 4 },
  };
}

function jsonOf(folder, lines) {
  const rows = ['['];
  for (let i = 1; i < lines - 1; i++)
    rows.push(`  { "id": ${i}, "bytes": "${hex(i & 0xff)}${hex((i * 7) & 0xff)}" }${i < lines - 2 ? ',' : ''}`);
  rows.push(']');
  const line = lines >> 1;
  const column = rows[line].indexOf('bytes') + 9;
  const put = (text) => ({ range: { start: { line, character: column }, end: { line, character: column + 1 } }, text });
  return {
    uri: pathToFileURL(join(folder, `d${lines}.json`)).toString(),
    languageId: 'json',
    text: rows.join('\n'),
    edits: [put('0'), put('F'), put('7')],
    hoverAt: { line, character: column },
  };
}

function hex(value) {
  return value.toString(16).toUpperCase().padStart(2, '0');
}
