// npm run attack -- [--cases N] [--seed S] [--only AREA]… [--case INDEX] [--jobs N]
// Attacks the tool with cases made at random, a million of them unless told otherwise. Each is made of its number alone:
// what fails is printed with the call that makes it again. The laws of the tests are looked at as well, with many times as
// many cases as `npm test` has. Ends with a table and, where anything failed, with status 1.
import { spawnSync } from 'node:child_process';
import { readFileSync, rmSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { parseArgs } from 'node:util';
import { Worker } from 'node:worker_threads';
import { build } from 'esbuild';
import { bundleTests, testFiles } from './testBundle.mjs';

/** A case that takes longer hangs: what is asked for is at most some kilobytes. */
const LONGEST = 180_000;
const MOST_SHOWN = 5;
const CHUNK = 400;
const OUT = 'out/attack';
/** The area of the laws, of which one time is for so many cases of the others. */
const LAWS = 'laws';
const CASES_A_TIME = 100_000;

const { values } = parseArgs({
  options: {
    cases: { type: 'string', default: '1000000' },
    seed: { type: 'string', default: '1' },
    only: { type: 'string', multiple: true },
    case: { type: 'string' },
    jobs: { type: 'string' },
  },
});
const seed = Number(values.seed);
const jobs = Number(values.jobs ?? availableParallelism());

// Some cases start the program itself.
if (spawnSync(process.execPath, ['scripts/build.mjs'], { stdio: 'inherit' }).status !== 0) process.exit(2);
rmSync(OUT, { recursive: true, force: true });
await build({
  entryPoints: ['test/attack/worker.ts', 'test/attack/areas.ts'],
  outdir: OUT,
  bundle: true,
  platform: 'node',
  format: 'cjs',
  packages: 'external',
  mainFields: ['module', 'main'],
  outExtension: { '.js': '.cjs' },
  logLevel: 'error',
});
const { AREAS } = (await import('../out/attack/areas.cjs')).default;
const names = [...AREAS.map(({ name }) => name), LAWS];
const unknown = (values.only ?? []).filter((name) => !names.includes(name));
if (unknown.length > 0) {
  console.error(`attack: no area ${unknown.join(', ')}; there are ${names.join(', ')}`);
  process.exit(2);
}
const chosen = AREAS.filter(({ name }) => values.only === undefined || values.only.includes(name));
const shares = chosen.reduce((sum, { share }) => sum + share, 0);

const results = new Map();
const waiting = [];
for (const { name, share } of chosen) {
  const count = values.case === undefined ? Math.max(1, Math.round((Number(values.cases) * share) / shares)) : 1;
  const from = Number(values.case ?? 0);
  results.set(name, { cases: 0, failures: [], milliseconds: 0, slowest: { milliseconds: 0, index: 0 } });
  for (let start = from; start < from + count; start += CHUNK)
    waiting.push({ area: name, from: start, to: Math.min(from + count, start + CHUNK), step: 1 });
}

await Promise.all(Array.from({ length: Math.min(jobs, waiting.length) }, work));
if (values.case === undefined && (values.only ?? [LAWS]).includes(LAWS)) results.set(LAWS, await laws());
console.log();
console.table(
  Object.fromEntries(
    [...results].map(([name, { cases, failures, milliseconds, slowest }]) => [
      name,
      {
        cases,
        failures: failures.length,
        'ms each': Math.round((100 * milliseconds) / Math.max(1, cases)) / 100,
        'slowest ms': Math.round(slowest.milliseconds),
        'slowest case': slowest.index,
      },
    ]),
  ),
);
const failed = [...results.values()].reduce((sum, { failures }) => sum + failures.length, 0);
console.log(failed === 0 ? 'no case failed' : `${failed} cases failed`);
process.exitCode = failed === 0 ? 0 : 1;

/** The laws that take a number of times, each with as many more cases; what fails prints the seed that makes it again. */
async function laws() {
  const files = testFiles().filter((file) => readFileSync(file, 'utf8').includes("/support/times.js'"));
  await bundleTests(files);
  const counts = 'out/laws.counts.json';
  rmSync(counts, { force: true });
  const times = Math.max(1, Math.round(Number(values.cases) / CASES_A_TIME));
  const start = performance.now();
  const { status } = spawnSync(
    process.execPath,
    [
      ...['node_modules/mocha/bin/mocha.js', '--no-config', '--parallel', `--jobs=${jobs}`],
      ...['--require=scripts/english.cjs', `--timeout=${LONGEST * times}`],
      ...['--reporter=scripts/countingReporter.cjs', `--reporter-option=file=${counts}`],
      ...files.map((file) => `out/${file.replace(/ts$/, 'mjs')}`),
    ],
    { stdio: 'inherit', env: { ...process.env, COUNTERSUM_TIMES: String(times) } },
  );
  const { passed, reasons } = JSON.parse(readFileSync(counts, 'utf8'));
  const failures = status !== 0 && reasons.length === 0 ? ['mocha'] : reasons;
  const milliseconds = performance.now() - start;
  return { cases: passed + failures.length, failures, milliseconds, slowest: { milliseconds: 0, index: 0 } };
}

/** One thread after the other, as one that hangs or dies is replaced. */
async function work() {
  let thread;
  for (let chunk = waiting.shift(); chunk !== undefined; chunk = waiting.shift()) {
    thread ??= begin();
    const ended = await finish(thread, chunk);
    if (ended === undefined) continue;
    await thread.worker.terminate();
    thread = undefined;
    tell(chunk.area, { index: ended.at, failure: ended.why, milliseconds: 0 });
    if (ended.at + 1 < chunk.to) waiting.unshift({ ...chunk, from: ended.at + 1 });
  }
  if (thread === undefined) return;
  // It takes its folders away.
  const ended = new Promise((done) => thread.worker.once('exit', done));
  thread.worker.postMessage('close');
  await Promise.race([ended, new Promise((done) => setTimeout(done, 5000))]);
  await thread.worker.terminate();
}

function begin() {
  const at = new SharedArrayBuffer(4);
  const env = { ...process.env, LC_ALL: 'C' };
  const limits = { maxOldGenerationSizeMb: 2048 };
  return { at, worker: new Worker(`./${OUT}/worker.cjs`, { workerData: { seed, at }, env, resourceLimits: limits }) };
}

/** Has a chunk done; gives the case at which the thread hung or died, if it did. */
function finish({ at, worker }, chunk) {
  const place = new Int32Array(at);
  place[0] = chunk.from;
  return new Promise((done) => {
    let [last, since] = [-1, Date.now()];
    const end = (answer) => {
      clearInterval(watch);
      for (const name of ['message', 'error', 'exit']) worker.removeAllListeners(name);
      done(answer);
    };
    const watch = setInterval(() => {
      if (place[0] !== last) [last, since] = [place[0], Date.now()];
      else if (Date.now() - since > LONGEST) end({ at: last, why: `takes longer than ${LONGEST / 1000} s` });
    }, 500);
    worker.on('message', ({ told, done: isDone }) => {
      for (const one of told) tell(chunk.area, one);
      if (isDone) end(undefined);
    });
    worker.on('error', (error) => end({ at: place[0], why: `died: ${error.stack ?? error}` }));
    worker.on('exit', () => end({ at: place[0], why: 'ended by itself' }));
    worker.postMessage(chunk);
  });
}

function tell(area, { index, failure, milliseconds }) {
  const result = results.get(area);
  result.cases++;
  result.milliseconds += milliseconds;
  if (milliseconds > result.slowest.milliseconds) result.slowest = { milliseconds, index };
  if (failure === undefined) return;
  result.failures.push(index);
  if (result.failures.length > MOST_SHOWN) return;
  console.log(`npm run attack -- --seed ${seed} --only ${area} --case ${index}\n    ${failure}`);
}
