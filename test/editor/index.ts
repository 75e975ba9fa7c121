import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Mocha from 'mocha';

/**
 * Runs every suite beside this file inside the extension host of a real editor. What came of it is left in a file for
 * the script that started the editor; it is written once, at the end, so where it lacks the run broke off.
 */
export async function run(): Promise<void> {
  const mocha = new Mocha({ ui: 'bdd', timeout: 60_000, reporter: 'min', color: false });
  for (const name of readdirSync(__dirname)) if (name.endsWith('.test.js')) mocha.addFile(join(__dirname, name));
  const report: string[] = [];
  const reasons: string[] = [];
  let passed = 0;
  const failed = await new Promise<number>((resolve) => {
    const runner = mocha.run(resolve);
    runner.on('pass', (test) => {
      passed++;
      report.push(`  ✔ ${test.fullTitle()} (${test.duration} ms)`);
    });
    runner.on('fail', (test, error) => {
      report.push(`  FAILED ${test.fullTitle()}\n${error.stack}`);
      reasons.push(`${test.fullTitle()}\n${error.message}`);
    });
  });
  writeFileSync(join(__dirname, 'results.json'), JSON.stringify({ passed, failed, report, reasons }));
  if (failed > 0) throw new Error(`${failed} failed`);
}
