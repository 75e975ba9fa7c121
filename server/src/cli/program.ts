import { listed, phrase } from '../../../shared-core/src/base/index.js';
import { Failure } from '../files/failure.js';
import { thisMachine } from '../files/machine.js';
import type { Command } from './command.js';
import { OutputClosed, printBeside, printText } from './print.js';
import { runCall } from './run.js';
import { usage, usageOf } from './usage.js';
import { version } from './version.js';

/** 128 and the number of SIGPIPE, as shells say it of a program whose output nobody reads. */
const CLOSED = 141;

async function run(commands: readonly Command[], args: readonly string[]): Promise<number> {
  const at = args.findIndex((word) => !word.startsWith('-'));
  const options = at < 0 ? args : args.slice(0, at);
  const name = at < 0 ? undefined : nameAt(commands, args, at);
  if (options.includes('--version')) {
    printText(`countersum ${version()}\n`);
    return 0;
  }
  const words = at < 0 ? options : [...options, ...args.slice(at + (name?.split(' ').length ?? 1))];
  const ended = words.indexOf('--');
  const asksForHelp = (ended < 0 ? words : words.slice(0, ended)).some((word) => word === '--help' || word === '-h');
  const command = commands.find((one) => one.name === name);
  // "profile" alone is the first word of several commands.
  const family = name === undefined ? commands : commands.filter((one) => one.name.startsWith(`${name} `));
  if (asksForHelp && (command !== undefined || family.length > 0)) {
    printText(command === undefined ? usage(family) : usageOf(command));
    return 0;
  }
  if (name === undefined) throw new Failure(phrase('No command was given. See: countersum --help'));
  if (command === undefined) throw new Failure(phrase('There is no command "{0}". See: countersum --help', name));
  return runCall(command.prepare(words), thisMachine());
}

/** The name of a command: one word, or two where there is such a command. */
function nameAt(commands: readonly Command[], args: readonly string[], at: number): string {
  const both = args.slice(at, at + 2).join(' ');
  return commands.some(({ name }) => name === both) ? both : (args[at] ?? '');
}

/** Runs the command that this process was called with, one of these, and leaves its status. */
export async function runProgram(commands: readonly Command[]): Promise<void> {
  return run(commands, process.argv.slice(2)).then(
    (status) => {
      process.exitCode = status;
    },
    (error: unknown) => {
      process.exitCode = error instanceof OutputClosed ? CLOSED : 2;
      if (error instanceof OutputClosed) return;
      // One line, whatever went wrong: a script can show it as it is.
      printBeside([listed(['countersum', error instanceof Failure ? error.said : String(error)], ': ')]);
    },
  );
}
