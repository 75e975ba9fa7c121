import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { CompletionItem } from 'vscode-languageserver-protocol';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const DUMP = 'file:///car/a.cfgdump';
const MODULE = {
  format: 1,
  title: 'T',
  module: 1,
  lines: { from: 1, to: 2, data: 4, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['data'] },
};
/** The only place to balance with holds an option that affects the brakes. */
const BRAKES = {
  ...MODULE,
  totals: [{ name: 'file sum', label: 'total', method: 'add', bits: 8, over: ['data'], keep: true }],
  balance: [{ line: 2, byte: 1 }],
  options: [
    { id: 'w', title: 'Wiper', line: 1, byte: 2, values: { 0: 'off', 1: 'on' } },
    { id: 'h', title: 'Brake help', line: 2, byte: 1, number: {}, hazard: 'braking' },
  ],
};
const HEAD = '@profile p.dump-profile.json\n';
const RIGHT = `${HEAD}1: 01 00 00 00 | 01\n2: 40 00 00 00 | 40\ntotal: 41\n`;
const WRONG = RIGHT.replace('total: 41', 'total: 43');
const SHORT = '⚠ affects the brakes ⚠ also changes Brake help';

async function withDump(
  profile: object,
  text: string,
  check: (session: ServerSession) => Promise<void>,
  client: Parameters<typeof serverSession>[0] = {},
): Promise<void> {
  const session = await serverSession(client);
  session.files.set('file:///car/p.dump-profile.json', JSON.stringify(profile));
  await session.open(DUMP, text);
  try {
    await check(session);
  } finally {
    session.close();
  }
}

const titlesAt = async (session: ServerSession, line: number, character: number) =>
  (await session.actions(DUMP, line, character)).map(({ title }) => title);

const completed = (session: ServerSession, line: number, character: number) =>
  session.connection.sendRequest<CompletionItem[]>('textDocument/completion', {
    textDocument: { uri: DUMP },
    position: { line, character },
  });

describe('cautions of an option that is changed only by balancing', () => {
  it('are in the title of what sets another option', () =>
    withDump(BRAKES, RIGHT, async (session) => {
      assert.deepEqual(await titlesAt(session, 1, 7), [`Set Wiper to on (sums kept right) ${SHORT}`]);
    }));

  it('are in the titles of what makes sums right', () =>
    withDump(BRAKES, WRONG, async (session) => {
      assert.deepEqual(await titlesAt(session, 3, 8), [
        `Rebalance file sum using line 2: byte 1 from 40 to 42 ${SHORT}`,
        'Rebalance file sum using line 1: byte 1 from 01 to 03',
        'Rebalance file sum using line 2: byte 2 from 00 to 02',
        'Rewrite the file sum: 43 to 41',
        `Correct all checksums (2 bytes change) ${SHORT}`,
      ]);
    }));

  for (const [what, client] of [
    ['in the detail', {}],
    ['beside the label', { textDocument: { completion: { completionItem: { labelDetailsSupport: true } } } }],
  ] as const)
    it(`are shown before a completed value is taken, with words ${what}`, () =>
      withDump(
        BRAKES,
        RIGHT,
        async (session) => {
          const item = (await completed(session, 1, 7)).find(({ label }) => label === '01');
          assert.match(item?.detail ?? '', /⚠ affects the brakes ⚠ also changes Brake help$/);
          assert.match(
            String(item?.documentation),
            /Brake help: ⚠ Affects the brakes\..*Balancing also changes Brake help: 64 → 63\./,
          );
        },
        client,
      ));
});

describe('a fix to which several ways lead', () => {
  it('is offered once', () =>
    withDump({ ...BRAKES, options: [] }, WRONG, async (session) => {
      assert.deepEqual(await titlesAt(session, 3, 8), [
        'Rebalance file sum using line 2: byte 1 from 40 to 42',
        'Rebalance file sum using line 1: byte 1 from 01 to 03',
        'Rewrite the file sum: 43 to 41',
        'Correct all checksums (2 bytes change)',
      ]);
    }));
});

describe('flags of which one has no words', () => {
  const profile = {
    ...MODULE,
    options: [{ id: 'f', title: 'Flags', line: 1, byte: 1, flags: { 0: 'alpha', 2: 'beta' } }],
  };
  const text = (flags: string) => `${HEAD}1: ${flags} 00 00 00 | ${flags}\n2: 00 00 00 00 | 00\n`;

  it('are offered no value that leaves it set', () =>
    withDump(
      profile,
      text('89'),
      async (session) => {
        assert.match((await session.diagnostics(DUMP)).map(({ message }) => message).join(), /no words for/);
        assert.deepEqual(await titlesAt(session, 1, 3), []);
        assert.deepEqual(await completed(session, 1, 3), []);
      },
      FULL_CLIENT,
    ));

  it('are offered in words where all have some', () =>
    withDump(profile, text('01'), async (session) => {
      assert.deepEqual(await titlesAt(session, 1, 3), [
        'Set Flags to – (sums kept right)',
        'Set Flags to alpha, beta (sums kept right)',
      ]);
    }));
});
