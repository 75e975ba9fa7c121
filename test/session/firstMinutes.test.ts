import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import type { CodeLens } from 'vscode-languageserver-protocol';
import { BACKUP, type BackupResult } from '../../shared-core/src/protocol/backup.js';
import type { Refusal } from '../../shared-core/src/protocol/common.js';
import { OPTIONS, type OptionsResult } from '../../shared-core/src/protocol/options.js';
import { STATUS, type StatusResult } from '../../shared-core/src/protocol/status.js';
import { demoFile } from '../support/demo.js';
import { OWN_PROFILE, OWN_TOTAL, ownForm } from '../support/ownForm.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///new/rear.cfgdump';
const PROFILE = 'file:///new/rear.dump-profile.json';
const NAMED = `@profile rear.dump-profile.json\n${ownForm()}`;

let session: ServerSession;
async function begin(): Promise<void> {
  session = await serverSession(FULL_CLIENT, { commands: true });
}

const codes = async (uri = URI) => (await session.diagnostics(uri)).map(({ code, severity }) => [code, severity]);
const statusOf = (uri = URI) => session.connection.sendRequest<StatusResult>(STATUS, { uri });
async function lenses(
  uri = URI,
): Promise<readonly (readonly [title: string | undefined, command: string | undefined])[]> {
  const { connection } = session;
  const found = await connection.sendRequest<CodeLens[]>('textDocument/codeLens', { textDocument: { uri } });
  const resolved = await Promise.all(found.map((lens) => connection.sendRequest<CodeLens>('codeLens/resolve', lens)));
  return resolved.map(({ command }) => [command?.title, command?.command]);
}

describe('a text in a form that nothing describes', () => {
  beforeEach(begin);
  afterEach(() => session.close());

  for (const [what, uri] of [
    ['in a file', URI],
    ['that is nowhere saved', 'untitled:Untitled-1'],
  ] as const)
    it(`has one mark, and one line above it that leads on: ${what}`, async () => {
      await session.open(uri, ownForm());
      assert.deepEqual(await codes(uri), [['form-unknown', 1]]);
      assert.deepEqual(await lenses(uri), [
        ['This form is not known yet: Work Out the Checksum Rule', 'countersum.learn'],
      ]);
      const { state, good } = await statusOf(uri);
      assert.deepEqual([state, good], ['unknown', false]);
      const [action] = await session.actions(uri, 0, 0, ['quickfix']);
      assert.equal(action?.command?.command, 'countersum.learn');
    });

  it('has the same where a few of its lines look like records', async () => {
    await session.open(URI, `1: 04 1A\n${ownForm()}`);
    assert.deepEqual(await codes(), [['form-unknown', 1]]);
  });

  it('keeps the marks of single slips in a form that is known', async () => {
    await session.open(URI, '1: 04 1A\n2: 04 1A\n3? 04 1A\n4? 04 1A\n');
    assert.deepEqual((await codes()).map(([code]) => code).sort(), [
      'no-profile',
      'text-unreadable',
      'text-unreadable',
    ]);
  });

  it('has one mark where the profile describes another form', async () => {
    session.files.set(PROFILE, JSON.stringify({ ...OWN_PROFILE, notation: { pattern: 'ROW {label} {data} /{sum}' } }));
    await session.open(URI, NAMED);
    assert.deepEqual(await codes(), [['form-unknown', 1]]);
  });

  it('has only the mark of its profile where that cannot be read', async () => {
    await session.open(URI, NAMED);
    assert.deepEqual(await codes(), [['profile-unreadable', 1]]);
  });
});

