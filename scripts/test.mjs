// npm test: installs what it needs and runs every check and test. The last line adds them up: "N passed, M failed".
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { installPackages, installPrograms, PROGRAMS, ROOT, SetUpError } from './prepare.mjs';

/** Far beyond what any part takes, so that a part that hangs ends too. */
const LIMIT = 25 * 60_000;
/** One process for each processor, which take file by file in the order given, of which the longest come first. */
const SIDE_BY_SIDE = ['--parallel', `--jobs=${availableParallelism()}`];
const UNITS = ['out/test/laws/*.test.mjs', 'out/test/!(laws)/**/*.test.mjs'];
const SHOWN = '--reporter-option=shown=Spec';
const SCENES = 'test/editor/screen/!(start).test.mjs';
const results = [];

const ready = await suite('set-up', () => {
  installPackages();
  // Pictures are no part of a test.
  const { webp: _, ...programs } = PROGRAMS;
  installPrograms(Object.values(programs));
  return { passed: 0, failed: 0 };
});
if (ready.failed === 0) await everything();

console.log();
for (const { name, passed, failed, seconds, reasons = [] } of results) {
  console.log(`${failed === 0 ? 'ok    ' : 'FAILED'} ${name}: ${passed} passed, ${failed} failed, ${seconds} s`);
  // Repeated here, as of a long log often only the end is kept.
  for (const reason of reasons) console.log(reason.replace(/^/gm, '       '));
}
const sum = (key) => results.reduce((total, result) => total + result[key], 0);
// Set rather than exit: what is still to be written to a pipe gets there.
process.exitCode = sum('failed') === 0 ? 0 : 1;
console.log(`${sum('passed')} passed, ${sum('failed')} failed`);

async function everything() {
  // Types and style are looked at while the tests are built.
  const [built] = await Promise.all([
    suite('build', () => succeeds('scripts/build.mjs', '--tests')),
    suite('types', () => succeeds('node_modules/typescript/bin/tsc', '-b')),
    suite('style', () => succeeds('node_modules/@biomejs/biome/bin/biome', 'check', '--error-on-warnings', '.')),
  ]);
  if (built.failed === 0) {
    // An editor waits half of its time. What runs beside it is shown when it has ended.
    await Promise.all([
      suite('laws, units, sessions', () =>
        mocha('units', [...SIDE_BY_SIDE, '--require=scripts/english.cjs', ...UNITS], true)),
      onScreen(),
    ]);
    // By itself, as it builds what the others run.
    await suite('npm start', () => mocha('start', [SHOWN, 'test/editor/screen/start.test.mjs']));
    await suite('package', async () => {
      await (await import('./package.mjs')).packageAll();
      return { passed: 1, failed: 0 };
    });
  }
}

async function onScreen() {
  await suite('inside the editor', async () => (await import('./editorTests.mjs')).runEditorTests());
  await suite('on the screen of the editor', () => mocha('screen', [SHOWN, SCENES]));
}

/** Runs one part; whatever it throws is a failure of its own and does not keep the others from running. */
async function suite(name, work) {
  console.log(`\n--- ${name}`);
  const start = performance.now();
  const counts = await Promise.resolve()
    .then(work)
    .catch((error) => {
      console.log(error instanceof SetUpError ? error.message : error);
      return { passed: 0, failed: 1 };
    });
  const result = { name, ...counts, seconds: Math.round((performance.now() - start) / 100) / 10 };
  results.push(result);
  return result;
}

async function succeeds(...args) {
  const failed = (await statusOf(args)) !== 0;
  return { passed: failed ? 0 : 1, failed: failed ? 1 : 0 };
}

/**
 * Runs mocha, which leaves its counts in a file; where there is none or it ended badly without a failure, it crashed. Its
 * limit is for tests that would never end, as many run at a time, on a slow machine too.
 */
async function mocha(part, args, isShownLater = false) {
  const counts = join(ROOT, 'out', `${part}.counts.json`);
  rmSync(counts, { force: true });
  const reporter = ['--reporter=scripts/countingReporter.cjs', `--reporter-option=file=${counts}`];
  const all = ['node_modules/mocha/bin/mocha.js', '--no-config', '--timeout=300000', ...reporter, ...args];
  const status = await statusOf(all, isShownLater);
  if (!existsSync(counts)) return { passed: 0, failed: 1 };
  const { passed, failed, reasons } = JSON.parse(readFileSync(counts, 'utf8'));
  return { passed, failed: status !== 0 && failed === 0 ? 1 : failed, reasons };
}

/** Runs a script of ours or of a package, and gives the status with which it ended; none where it was ended. */
async function statusOf(args, isShownLater = false) {
  const stdio = isShownLater ? ['ignore', 'pipe', 'pipe'] : 'inherit';
  const running = spawn(process.execPath, args, { cwd: ROOT, stdio, timeout: LIMIT });
  const written = [];
  for (const stream of [running.stdout, running.stderr]) stream?.on('data', (bytes) => written.push(bytes));
  const [status] = await once(running, 'close');
  process.stdout.write(Buffer.concat(written));
  return status;
}
