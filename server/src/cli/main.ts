import { parseArgs } from 'node:util';
import { phrase, say } from '../../../shared-core/src/index.js';
import { card } from './card.js';
import { check } from './check.js';
import type { Call, Outcome } from './command.js';
import { compare } from './compare.js';
import { convert } from './convert.js';
import { Failure } from './failure.js';
import { findOption } from './findOption.js';
import { learn } from './learn.js';
import { record } from './record.js';
import { fix, set } from './repair.js';
import { verify } from './verify.js';

const USAGE = `countersum – configuration dumps of control modules: check them, change them, prove what changed

  countersum check FILE…                  all problems; folders are walked
  countersum fix FILE                     right line sums, then file sums as the profile says
      --balance N                         balance with line N, of an image with addresses such as 1F0..1FF
      --retotal                           rewrite the file sums
      --lines                             line sums only
  countersum set FILE OPTION=VALUE…       set options (words or number), then repair as fix does
  countersum compare BEFORE AFTER         what differs, each byte explained
  countersum card BEFORE AFTER…           the job card as Markdown; a pair of dumps for each module
      --retrofit FILE                     with the checks and the work around it
  countersum verify PLANNED READBACK      is what was read back what was planned; the likely cause of each difference
  countersum record FOLDER                the record of a vehicle: its dumps, what changed between them, what is open
  countersum convert FILE --to dump-text|intel-hex|s-record
                                          same bytes at the same addresses, another notation
      --width N                           data bytes in a line (16)
  countersum learn FILE…                  work out how undocumented dumps are written and summed: a draft profile
  countersum find-option --with FILE… --without FILE…
                                          which bits tell the two groups apart; a FILE before both is asked about
  countersum serve --stdio                the language server

  --json           for scripts             --profile FILE   use this profile
  --write          write FILE itself       --out FILE       write another file
FILE may be "-" for standard input. Status: 0 good, 1 problems or a difference, 2 it could not be done.`;

const OPTIONS = {
  json: { type: 'boolean', default: false },
  write: { type: 'boolean', default: false },
  out: { type: 'string' },
  profile: { type: 'string' },
  balance: { type: 'string' },
  retotal: { type: 'boolean', default: false },
  lines: { type: 'boolean', default: false },
  to: { type: 'string' },
  width: { type: 'string' },
  retrofit: { type: 'string' },
  with: { type: 'boolean', default: false },
  without: { type: 'boolean', default: false },
  stdio: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const;

const COMMANDS: Readonly<Record<string, (call: Call) => Outcome>> = {
  check: (call) => check(call, showProgress),
  fix,
  set,
  compare,
  card,
  verify,
  record,
  convert,
  learn,
  'find-option': findOption,
};

function main(): number {
  const { name, call, help } = readCall();
  if (help) {
    process.stdout.write(`${USAGE}\n`);
    return 0;
  }
  const command = COMMANDS[name ?? ''];
  if (command === undefined) {
    throw new Failure(
      name === undefined
        ? phrase('No command was given. See: countersum --help')
        : phrase('There is no command "{0}". See: countersum --help', name),
    );
  }
  if (call.files.length + call.groups.with.length === 0)
    throw new Failure(phrase('Name a file. See: countersum --help'));
  const { status, text, json, notes = [] } = command(call);
  for (const note of notes) process.stderr.write(`${note}\n`);
  const output = call.json ? `${JSON.stringify(json, null, 2)}\n` : text;
  process.stdout.write(output.endsWith('\n') || output === '' ? output : `${output}\n`);
  return status;
}

function readCall(): { name: string | undefined; call: Call; help: boolean } {
  try {
    const { values, tokens } = parseArgs({ options: OPTIONS, allowPositionals: true, tokens: true });
    const named = { files: [] as string[], with: [] as string[], without: [] as string[] };
    let into: keyof typeof named = 'files';
    // Files after --with and --without belong to that group, up to the other one.
    for (const token of tokens) {
      if (token.kind === 'positional') named[into].push(token.value);
      else if (token.kind === 'option' && (token.name === 'with' || token.name === 'without')) into = token.name;
    }
    const { files: positionals, ...groups } = named;
    const [name, ...files] = positionals;
    const { help, json, write, out, profile, balance, retotal, lines, to, width, retrofit } = values;
    return {
      name,
      help,
      call: { files, groups, json, write, out, profile, balance, retotal, lines, to, width, retrofit },
    };
  } catch (error) {
    throw new Failure(phrase('{0} See: countersum --help', (error as Error).message.split('. ')[0] ?? ''));
  }
}

/** A count on a terminal, once there is much to do. */
function showProgress(done: number, of: number): void {
  if (!process.stderr.isTTY || of < 50) return;
  process.stderr.write(done === of ? '\r\x1b[K' : `\r${done} of ${of}`);
}

if (process.argv[2] === 'serve') {
  void import('../main.js');
} else {
  try {
    process.exitCode = main();
  } catch (error) {
    // One line, whatever went wrong: a script can show it as it is.
    process.stderr.write(`countersum: ${error instanceof Failure ? say(error.said) : String(error)}\n`);
    process.exitCode = 2;
  }
}
