// Raw bytes and the server: open as a text under the address of the file, or closed and read by the code of the command line.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { RegistrationParams, WorkspaceDiagnosticReport, WorkspaceEdit } from 'vscode-languageserver-protocol';
import type { BackupResult } from '../../shared-core/src/protocol/backup.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const PROFILE = {
  format: 1,
  addresses: { from: 0, to: 0x13 },
  options: [{ id: 'wiper', title: 'Rear wiper', address: '0x11', values: { 0: 'no', 1: 'yes' } }],
  totals: [{ name: 'image sum', method: 'add', bits: 8, over: [{ from: 0, to: 0x12 }], address: 0x13 }],
};
const BYTES = Uint8Array.from([...Array.from({ length: 17 }, (_, i) => 0x80 + 7 * i), 1, 2, 0]);
BYTES[19] = BYTES.reduce((sum, byte) => sum + byte, 0);
const TEXT = '@profile p.dump-profile.json\n@backup old.bin\n';
const rowOf = (from: number, to: number) =>
  Array.from(BYTES.subarray(from, to), (byte) => byte.toString(16).padStart(2, '0').toUpperCase()).join(' ');
const LINES = `0x0000: ${rowOf(0, 16)}\n0x0010: ${rowOf(16, 20)}\n`;
const withByte = (at: number, value: number) => BYTES.map((byte, i) => (i === at ? value : byte));
const FILE = 'file:///car/ee.bin';

async function inCar(
  run: (session: ServerSession, registered: RegistrationParams[]) => Promise<void>,
  more: Readonly<Record<string, string | Uint8Array>> = {},
): Promise<void> {
  const workspace = {
    ...FULL_CLIENT.workspace,
    didChangeWatchedFiles: { dynamicRegistration: true },
    fileOperations: { willRename: true },
  };
  const registered: RegistrationParams[] = [];
  const session = await serverSession({ ...FULL_CLIENT, workspace }, {}, undefined, (params) =>
    registered.push(params),
  );
  const files = {
    'p.dump-profile.json': JSON.stringify(PROFILE),
    'ee.bin': BYTES,
    'ee.bin.dump-headers': TEXT,
    'old.bin': BYTES,
    ...more,
  };
  for (const [name, file] of Object.entries(files)) session.files.set(`file:///car/${name}`, file);
  try {
    await run(session, registered);
  } finally {
    session.close();
  }
}

const reportsOf = async ({ connection }: ServerSession) => {
  const { items } = await connection.sendRequest<WorkspaceDiagnosticReport>('workspace/diagnostic', {
    previousResultIds: [],
  });
  return items.map((report) => {
    const codes = report.kind === 'full' ? report.items.map(({ code }) => code) : [];
    return `${report.uri.slice('file:///car/'.length)}: ${codes.join(' ')}`.trimEnd();
  });
};

