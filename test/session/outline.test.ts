import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { DocumentSymbol, FoldingRange, SymbolInformation } from 'vscode-languageserver-protocol';
import { foldsOf } from '../../server/src/features/folding.js';
import { outlineOf } from '../../server/src/features/outline.js';
import { createSession } from '../../server/src/session.js';
import { bindText } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../shared-core/src/profile/index.js';
import { demoFile } from '../support/demo.js';
import { memoryHost } from '../support/memoryHost.js';
import { FULL_CLIENT, serverSession } from '../support/serverSession.js';

const URI = 'file:///demo/rear-body.cfgdump';

const session = createSession(
  { processId: null, rootUri: null, workspaceFolders: null, capabilities: {} },
  memoryHost(new Map()),
  {},
);

/** Names and details, indented by level. */
function tree(symbols: readonly DocumentSymbol[], indent = ''): string[] {
  return symbols.flatMap(({ name, detail, children }) => [
    `${indent}${name}${detail ? ` — ${detail}` : ''}`,
    ...tree(children ?? [], `${indent}  `),
  ]);
}

const count = (symbols: readonly DocumentSymbol[]): number =>
  symbols.reduce((sum, { children }) => sum + 1 + count(children ?? []), 0);

describe('the outline', () => {
  it('shows the module, its headers as one group, lines with their options, and the file sum', async () => {
    const found = await asked<DocumentSymbol>('textDocument/documentSymbol', {
      documentSymbol: { hierarchicalDocumentSymbolSupport: true },
    });
    const shown = tree(found);
    assert.deepEqual(shown.slice(0, 3), [
      'Rear body module (demo) — 0x2041 · stock no. 2041',
      '  Headers',
      '    profile — rear-body.dump-profile.json',
    ]);
    const line = shown.indexOf('  Line 4 — Trailer socket: 13-pin · Rear fog lamp off with trailer: yes');
    assert.deepEqual(shown.slice(line + 1, line + 3), [
      '    Trailer socket — 13-pin',
      '    Rear fog lamp off with trailer — yes',
    ]);
    assert.equal(shown.at(-1), '  file sum — 21B2');
    assert.equal(shown.filter((name) => /^ {2}Line /.test(name)).length, 18);
    const socket = found[0]?.children?.find(({ name }) => name === 'Line 4')?.children?.[0];
    assert.deepEqual(socket?.range, { start: { line: 11, character: 10 }, end: { line: 11, character: 11 } });
  });

  it('is a list for clients that know no levels', async () => {
    const found = await asked<SymbolInformation>('textDocument/documentSymbol', {});
    const socket = found.find(({ name }) => name === 'Trailer socket: 13-pin');
    assert.equal(socket?.containerName, 'Line 4');
    assert.equal(socket?.location.uri, URI);
  });

  it('shows many lines in groups, each with its lines that hold options', () => {
    const { profile } = readProfile(
      JSON.stringify({
        format: 1,
        lines: { from: 1, to: 100_000, data: 1, sum: 0 },
        options: [{ id: 'a', title: 'A', line: 77_777, byte: 1, values: { 1: 'on' } }],
      }),
    );
    const text = Array.from({ length: 100_000 }, (_, i) => `${i + 1}: 01\n`).join('');
    const found = outlineOf(session, URI, bindText(URI, text, profile));
    assert.equal(found[0]?.children?.length, 100);
    assert.equal(count(found), 103);
    assert.deepEqual(tree(found[0]?.children?.[77] ? [found[0].children[77]] : []), [
      'Lines 77001 to 78000',
      '  Line 77777 — A: on',
      '    A — on',
    ]);
  });

  it('names its groups of lines as the dump writes these', () => {
    const text = Array.from({ length: 300 }, (_, i) => `0x${(16 * i).toString(16).padStart(4, '0')}: 01\n`).join('');
    const found = outlineOf(session, URI, bindText(URI, text, EMPTY_PROFILE));
    assert.equal(found[0]?.children?.[0]?.name, 'Lines 0x0000 to 0x0040');
  });

  it('shows an image as its contiguous stretches, never a symbol a record', () => {
    const image = ':020000040001F9\n:0410000001020304E2\n:0410040001020304DE\n:0420000001020304D2\n:00000001FF\n';
    const found = outlineOf(session, 'file:///a.hex', bindText('a.hex', image, EMPTY_PROFILE));
    assert.deepEqual(tree(found), ['a.hex', '  00011000 to 00011007 — 8 bytes', '  00012000 to 00012003 — 4 bytes']);
  });

  it('shows an image in many pieces in runs of them', () => {
    const lines = Array.from({ length: 1000 }, (_, i) => `0x${(0x1000 + 16 * i).toString(16)}: 01\n`).join('');
    const { profile } = readProfile('{"format":1,"addresses":{"from":0,"to":65535}}');
    const found = outlineOf(session, URI, bindText('a.cfgdump', lines, profile));
    assert.equal(found[0]?.children?.length, 100);
    assert.equal(found[0]?.children?.[0]?.detail, '10 bytes in 10 parts');
  });
});

describe('folding', () => {
  it('folds headers, comments and groups of lines, whose single comment above is their title', () => {
    const text = '# one\n# two\n@profile p\n@vin v\n\n# Doors\n1: 00\n2: 00\n\n3: 00\n4: 00\n5: zz\n';
    const folds = foldsOf(session, bindText('a.cfgdump', text, EMPTY_PROFILE));
    assert.deepEqual(lines(folds), ['0-1 comment', '2-3 region', '5-7 region', '9-11 region']);
  });

  it('folds each stretch of an image without a gap', () => {
    const image = ':0410000001020304E2\n:0410040001020304DE\n:0420000001020304D2\n:0420040001020304CE\n:00000001FF\n';
    const folds = foldsOf(session, bindText('a.hex', image, EMPTY_PROFILE));
    assert.deepEqual(lines(folds), ['0-1 region', '2-4 region']);
  });

  it('says what is folded, and gives no more than the client wants', async () => {
    const found = await asked<FoldingRange>('textDocument/foldingRange', {
      foldingRange: { rangeLimit: 1, foldingRange: { collapsedText: true } },
    });
    assert.deepEqual(
      found.map(({ collapsedText }) => collapsedText),
      ['6 headers'],
    );
  });
});

const lines = (folds: readonly FoldingRange[]) => folds.map((fold) => `${fold.startLine}-${fold.endLine} ${fold.kind}`);

async function asked<T>(method: string, textDocument: object): Promise<T[]> {
  const server = await serverSession({
    ...FULL_CLIENT,
    textDocument: { ...FULL_CLIENT.textDocument, ...textDocument },
  });
  server.files.set('file:///demo/rear-body.dump-profile.json', demoFile('rear-body.dump-profile.json'));
  await server.open(URI, demoFile('rear-body.cfgdump'));
  try {
    return await server.connection.sendRequest<T[]>(method, { textDocument: { uri: URI } });
  } finally {
    server.close();
  }
}
