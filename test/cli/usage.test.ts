// What help says of commands and their options.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { COMMANDS } from '../../server/src/cli/commands.js';
import { usage, usageOf } from '../../server/src/cli/usage.js';
import { phrase, say } from '../../shared-core/src/base/index.js';

describe('help', () => {
  const linesOf = (name: string) => {
    const command = COMMANDS.find((one) => one.name === name);
    assert.ok(command);
    return usageOf(command).split('\n');
  };

  it('of a command says how it is called, what it does, and all of its options with what each of them takes', () => {
    assert.deepEqual(linesOf('restore').slice(0, 6), [
      'Use: countersum restore FILE [LINE…]',
      'lines as the backup holds them, proved byte for byte',
      '',
      '  --write                               write FILE itself',
      '  --out FILE                            write this file',
      '  --force                               with --out: replace the file if it exists',
    ]);
    for (const [name, call] of [
      ['restore', '--profile FILE'],
      ['set', '--despite OPTION'],
      ['card', '--retrofit FILE'],
    ] as const)
      assert.ok(
        linesOf(name).some((line) => line.startsWith(`  ${call.padEnd(38)}`)),
        `${name} ${call}`,
      );
  });

  it('says of every option that takes something what that is, and of every command what it works on', () => {
    for (const command of COMMANDS) {
      const { name, arguments: wanted, options } = command;
      for (const [option, spec] of Object.entries(options))
        if (spec.kind !== 'flag') assert.match(spec.wants, /^[A-Za-z0-9]/, `${name} --${option}`);
      if (name !== 'serve') assert.match(wanted, /^\[?[A-Z]/, name);
    }
  });

  it('puts what an option does below it where the option is too long', () => {
    const lines = linesOf('restore');
    const at = lines.findIndex((line) => line.startsWith('  --from '));
    assert.equal(lines[at + 1], `${' '.repeat(40)}how FILE is written, whatever it looks like`);
  });

  it('names every command with what it takes and does, and what else may be asked', () => {
    const lines = usage(COMMANDS).split('\n');
    assert.match(lines[0] ?? '', /^countersum – configuration dumps/);
    assert.deepEqual([lines[1], lines.at(-1)], ['', '']);
    for (const { name, arguments: wanted, does } of COMMANDS) {
      const call = `  countersum ${name} ${wanted}`.trimEnd();
      const at = lines.findIndex((line) => line === call || line.startsWith(`${call}  `));
      assert.ok(at > 0, name);
      const [own, below] = [lines[at] ?? '', lines[at + 1] ?? ''];
      assert.equal(own === call ? below : own, `${(own === call ? '' : call).padEnd(40)}${say(does)}`);
    }
    assert.ok(lines.includes('  countersum COMMAND --help             what a command accepts'));
    assert.ok(lines.includes('  countersum --version                  the version'));
    assert.match(usage(COMMANDS), /^Nothing is written without --write or --out FILE\..*\nStatus: 0 good, 1 problems/m);
  });

  it('is laid out in two columns, what does not fit beside its words above them', () => {
    const [any] = COMMANDS;
    assert.ok(any);
    const named = (name: string, wanted: string) => ({
      ...any,
      name,
      arguments: wanted,
      does: phrase('{0}', 'does it'),
    });
    // Two blanks, "countersum " and the call: 38 characters leave a blank, 39 do not.
    const commands = [named('fits', 'A'.repeat(20)), named('long', 'A'.repeat(21)), named('bare', '')];
    assert.deepEqual(usage(commands).split('\n').slice(0, 9), [
      'countersum – configuration dumps of control modules: check them, change them, prove what changed',
      '',
      `  countersum fits ${'A'.repeat(20)}  does it`,
      `  countersum long ${'A'.repeat(21)}`,
      `${' '.repeat(40)}does it`,
      `  countersum bare${' '.repeat(23)}does it`,
      '',
      '  countersum COMMAND --help             what a command accepts',
      '  countersum --version                  the version',
    ]);
    assert.deepEqual(usage(commands).split('\n').slice(9, 10), ['']);
    assert.deepEqual(linesOf('restore').slice(-4), ['', ...usage(COMMANDS).split('\n').slice(-3)]);
  });
});
