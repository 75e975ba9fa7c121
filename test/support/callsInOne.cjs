// The command line, run from one process again and again: what it does between its start and its end, without these.
// Runs the bundle given to it anew for each line that comes, with these words in that folder, and answers with its status.
const { readFileSync, readSync, writeSync } = require('node:fs');
const { createRequire } = require('node:module');
const { dirname } = require('node:path');
const { constants, Script } = require('node:vm');

const CALLS = 3;
const ANSWERS = 4;
const [, , program] = process.argv;
const bundle = program.replace(/\.js$/, '.code.js');
const run = new Script(readFileSync(bundle, 'utf8'), {
  filename: bundle,
  importModuleDynamically: constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
}).runInThisContext();
const piece = Buffer.alloc(65536);

/** Waits for the next call, which blocks, and begins it; ends where there is nobody left to call. */
function next() {
  let line = '';
  while (!line.endsWith('\n')) {
    const count = readSync(CALLS, piece);
    if (count === 0) process.exit();
    line += piece.toString('utf8', 0, count);
  }
  const { folder, args } = JSON.parse(line);
  process.chdir(folder);
  process.argv = [process.execPath, program, ...args];
  process.exitCode = undefined;
  // As part of the event loop, the end of which is told but once where nothing is left to be done.
  setImmediate(run, {}, createRequire(bundle), {}, bundle, dirname(bundle));
}

// Where a process of its own would end.
process.on('beforeExit', () => {
  writeSync(ANSWERS, `${process.exitCode ?? 0}\n`);
  next();
});
next();
