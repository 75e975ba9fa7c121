import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import {
  CancellationTokenSource,
  ErrorCodes,
  type Location,
  LSPErrorCodes,
  ReferencesRequest,
  type SelectionRange,
  SemanticTokensDeltaRequest,
  WorkspaceDiagnosticRequest,
} from 'vscode-languageserver-protocol';
import { demoFile } from '../support/demo.js';
import { bareConnection, FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const DUMP = 'file:///demo/rear-body.cfgdump';
const NAMES = ['rear-body.dump-profile.json', 'rear-body.as-found.cfgdump', 'rear-body.cfgdump'];

async function inDemo(run: (session: ServerSession) => Promise<void>, capabilities = FULL_CLIENT): Promise<void> {
  const session = await serverSession(capabilities);
  for (const name of NAMES) session.files.set(`file:///demo/${name}`, demoFile(name));
  try {
    await run(session);
  } finally {
    session.close();
  }
}

const whole = { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } };

describe('an edit of the client', () => {
  for (const [name, lineEnd] of [
    ['line feeds', '\n'],
    ['carriage returns and line feeds', '\r\n'],
  ] as const)
    it(`behind the end of a line is at the end of that line, with ${name}`, () =>
      inDemo(async (session) => {
        const text = ['@profile rear-body.dump-profile.json', '1: 01', '@vehicle A'].join(lineEnd);
        await session.open(DUMP, text);
        await session.change(DUMP, 2, 99999, 99999, 'BC');
        const found = await session.connection.sendRequest<{ name: string; detail?: string }[]>(
          'textDocument/documentSymbol',
          { textDocument: { uri: DUMP } },
        );
        assert.match(JSON.stringify(found), /vehicle: ABC"/);
        await session.change(DUMP, 0, 99999, 99999, 'n');
        assert.match(
          (await session.diagnostics(DUMP)).map(({ message }) => message).join(),
          /rear-body\.dump-profile\.jsonn/,
        );
      }));

  it('without a version is answered like any other', () =>
    inDemo(async (session) => {
      await session.open(DUMP, demoFile('rear-body.cfgdump'));
      const before = await session.diagnostics(DUMP);
      await session.connection.sendNotification('textDocument/didChange', {
        textDocument: { uri: DUMP, version: null },
        contentChanges: [{ text: `# one row more\n${demoFile('rear-body.cfgdump')}` }],
      });
      const after = await session.diagnostics(DUMP);
      assert.ok(before.length > 0);
      assert.deepEqual(
        after.map(({ code, range }) => [code, range.start.line - 1]),
        before.map(({ code, range }) => [code, range.start.line]),
      );
    }));
});

describe('a request that the client takes back', () => {
  it('for the problems of all files ends with the error for that', () =>
    inDemo(async ({ connection }) => {
      const question = new CancellationTokenSource();
      const asked = connection.sendRequest(WorkspaceDiagnosticRequest.type, { previousResultIds: [] }, question.token);
      question.cancel();
      await assert.rejects(asked, { code: LSPErrorCodes.RequestCancelled });
    }));

  it('for all uses of an option ends with the error for that', () =>
    inDemo(async ({ connection, open }) => {
      await open(DUMP, demoFile('rear-body.cfgdump'));
      const question = new CancellationTokenSource();
      const asked = connection.sendRequest(
        ReferencesRequest.type,
        {
          textDocument: { uri: DUMP },
          position: { line: 11, character: 10 },
          context: { includeDeclaration: true },
        },
        question.token,
      );
      question.cancel();
      await assert.rejects(asked, { code: LSPErrorCodes.RequestCancelled });
    }));
});

describe('all uses of an option', () => {
  it('are places of the text that was asked about, or the client is to ask again', () =>
    inDemo(async (session) => {
      const { connection, files } = session;
      for (let i = 0; i < 200; i++) files.set(`file:///demo/copy-${i}.cfgdump`, demoFile('rear-body.cfgdump'));
      await session.open(DUMP, demoFile('rear-body.cfgdump'));
      const params = {
        textDocument: { uri: DUMP },
        position: { line: 11, character: 10 },
        context: { includeDeclaration: true },
      };
      const right = await connection.sendRequest<Location[]>('textDocument/references', params);
      assert.ok(right.some(({ uri, range }) => uri === DUMP && range.start.line === 11));
      const asked = connection.sendRequest<Location[]>('textDocument/references', params);
      const answered = asked.catch(({ code }: { code: unknown }) => code);
      await session.change(DUMP, 0, 0, 0, '# one row more\n');
      const found = await answered;
      if (Array.isArray(found)) assert.deepEqual(found, right);
      else assert.equal(found, LSPErrorCodes.ContentModified);
    }));
});

describe('questions about places that are not there', () => {
  it('are answered with a range of the text', () =>
    inDemo(async ({ connection, open }) => {
      const text = demoFile('rear-body.cfgdump');
      await open(DUMP, text);
      const found = await connection.sendRequest<SelectionRange[]>('textDocument/selectionRange', {
        textDocument: { uri: DUMP },
        positions: [
          { line: 500, character: 7 },
          { line: 11, character: 500 },
        ],
      });
      const rows = text.split('\n');
      for (const { range } of found)
        for (const { line, character } of [range.start, range.end])
          assert.ok(character <= (rows[line]?.length ?? -1), JSON.stringify(range));
    }));

  it('about colours of a file that is not open have no colours', () =>
    inDemo(
      async ({ connection }) => {
        const found = await connection.sendRequest(SemanticTokensDeltaRequest.type, {
          textDocument: { uri: 'file:///demo/none.cfgdump' },
          previousResultId: '1',
        });
        assert.deepEqual(found && 'data' in found && found.data, []);
        const again = await connection.sendRequest('textDocument/semanticTokens/full/delta', {
          textDocument: { uri: 'file:///demo/none2.cfgdump' },
        });
        assert.ok(again);
      },
      {
        ...FULL_CLIENT,
        textDocument: {
          ...FULL_CLIENT.textDocument,
          semanticTokens: {
            requests: { full: { delta: true } },
            tokenTypes: [],
            tokenModifiers: [],
            formats: [],
          },
        },
      },
    ));
});

describe('the server', () => {
  it('refuses requests once it was shut down', () =>
    inDemo(async ({ connection }) => {
      await connection.sendRequest('shutdown');
      for (const method of ['textDocument/hover', 'workspace/symbol', 'shutdown'])
        await assert.rejects(
          connection.sendRequest(method, { query: '', textDocument: { uri: DUMP }, position: whole.start }),
          { code: ErrorCodes.InvalidRequest },
          method,
        );
    }));

  for (const [what, params] of [
    ['nothing', null],
    ['a list', []],
    ['no capabilities', { processId: null, rootUri: null }],
    ['capabilities that are nothing', { processId: null, rootUri: null, capabilities: null }],
    ['a number as its language', { processId: null, rootUri: null, capabilities: {}, locale: 5 }],
    [
      'folders that are nothing',
      {
        processId: null,
        rootUri: null,
        capabilities: {},
        workspaceFolders: [null, { uri: 3 }, { uri: 'file:///demo' }],
      },
    ],
    ['folders that are no list', { processId: null, rootUri: 7, capabilities: {}, workspaceFolders: 'file:///demo' }],
    ['options that are no object', { processId: null, rootUri: null, capabilities: {}, initializationOptions: 'x' }],
  ] as const)
    it(`starts for a client that says ${what}`, async () => {
      const { connection, stop } = bareConnection();
      try {
        const { capabilities } = await connection.sendRequest<{ capabilities: object }>('initialize', params);
        assert.ok('hoverProvider' in capabilities);
        assert.deepEqual(await connection.sendRequest('workspace/symbol', { query: '' }), []);
      } finally {
        stop();
      }
    });
});
