import { type SpawnSyncOptions, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterEach, beforeEach } from 'mocha';
import { type Answer, type Call, startForCalls } from './callsInOne.js';

export const CLI = resolve('dist/cli.js');
const DEMO = 'examples/trailer-socket';

let started: Call | undefined;

/** Calls the command line in a process that is there for all calls, unless each is to have one of its own (or has to, on Windows). */
function callInOne(folder: string, args: readonly string[]): Answer | undefined {
  const { COUNTERSUM_OWN_PROCESSES } = process.env;
  if (COUNTERSUM_OWN_PROCESSES !== undefined || process.platform === 'win32') return undefined;
  started ??= startForCalls(CLI);
  return started(folder, args);
}

/** A folder of its own for each test, with what the command line does in it. */
export interface Bench {
  /** The folder, by the path that the disk gives it. */
  readonly folder: () => string;
  readonly path: (name: string) => string;
  readonly read: (name: string) => string;
  readonly write: (name: string, content: string | Uint8Array) => void;
  readonly names: () => readonly string[];
  /** The content of each file of the folder. */
  readonly everything: () => Readonly<Record<string, string>>;
  /** Calls the command line, in a process that is there for all calls. */
  readonly call: (...args: readonly string[]) => Answer;
  /** Calls it in a process of its own. */
  readonly callWith: (options: SpawnSyncOptions, ...args: readonly string[]) => Answer;
  /** A command of a shell; "$@" is the command line. */
  readonly shell: (script: string) => Answer;
}

/** A folder with a copy of the demo for each test, or an empty one. */
export function bench(content: 'demo' | 'empty' = 'demo'): Bench {
  let folder = '';
  // Read once and written for each test, which takes a tenth of copying.
  const demo =
    content === 'demo' ? readdirSync(DEMO).map((name) => [name, readFileSync(join(DEMO, name))] as const) : [];
  beforeEach(() => {
    folder = realpathSync(mkdtempSync(join(tmpdir(), 'countersum-')));
    for (const [name, bytes] of demo) writeFileSync(join(folder, name), bytes);
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));
  const path = (name: string) => join(folder, name);
  const read = (name: string) => readFileSync(path(name), 'utf8');
  const names = () =>
    readdirSync(folder, { withFileTypes: true, recursive: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1))
      .sort();
  const run = (command: string, args: readonly string[], options: SpawnSyncOptions): Answer => {
    const { status, stdout, stderr } = spawnSync(command, args, { cwd: folder, ...options, encoding: 'utf8' });
    return { status, stdout: String(stdout ?? ''), stderr: String(stderr ?? '') };
  };
  return {
    folder: () => folder,
    path,
    read,
    write: (name, text) => writeFileSync(path(name), text),
    names,
    everything: () => Object.fromEntries(names().map((name) => [name, read(name)])),
    call: (...args) => callInOne(folder, args) ?? run(process.execPath, [CLI, ...args], {}),
    callWith: (options, ...args) => run(process.execPath, [CLI, ...args], options),
    // What bash runs when it starts, and how long that takes, is a matter of the machine.
    shell: (script) => run('bash', ['--norc', '-c', script, 'bash', process.execPath, CLI], {}),
  };
}
