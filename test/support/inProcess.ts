import { card } from '../../server/src/cli/card.js';
import { check } from '../../server/src/cli/check.js';
import type { Call, Outcome } from '../../server/src/cli/command.js';
import { compare } from '../../server/src/cli/compare.js';
import { convert } from '../../server/src/cli/convert.js';
import { Failure } from '../../server/src/cli/failure.js';
import { findOption } from '../../server/src/cli/findOption.js';
import { learn } from '../../server/src/cli/learn.js';
import { plan } from '../../server/src/cli/plan.js';
import { record } from '../../server/src/cli/record.js';
import { fix, set } from '../../server/src/cli/repair.js';
import { restore } from '../../server/src/cli/restore.js';
import { verify } from '../../server/src/cli/verify.js';
import { say } from '../../shared-core/src/index.js';

/** What a command said, and how it ended. */
export interface Ran {
  readonly status: 0 | 1 | 2;
  readonly text: string;
  readonly json: unknown;
  readonly notes: string;
}

const COMMANDS: Readonly<Record<string, (call: Call) => Outcome>> = {
  ...{ fix, set, compare, plan, card, verify, restore, record, convert, learn, 'find-option': findOption },
  check: (call) => check(call, () => {}),
};

const WITH_VALUE = ['out', 'profile', 'balance', 'to', 'width', 'retrofit', 'tag', 'trials', 'add'];

/** Runs a command in this process: a thousandth of the time that a process of its own takes. */
export async function runCommand(args: readonly string[]): Promise<Ran> {
  const [name = '', ...rest] = args;
  const command = COMMANDS[name];
  if (command === undefined) throw new RangeError(`no command ${name}`);
  try {
    const { status, text, json, notes = [] } = command(callOf(rest));
    return { status, text, json: JSON.parse(JSON.stringify(json ?? null)), notes: notes.join('\n') };
  } catch (error) {
    if (!(error instanceof Failure)) throw error;
    return { status: 2, text: '', json: undefined, notes: say(error.said) };
  }
}

function callOf(args: readonly string[]): Call {
  const named = { files: [] as string[], with: [] as string[], without: [] as string[] };
  const values = new Map<string, string>();
  const switches = new Set<string>();
  let into: keyof typeof named = 'files';
  for (let i = 0; i < args.length; i++) {
    const arg = args[i] ?? '';
    const option = arg.startsWith('--') ? arg.slice(2) : undefined;
    if (option === undefined) named[into].push(arg);
    else if (option === 'with' || option === 'without') into = option;
    else if (WITH_VALUE.includes(option)) values.set(option, args[++i] ?? '');
    else switches.add(option);
  }
  const { files, ...groups } = named;
  const value = (option: string) => values.get(option);
  return {
    ...{ files, groups, json: switches.has('json'), write: switches.has('write'), out: value('out') },
    ...{ profile: value('profile'), tag: value('tag'), trials: value('trials'), add: value('add') },
    ...{ balance: value('balance'), retotal: switches.has('retotal'), lines: switches.has('lines') },
    ...{ to: value('to'), width: value('width'), retrofit: value('retrofit') },
  };
}
