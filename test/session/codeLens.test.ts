import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { CodeLens } from 'vscode-languageserver-protocol';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, serverSession } from '../support/serverSession.js';

const URI = 'file:///demo/rear-body.cfgdump';
const DEMO = demoFile('rear-body.cfgdump');
const RIGHT = DEMO.replace('FF | 88', 'FF | A8').replace('FF 5C | 75', 'FF 3C | 55');

describe('above the first line', () => {
  for (const [what, text, lenses] of [
    [
      'what is wrong and what differs, each with its command',
      DEMO,
      [
        ['2 sums are wrong: make all right', 'countersum.rightAllSums'],
        ['1 byte differs from the backup: compare', 'countersum.compareWithBackup'],
      ],
    ],
    [
      'that all is right',
      RIGHT,
      [
        ['All sums are right', ''],
        ['4 bytes differ from the backup: compare', 'countersum.compareWithBackup'],
      ],
    ],
    [
      'that there is no backup yet',
      RIGHT.replace(/@backup.*\n/, ''),
      [
        ['All sums are right', ''],
        ['No backup yet: make one', 'countersum.makeBackup'],
      ],
    ],
    [
      'that sums cannot be checked',
      RIGHT.replace(/ 7: .*\n/, ''),
      [
        ['Not all sums can be checked', ''],
        ['4 bytes differ from the backup: compare', 'countersum.compareWithBackup'],
      ],
    ],
    ['nothing of a backup in a backup', demoFile('rear-body.as-found.cfgdump'), [['All sums are right', '']]],
    ['nothing where there is nothing to say', '# notes\n', []],
  ] as const) {
    it(`stands ${what}`, async () => assert.deepEqual(await lensesOf(text), lenses));
  }

  it('stands nothing where the person wants none, or the client cannot carry out what it names', async () => {
    assert.deepEqual(await lensesOf(DEMO, { codeLens: false }), []);
    const session = await serverSession(FULL_CLIENT);
    assert.equal(session.initialized.capabilities.codeLensProvider, undefined);
    session.close();
  });
});

/** Titles and commands of the lenses of a dump. */
async function lensesOf(text: string, settings: object = {}): Promise<[title: string, command: string][]> {
  const session = await serverSession({ ...FULL_CLIENT, workspace: { configuration: true } }, { commands: true });
  const { connection } = session;
  connection.onRequest('workspace/configuration', () => [settings]);
  for (const name of ['rear-body.dump-profile.json', 'rear-body.as-found.cfgdump'])
    session.files.set(`file:///demo/${name}`, demoFile(name));
  await session.open(URI, text);
  try {
    const lenses = await connection.sendRequest<CodeLens[]>('textDocument/codeLens', { textDocument: { uri: URI } });
    const found: [string, string][] = [];
    for (const lens of lenses) {
      const { command } = await connection.sendRequest<CodeLens>('codeLens/resolve', lens);
      found.push([command?.title ?? '', command?.command ?? '']);
    }
    return found;
  } finally {
    session.close();
  }
}
