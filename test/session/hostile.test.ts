// Whatever a profile calls things, an editor shows it as mere text: nothing is loaded, run, hidden or torn.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import type {
  CodeAction,
  CompletionItem,
  DocumentSymbol,
  Hover,
  InlayHint,
  InlayHintLabelPart,
  WorkspaceSymbol,
} from 'vscode-languageserver';
import { oneLine } from '../../shared-core/src/base/index.js';
import { OVERVIEW_BYTE, type OverviewByteResult } from '../../shared-core/src/protocol/byteOverview.js';
import { elementsOf, HOSTILE, rendered, textOf, UNSEEN } from '../support/hostile.js';
import { hostileDump, hostileProfile } from '../support/hostileProfile.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///cars/rear-body.cfgdump';
const textDocument = { uri: URI };
const WHOLE = { start: { line: 0, character: 0 }, end: { line: 40, character: 0 } };

/** Digits with an option, a locked and a volatile byte, a balance place and the file sum of the demo. */
const PLACES = [
  [11, 10],
  [16, 15],
  [8, 5],
  [25, 5],
  [24, 21],
  [26, 8],
] as const;

function assertMere(shown: string, most = 30_000): void {
  assert.doesNotMatch(shown, UNSEEN);
  assert.ok(!shown.includes('\n'), shown);
  assert.ok(shown.length <= most, `${shown.length} characters`);
}

describe('texts of a stranger', () => {
  let server: ServerSession;
  const start = async (text: string, capabilities = FULL_CLIENT) => {
    server = await serverSession(capabilities, { commands: true });
    server.files.set('file:///cars/rear-body.dump-profile.json', hostileProfile(text));
    server.files.set(
      'file:///cars/rear-body.as-found.cfgdump',
      readFileSync('examples/trailer-socket/rear-body.as-found.cfgdump', 'utf8'),
    );
    await server.open(URI, hostileDump(text));
  };
  const ask = <T>(method: string, params: object): Promise<T> => server.connection.sendRequest<T>(method, params);
  afterEach(() => server.close());

  for (const text of HOSTILE) {
    describe(JSON.stringify(text.slice(0, 40)), () => {
      beforeEach(() => start(text));
      const seen = oneLine(text).trim();

      it('stay text in hovers', async () => {
        for (const [line, column] of PLACES) {
          const found = (await server.hover(URI, line, column)) as Hover;
          const { value } = found.contents as { value: string };
          const html = rendered(value);
          assert.deepEqual(
            elementsOf(html).filter((name) => !['p', 'strong', 'code', 'ul', 'li'].includes(name)),
            [],
            html,
          );
          assert.doesNotMatch(value, UNSEEN);
          if (line !== 24) assert.ok(textOf(html).replace(/\s+/g, ' ').includes(seen.replace(/\s+/g, ' ')), html);
        }
      });

      it('stay text beside the lines, in the outline, in lists and in titles of what can be done', async () => {
        const hints = await ask<InlayHint[]>('textDocument/inlayHint', { textDocument, range: WHOLE });
        for (const { label, tooltip } of hints)
          for (const part of label as InlayHintLabelPart[])
            assertMere(`${part.value}${String(part.tooltip ?? tooltip)}`);
        const symbols = await ask<DocumentSymbol[]>('textDocument/documentSymbol', { textDocument });
        const named = (list: readonly { name: string; detail?: string; children?: unknown }[]): void => {
          for (const { name, detail, children } of list) {
            assertMere(name + (detail ?? ''));
            named((children ?? []) as typeof list);
          }
        };
        named(symbols as never);
        const found = await ask<WorkspaceSymbol[]>('workspace/symbol', { query: '' });
        for (const { name, containerName } of found) assertMere(name + (containerName ?? ''));
        for (const [line, character] of PLACES) {
          const position = { line, character };
          const items = await ask<CompletionItem[]>('textDocument/completion', { textDocument, position });
          for (const { label, detail, documentation } of items) assertMere(`${label}${detail}${String(documentation)}`);
          const actions = await server.actions(URI, line, character);
          for (const { title, disabled } of actions as CodeAction[]) assertMere(title + (disabled?.reason ?? ''));
        }
        for (const { message } of await server.diagnostics(URI)) assertMere(String(message));
      });
    });
  }

  it('are shown without marks where an editor knows no Markdown, and on the map', async () => {
    const title = '[a](command:x) *b* `c` \\d';
    const plainText = { ...FULL_CLIENT, textDocument: { hover: { contentFormat: ['plaintext' as const] } } };
    await start(title, plainText);
    const found = (await server.hover(URI, 11, 10)) as Hover;
    assert.ok((found.contents as { value: string }).value.includes(`${title} (bits 7 to 4)`), JSON.stringify(found));
    const params = { uri: URI, at: { line: 3, byte: 2 } };
    const { lines } = await ask<OverviewByteResult>(OVERVIEW_BYTE, params);
    assert.ok(lines.some((line) => line.includes(title)));
  });
});
