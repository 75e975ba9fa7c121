import { spawn, spawnSync } from 'node:child_process';
import { closeSync, fstatSync, ftruncateSync, mkdtempSync, openSync, readSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

export interface Answer {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Calls the program with some words in a folder. */
export type Call = (folder: string, args: readonly string[]) => Answer;

/**
 * Starts the command line once for many calls, each of which runs its bundle from the first line to the end of its event
 * loop and writes to files as its output. A call takes a fifth of what a process of its own does.
 */
export function startForCalls(program: string): Call {
  const place = mkdtempSync(join(tmpdir(), 'countersum-calls-'));
  const at = (name: string) => join(place, name);
  const [calls, callsOfOther] = pipe(at('calls'));
  const [answersOfOther, answers] = pipe(at('answers'));
  const [stdout, stderr] = [openSync(at('stdout'), 'a+'), openSync(at('stderr'), 'a+')];
  rmSync(place, { recursive: true });
  spawn(process.execPath, [resolve('test/support/callsInOne.cjs'), program], {
    stdio: ['ignore', stdout, stderr, callsOfOther, answersOfOther],
  }).unref();
  // Only the other process holds its ends, so that the end of one process is seen by the other.
  closeSync(callsOfOther);
  closeSync(answersOfOther);
  return (folder, args) => {
    writeSync(calls, `${JSON.stringify({ folder, args })}\n`);
    const piece = Buffer.alloc(16);
    const count = readSync(answers, piece);
    const said = { stdout: taken(stdout), stderr: taken(stderr) };
    if (count === 0) throw new Error(`The command line did not come to its end: ${args.join(' ')}\n${said.stderr}`);
    return { status: Number(piece.toString('utf8', 0, count)), ...said };
  };
}

/** A pipe by a name: the end to write to and the end to read from. */
function pipe(path: string): readonly [writing: number, reading: number] {
  spawnSync('mkfifo', [path]);
  // Opened both ways it waits for nobody, and neither end has to wait for the other then.
  const both = openSync(path, 'r+');
  const ends = [openSync(path, 'w'), openSync(path, 'r')] as const;
  closeSync(both);
  return ends;
}

/** What was written to a file since it was last asked. */
function taken(file: number): string {
  const bytes = Buffer.alloc(fstatSync(file).size);
  readSync(file, bytes, 0, bytes.length, 0);
  ftruncateSync(file);
  return bytes.toString('utf8');
}
