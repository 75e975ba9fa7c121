import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Mocha from 'mocha';

/** Runs the suite inside the extension host of a real editor and leaves the counts for the script that started it. */
export async function run(): Promise<void> {
  const mocha = new Mocha({ ui: 'bdd', timeout: 60_000, reporter: 'spec', color: false });
  mocha.addFile(join(__dirname, 'mainJob.test.js'));
  const failures = await new Promise<number>((resolve) => {
    let passed = 0;
    const runner = mocha.run((failed) => {
      writeFileSync(join(__dirname, 'results.json'), JSON.stringify({ passed, failed }));
      resolve(failed);
    });
    runner.on('pass', () => passed++);
    runner.on('fail', (test, error) => console.log(`FAILED ${test.fullTitle()}\n${error.stack}`));
  });
  if (failures > 0) throw new Error(`${failures} failed`);
}
