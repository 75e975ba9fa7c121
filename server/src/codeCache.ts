#!/usr/bin/env node
import { readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname } from 'node:path';
import { constants, Script } from 'node:vm';

/**
 * Runs the bundle beside this file (`server.js` runs `server.code.js`) from what this V8 compiled of it before, which is kept
 * beside it when a process ends that found none. The build has done so for its own V8; any other takes half the time from the
 * second start on. The cache that Node.js has from 22.1 on keeps only what is compiled before the code runs, a twentieth of it.
 */
const bundle = __filename.replace(/\.js$/, '.code.js');
// V8 takes none that was made with other limits of its own, such as those that an editor starts the server with.
const limits = process.execArgv.filter((word) => /^--[a-z-]+=\d+$/.test(word)).map((word) => word.slice(2));
const kept = [bundle, process.versions.v8, ...limits, 'cache'].join('.');
const cachedData = readIfThere(kept);
// The build writes plain ASCII, which is read without a second look at each byte.
const script = new Script(readFileSync(bundle, 'latin1'), {
  filename: bundle,
  importModuleDynamically: constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
  ...(cachedData === undefined ? {} : { cachedData }),
});
// What tells its version or its usage compiles too little of it.
const isTelling = process.argv.some((word) => word === '--version' || word === '--help');
if ((cachedData === undefined || script.cachedDataRejected === true) && !isTelling) process.once('exit', keep);
script.runInThisContext()(exports, createRequire(bundle), module, bundle, dirname(bundle));

function readIfThere(path: string): Buffer | undefined {
  try {
    return readFileSync(path);
  } catch {
    return undefined;
  }
}

/** Where the folder cannot be written to, each start takes as long as the first. */
function keep(): void {
  const temporary = `${kept}.${process.pid}`;
  try {
    writeFileSync(temporary, script.createCachedData());
    renameSync(temporary, kept);
  } catch {
    rmSync(temporary, { force: true });
  }
}
