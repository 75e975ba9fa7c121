// Runs the tests against one mutant after the other: the program is made anew for each, in the same process. Messages:
// { mutant, tests } asks for a run, with the indexes of the tests in the order in which they are made; 0 is no mutant.
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { createRequire, syncBuiltinESMExports } from 'node:module';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { Script } from 'node:vm';

const require = createRequire(resolve('package.json'));
const { default: Mocha } = require('mocha');
const childProcess = require('node:child_process');
const fastCheck = require('fast-check');

const [folder, seed] = process.argv.slice(2);
const text = (name) => readFileSync(join(folder, name), 'utf8');
const parameters = 'exports, require, module, __filename, __dirname, __m, __M';
const compiled = (name) =>
  new Script(`(function (${parameters}) {${text(name)}\n})`, { filename: join(folder, name) }).runInThisContext();
const programs = { counting: undefined, switched: undefined };
const programOf = (kind) => (programs[kind] ??= compiled(`${kind}.cjs`));
const settings = JSON.parse(text('settings.json'));

process.env.LC_ALL = 'C';
// What a test left behind may fail long after it; that is nothing of the next one.
process.on('uncaughtException', () => {});
process.on('unhandledRejection', () => {});

let current = 0;
let hitsFolder;
const running = [];
redirectCommandLine();

process.on('disconnect', () => process.exit());
process.on('message', async ({ mutant, tests }) => {
  const answer = mutant === 0 ? counted() : tried(mutant, tests);
  process.send(await answer.catch((error) => ({ error: String(error?.stack ?? error) })));
});
process.send({ ready: true });

/** All tests without a mutant: how each ended, how long it took, and which mutants it came by. */
async function counted() {
  const around = new Set();
  let hits = around;
  const mocha = loaded('counting', 0, (id) => {
    hits.add(id);
    return false;
  });
  const results = testsOf(mocha.suite).map((test) => ({ title: test.fullTitle(), hits: new Set() }));
  const indexes = new Map(testsOf(mocha.suite).map((test, index) => [test, index]));
  if (settings.commandLine) hitsFolder = mkdtempSync(join(tmpdir(), 'countersum-hits-'));
  await run(mocha, false, (runner) => {
    let begun;
    runner.on('test', (test) => {
      hits = results[indexes.get(test)].hits;
      begun = worked();
    });
    runner.on('test end', (test) => {
      const result = results[indexes.get(test)];
      // What the processor did, as the clock says more of what else the machine does.
      result.milliseconds = Math.round(worked() - begun);
      result.passed = test.state === 'passed';
      for (const id of hitsOfCommandLine()) result.hits.add(id);
      hits = around;
    });
  });
  endCommandLine();
  if (hitsFolder !== undefined) rmSync(hitsFolder, { recursive: true, force: true });
  hitsFolder = undefined;
  return { around: [...around], tests: results.map((result) => ({ ...result, hits: [...result.hits] })) };
}

/** Whether some of the tests fail with a mutant. */
async function tried(mutant, tests) {
  const start = performance.now();
  let failure;
  try {
    const mocha = loaded('switched', mutant);
    keepOnly(mocha.suite, new Set(tests));
    await run(mocha, true, (runner) => {
      runner.on('fail', (test) => {
        failure ??= test.fullTitle();
      });
    });
  } catch (error) {
    failure = `while loading: ${error}`;
  }
  endCommandLine();
  return { mutant, failure, milliseconds: Math.round(performance.now() - start) };
}

/** For how many milliseconds the processor has worked for this process and those that it has started, where the system says the latter. */
function worked() {
  const { user, system } = process.cpuUsage();
  const [, , ...ended] = ticksOf('self');
  const ticks = [...ended, ...running.flatMap(({ pid }) => ticksOf(pid))];
  return (user + system) / 1000 + 10 * ticks.reduce((sum, one) => sum + one, 0);
}

/** Of a process in the system's hundredths of a second: user, system, and both of those it has waited for (proc(5), "stat", 14 to 17). */
function ticksOf(pid) {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'latin1');
    return stat
      .slice(stat.lastIndexOf(')') + 2)
      .split(' ')
      .slice(11, 15)
      .map(Number);
  } catch {
    return [];
  }
}

function loaded(kind, mutant, onHit) {
  current = mutant;
  fastCheck.configureGlobal({ seed: Number(seed) });
  const mocha = new Mocha({ timeout: settings.timeout, bail: mutant !== 0, reporter: Silent });
  mocha.suite.emit('pre-require', globalThis, null, mocha);
  const module = { exports: {} };
  programOf(kind)(module.exports, require, module, join(folder, 'tests.cjs'), folder, mutant, onHit);
  return mocha;
}

function run(mocha, bail, listen) {
  return new Promise((done) => {
    mocha.bail(bail);
    listen(mocha.run(() => done()));
  });
}

function Silent() {}

function testsOf(suite) {
  return [...suite.tests, ...suite.suites.flatMap(testsOf)];
}

/** Takes all other tests out, and puts what is quick first. */
function keepOnly(root, wanted) {
  let index = 0;
  const kept = (suite) => {
    suite.tests = suite.tests.filter(() => wanted.has(index++));
    suite.suites = suite.suites.filter((inner) => kept(inner));
    return suite.tests.length + suite.suites.length > 0;
  };
  const order = new Map(testsOf(root).map((test, at) => [test, settings.milliseconds?.[at] ?? 0]));
  kept(root);
  const time = (suite) => testsOf(suite).reduce((sum, test) => sum + order.get(test), 0);
  root.suites.sort((a, b) => time(a) - time(b));
}

/** Lets tests that start the command line start the one with the mutants, which has the number from its environment. */
function redirectCommandLine() {
  if (!settings.commandLine) return;
  const isOurs = (arg) => /dist[\\/]cli\.js$/.test(arg);
  const redirected =
    (start, begun) =>
    (program, args, options, ...rest) => {
      if (!Array.isArray(args) || !args.some(isOurs)) return start(program, args, options, ...rest);
      const others = args.map((arg) => (isOurs(arg) ? resolve(settings.commandLine) : arg));
      const env = {
        ...(options?.env ?? process.env),
        COUNTERSUM_MUTANT: String(current),
        ...(hitsFolder && { COUNTERSUM_HITS: hitsFolder }),
      };
      const started = start(program, others, { ...options, env }, ...rest);
      begun(started);
      return started;
    };
  childProcess.spawnSync = redirected(spawnSync, () => {});
  childProcess.spawn = redirected(spawn, (started) => running.push(started));
  syncBuiltinESMExports();
}

/** Ends what takes the calls of all tests: the next mutant has another. */
function endCommandLine() {
  for (const one of running.splice(0)) one.kill('SIGKILL');
}

function hitsOfCommandLine() {
  if (hitsFolder === undefined) return [];
  return readdirSync(hitsFolder).flatMap((name) => {
    const ids = JSON.parse(readFileSync(join(hitsFolder, name), 'utf8'));
    rmSync(join(hitsFolder, name));
    return ids;
  });
}
