// npm run test:fast: types, style, and every test that neither starts a program nor searches for seconds. For the
// minute between two commits: `npm test` runs all of them.
import { spawn } from 'node:child_process';
import { rmSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { bundleTogether, testFiles } from './testBundle.mjs';
import { translateFiles } from './translate.mjs';

/** What starts programs or editors, and the files of which each searches or compares for more than a second. */
const SLOW = [
  /^test\/(attack|cli|editor|laws|otherEditors|session)\//,
  /^test\/outside\/(genericTools|records|srecord|viewers|wordForms|words)\./,
  /^test\/client\/(commands|firstMinutes|hostile|imageView|job|learning|treatAsDump)\./,
  /^test\/repository\/(clientSize|docs|package)\./,
  /^test\/shared-core\/learn\/(images|learn|learnSums|written)\./,
  /^test\/shared-core\/profile\/(everyPart|extends|limits|mutations|readProfile|schema)\./,
  /^test\/shared-core\/repair\/(fletcherAdler|manySums|pauses|rebalance|solve|someSolution)\./,
  /^test\/shared-core\/workspace\/(binary|readDumpFile)\./,
];

const files = testFiles().filter((file) => !SLOW.some((slow) => slow.test(file)));
const groups = Math.min(2, availableParallelism());
rmSync('out/fast', { recursive: true, force: true });
translateFiles();

const codes = await Promise.all([
  run('node_modules/typescript/bin/tsc', '-b'),
  run('node_modules/@biomejs/biome/bin/biome', 'check', '--error-on-warnings', '.'),
  ...Array.from({ length: groups }, async (_, group) => {
    const bundle = `out/fast/${group}.test.js`;
    await bundleTogether(
      files.filter((_, index) => index % groups === group),
      bundle,
    );
    return run(
      'node_modules/mocha/bin/mocha.js',
      '--no-config',
      '--fail-zero',
      '--reporter=dot',
      '--require=scripts/english.cjs',
      '--timeout=20000',
      bundle,
    );
  }),
]);
process.exitCode = codes.some((code) => code !== 0) ? 1 : 0;

function run(...args) {
  return new Promise((done) =>
    spawn(process.execPath, args, { stdio: 'inherit' }).on('close', (code) => done(code ?? 1)),
  );
}
