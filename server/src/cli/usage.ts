import { type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import type { Command } from './command.js';
import type { OptionSpec, Options } from './options.js';
import { COMMON, howToUse } from './readCall.js';
import { say } from './say.js';

/** What `countersum --help` says: a line for each command. */
export function usage(commands: readonly Command[]): string {
  const head = phrase('configuration dumps of control modules: check them, change them, prove what changed');
  const calls = commands.map(({ name, arguments: wanted, does }) =>
    row(`countersum ${name} ${wanted}`.trimEnd(), does),
  );
  const help = phrase('what a command accepts');
  const version = phrase('the version');
  return page([
    `countersum – ${say(head)}`,
    '',
    ...calls,
    '',
    row('countersum COMMAND --help', help),
    row('countersum --version', version),
    '',
    ...closing(),
  ]);
}

/** What `countersum COMMAND --help` says: what the command does, and each of its options. */
export function usageOf(command: Command): string {
  const options: Options = { ...command.options, ...COMMON };
  return page([
    say(howToUse(command)),
    say(command.does),
    '',
    ...Object.entries(options).map(([name, spec]) => row(optionAs(name, spec), spec.does)),
    '',
    ...closing(),
  ]);
}

function optionAs(name: string, spec: OptionSpec): string {
  return spec.kind === 'flag' ? `--${name}` : `--${name} ${spec.wants}`;
}

function closing(): readonly string[] {
  return [
    phrase(
      'Nothing is written without --write or --out FILE. FILE may be "-" for standard input; "--" ends the options.',
    ),
    phrase('Status: 0 good, 1 problems or a difference, 2 it could not be done.'),
  ].map((said) => say(said));
}

function page(lines: readonly string[]): string {
  return `${lines.join('\n')}\n`;
}

const COLUMN = 40;

/** A call and what it does beside it, or below where the call is too long. */
function row(call: string, does: Phrase): string {
  const left = `  ${call}`;
  const beside = left.length < COLUMN - 1 ? left.padEnd(COLUMN) : `${left}\n${' '.repeat(COLUMN)}`;
  return beside + say(does);
}
