// npm run mutants -- [--room NAME]… [--file PATH] [--sample N] [--seed S] [--jobs N] [--tests PATTERN] [--slowest MS] [--processes] [--again] [--list] [--reach] [--out FOLDER]
// Makes small faults in the sources, one at a time, and tries whether a test fails. What is alive in the end is printed:
// each is a fault that nobody would have noticed. All faults are built in at once behind a switch, each is tried only
// against the tests that come by it, quick ones first; those that start the command line only for the room `cli`, or with
// "--processes", those of learning only for the room `learn`. Left out of the score is what the compiler refuses, and what
// test/mutants/accepted.json names with the reason. "--again" tries only what was alive the last time. "--reach" tries
// nothing and prints the lines that no test comes by: whatever is wrong there is alive.
import { fork } from 'node:child_process';
import { createHash } from 'node:crypto';
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join, relative, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { API } from 'typescript/unstable/sync';
import { refusedByCompiler } from './mutants/refused.mjs';
import { withMutants } from './mutants/schemata.mjs';
import { bundledCommandLine, bundledTests, testFiles, thatReach } from './mutants/tests.mjs';

const CORE_ROOMS = [
  'checks',
  'repair',
  'model',
  'actions',
  'profile',
  'options',
  'format',
  'jobs',
  'workspace',
  'convert',
  'compare',
  'learn',
];
const ROOMS = Object.fromEntries([
  ...CORE_ROOMS.map((room) => [room, { folder: `shared-core/src/${room}`, project: 'shared-core' }]),
  ['cli', { folder: 'server/src/cli', project: 'server' }],
  ['files', { folder: 'server/src/files', project: 'server' }],
]);
const ACCEPTED = 'test/mutants/accepted.json';

/** After so many mutants a process is begun anew, as each leaves something behind. */
const MOST_IN_ONE = 150;

const { values } = parseArgs({
  options: {
    room: { type: 'string', multiple: true },
    file: { type: 'string' },
    sample: { type: 'string' },
    seed: { type: 'string', default: '1' },
    jobs: { type: 'string' },
    tests: { type: 'string' },
    slowest: { type: 'string', default: '4000' },
    processes: { type: 'boolean', default: false },
    again: { type: 'boolean', default: false },
    list: { type: 'boolean', default: false },
    reach: { type: 'boolean', default: false },
    out: { type: 'string', default: 'out/mutants' },
  },
});
/** What is made and kept; two runs at a time need a folder each. */
const OUT = resolve(values.out);
const seed = Number(values.seed);
/** Tests that take more milliseconds are left out. */
const slowest = Number(values.slowest);
const jobs = Number(values.jobs ?? Math.max(1, availableParallelism()));
const unknown = (values.room ?? []).filter((room) => ROOMS[room] === undefined);
if (unknown.length > 0) fail(`no room ${unknown.join(', ')}; there are ${Object.keys(ROOMS).join(', ')}`);

/**
 * In another process the mutant is named by the environment, and a file tells which ones were come by: written at the end of the
 * process, or of the call where it takes several.
 */
const SWITCH_OF_COMMAND_LINE = `
const __mutant = Number(process.env.COUNTERSUM_MUTANT ?? 0);
const __hits = process.env.COUNTERSUM_HITS === undefined ? undefined : new Set();
const __M = (id) => (__hits?.add(id), id === __mutant);
if (__hits !== undefined) {
  const write = () => {
    process.off('beforeExit', write).off('exit', write);
    require('node:fs').writeFileSync(
      require('node:path').join(process.env.COUNTERSUM_HITS, process.pid + '-' + process.hrtime.bigint()), JSON.stringify([...__hits]));
  };
  process.prependListener('beforeExit', write).on('exit', write);
}`;

let settings = {};
let last = 0;
const ends = [];
const rooms = Object.keys(ROOMS).filter((room) => values.room === undefined || values.room.includes(room));
// Tests that start the command line, and those of learning, take long: only what is in their rooms is tried against them.
const APART = ['learn', 'cli'];
for (const some of [
  rooms.filter((room) => !APART.includes(room)),
  ...APART.filter((room) => rooms.includes(room)).map((room) => [room]),
])
  if (some.length > 0) ends.push(...(await tryRooms(some)));
if (values.room !== undefined || values.file !== undefined) printTable(({ mutant }) => mutant.path);
printTable(({ mutant }) => mutant.room);

