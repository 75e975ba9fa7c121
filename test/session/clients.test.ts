import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type {
  CodeAction,
  CompletionItem,
  InlayHint,
  SemanticTokens,
  TextEdit,
  WorkspaceEdit,
  WorkspaceSymbol,
} from 'vscode-languageserver-protocol/node';
import { createDiskHost } from '../../server/src/diskHost.js';
import { BACKUP } from '../../shared-core/src/protocol/backup.js';
import type { DumpParams, Refusal } from '../../shared-core/src/protocol/common.js';
import { listFiles } from '../../shared-core/src/workspace/index.js';
import { demoFile } from '../support/demo.js';
import { bareConnection, FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const DUMP = 'file:///demo/rear-body.cfgdump';
const PROFILE = 'file:///demo/rear-body.dump-profile.json';

async function withServer(
  run: (session: ServerSession) => Promise<void>,
  capabilities: object = FULL_CLIENT,
  options: object = {},
): Promise<void> {
  const session = await serverSession(capabilities, options);
  for (const name of ['rear-body.dump-profile.json', 'rear-body.as-found.cfgdump', 'cluster.dump-profile.json'])
    session.files.set(`file:///demo/${name}`, demoFile(name));
  try {
    await run(session);
  } finally {
    session.close();
  }
}

const all = { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } };

describe('clients that know less than most', () => {
  it('get plain changes, which every client can make', async () => {
    await withServer(async (session) => {
      await session.open(DUMP, demoFile('rear-body.cfgdump'));
      const actions = await session.actions(DUMP, 26, 8);
      assert.ok(actions.length > 0);
      for (const { edit } of actions as CodeAction[]) {
        assert.equal(edit?.documentChanges, undefined);
        assert.ok((edit?.changes?.[DUMP]?.length ?? 0) > 0);
      }
    }, {});
  });

  it('are served that name semantic tokens and nothing of them', async () => {
    await withServer(
      async ({ initialized }) => {
        assert.deepEqual(initialized.capabilities.semanticTokensProvider?.full, false);
      },
      { textDocument: { semanticTokens: {} } },
    );
  });

  it('that cannot be asked for settings are heard when they begin and when they send them', async () => {
    const hints = async ({ connection }: ServerSession) =>
      (await connection.sendRequest<InlayHint[]>('textDocument/inlayHint', { textDocument: { uri: DUMP }, range: all }))
        .length;
    const off = { countersum: { hints: { options: false } } };
    await withServer(async (session) => {
      await session.open(DUMP, demoFile('rear-body.cfgdump'));
      assert.ok((await hints(session)) > 0);
      await session.connection.sendNotification('workspace/didChangeConfiguration', { settings: off });
      assert.equal(await hints(session), 0);
    });
    await withServer(
      async (session) => {
        await session.open(DUMP, demoFile('rear-body.cfgdump'));
        assert.equal(await hints(session), 0);
      },
      FULL_CLIENT,
      off,
    );
  });
});

describe('requests out of turn', () => {
  // Language Server Protocol 3.17, "Initialize Request": until it is answered, others get the error -32002.
  it('are answered with the errors that the protocol names', async () => {
    const { connection, stop } = bareConnection();
    const codeOf = (method: string, params: object) =>
      connection.sendRequest(method, params).then(
        () => undefined,
        (error: { code: number }) => error.code,
      );
    const initialize = { processId: null, rootUri: null, capabilities: {} };
    assert.equal(await codeOf('textDocument/hover', { textDocument: { uri: DUMP }, position: all.start }), -32002);
    assert.equal(await codeOf('initialize', initialize), undefined);
    assert.equal(await codeOf('no/such', {}), -32601);
    assert.equal(await codeOf('initialize', initialize), -32600);
    stop();
  });
});

describe('documents that are no dumps in a folder', () => {
  const opened = async ({ connection, diagnostics }: ServerSession, uri: string, languageId: string, text: string) => {
    await connection.sendNotification('textDocument/didOpen', { textDocument: { uri, languageId, version: 1, text } });
    return (await diagnostics(uri)).map(({ message }) => message);
  };

  it('have no marks: other JSON, and files as they were at another time', async () => {
    await withServer(async (session) => {
      assert.deepEqual(await opened(session, 'file:///demo/some.json', 'json', '{ "a": 1 }'), []);
      const profile = demoFile('rear-body.dump-profile.json');
      const before = '?%7B%22ref%22%3A%22HEAD%22%7D';
      assert.deepEqual(await opened(session, `git:/demo/rear-body.dump-profile.json${before}`, 'json', profile), []);
      const dump = demoFile('rear-body.cfgdump');
      assert.deepEqual(await opened(session, `git:/demo/rear-body.cfgdump${before}`, 'cfgdump', dump), []);
    });
  });

  it('say that they are to be saved first, where paths would be read from a folder', async () => {
    await withServer(async (session) => {
      const uri = 'untitled:Untitled-1';
      const said = await opened(session, uri, 'cfgdump', '@profile a.dump-profile.json\n@backup b.cfgdump\n1: 00\n');
      assert.equal(said.filter((one) => /is not saved yet/.test(String(one))).length, 2);
      const links = await session.connection.sendRequest('textDocument/documentLink', { textDocument: { uri } });
      assert.deepEqual(links, []);
      const { refused } = await session.connection.sendRequest<Refusal>(BACKUP, { uri } satisfies DumpParams);
      assert.match(refused, /no folder for a backup/);
    });
  });
});

