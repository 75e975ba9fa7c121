// How long the extension keeps the editor's extension host, in the real editor.
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { runInServer } from '../../scripts/editorTests.mjs';
import { ROOT } from '../../scripts/prepare.mjs';
import { median } from './lspClient.mjs';

const RESULTS = join(ROOT, 'out', 'activation.json');

/** Medians of five starts of the editor over an empty folder, where nothing activates the extension by itself. */
export async function benchActivation() {
  const data = join(ROOT, '.vscode-test', 'activation');
  const folder = join(data, 'empty');
  const suite = join(ROOT, 'test/bench/activationSuite.cjs');
  const runs = [];
  for (let run = 0; run < 5; run++) {
    rmSync(data, { recursive: true, force: true });
    rmSync(RESULTS, { force: true });
    mkdirSync(folder, { recursive: true });
    await runInServer({ data, folder, suite });
    runs.push(JSON.parse(readFileSync(RESULTS, 'utf8')));
  }
  return Object.fromEntries(Object.keys(runs[0]).map((figure) => [figure, median(runs.map((run) => run[figure]))]));
}