/** How the mutants of rooms ended: found by a test, refused by the compiler, accepted, or alive. All are in one program, which is counted once. */
async function tryRooms(some) {
  const sources = some.flatMap(sourcesOf);
  const mutants = sources.flatMap((source) => source.mutants);
  if (values.list) for (const mutant of mutants) console.log(inWords(mutant));
  const of = (all, room) => all.filter((mutant) => mutant.room === room);
  const chosen = some.flatMap((room) =>
    sampleOf(values.again ? aliveBefore(keptOf(room), of(mutants, room)) : of(mutants, room)),
  );
  const refused = values.reach ? new Set() : refusedIn(chosen);
  const toTry = chosen.filter((mutant) => !refused.has(mutant));
  if (toTry.length === 0) return [...refused].map((mutant) => ({ end: 'refused', mutant }));
  // Only what is tried has a switch: the others would make every run slower.
  const switched = new Set(toTry.map(({ id }) => id));
  await makePrograms(new Map(sources.map(({ path, textWith }) => [path, textWith(switched)])), {
    withCommandLine: some.includes('cli') || values.processes,
    withLearning: some.includes('learn'),
    // Most tests never load the command line, and need not be counted for it.
    reaching: some.every((room) => room === 'cli') ? ROOMS.cli.folder : undefined,
  });
  const known = await count(some);
  if (values.reach) {
    const unreached = toTry.filter((mutant) => known.testsOf(mutant).length === 0);
    for (const line of new Set(unreached.map(({ path, line, inLine }) => `${path}:${line}  ${inLine}`)))
      console.log(line);
    return [];
  }
  const accepted = acceptedIn(mutants, new Set(sources.map(({ file }) => file)));
  const endOf = ({ mutant, failure }) => {
    if (failure !== undefined) return 'killed';
    return accepted.has(keyOf(mutant)) ? 'accepted' : 'alive';
  };
  const ended = await tryAll(toTry, known, (one) => {
    const end = endOf(one);
    if (end === 'alive') console.log(`${inWords(one.mutant)}${one.reached ? '' : '   (no test comes here)'}`);
    return { end, ...one };
  });
  const left = ended.filter(({ end }) => end === 'alive').map(({ mutant }) => mutant);
  for (const room of some) writeFileSync(keptOf(room), JSON.stringify(of(left, room), null, 2));
  return [...ended, ...[...refused].map((mutant) => ({ end: 'refused', mutant }))];
}

function keptOf(room) {
  return join(OUT, `${room}.alive.json`);
}

function refusedIn(mutants) {
  const projectOf = ({ room }) => ROOMS[room].project;
  const projects = [...new Set(mutants.map(projectOf))];
  return new Set(
    projects.flatMap((project) => [
      ...refusedByCompiler(
        project,
        mutants.filter((mutant) => projectOf(mutant) === project),
      ),
    ]),
  );
}

function aliveBefore(kept, mutants) {
  if (!existsSync(kept)) fail(`nothing is known of an earlier run (${kept})`);
  const before = new Set(JSON.parse(readFileSync(kept, 'utf8')).map(keyOf));
  return mutants.filter((mutant) => before.has(keyOf(mutant)));
}

function printTable(nameOf) {
  const rows = {};
  for (const one of ends) {
    const name = nameOf(one);
    rows[name] ??= { mutants: 0, killed: 0, refused: 0, accepted: 0, alive: 0 };
    rows[name].mutants++;
    rows[name][one.end]++;
  }
  for (const row of Object.values(rows))
    row['killed %'] = Math.round((1000 * row.killed) / Math.max(1, row.killed + row.alive)) / 10;
  console.table(rows);
}

function sourcesIn(folder) {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
}

/** The files of a room, each with its mutants and the text that has the switches of some of them. */
function sourcesOf(room) {
  const { folder, project } = ROOMS[room];
  const files = sourcesIn(folder).filter((file) => values.file === undefined || file.includes(values.file));
  if (files.length === 0) return [];
  const api = new API({ cwd: resolve('.') });
  try {
    const config = resolve(project, 'tsconfig.json');
    const projects = api.updateSnapshot({ openProject: config }).getProjects();
    const { program } = projects.find(({ configFileName }) => resolve(configFileName) === config);
    return files.map((file) => {
      const path = resolve(file);
      const source = program.getSourceFile(path);
      const first = last;
      const made = (switched) => {
        last = first;
        return withMutants(source, relative('.', path), () => ++last, switched);
      };
      const mutants = made().mutants.map((mutant) => ({ room, ...mutant }));
      return { file, path, mutants, textWith: (switched) => made(switched).text };
    });
  } finally {
    api.close();
  }
}

