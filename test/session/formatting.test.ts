import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { TextEdit } from 'vscode-languageserver-protocol';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, serverSession } from '../support/serverSession.js';

const URI = 'file:///demo/rear-body.cfgdump';
const LINES = [
  '@profile  rear-body.dump-profile.json ',
  ' 1: 06 F4 20 41  00 01 | 57',
  ' 2: 00 08 66 F4  10 FF | 6D',
  '3:10000808 08ff|24   # as read',
  '10: 00 6E 21 20  5D C4 | D4',
  'total: 21 b2',
];

describe('formatting', () => {
  it('spaces each line as most lines are', async () => {
    assert.deepEqual(await formatted({}), {
      0: '@profile rear-body.dump-profile.json',
      3: ' 3: 10 00 08 08  08 ff | 24   # as read',
    });
  });

  it('gives one letter case and one spacing where the person has chosen them', async () => {
    assert.deepEqual(await formatted({ format: { letterCase: 'upper', spacing: 'pairs' } }), {
      0: '@profile rear-body.dump-profile.json',
      1: ' 1: 06F4 2041 0001 | 57',
      2: ' 2: 0008 66F4 10FF | 6D',
      3: ' 3: 1000 0808 08FF | 24  # as read',
      4: '10: 006E 2120 5DC4 | D4',
      5: 'total: 21B2',
    });
  });

  it('leaves blanks alone where the person wants that', async () => {
    assert.deepEqual(
      await formatted({ format: { letterCase: 'lower', spacing: 'keep' } }, 'textDocument/rangeFormatting'),
      {
        1: ' 1: 06 f4 20 41  00 01 | 57',
      },
    );
  });

  it('formats several selections at once', async () => {
    assert.deepEqual(await formatted({}, 'textDocument/rangesFormatting'), {
      0: '@profile rear-body.dump-profile.json',
      3: ' 3: 10 00 08 08  08 ff | 24   # as read',
    });
  });

  it('formats a line when it is finished', async () => {
    assert.deepEqual(await formatted({}, 'textDocument/onTypeFormatting'), {
      3: ' 3: 10 00 08 08  08 ff | 24   # as read',
    });
  });

  it('is offered for dumps alone where the client takes registrations, and not at all to those that do not ask', async () => {
    const registered: { method: string; registerOptions?: { documentSelector?: { language?: string }[] } }[] = [];
    const dynamic = { dynamicRegistration: true };
    const textDocument = { ...FULL_CLIENT.textDocument, formatting: dynamic, rangeFormatting: dynamic };
    const session = await serverSession({ ...FULL_CLIENT, textDocument }, {}, undefined, ({ registrations }) => {
      registered.push(...registrations);
    });
    await session.open(URI, '');
    await session.diagnostics(URI);
    const { capabilities } = session.initialized;
    assert.equal(capabilities.documentFormattingProvider, undefined);
    assert.equal(capabilities.documentOnTypeFormattingProvider, undefined);
    assert.deepEqual(
      registered.map(({ method, registerOptions }) => [method, registerOptions?.documentSelector?.[0]?.language]),
      [
        ['textDocument/formatting', 'cfgdump'],
        ['textDocument/rangeFormatting', 'cfgdump'],
      ],
    );
    session.close();
  });
});

/** The lines that formatting changes, by their number from 0. */
async function formatted(settings: object, method = 'textDocument/formatting'): Promise<Record<number, string>> {
  const session = await serverSession({
    textDocument: { ...FULL_CLIENT.textDocument, formatting: {}, rangeFormatting: {}, onTypeFormatting: {} },
    workspace: { configuration: true },
  });
  session.connection.onRequest('workspace/configuration', () => [settings]);
  session.files.set('file:///demo/rear-body.dump-profile.json', demoFile('rear-body.dump-profile.json'));
  const text = LINES.join('\n');
  await session.open(URI, text);
  try {
    const edits = await session.connection.sendRequest<TextEdit[]>(method, {
      textDocument: { uri: URI },
      // Of a range: the lines 1 and 2 whole, which end where line 2 begins.
      range: { start: { line: 1, character: 4 }, end: { line: 2, character: 0 } },
      ranges: [0, 3].map((line) => ({ start: { line, character: 0 }, end: { line, character: 1 } })),
      position: { line: 4, character: 0 },
      ch: '\n',
      options: { tabSize: 2, insertSpaces: true },
    });
    const after = TextDocument.applyEdits(TextDocument.create(URI, 'cfgdump', 1, text), edits).split('\n');
    return Object.fromEntries(after.flatMap((line, i) => (line === LINES[i] ? [] : [[i, line]])));
  } finally {
    session.close();
  }
}
