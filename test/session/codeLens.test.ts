import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { CodeLens } from 'vscode-languageserver-protocol';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, serverSession } from '../support/serverSession.js';

const URI = 'file:///demo/rear-body.cfgdump';
const DEMO = demoFile('rear-body.cfgdump');
const RIGHT = DEMO.replace('FF | 88', 'FF | A8').replace('FF 5C | 75', 'FF 3C | 55');

type Case = readonly [
  what: string,
  text: string,
  lenses: readonly (readonly [title: string, command: string])[],
  profile?: (text: string) => string,
];

describe('above the first line', () => {
  for (const [what, text, lenses, change] of [
    [
      'what is wrong and what differs, each with its command',
      DEMO,
      [
        ['2 sums are wrong: correct all', 'countersum.correctChecksums'],
        ['1 byte differs from the backup: compare', 'countersum.compareWithBackup'],
      ],
    ],
    [
      'what to do with a text that has nothing but headers',
      '@vehicle stock no. 7\n@taken 2026-03-02\n\n',
      [['Nothing is in here yet: paste what was read here, and save it', '']],
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
        ['Errors: 2, warnings: 0', ''],
        ['4 bytes differ from the backup: compare', 'countersum.compareWithBackup'],
      ],
    ],
    [
      'that the seal of a backup holds, and no other backup is asked for',
      demoFile('rear-body.as-found.cfgdump'),
      [
        ['All sums are right', ''],
        ['Sealed backup: its seal holds, no record was changed since', ''],
      ],
    ],
    [
      'that the seal of a backup does not hold',
      demoFile('rear-body.as-found.cfgdump').replace(
        /(@seal sha256:)(.)/,
        (_, before, digit) => `${before}${digit === '0' ? '1' : '0'}`,
      ),
      [
        ['Errors: 1, warnings: 0', ''],
        ['Sealed backup: its seal does not hold', ''],
      ],
    ],
    ['nothing where there is nothing to say', '# notes\n', []],
    [
      'no praise where the profile has a problem: its file sum is left out',
      RIGHT.replace(/@backup.*\n/, ''),
      [
        ['Errors: 1, warnings: 1', ''],
        ['No backup yet: make one', 'countersum.makeBackup'],
      ],
      (profile) => profile.replace('"method": "add",\n      "bits": 16', '"method": "ad",\n      "bits": 16'),
    ],
    [
      'what of the sums nobody describes',
      RIGHT.replace(/@backup.*\n/, ''),
      [
        [
          'rear-body.cfgdump: its profile does not say how its lines are summed, so no line sum was checked. · Files checked: 1, no problem found in what was checked',
          '',
        ],
        ['No backup yet: make one', 'countersum.makeBackup'],
      ],
      (profile) => JSON.stringify({ ...JSON.parse(profile), lineSum: undefined }),
    ],
  ] satisfies Case[] as Case[]) {
    it(`stands ${what}`, async () => assert.deepEqual(await lensesOf(text, {}, change), lenses));
  }

  it('stands no offer to change what was read back: it is evidence', async () => {
    const text = DEMO.replace(/^@backup.*/m, '@taken 2026-03-02T11:02:00Z');
    const name = URI.replace('.cfgdump', '.read-back.cfgdump');
    assert.deepEqual(await lensesOf(text, {}, undefined, name), [['Sums that are wrong in what was read back: 2', '']]);
    assert.deepEqual(
      (await lensesOf(text, {}, undefined, URI)).map(([, command]) => command),
      ['countersum.correctChecksums', 'countersum.makeBackup'],
    );
  });

  it('stands no offer to change a later reading of a module in work, whatever its name, or what is only to compare with', async () => {
    const later = DEMO.replace(/^@backup.*/m, '@taken 2026-03-02T11:02:00Z');
    const url = URI.replace('.cfgdump', '.second.cfgdump');
    const work = { 'rear-body.cfgdump': RIGHT };
    assert.deepEqual(await lensesOf(later, {}, undefined, url, work), [
      ['Sums that are wrong in what was read back: 2', ''],
    ]);
    // It stays as it was read also where a row of it says another time than its "@taken".
    assert.deepEqual(await lensesOf(`# read 2026-02-27 10:00\n${later}`, {}, undefined, url, work), [
      ['Sums that are wrong in what was read back: 2', ''],
    ]);
    const earlier = later.replace('2026-03-02T11', '2026-03-01T01');
    // It may only say a wrong time: a backup of it is not what is missing.
    assert.deepEqual(await lensesOf(earlier, {}, undefined, url, work), [
      ['2 sums are wrong: correct all', 'countersum.correctChecksums'],
      ['Read before the backup of this module by its "@taken": not a read-back', ''],
    ]);
    assert.deepEqual((await lensesOf(earlier, {}, undefined, url)).at(-1), [
      'No backup yet: make one',
      'countersum.makeBackup',
    ]);
    const compared = DEMO.replace(/^@backup.*/m, '@use comparison');
    assert.deepEqual(await lensesOf(compared, {}, undefined, url), [['Sums that are wrong: 2', '']]);
  });

  it('stands no offer of a backup over a form that cannot name one', async () => {
    const session = await serverSession(FULL_CLIENT, { commands: true });
    const uri = 'file:///demo/roof.xxd';
    await session.open(uri, '00000000: 3132 3334  1234\n');
    const lenses = await session.connection.sendRequest<CodeLens[]>('textDocument/codeLens', { textDocument: { uri } });
    const subjects = lenses.map(({ data }) => (data as { subject: string }).subject);
    session.close();
    assert.ok(!subjects.includes('backup'), subjects.join());
  });

  it('stands nothing where the person wants none, or the client cannot carry out what it names', async () => {
    assert.deepEqual(await lensesOf(DEMO, { codeLens: false }), []);
    const session = await serverSession(FULL_CLIENT);
    assert.equal(session.initialized.capabilities.codeLensProvider, undefined);
    session.close();
  });
});

/** Titles and commands of the lenses of a dump. */
async function lensesOf(
  text: string,
  settings: object = {},
  profile = (demo: string) => demo,
  uri = URI,
  beside: Readonly<Record<string, string>> = {},
): Promise<[title: string, command: string][]> {
  const session = await serverSession({ ...FULL_CLIENT, workspace: { configuration: true } }, { commands: true });
  const { connection } = session;
  connection.onRequest('workspace/configuration', () => [settings]);
  for (const name of ['rear-body.dump-profile.json', 'rear-body.as-found.cfgdump'])
    session.files.set(`file:///demo/${name}`, demoFile(name));
  for (const [name, file] of Object.entries(beside)) session.files.set(`file:///demo/${name}`, file);
  const name = 'rear-body.dump-profile.json';
  session.files.set(`file:///demo/${name}`, profile(demoFile(name)));
  await session.open(uri, text);
  try {
    const lenses = await connection.sendRequest<CodeLens[]>('textDocument/codeLens', { textDocument: { uri } });
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