/** Two programs of all tests: one that counts who comes by which mutant, and one in which a number switches one on. */
async function makePrograms(sources, { withCommandLine, withLearning, reaching }) {
  mkdirSync(OUT, { recursive: true });
  const all = testFiles({ withCommandLine, withLearning }, values.tests && new RegExp(values.tests, 'i'));
  const files = reaching === undefined ? all : await thatReach(reaching, all);
  const asSwitch = (text) => text.replace(/__M\((\d+(?:e\d+)?)\)/g, '(__m === $1)');
  const tests = await bundledTests(files, sources);
  writeFileSync(join(OUT, 'counting.cjs'), tests);
  writeFileSync(join(OUT, 'switched.cjs'), asSwitch(tests));
  // Beside its translations, as what ships; and as a function, which runs anew for each call.
  const commandLine = join(OUT, 'cli.mutants.js');
  if (withCommandLine) {
    const text = await bundledCommandLine(sources);
    const run = `function (exports, require, module, __filename, __dirname) {${SWITCH_OF_COMMAND_LINE}\n${text}\n}`;
    const given = `((run) => (typeof module === 'undefined' ? run : (module.exports = run)))(${run})`;
    writeFileSync(commandLine.replace(/\.js$/, '.code.js'), given);
    writeFileSync(commandLine, readFileSync('dist/cli.js'));
    cpSync('dist/l10n', join(OUT, 'l10n'), { recursive: true });
  }
  writeSettings({ timeout: 60_000, ...(withCommandLine && { commandLine }) });
}

function writeSettings(more) {
  settings = { ...(more.milliseconds === undefined ? {} : settings), ...more };
  writeFileSync(join(OUT, 'settings.json'), JSON.stringify(settings));
}

/** Runs all tests once, to know which come by which mutant and how long they take; what is known of the same program is kept. */
async function count(some) {
  const hash = createHash('sha256')
    .update(readFileSync(join(OUT, 'counting.cjs')))
    .digest('hex');
  const kept = join(OUT, 'counted.json');
  const before = existsSync(kept) ? JSON.parse(readFileSync(kept, 'utf8')) : {};
  const answer = before.hash === hash ? before.answer : await counted();
  if (answer.tests.length === 0) fail('no test was found');
  const failing = answer.tests.filter(({ passed }) => !passed);
  const slow = answer.tests.filter(({ passed, milliseconds }) => passed && milliseconds > slowest);
  console.log(
    `${some.join(', ')}: ${answer.tests.length} tests, without ${failing.length} that fail and ${slow.length} that take long`,
  );
  for (const { title } of failing) console.log(`  fails: ${title}`);
  for (const { title, milliseconds } of slow) console.log(`  takes ${milliseconds} ms: ${title}`);
  writeSettings({ milliseconds: answer.tests.map(({ milliseconds }) => milliseconds) });
  const sound = answer.tests.flatMap(({ passed, hits, milliseconds }, index) =>
    passed && milliseconds <= slowest ? [{ index, hits: new Set(hits) }] : [],
  );
  const around = new Set(answer.around);
  if (before.hash !== hash && !values.reach) {
    await mustPass(sound.map(({ index }) => index));
    writeFileSync(kept, JSON.stringify({ hash, answer }));
  }
  return {
    time: (index) => answer.tests[index].milliseconds,
    // What runs while a file is loaded may show in any test.
    testsOf: ({ id }) => sound.filter(({ hits }) => around.has(id) || hits.has(id)).map(({ index }) => index),
  };
}

/** Where a test fails in the program in which mutants are switched on one by one, and none is, every mutant would seem found. */
async function mustPass(tests) {
  const child = await begin();
  const answer = await ask(child, { mutant: -1, tests }, 30 * 60_000);
  kill(child);
  if (answer === undefined || answer.failure !== undefined)
    fail(`a test fails without any mutant: ${answer?.failure ?? 'they take too long'}`);
}

