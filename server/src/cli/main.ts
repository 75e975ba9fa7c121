import { parseArgs } from 'node:util';
import { phrase } from '../../../shared-core/src/index.js';
import { card } from './card.js';
import { check } from './check.js';
import type { Call, Outcome } from './command.js';
import { compare } from './compare.js';
import { convert } from './convert.js';
import { Failure } from './failure.js';
import { findOption } from './findOption.js';
import { learn } from './learn.js';
import { plan } from './plan.js';
import { record } from './record.js';
import { fix, set } from './repair.js';
import { restore } from './restore.js';
import { say } from './say.js';
import { usage } from './usage.js';
import { verify } from './verify.js';

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
  tag: { type: 'string' },
  trials: { type: 'string' },
  add: { type: 'string' },
  with: { type: 'boolean', default: false },
  without: { type: 'boolean', default: false },
  stdio: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const;

const COMMANDS: Readonly<Record<string, (call: Call) => Promise<Outcome>>> = {
  check: (call) => check(call, showProgress),
  fix,
  set,
  compare,
  plan,
  card,
  verify,
  restore,
  record,
  convert,
  learn,
  'find-option': findOption,
};

async function main(): Promise<number> {
  const { name, call, help } = readCall();
  if (help) {
    process.stdout.write(usage());
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
  const { status, text, json, notes = [] } = await command(call);
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
    const { help, json, write, out, profile, tag, trials, add, ...others } = values;
    const { balance, retotal, lines, to, width, retrofit } = others;
    return {
      name,
      help,
      call: {
        ...{ files, groups, json, write, out, profile, tag, trials, add },
        balance,
        retotal,
        lines,
        to,
        width,
        retrofit,
      },
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
  main().then(
    (status) => {
      process.exitCode = status;
    },
    (error: unknown) => {
      // One line, whatever went wrong: a script can show it as it is.
      process.stderr.write(`countersum: ${error instanceof Failure ? say(error.said) : String(error)}\n`);
      process.exitCode = 2;
    },
  );
}
