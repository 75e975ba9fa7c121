import { listed, phrase } from '../../../shared-core/src/index.js';
import { COMMANDS } from './commands.js';
import { deliver } from './deliver.js';
import { Failure } from './failure.js';
import { settleJournals } from './journals.js';
import { openDisk } from './load.js';
import { thisMachine } from './machine.js';
import { OutputClosed, printBeside, printText } from './print.js';
import { usage, usageOf } from './usage.js';

/** The version of the package, which the build puts in. */
declare const COUNTERSUM_VERSION: string;

/** 128 and the number of SIGPIPE, as shells say it of a program whose output nobody reads. */
const CLOSED = 141;

async function main(args: readonly string[]): Promise<number> {
  const at = args.findIndex((word) => !word.startsWith('-'));
  const options = at < 0 ? args : args.slice(0, at);
  const name = at < 0 ? undefined : (args[at] as string);
  if (options.includes('--version')) {
    printText(`countersum ${COUNTERSUM_VERSION}\n`);
    return 0;
  }
  const words = at < 0 ? options : [...options, ...args.slice(at + 1)];
  const ended = words.indexOf('--');
  const asksForHelp = (ended < 0 ? words : words.slice(0, ended)).some((word) => word === '--help' || word === '-h');
  const command = COMMANDS.find((one) => one.name === name);
  if (asksForHelp && (name === undefined || command !== undefined)) {
    printText(command === undefined ? usage(COMMANDS) : usageOf(command));
    return 0;
  }
  if (name === undefined) throw new Failure(phrase('No command was given. See: countersum --help'));
  if (command === undefined) throw new Failure(phrase('There is no command "{0}". See: countersum --help', name));
  const call = command.prepare(words);
  const machine = thisMachine();
  const disk = openDisk(call.places, call.readAs);
  printBeside(await settleJournals(machine, disk, call.places));
  return deliver(call, await call.run(disk), disk, machine);
}

main(process.argv.slice(2)).then(
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
