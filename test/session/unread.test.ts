import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { CancellationTokenSource } from 'vscode-languageserver-protocol/node';
import { problemsOfFile } from '../../server/src/features/diagnostics.js';
import { gatherDumps } from '../../server/src/moduleDumps.js';
import { createSession, type Session } from '../../server/src/session.js';
import { say } from '../../shared-core/src/base/index.js';
import type { Refusal } from '../../shared-core/src/protocol/common.js';
import { THREE_WAYS } from '../../shared-core/src/protocol/compare.js';
import { READ_FILE, type ReadFileParams, type ReadFileResult } from '../../shared-core/src/protocol/files.js';
import { LEARN, LEARN_FROM, type LearnFromResult, type LearnResult } from '../../shared-core/src/protocol/learning.js';
import { VERIFY_READ_BACK } from '../../shared-core/src/protocol/retrofit.js';
import { type MemoryFile, memoryHost } from '../support/memoryHost.js';
import { FULL_CLIENT, serverSession } from '../support/serverSession.js';

const FOLDER = 'file:///cars';
const LINES = '1: 01 02 03\n2: 04 05 06\n';

function sessionOver(files: Readonly<Record<string, MemoryFile>>): Session {
  const host = memoryHost(new Map(Object.entries(files).map(([name, file]) => [`${FOLDER}/${name}`, file])));
  return createSession({ processId: null, rootUri: FOLDER, workspaceFolders: null, capabilities: {} }, host, {});
}

describe('what cannot be read', () => {
  for (const [name, code] of [
    ['a.dump-profile.json', 'profile-unreadable'],
    ['a.retrofit.json', 'retrofit-invalid'],
  ] as const) {
    it(`is a problem of its own: ${name}`, async () => {
      const session = sessionOver({ [name]: { fails: 'EACCES' } });
      const found = await problemsOfFile(session, `${FOLDER}/${name}`);
      assert.deepEqual(
        found?.items.map((one) => [one.code, one.severity, one.message]),
        [[code, 1, `${name} cannot be read: not allowed`]],
      );
    });
  }

  for (const request of [THREE_WAYS, VERIFY_READ_BACK]) {
    it(`is refused as a read-back with its reason: ${request}`, async () => {
      const session = await serverSession();
      const uri = `${FOLDER}/a.cfgdump`;
      session.files.set(`${FOLDER}/found.cfgdump`, LINES);
      session.files.set(`${FOLDER}/empty.hex`, ':00000001FF\n');
      await session.open(uri, `@backup found.cfgdump\n${LINES}`);
      const refusedFor = async (name: string) => {
        const params = { uri, read: `${FOLDER}/${name}` };
        return (await session.connection.sendRequest<Refusal>(request, params)).refused;
      };
      try {
        assert.equal(await refusedFor('gone.cfgdump'), 'gone.cfgdump cannot be read: no such file');
        assert.equal(await refusedFor('empty.hex'), 'empty.hex is no dump: not one line of it is a record.');
      } finally {
        session.close();
      }
    });
  }

  it('is said of each dump that a search for an option leaves out', async () => {
    const session = sessionOver({
      'a.cfgdump': `@fitted seats\n${LINES}`,
      'b.cfgdump': `@absent seats\n${LINES}`,
      'c.cfgdump': { fails: 'EACCES' },
    });
    const params = { uri: `${FOLDER}/a.cfgdump`, tag: 'seats', with: [], without: [] };
    const gathered = await gatherDumps(session, params, new CancellationTokenSource().token);
    assert.equal(gathered?.labelled.length, 2);
    const remarks = gathered?.remarks.map((said) => say(said)) ?? [];
    assert.ok(remarks.includes('Left out: c.cfgdump cannot be read: not allowed.'), remarks.join('\n'));
  });

  it('is said of each dump from which nothing can be learned, and never taken from a disk that may be older', async () => {
    const session = await serverSession(FULL_CLIENT, { reads: true });
    const { connection, files } = session;
    const own = `${FOLDER}/a.cfgdump`;
    const gone = `${FOLDER}/b.cfgdump`;
    for (const uri of [own, gone]) files.set(uri, LINES);
    files.set(`${FOLDER}/p.dump-profile.json`, '{"format":1,"lines":{"from":1,"to":2,"data":3,"sum":0}}');
    connection.onRequest<ReadFileResult, void>(READ_FILE, ({ uri }: ReadFileParams) => {
      if (uri !== own) throw new Error('gone away');
      return { text: LINES };
    });
    try {
      const left = /^Left out: b\.cfgdump cannot be read: the editor did not hand it over \(.*gone away.*\)\.$/;
      const from = await connection.sendRequest<LearnFromResult>(LEARN_FROM, { uri: own });
      assert.deepEqual([from.dumps, from.remarks.length], [[], 1]);
      assert.match(from.remarks[0] ?? '', left);
      const learned = await connection.sendRequest<LearnResult>(LEARN, { uri: own, others: [gone] });
      assert.match(learned.remarks[0] ?? '', left);
      await session.open(`${FOLDER}/d.cfgdump`, `@profile p.dump-profile.json\n${LINES}`);
      const [problem] = await session.diagnostics(`${FOLDER}/d.cfgdump`);
      assert.equal(problem?.code, 'profile-unreadable');
      assert.match(String(problem?.message), /the editor did not hand it over/);
    } finally {
      session.close();
    }
  });
});
