import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { readRows } from '../../shared-core/src/format/index.js';
import { intelHex } from '../../shared-core/src/format/intelHex.js';
import { sealOf } from '../../shared-core/src/model/seal.js';
import { BACKUP, type BackupResult } from '../../shared-core/src/protocol/backup.js';
import { BALANCE_AT, BALANCE_CHOICES } from '../../shared-core/src/protocol/balance.js';
import { COMPARE, type CompareResult } from '../../shared-core/src/protocol/compare.js';
import { CONVERT } from '../../shared-core/src/protocol/convert.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

describe('a session over memory images', () => {
  let session: ServerSession;
  beforeEach(async () => {
    session = await serverSession();
  });
  afterEach(() => session.close());

  for (const [what, uri, text, line, title, after] of [
    [
      'a missing end record',
      'file:///car/a.hex',
      '; bench\r\n:0100000001FE',
      1,
      'Add the end record',
      '; bench\r\n:0100000001FE\r\n:00000001FF',
    ],
    [
      'a missing end of S-records with addresses of 24 bits',
      'file:///car/a.s28',
      'S205123456015D\n\n',
      0,
      'Add the end record',
      'S205123456015D\nS804000000FB\n\n',
    ],
    [
      'a wrong count, in the letter case of the writer',
      'file:///car/a.s19',
      's104000001fa\ns50300ed0f\ns9030000fc\n',
      1,
      'Correct the count',
      's104000001fa\ns5030001fb\ns9030000fc\n',
    ],
    [
      'a second end record',
      'file:///car/a.hex',
      ':0100000001FE\n:00000001FF\n:00000001FF\n',
      2,
      'Empty the line of this second end record',
      ':0100000001FE\n:00000001FF\n\n',
    ],
    [
      'a wrong record sum',
      'file:///car/a.hex',
      ':01000000abff\n:00000001FF\n',
      0,
      undefined,
      ':01000000ab54\n:00000001FF\n',
    ],
  ] as const) {
    it(`rights ${what}`, async () => {
      await session.open(uri, text);
      const [problem] = await session.diagnostics(uri);
      assert.equal(problem?.range.start.line, line);
      const actions = await session.actions(uri, line, problem.range.start.character);
      const action = title === undefined ? actions[0] : actions.find((found) => found.title === title);
      assert.equal(session.after(uri, action), after);
    });
  }

  it('gives text behind a record a line of its own', async () => {
    const uri = 'file:///car/a.hex';
    await session.open(uri, ':0100000001FE  ; first\r\n:00000001FF\r\n');
    const [action] = await session.actions(uri, 0, 16);
    assert.equal(action?.title, 'Give this text a line of its own');
    assert.equal(session.after(uri, action), '; first\r\n:0100000001FE\r\n:00000001FF\r\n');
  });

  it('one problem for a file whose name promises the other kind, and a command to read it as what it is', async () => {
    session.close();
    session = await serverSession(FULL_CLIENT, { commands: true });
    const uri = 'file:///car/a.hex';
    await session.open(uri, 'S104000001FA\nS9030000FC\n');
    const problems = await session.diagnostics(uri);
    assert.deepEqual(
      problems.map(({ code }) => code),
      ['text-unreadable'],
    );
    const [action] = await session.actions(uri, 0, 3);
    assert.deepEqual(action?.command?.arguments, [uri, 's-record']);
    const textDocument = { uri, languageId: 's-record', version: 2, text: 'S104000001FA\nS9030000FC\n' };
    await session.connection.sendNotification('textDocument/didOpen', { textDocument });
    assert.deepEqual(await session.diagnostics(uri), []);
  });

  const DUMP = 'file:///car/a.hex';
  const RECORDS = ':020000040000FA\n:0400100001020304E2\n:00000001FF\n';
  const PROFILE = JSON.stringify({
    format: 1,
    addresses: { from: 0x10, to: 0x13 },
    options: [{ id: 'socket', title: 'Socket', address: '0x11', values: { 2: 'fitted', 3: 'not fitted' } }],
    locked: [{ address: '0x10', why: 'identity' }],
  });

  it('seals a backup whose records any program reads: what is for people stands behind the end record', async () => {
    session.files.set(DUMP, RECORDS);
    await session.open(DUMP, RECORDS);
    const backup = await session.connection.sendRequest<BackupResult>(BACKUP, { uri: DUMP });
    assert.equal(backup.names[0], 'a.backup.hex');
    assert.match(backup.text, /^:020000040000FA\n:0400100001020304E2\n:00000001FF\n; @seal sha256:[0-9a-f]{64}\n$/);
    assert.deepEqual([backup.line, backup.column, backup.before, backup.after], [3, 0, '; @backup ', '\n']);
    session.files.set('file:///car/a.backup.hex', backup.text);
    const named = 'file:///car/b.hex';
    await session.open(named, `${RECORDS}; @backup a.backup.hex\n`);
    assert.deepEqual(await session.diagnostics(named), []);
    session.files.set('file:///car/a.backup.hex', backup.text.replace(':020000040000FA\n', ''));
    await session.connection.sendNotification('workspace/didChangeWatchedFiles', {
      changes: [{ uri: 'file:///car/a.backup.hex', type: 2 }],
    });
    const [problem] = await session.diagnostics(named);
    assert.match(String(problem?.message), /seal of the backup is broken/);
  });

  it('compares with a backup in another notation and width, in words by address', async () => {
    session.files.set('file:///car/p.dump-profile.json', PROFILE);
    session.files.set('file:///car/old.s19', 'S10500100102E7\nS10500120304E1\nS9030000FC\n');
    await session.open(DUMP, ':0400100009030304D9\n:00000001FF\n; @profile p.dump-profile.json\n; @backup old.s19\n');
    const compared = await session.connection.sendRequest<CompareResult>(COMPARE, { uri: DUMP });
    assert.deepEqual(compared.summary.slice(0, 4), [
      'Do not write this: Address 0010 is locked (identity): 01 → 09',
      'Socket: fitted → not fitted',
      'Address 0010: 01 → 09 (locked: do not write)',
      'Address 0011: 02 → 03 (option)',
    ]);
    assert.match(compared.text, /^:0400100001020304E2\n/);
  });

  it('takes a record with a changed locked byte from the backup', async () => {
    session.files.set('file:///car/p.dump-profile.json', PROFILE);
    const records = ':0400100001020304E2\n:00000001FF\n';
    session.files.set(
      'file:///car/old.hex',
      `${records}; @seal ${sealOf({ rows: readRows(records, intelHex), notation: intelHex })}\n`,
    );
    await session.open(DUMP, ':0400100009020304DA\n:00000001FF\n; @profile p.dump-profile.json\n; @backup old.hex\n');
    const [problem] = await session.diagnostics(DUMP);
    assert.equal(problem?.code, 'locked-changed');
    const actions = await session.actions(DUMP, 0, 9);
    const action = actions.find(({ title }) => title === 'Restore this record from the backup');
    assert.match(session.after(DUMP, action), /^:0400100001020304E2\n/);
  });

  it('converts what is open, and names what the other notation has no place for, or refuses with the reason', async () => {
    const ask = (to: string) => session.connection.sendRequest<Record<string, unknown>>(CONVERT, { uri: DUMP, to });
    await session.open(DUMP, '; from the bench\n:0100000001FE\n:00000001FF\n');
    assert.deepEqual(await ask('s-record'), {
      text: 'S104000001FA\nS5030001FB\nS9030000FC\n',
      lost: ['Row 1: the comment "; from the bench"'],
    });
    assert.deepEqual(await ask('dump-text'), { text: '# from the bench\n0x0000: 01\n', lost: [] });
    await session.change(DUMP, 1, 11, 13, 'FF');
    const { refused } = (await ask('s-record')) as { refused?: string };
    assert.match(refused ?? '', /sum of row 2 is wrong/);
  });

  it('balances with addresses: asks for them, says what they would become and how sure that is, or why not', async () => {
    const totals = [
      { name: 'image sum', method: 'add', bits: 16, over: [{ from: 0x10, to: 0x15 }], address: '0x16', keep: true },
    ];
    const profile = { format: 1, addresses: { from: 0x10, to: 0x17 }, totals, balance: [{ address: '0x14' }] };
    session.files.set('file:///car/sum.dump-profile.json', JSON.stringify(profile));
    const text = ':080010000102030405060016BD\n:00000001FF\n; @profile sum.dump-profile.json\n';
    await session.open(DUMP, text);
    const ask = (method: string, more: object) =>
      session.connection.sendRequest<{ title?: string; detail?: string; edit?: unknown; refused?: string }>(method, {
        uri: DUMP,
        ...more,
      });
    const selection = { start: { line: 0, character: 9 }, end: { line: 0, character: 13 } };
    assert.deepEqual(await ask(BALANCE_CHOICES, { selection }), { suggested: '0010..0012' });
    assert.deepEqual(await ask(BALANCE_CHOICES, {}), { suggested: '0014' });
    const { title, detail, edit } = await ask(BALANCE_AT, { addresses: '10..11' });
    assert.equal(title, 'address 0010 from 01 to 02');
    assert.equal(detail, 'balanced by one byte; this is one way');
    assert.match(JSON.stringify(edit), /newText/);
    const alone = await ask(BALANCE_AT, { addresses: '0x14' });
    assert.deepEqual(
      [alone.title, alone.detail],
      ['address 0014 from 05 to 06', 'balanced by one byte; no other single byte allowed here could do it'],
    );
    assert.match(String((await ask(BALANCE_AT, { addresses: 'zz' })).refused), /written in hex/);
    assert.match(String((await ask(BALANCE_AT, { addresses: '16' })).refused), /No byte is free/);
  });
});
