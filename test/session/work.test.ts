import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import {
  CancellationTokenSource,
  type ClientCapabilities,
  type CodeAction,
  CodeActionRequest,
  type CompletionItem,
  LSPErrorCodes,
} from 'vscode-languageserver-protocol';
import { BALANCE_CHOICES, CORRECT_CHECKSUMS } from '../../shared-core/src/protocol/balance.js';
import { SET_OPTION, type SetOptionResult } from '../../shared-core/src/protocol/options.js';
import { FULL_CLIENT, RESOLVING_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const DUMP = 'file:///car/a.cfgdump';
const PROFILE = 'file:///car/p.dump-profile.json';

interface Module {
  readonly profile: object;
  readonly text: string;
  readonly at: { readonly line: number; readonly character: number };
}

const VALUES = { 1: 'low', 2: 'middle', 3: 'high', 4: 'top' };

/** No three values of the balance bytes give the sum, and to find that out takes long. */
const HOPELESS: Module = {
  profile: {
    format: 1,
    title: 'T',
    module: '0x0102',
    lines: { from: 1, to: 5, data: 4, sum: 1 },
    lineSum: { method: 'add', bits: 8, complement: 'ones', start: 75, over: ['module', 'label', 'length', 'data'] },
    totals: [{ name: 'sum A', label: 'total', method: 'xor', bits: 16, over: ['data', 'sums'], keep: true }],
    options: [{ id: 'n', title: 'Level', line: 4, byte: 3, values: VALUES }],
    balance: [
      { line: 4, byte: 2 },
      { line: 5, byte: 3 },
      { line: 5, byte: 4 },
    ],
  },
  text: `@profile p.dump-profile.json
1: DE 86 5A 15 | D6
2: 27 61 B4 3C | 33
3: 6E 82 F9 22 | 9F
4: 5C 0B 8D 11 | 84
5: 40 6A CE 00 | 30
total: 83 AE
`,
  at: { line: 4, character: 9 },
};

/** Two sums of unlike kinds, for which some values are found at once and others take long. */
const HARD: Module = {
  profile: {
    format: 1,
    title: 'T',
    module: 1,
    lines: { from: 1, to: 5, data: 8, sum: 0 },
    totals: [
      { name: 'a', line: 5, byte: 1, method: 'fletcher', bits: 16, over: ['data'], lines: '1-4', keep: true },
      {
        name: 'b',
        line: 5,
        byte: 3,
        method: 'crc',
        model: 'CRC-16/IBM-3740',
        over: ['data'],
        lines: '1-4',
        keep: true,
      },
    ],
    options: [{ id: 'n', title: 'Level', line: 4, byte: 1, values: VALUES }],
    balance: [{ line: 2, bytes: '1-8' }],
  },
  text: `@profile p.dump-profile.json
1: DE 86 5A 15 01 02 03 04
2: 27 61 B4 3C 11 22 33 44
3: 6E 82 F9 22 55 66 77 88
4: 04 0B 8D 11 21 31 41 51
5: DA 5E 7C 47 00 00 00 00
`,
  at: { line: 4, character: 4 },
};

async function withModule(
  client: ClientCapabilities,
  { profile, text }: Module,
  check: (session: ServerSession) => Promise<void>,
): Promise<void> {
  const session = await serverSession(client);
  session.files.set(PROFILE, JSON.stringify(profile));
  await session.open(DUMP, text);
  await session.diagnostics(DUMP);
  try {
    await check(session);
  } finally {
    session.close();
  }
}

/** Milliseconds of work of this process, which server and client share. */
async function workOf(run: () => Promise<unknown>): Promise<number> {
  const before = process.cpuUsage();
  await run();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}

const choicesAt = (session: ServerSession, { line, character }: Module['at']): Promise<CodeAction[]> =>
  session.actions(DUMP, line, character, ['refactor.rewrite']);

describe('an option of a dump whose sums take long to balance', () => {
  it('is offered at once, greyed out, with where it can be set', () =>
    withModule(FULL_CLIENT, HOPELESS, async (session) => {
      let actions: readonly CodeAction[] = [];
      const work = await workOf(async () => {
        actions = await choicesAt(session, HOPELESS.at);
      });
      assert.equal(actions.length, 4);
      for (const { disabled } of actions) assert.match(disabled?.reason ?? '', /Use "Set an Option…"/);
      assert.ok(work < 1200, `${work} ms`);
    }));

  it('is not completed', () =>
    withModule(FULL_CLIENT, HOPELESS, async (session) => {
      const work = await workOf(async () => {
        const params = { textDocument: { uri: DUMP }, position: HOPELESS.at };
        assert.deepEqual(await session.connection.sendRequest<CompletionItem[]>('textDocument/completion', params), []);
      });
      assert.ok(work < 1200, `${work} ms`);
    }));

  it('is set by the chosen action as by every other way', () =>
    withModule(RESOLVING_CLIENT, HARD, async (session) => {
      const actions = await choicesAt(session, HARD.at);
      const later = actions.filter(({ data }) => data !== undefined);
      assert.ok(later.length > 0 && later.length < actions.length, `${later.length} of ${actions.length}`);
      for (const action of actions) {
        const { edit } = await session.connection.sendRequest<CodeAction>('codeAction/resolve', action);
        const [value] = Object.entries(VALUES).find(([, words]) => action.title.includes(` to ${words} `)) ?? [];
        const set = await session.connection.sendRequest<SetOptionResult>(SET_OPTION, {
          uri: DUMP,
          id: 'n',
          to: { value },
        });
        assert.ok(edit !== undefined && 'edit' in set);
        assert.deepEqual(edit, set.edit);
      }
    }));

  it('is not set in a text that has changed since the action was offered', () =>
    withModule(RESOLVING_CLIENT, HARD, async (session) => {
      const later = (await choicesAt(session, HARD.at)).find(({ data }) => data !== undefined);
      await session.change(DUMP, 1, 3, 5, 'DF');
      await assert.rejects(session.connection.sendRequest('codeAction/resolve', later), {
        code: LSPErrorCodes.ContentModified,
      });
    }));

  it('is not waited for by a client that takes its question back', () =>
    withModule(FULL_CLIENT, HOPELESS, async (session) => {
      const question = new CancellationTokenSource();
      const { line, character } = HOPELESS.at;
      const asked = session.connection.sendRequest(
        CodeActionRequest.type,
        {
          textDocument: { uri: DUMP },
          range: { start: { line, character }, end: { line, character } },
          context: { diagnostics: [] },
        },
        question.token,
      );
      question.cancel();
      await assert.rejects(asked, { code: LSPErrorCodes.RequestCancelled });
    }));

  it('is no longer searched for once the question is taken back, whatever asked for it', () =>
    withModule(RESOLVING_CLIENT, HOPELESS, async (session) => {
      const { line, character } = HOPELESS.at;
      await session.change(DUMP, line, character, character + 2, '02');
      const later = { title: 'Set', data: { uri: DUMP, version: 2, set: { id: 'n', raw: '3' } } };
      const questions = {
        'codeAction/resolve': later,
        [SET_OPTION]: { uri: DUMP, id: 'n', to: { value: '3' } },
        [CORRECT_CHECKSUMS]: { uri: DUMP },
        [BALANCE_CHOICES]: { uri: DUMP },
      };
      for (const [method, params] of Object.entries(questions)) {
        const question = new CancellationTokenSource();
        const asked = session.connection.sendRequest(method, params, question.token);
        setTimeout(() => question.cancel(), 20);
        await assert.rejects(asked, { code: LSPErrorCodes.RequestCancelled }, method);
      }
    })).timeout(60_000);
});