describe('a profile that is being typed', () => {
  beforeEach(begin);
  afterEach(() => session.close());

  const rest = JSON.stringify({ ...OWN_PROFILE, totals: [OWN_TOTAL] }, null, 2);

  for (const [what, typed] of [
    ['torn', rest.slice(0, 90)],
    ['with a pattern that is not yet one', rest.replace('*{sum}', '*{su')],
    ['with lines that say nothing yet', rest.replace('"from": 1,', '"fr": 1,')],
    ['with a misspelt key', rest.replace('"totals"', '"total"')],
  ] as const)
    it(`leaves the dump as its last good version shows it, which one mark says, and nothing is good: ${what}`, async () => {
      assert.notEqual(typed, rest);
      session.files.set(PROFILE, rest);
      await session.open(URI, NAMED);
      await session.open(PROFILE, rest);
      assert.deepEqual(await codes(), []);
      assert.equal((await statusOf()).good, true);
      await session.replace(PROFILE, typed);
      assert.deepEqual(await codes(), [['profile-stale', 3]]);
      const { state, good, profile } = await statusOf();
      assert.deepEqual([state, good, profile], ['stale', false, 'Rear unit']);
      assert.deepEqual((await lenses()).slice(0, 2), [
        ['The profile has a problem at the moment: shown by its last good version', 'countersum._openProfile'],
        [
          'rear.cfgdump: its profile cannot be read as it is now, so its last good version is shown and nothing counts as checked. · Files checked: 1, no problem found in what was checked',
          '',
        ],
      ]);
      await session.replace(PROFILE, rest);
      assert.deepEqual([await codes(), (await statusOf()).good], [[], true]);
    });

  it('gives the options as they are as soon as it is good again, saved or not', async () => {
    const name = 'file:///demo/rear-body.dump-profile.json';
    const dump = 'file:///demo/rear-body.cfgdump';
    const text = demoFile('rear-body.dump-profile.json');
    session.files.set(name, text);
    await session.open(dump, demoFile('rear-body.cfgdump'));
    const titles = async () => {
      const { state, options } = await session.connection.sendRequest<OptionsResult>(OPTIONS, { uri: dump });
      return [state, options[0]?.title];
    };
    const [, first] = await titles();
    session.files.set(name, text.replace(`"${first}"`, '"On the disk"'));
    await session.connection.sendNotification('workspace/didChangeWatchedFiles', { changes: [{ uri: name, type: 2 }] });
    assert.deepEqual(await titles(), ['options', 'On the disk']);
    await session.open(name, text.replace(`"${first}"`, '"Typed"'));
    assert.deepEqual(await titles(), ['options', 'Typed']);
    await session.replace(name, '{');
    assert.deepEqual(await titles(), ['options', 'Typed']);
  });
});

describe('lines with hex digits that are not read', () => {
  beforeEach(begin);
  afterEach(() => session.close());

  it('are named in marks, in the line above the text and at the language, and nothing is good', async () => {
    session.files.set(PROFILE, JSON.stringify(OWN_PROFILE));
    await session.open(URI, `${NAMED}Read by unit 0A12\n# 12 34\n`);
    const marks = await session.diagnostics(URI);
    assert.deepEqual(
      marks.map(({ code, severity, range }) => [code, severity, range.start.line]),
      [
        ['line-not-read', 2, 41],
        ['line-not-read', 2, 42],
      ],
    );
    const said = '40 line sums right, no file sum known, 2 lines not read';
    assert.deepEqual((await lenses())[0], [`rear.cfgdump: ${said} (rows 42, 43). · Errors: 0, warnings: 2`, '']);
    const { good, account } = await statusOf();
    assert.deepEqual([good, account], [false, said]);
  });

  it('are named beside the sums that are wrong', async () => {
    session.files.set(PROFILE, JSON.stringify(OWN_PROFILE));
    await session.open(URI, NAMED.replace(/\*(..)\n/, '*00\n'));
    assert.deepEqual((await lenses())[0], [
      '1 sum is wrong: correct it · 39 of 40 line sums right, no file sum known, 1 line not read',
      'countersum.correctChecksums',
    ]);
  });
});

describe('a backup', () => {
  afterEach(() => session.close());

  const text = demoFile('rear-body.as-found.cfgdump').replace(/^@seal.*\n/m, '');
  const dump = 'file:///demo/fresh.cfgdump';
  const ask = () => session.connection.sendRequest<BackupResult & Refusal>(BACKUP, { uri: dump });
  beforeEach(async () => {
    await begin();
    session.files.set('file:///demo/rear-body.dump-profile.json', demoFile('rear-body.dump-profile.json'));
    session.files.set(dump, text);
  });

  it('is of the file as it was read, where the editor holds other bytes', async () => {
    await session.open(dump, text.replace('08 03 01 7F', '08 03 21 7F'));
    const { text: sealed, isSaved } = await ask();
    assert.deepEqual([sealed.replace(/^@seal.*\n/, ''), isSaved], [text, true]);
  });

  it('has the headers and remarks of the editor, where the bytes are those of the file', async () => {
    const headed = `# mine\n${text}`;
    await session.open(dump, headed);
    const { text: sealed, isSaved } = await ask();
    assert.deepEqual([sealed.replace(/^@seal.*\n/, ''), isSaved], [headed, false]);
  });

  it('is not made of a file that is damaged, though the editor holds it corrected, which is said', async () => {
    session.files.set(dump, text.replace('08 03 01 7F', '08 03 02 7F'));
    await session.open(dump, text);
    assert.match((await ask()).refused, /^Save the dump first, .*the sum of line 4 is wrong/);
  });

  it('is not made where the saved file cannot be read', async () => {
    session.files.delete(dump);
    await session.open(dump, text);
    assert.match((await ask()).refused, /cannot be read as it is saved/);
  });
});
