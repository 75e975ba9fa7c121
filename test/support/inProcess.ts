import { COMMANDS } from '../../server/src/cli/commands.js';
import type { Output } from '../../server/src/cli/print.js';
import { runCall } from '../../server/src/cli/run.js';
import { Failure } from '../../server/src/files/failure.js';
import { type Machine, thisMachine } from '../../server/src/files/machine.js';
import { say } from '../../shared-core/src/base/index.js';

/** What a command said, and how it ended. */
export interface Ran {
  readonly status: number;
  /** What it printed: with `--json` the answer for scripts. */
  readonly text: string;
  readonly notes: string;
}

/**
 * Runs a command in this process as the program does: a hundredth of the time that a process of its own takes. What it
 * prints goes to a file, or to a screen.
 */
export async function runCommand(
  args: readonly string[],
  machine: Machine = thisMachine(),
  isScreen = false,
): Promise<Ran> {
  const [name = '', ...words] = args;
  const texts: string[] = [];
  const notes: string[] = [];
  const output: Output = {
    sentences: (sentences) => texts.push(...sentences.map((said) => `${say(said)}\n`)),
    by: (produce) =>
      produce({
        text: (text) => texts.push(text),
        ascii: (bytes) => texts.push(Buffer.from(bytes).toString('latin1')),
      }),
    text: (text) => texts.push(text),
    isScreen,
    beside: (sentences) => notes.push(...sentences.map((said) => say(said))),
  };
  const command = COMMANDS.find((one) => one.name === name);
  if (command === undefined) throw new RangeError(`no command ${name}`);
  try {
    const status = await runCall(command.prepare(words), machine, output);
    return { status, text: texts.join(''), notes: notes.join('\n') };
  } catch (error) {
    if (!(error instanceof Failure)) throw error;
    return { status: 2, text: texts.join(''), notes: [...notes, say(error.said)].join('\n') };
  }
}