async function counted() {
  const child = await begin();
  const answer = await ask(child, { mutant: 0 }, 30 * 60_000);
  kill(child);
  if (answer === undefined || answer.error)
    fail(`the tests do not end without any mutant: ${answer?.error ?? 'they take too long'}`);
  return answer;
}

async function tryAll(mutants, known, ended) {
  const waiting = [...mutants];
  const results = [];
  await Promise.all(
    Array.from({ length: jobs }, async () => {
      let child;
      let used = 0;
      for (let mutant = waiting.shift(); mutant !== undefined; mutant = waiting.shift()) {
        const tests = known.testsOf(mutant);
        if (child === undefined || used++ >= MOST_IN_ONE) {
          if (child !== undefined) kill(child);
          [child, used] = [await begin(), 0];
        }
        const answer = tests.length === 0 ? {} : await byAndBy(child, mutant, tests, known);
        if (answer === undefined) child = undefined;
        const failure = answer === undefined ? 'takes too long' : answer.failure;
        results.push(ended({ mutant, failure, reached: tests.length > 0 }));
        if (process.stderr.isTTY) process.stderr.write(`\r${results.length} of ${mutants.length} `);
        else if (results.length % 50 === 0) process.stderr.write(`${results.length} of ${mutants.length}\n`);
      }
      if (child !== undefined) kill(child);
    }),
  );
  if (process.stderr.isTTY) process.stderr.write('\r\x1b[K');
  return results.sort((a, b) => a.mutant.id - b.mutant.id);
}

/** First the quick tests, which find most; then the others. */
async function byAndBy(child, { id }, tests, { time }) {
  const QUICK = 40;
  let answer = {};
  for (const part of [tests.filter((index) => time(index) <= QUICK), tests.filter((index) => time(index) > QUICK)]) {
    if (part.length === 0) continue;
    const limit = 20_000 + 20 * part.reduce((sum, index) => sum + time(index), 0);
    answer = await ask(child, { mutant: id, tests: part }, limit);
    if (answer === undefined || answer.failure !== undefined) return answer;
  }
  return answer;
}

function begin() {
  return new Promise((done) => {
    const child = fork('scripts/mutants/worker.mjs', [OUT, String(seed)], {
      stdio: ['ignore', 'ignore', process.env.MUTANTS_DEBUG ? 'inherit' : 'ignore', 'ipc'],
      // With all that it starts it is one group, which ends together.
      detached: true,
      execArgv: ['--max-old-space-size=1500'],
    });
    child.once('message', () => done(child));
  });
}

function kill({ pid }) {
  try {
    process.kill(-pid, 'SIGKILL');
  } catch {
    // It has come to its end by itself.
  }
}

/** The answer of a process; undefined, and the process gone, where there is none in time. */
function ask(child, question, limit) {
  return new Promise((done) => {
    const end = (answer) => {
      clearTimeout(timer);
      child.removeAllListeners();
      done(answer);
    };
    const timer = setTimeout(() => {
      kill(child);
      end(undefined);
    }, limit);
    child.once('message', end);
    child.once('exit', () => end(undefined));
    child.send(question);
  });
}

function sampleOf(mutants) {
  const count = Number(values.sample ?? mutants.length);
  let state = seed;
  const next = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  const shuffled = mutants.map((mutant) => [next(), mutant]).sort(([a], [b]) => a - b);
  return shuffled
    .slice(0, count)
    .map(([, mutant]) => mutant)
    .sort((a, b) => a.id - b.id);
}

/** Mutants that change nothing that anybody could see, by what is known of them whatever line they are in. */
function acceptedIn(mutants, files) {
  if (!existsSync(ACCEPTED)) return new Set();
  const here = JSON.parse(readFileSync(ACCEPTED, 'utf8')).filter(({ path }) => files.has(path));
  const known = new Set(mutants.map(keyOf));
  for (const one of here) {
    if (!one.reason) fail(`${ACCEPTED}: "${one.from}" has no reason`);
    if (!known.has(keyOf(one))) console.log(`${ACCEPTED}: ${one.path} has no more "${one.from} → ${one.to}"`);
  }
  return new Set(here.map(keyOf));
}

function keyOf({ path, inLine, from, to }) {
  return JSON.stringify([path, inLine, from, to]);
}

function inWords({ path, line, column, from, to }) {
  return `${path}:${line}:${column}  ${from}  →  ${to}`;
}

function fail(why) {
  console.error(`mutants: ${why}`);
  process.exit(2);
}
