// Hex views with their headers in a file beside them: the server says of them what the command line says.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import type { TextDocumentEdit, WorkspaceDiagnosticReport, WorkspaceEdit } from 'vscode-languageserver-protocol';
import { OPEN_IMAGE, type OpenImageResult } from '../../shared-core/src/protocol/imageView.js';
import { JOBS, type JobsResult } from '../../shared-core/src/protocol/jobs.js';
import {
  VEHICLE_RECORD,
  VERIFY_READ_BACK,
  type VerifyReadBackResult,
} from '../../shared-core/src/protocol/retrofit.js';
import { bench } from '../support/commandLine.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const at = (name: string) => `file:///car/${name}`;
const VIEW = at('seat.read-back.xxd');
const demo = (name: string) => readFileSync(`examples/seat-heater/${name}`);
const text = (name: string) => readFileSync(`examples/seat-heater/${name}`, 'utf8');
const LATER = text('seat.read-back.xxd.dump-headers').replace('2026-04-11', '2026-04-12');
/** With the sum of its settings right, which is wrong in the demo. */
const RIGHT = text('seat.read-back.xxd').replace('40 04 24  .e...........@.$', '40 04 04  .e...........@..');

describe('hex views and their headers for the server', () => {
  const { write, call, path } = bench('empty');
  let session: ServerSession;
  beforeEach(async () => {
    session = await serverSession(
      { ...FULL_CLIENT, workspace: { ...FULL_CLIENT.workspace, workspaceFolders: true } },
      { jobs: true },
    );
    for (const name of readdirSync('examples/seat-heater')) put(name, demo(name));
  });
  afterEach(() => session.close());

  const put = (name: string, content: string | Uint8Array) => {
    session.files.set(at(name), content);
    write(name, Buffer.from(content));
  };
  const jobs = () => session.connection.sendRequest<JobsResult>(JOBS, { unsaved: [], around: null });
  const stepsOf = ({ vehicles }: JobsResult) =>
    vehicles.flatMap(({ modules }) => modules.flatMap(({ steps }) => steps));
  const told = (name: string) =>
    session.connection.sendNotification('workspace/didChangeWatchedFiles', { changes: [{ uri: at(name), type: 2 }] });
  /** What `check` finds wrong, as "file:row code". */
  const checked = () =>
    call('check', '.')
      .stdout.split('\n')
      .flatMap((line) => {
        const [, file, row, code] = /^([^:]+):(\d+):\d+: \w+ ([\w-]+)/.exec(line) ?? [];
        return file === undefined ? [] : [`${file}:${row} ${code}`];
      })
      .sort();
  const marked = async () => {
    const { items } = await session.connection.sendRequest<WorkspaceDiagnosticReport>('workspace/diagnostic', {
      previousResultIds: [],
    });
    return items
      .flatMap((report) =>
        report.kind === 'full'
          ? report.items.map(({ range, code }) => `${report.uri.slice(at('').length)}:${range.start.line + 1} ${code}`)
          : [],
      )
      .sort();
  };

  it('have the same problems there as for the command line, in the same rows', async () => {
    const found = await marked();
    assert.ok(found.includes('seat.read-back.xxd:4 total-sum'), found.join('\n'));
    assert.deepEqual(found, checked());
    put('seat.read-back.xxd', RIGHT);
    await told('seat.read-back.xxd');
    const then = await marked();
    assert.ok(!then.includes('seat.read-back.xxd:4 total-sum'), then.join('\n'));
    assert.deepEqual(then, checked());
  });

  it('open a verification again that a later reading contradicts, closed or open in the editor', async () => {
    assert.equal(call('fix', 'seat.bin', '--write').status, 0);
    const planned = readFileSync(path('seat.bin'));
    put('seat.bin', planned);
    put('first.bin', planned);
    put('first.bin.dump-headers', text('seat.read-back.xxd.dump-headers'));
    session.files.delete(VIEW);
    session.files.delete(`${VIEW}.dump-headers`);
    const verified = async () => stepsOf(await jobs()).find(({ id }) => id === 'verified')?.says ?? '';
    const readBack = async () => stepsOf(await jobs()).find(({ id }) => id === 'readBack')?.says ?? '';
    assert.match(await readBack(), /^first\.bin, 2026-04-11/);
    assert.match(await verified(), /first\.bin verifies it|compared/);
    const proved = await verified();
    put('seat.read-back.xxd', demo('seat.read-back.xxd'));
    put('seat.read-back.xxd.dump-headers', LATER);
    await told('seat.read-back.xxd.dump-headers');
    const contradicted = await verified();
    assert.notEqual(contradicted, proved);
    assert.match(contradicted, /NOT what was planned/);
    assert.match(await readBack(), /^seat\.read-back\.xxd, 2026-04-12/);
    await session.open(VIEW, text('seat.read-back.xxd'));
    assert.equal(await verified(), contradicted);
    assert.match(await readBack(), /^seat\.read-back\.xxd, 2026-04-12/);
    put('seat.read-back.xxd.dump-headers', text('seat.read-back.xxd.dump-headers').replace('2026-04-11', '2026-04-10'));
    await told('seat.read-back.xxd.dump-headers');
    assert.match(await readBack(), /^first\.bin, 2026-04-11/);
  });

  it('are in the record of the vehicle with what their headers say, closed or open', async () => {
    const record = () => session.connection.sendRequest<{ page: string }>(VEHICLE_RECORD, { folder: at('') });
    const { page } = await record();
    assert.match(page, /2026-04-11 10:41[^\n]*seat\.read-back\.xxd/);
    await session.open(VIEW, text('seat.read-back.xxd'));
    assert.equal((await record()).page, page);
  });

  it('are verified as of the module that their headers name, closed or open', async () => {
    put('seat.read-back.xxd.dump-headers', LATER.replace('SM-2041-05', 'SM-2041-06'));
    await session.open(at('seat.bin.cfgdump'), call('convert', 'seat.bin', '--to', 'dump-text').stdout);
    const verify = () =>
      session.connection.sendRequest<VerifyReadBackResult>(VERIFY_READ_BACK, {
        uri: at('seat.bin.cfgdump'),
        read: VIEW,
      });
    const closed = await verify();
    assert.match(JSON.stringify(closed), /SM-2041-06/);
    await session.open(VIEW, text('seat.read-back.xxd'));
    assert.deepEqual(await verify(), closed);
  });

  it('are checked by their profile in the read-only view', async () => {
    const params = { uri: VIEW, view: 1, linesOnPage: 4 };
    const shown = await session.connection.sendRequest<OpenImageResult>(OPEN_IMAGE, params);
    assert.equal(shown.profile, 'seat.dump-profile.json');
    assert.ok(
      shown.problems.some(({ row }) => row === 3),
      JSON.stringify(shown.problems),
    );
  });

  it('are checked by their profile while they are open, and by another once the file beside them says so', async () => {
    await session.open(VIEW, text('seat.read-back.xxd'));
    const codes = async () => (await session.diagnostics(VIEW)).map(({ code, range }) => `${range.start.line} ${code}`);
    const found = await codes();
    assert.ok(found.includes('3 total-sum'), found.join());
    await session.change(VIEW, 3, 55, 57, '04');
    await session.change(VIEW, 3, 74, 75, '.');
    assert.ok(!(await codes()).includes('3 total-sum'), (await codes()).join());
    put('seat.read-back.xxd.dump-headers', LATER.replace('seat.dump', 'other.dump'));
    await told('seat.read-back.xxd.dump-headers');
    const [problem] = await session.diagnostics(VIEW);
    assert.equal(problem?.code, 'profile-unreadable');
    assert.match(String(problem?.message), /^seat\.read-back\.xxd\.dump-headers: /);
    assert.deepEqual(problem?.range.end, { line: 0, character: 0 });
  });

  it('give no place behind their end while they are open', async () => {
    await session.open(VIEW, text('seat.read-back.xxd'));
    const ask = (method: string) => session.connection.sendRequest(method, { textDocument: { uri: VIEW } });
    for (const method of ['textDocument/documentLink', 'textDocument/documentSymbol', 'textDocument/foldingRange'])
      assert.doesNotMatch(JSON.stringify(await ask(method)), /[lL]ine":(1[7-9]|2\d)/, method);
  });

  it('are named as not readable, and prove nothing, where their headers are not', async () => {
    session.files.set(at('seat.read-back.xxd.dump-headers'), { fails: 'EACCES' });
    for (const open of [false, true]) {
      if (open) await session.open(VIEW, text('seat.read-back.xxd'));
      const found = await jobs();
      assert.deepEqual(
        found.unread.map(({ uri }) => uri),
        [VIEW],
      );
      const [problem] = await session.diagnostics(VIEW);
      assert.match(String(problem?.message), /headers/);
    }
  });

  it('are told to be unread beside a file whose form has its own, closed or open', async () => {
    const name = 'ee.titxt';
    put(name, '@0000\n01 02 03 04\nq\n');
    put(`${name}.dump-headers`, '@profile seat.dump-profile.json\n');
    for (const open of [false, true]) {
      if (open) await session.open(at(name), String(session.files.get(at(name))));
      const found = await session.diagnostics(at(name));
      assert.equal(found.length, 1);
      assert.match(
        String(found[0]?.message),
        open ? /^ee\.titxt cannot be read: TI-TXT has .* in ee\.titxt\.dump-headers/ : /in ee\.titxt\.dump-headers/,
      );
      assert.equal(found[0]?.severity, open ? 1 : 3);
    }
    session.files.delete(at(`${name}.dump-headers`));
    await told(`${name}.dump-headers`);
    assert.doesNotMatch(JSON.stringify(await session.diagnostics(at(name))), /dump-headers/);
  });

  it('name a renamed profile in the file beside them', async () => {
    const [oldUri, newUri] = [at('seat.dump-profile.json'), at('new.dump-profile.json')];
    for (const open of [false, true]) {
      if (open) await session.open(VIEW, text('seat.read-back.xxd'));
      const edit = await session.connection.sendRequest<WorkspaceEdit>('workspace/willRenameFiles', {
        files: [{ oldUri, newUri }],
      });
      const own = (edit.documentChanges as TextDocumentEdit[]).find(({ textDocument }) =>
        textDocument.uri.startsWith(VIEW),
      );
      assert.equal(own?.textDocument.uri, `${VIEW}.dump-headers`);
      assert.equal(own.edits[0]?.range.start.line, 1);
    }
  });
});