describe('raw bytes for the server', () => {
  it('are checked in the workspace while they are closed, where their headers are beside them', () =>
    inCar(
      async (session) => {
        assert.deepEqual(await reportsOf(session), ['ee.bin:', 'wrong.bin: total-sum', 'p.dump-profile.json:']);
      },
      { 'wrong.bin': withByte(3, 0xff), 'wrong.bin.dump-headers': '@profile p.dump-profile.json\n' },
    ));

  it('are one dump with the text that is open of them, with the backup that is raw bytes as well', () =>
    inCar(async (session) => {
      await session.open(FILE, TEXT + LINES.replace('8E 95', '8E 96'));
      const codes = (await session.diagnostics(FILE)).map(({ code }) => code);
      assert.deepEqual(codes, ['total-sum']);
      const hover = await session.hover(FILE, 2, 18);
      assert.match(JSON.stringify(hover), /backup/i);
      assert.deepEqual(
        (await reportsOf(session)).filter((line) => line.startsWith('ee.bin')),
        ['ee.bin: total-sum'],
      );
    }));

  it('are another dump once their headers, or they themselves, have changed', () =>
    inCar(async (session, registered) => {
      const tell = (name: string) =>
        session.connection.sendNotification('workspace/didChangeWatchedFiles', {
          changes: [{ uri: `file:///car/${name}`, type: 2 }],
        });
      await session.open(FILE, TEXT + LINES);
      assert.deepEqual(await session.diagnostics(FILE), []);
      const patterns = JSON.stringify(registered);
      assert.match(patterns, /\*\*\/\*\.dump-headers/);
      assert.match(patterns, /\*\*\/old\.bin/);
      session.files.set('file:///car/old.bin', withByte(17, 0));
      await tell('old.bin');
      const hover = await session.hover(FILE, 3, 11);
      assert.match(JSON.stringify(hover), /no/);
      session.files.set('file:///car/new.bin', withByte(3, 0xff));
      session.files.set('file:///car/new.bin.dump-headers', '@profile p.dump-profile.json\n');
      await tell('new.bin.dump-headers');
      assert.ok((await reportsOf(session)).includes('new.bin: total-sum'));
    }));

  it('that a dump names keep being named by it where they are renamed, whatever their name and the form of the dump', () =>
    inCar(
      async (session) => {
        const operations = session.initialized.capabilities.workspace?.fileOperations?.willRename;
        assert.deepEqual(operations?.filters, [{ pattern: { glob: '**' } }]);
        const rename = async (oldName: string, newName: string) => {
          const edit = await session.connection.sendRequest<WorkspaceEdit | null>('workspace/willRenameFiles', {
            files: [{ oldUri: `file:///car/${oldName}`, newUri: `file:///car/${newName}` }],
          });
          return (edit?.documentChanges ?? []).flatMap((change) =>
            'edits' in change
              ? change.edits.map(
                  (one) =>
                    `${change.textDocument.uri.slice('file:///car/'.length)}: ${'newText' in one && one.newText}`,
                )
              : [],
          );
        };
        assert.deepEqual((await rename('old.bin', 'found/first.bin')).sort(), [
          'ee.bin.dump-headers: found/first.bin',
          'view.xxd.dump-headers: found/first.bin',
        ]);
        assert.deepEqual(await rename('view.xxd', 'sub/view.xxd'), [
          'text.cfgdump: sub/view.xxd',
          'view.xxd.dump-headers: ../old.bin',
        ]);
        assert.deepEqual(await rename('ee.bin', 'new.bin'), []);
      },
      {
        'view.xxd': '00000000: 41 42  AB\n',
        'view.xxd.dump-headers': '@backup old.bin\n',
        'text.cfgdump': '@backup view.xxd\n1: 00\n',
      },
    ));

  it('are refused as a backup where they cannot be read for sure', () =>
    inCar(
      async (session) => {
        await session.open(FILE, TEXT + LINES);
        const problem = (await session.diagnostics(FILE)).find(({ code }) => code === 'backup-unreadable');
        assert.match(
          String(problem?.message),
          /Most of it is text.*a file "old\.bin\.dump-headers" beside it\. Correct/,
        );
      },
      { 'old.bin': new TextEncoder().encode('0x0000: 00 07\0') },
    ));

  it('are read as text in the encodings that the command line reads', () =>
    inCar(
      async (session) => {
        await session.open(FILE, (TEXT + LINES).replace('old.bin', 'old.cfgdump'));
        assert.deepEqual(await session.diagnostics(FILE), []);
        assert.match(JSON.stringify(await session.hover(FILE, 3, 11)), /backup/i);
      },
      { 'old.cfgdump': Buffer.from(`\ufeff${LINES}`, 'utf16le') },
    ));

  it('get a backup whose seal is that of the text that is read of it again', () =>
    inCar(async (session) => {
      // The same bytes in other lines.
      const text = `@profile p.dump-profile.json\n${LINES.replace(' 38', '\n0x0008: 38')}`;
      await session.open(FILE, text);
      const copy = await session.connection.sendRequest<BackupResult>('countersum/backup', { uri: FILE, isRaw: true });
      assert.equal(copy.names[0], 'ee.backup.bin');
      const [seal = '', ...rest] = copy.text.split('\n');
      assert.equal(rest.join('\n'), `@profile p.dump-profile.json\n${LINES}`);
      session.files.set('file:///car/old.bin.dump-headers', `${seal}\n@profile p.dump-profile.json\n`);
      await session.change(FILE, 0, 0, 0, '@backup old.bin\n');
      assert.deepEqual(await session.diagnostics(FILE), []);
    }));

  it('are edited by no plan while they are closed', () =>
    inCar(
      async (session) => {
        const plan = await session.connection.sendRequest<{ possible: boolean; edit: unknown; page: string }>(
          'countersum/planRetrofit',
          { uri: 'file:///car/w.retrofit.json', vehicle: '0DEM0T4X5TA020418' },
        );
        assert.equal(plan.possible, false, JSON.stringify(plan));
        assert.equal(plan.edit, null);
        assert.match(plan.page, /raw bytes/);
      },
      {
        'ee.bin.dump-headers': `@vin 0DEM0T4X5TA020418\n${TEXT}`,
        'old.bin.dump-headers': '@vin 0DEM0T4X5TA020418\n',
        'w.retrofit.json': JSON.stringify({
          format: 1,
          title: 'Wiper',
          changes: [{ profile: 'p.dump-profile.json', set: { wiper: '0' } }],
        }),
      },
    ));
});