describe('addresses and names that are odd', () => {
  it('of one document or folder are no harm to the others', async () => {
    const { dumps, unlisted } = await listFiles(createDiskHost(), [
      'file://host/share',
      'http://a/b',
      'file:///no-such-folder',
    ]);
    assert.deepEqual([dumps, unlisted.length], [[], 3]);
    await withServer(async (session) => {
      await session.open('file:///a/%zz.cfgdump', '1: 00\n');
      await session.open(DUMP, demoFile('rear-body.cfgdump'));
      const found = await session.connection.sendRequest<WorkspaceSymbol[]>('workspace/symbol', { query: 'trailer' });
      assert.ok(found.length > 0);
    });
  });

  it('with quotes are written as JSON wants them, and with backslashes not at all', async () => {
    await withServer(
      async (session) => {
        session.files.set(DUMP, demoFile('rear-body.cfgdump'));
        const renamed = async (name: string) => {
          const newUri = `file:///demo/${encodeURIComponent(name)}`;
          const files = [{ oldUri: PROFILE, newUri }];
          return session.connection.sendRequest<WorkspaceEdit | null>('workspace/willRenameFiles', { files });
        };
        const texts = (edit: WorkspaceEdit | null, uri: string) => edit?.changes?.[uri]?.map(({ newText }) => newText);
        const quoted = await renamed('a"b.dump-profile.json');
        assert.deepEqual(texts(quoted, 'file:///demo/cluster.dump-profile.json'), ['a\\"b.dump-profile.json']);
        assert.deepEqual(texts(quoted, DUMP), ['a"b.dump-profile.json']);
        assert.equal(await renamed('a\\b.dump-profile.json'), null);
      },
      { workspace: { fileOperations: { willRename: true } } },
    );
  });
});

describe('answers about texts that are being written', () => {
  it('name no place behind the end of a line', async () => {
    await withServer(
      async (session) => {
        for (const [uri, text] of [
          ['file:///t.s19', 'S11\nS1030\nS1\n'],
          ['file:///t.hex', ':\n:1\n:0200\n:02001\n:0200100001\n'],
        ] as const) {
          await session.open(uri, text);
          const { data } = await session.connection.sendRequest<SemanticTokens>('textDocument/semanticTokens/full', {
            textDocument: { uri },
          });
          const lines = text.split('\n');
          let [line, column] = [0, 0];
          for (let i = 0; i < data.length; i += 5) {
            const [down = 0, right = 0, length = 0] = data.slice(i, i + 3);
            [line, column] = [line + down, down === 0 ? column + right : right];
            assert.ok(
              length > 0 && column + length <= (lines[line]?.length ?? 0),
              `${uri} ${line}:${column}+${length}`,
            );
          }
        }
      },
      { textDocument: { semanticTokens: { requests: { full: true } } } },
    );
  });

  it('edit no line twice, where two selections lie in it', async () => {
    await withServer(async (session) => {
      await session.open(DUMP, demoFile('rear-body.cfgdump').replace(' 5: 00 10', ' 5:  0010'));
      const selection = (start: number) => ({
        start: { line: 12, character: start },
        end: { line: 12, character: start + 2 },
      });
      const edits = await session.connection.sendRequest<TextEdit[]>('textDocument/rangesFormatting', {
        textDocument: { uri: DUMP },
        ranges: [selection(10), selection(4)],
        options: { tabSize: 2, insertSpaces: true },
      });
      const places = edits.map(({ range: { start, end } }) => `${start.line}:${start.character}-${end.character}`);
      assert.equal(new Set(places).size, places.length);
      assert.ok(places.length > 0);
    });
  });

  it('offer nothing where brackets are nested beyond all sense', async () => {
    await withServer(async ({ connection }) => {
      const text = '['.repeat(20_000);
      const textDocument = { uri: PROFILE, languageId: 'json', version: 1, text };
      await connection.sendNotification('textDocument/didOpen', { textDocument });
      const position = { line: 0, character: text.length };
      const found = await connection.sendRequest<CompletionItem[]>('textDocument/completion', {
        textDocument,
        position,
      });
      assert.deepEqual(found, []);
    });
  });
});
