import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { importsThat, sourcesBelow } from '../support/sources.js';

const client = sourcesBelow('client/src');
const server = sourcesBelow('server/src');
const tests = sourcesBelow('test');

/** Packages that speak the Language Server Protocol. */
const isProtocol = (name: string) => /^vscode-(languageserver|languageclient|jsonrpc)\b/.test(name);

describe('the rooms around the core', () => {
  it('client and server never import each other', () => {
    assert.deepEqual(
      importsThat(client, ({ from }) => from.startsWith('server/')),
      [],
    );
    assert.deepEqual(
      importsThat(server, ({ from }) => from.startsWith('client/')),
      [],
    );
  });

  it('enter each room of the core by its door only, and that of the messages a message at a time', () => {
    const isDoor = (path: string) => /^shared-core\/src\/(?:\w+\/index|protocol\/\w+)\.ts$/.test(path);
    const past = importsThat([...client, ...server], ({ from }) => from.startsWith('shared-core/') && !isDoor(from));
    assert.deepEqual(past, []);
  });

  it('only the client, and tests that run inside the editor, know vscode', () => {
    const others = [...sourcesBelow('shared-core'), ...server, ...tests].filter(
      ({ path }) => !path.startsWith('test/editor/'),
    );
    assert.deepEqual(
      importsThat(others, ({ from }) => from === 'vscode'),
      [],
    );
  });

  it('the client speaks the protocol through vscode-languageclient only', () => {
    assert.deepEqual(
      importsThat(client, ({ from }) => isProtocol(from) && !/^vscode-languageclient\b/.test(from)),
      [],
    );
    assert.deepEqual(
      importsThat(server, ({ from }) => /^vscode-languageclient\b/.test(from)),
      [],
    );
  });

  it('only the entries of client and server know whether they run under Node.js or in a browser', () => {
    const entries = /\/(?:nodeMain|browserMain|serverProcess|serverWorker)\.ts$/;
    assert.deepEqual(
      importsThat(
        [...client, ...server].filter(({ path }) => !entries.test(path)),
        ({ from }) => isProtocol(from) && /\/(?:node|browser)$/.test(from),
      ),
      [],
    );
  });

  it('files are found by the one walk of the core: editors would search by other rules, and not end where no disk is', () => {
    const searching = client.filter(({ text }) => /\.findFiles\(/.test(text));
    const reading = server.filter(({ text }) => /\breaddir(?:Sync)?\(/.test(text));
    assert.deepEqual(
      [...searching, ...reading].map(({ path }) => path),
      // What an interrupted write has left beside a file is looked for there, and whether a folder to be filled is empty.
      ['server/src/diskHost.ts', 'server/src/files/newFolder.ts', 'server/src/files/temporary.ts'],
    );
  });

  it('requests come to open dumps by `answer` alone, which gives none for an old version', () => {
    const direct = server.filter(({ text }) => /\.analyze\(/.test(text));
    assert.deepEqual(
      direct.map(({ path }) => path),
      ['server/src/feature.ts'],
    );
  });

  it('the rooms of the client import from each other in one direction only', () => {
    const order = ['', 'pages', 'views', 'commands'];
    const shared = client.filter(
      ({ path }) => !/\/(?:main|activate|serverProcess|serverWorker|services|command)\.ts$/.test(path),
    );
    const roomOf = (path: string) => path.match(/^client\/src\/(?:(\w+)\/)?/)?.[1] ?? '';
    assert.deepEqual([...new Set(client.map(({ path }) => roomOf(path)))].sort(), [...order].sort());
    assert.deepEqual(
      importsThat(
        shared,
        ({ from }, { path }) => from.startsWith('client/') && order.indexOf(roomOf(from)) > order.indexOf(roomOf(path)),
      ),
      [],
    );
  });

  it('the client says everything through ui.ts and pages through page.ts, which show texts of others as mere text', () => {
    const ways: readonly (readonly [RegExp, readonly string[]])[] = [
      [
        /vscode\.window\.(?:show\w+Message|showQuickPick|showInputBox|createQuickPick|setStatusBarMessage)\b/,
        ['ui.ts'],
      ],
      [/new vscode\.TreeItem\b/, ['ui.ts']],
      [/new vscode\.MarkdownString\b/, ['views/optionItems.ts']],
      [/\bcreateWebviewPanel\b/, ['pages/page.ts']],
      [/\bisTrusted\b|\bsupportHtml\b|\bsupportThemeIcons\b|\benableCommandUris\b/, []],
      [/\binnerHTML\b|\binsertAdjacentHTML\b|\bouterHTML\b/, []],
    ];
    for (const [way, files] of ways)
      assert.deepEqual(
        client.filter(({ text }) => way.test(text)).map(({ path }) => path),
        files.map((file) => `client/src/${file}`),
        String(way),
      );
  });

  it('every feature of the server is in its table', () => {
    const written = server.flatMap(({ text }) => [...text.matchAll(/export const (\w+): Feature = /g)]);
    const main = server.find(({ path }) => path === 'server/src/server.ts')?.text ?? '';
    const [, table = ''] = main.match(/const FEATURES: readonly Feature\[\] = \[([^\]]*)\]/) ?? [];
    const listed = [...table.matchAll(/\w+/g)].map(([name]) => name);
    assert.deepEqual(listed.sort(), written.map(([, name]) => name ?? '').sort());
  });

  it('the command line knows no protocol', () => {
    const commandLine = server.filter(({ path }) => path.startsWith('server/src/cli/'));
    assert.ok(commandLine.length > 0);
    assert.deepEqual(
      importsThat(commandLine, ({ from }) => isProtocol(from)),
      [],
    );
  });

  it('what writes files knows neither the command line nor the protocol, and the server no command', () => {
    const rooms = sourcesBelow('server/src');
    const isIn = (path: string, room: string) => path.startsWith(`server/src/${room}/`);
    assert.ok(rooms.some(({ path }) => isIn(path, 'files')));
    assert.deepEqual(
      importsThat(
        // The entry of the bundle only says which of both runs.
        rooms.filter(({ path }) => !isIn(path, 'cli') && path !== 'server/src/main.ts'),
        ({ from }, { path }) => isIn(from, 'cli') || (isIn(path, 'files') && isProtocol(from)),
      ),
      [],
    );
  });

  it('the command line says everything in the language of the terminal', () => {
    const pastIt = sourcesBelow('server/src/cli')
      .filter(({ path }) => path !== 'server/src/cli/say.ts')
      .filter(({ text }) => /import \{[^}]*\bsay\b[^}]*\} from '[^']*shared-core/.test(text));
    assert.deepEqual(
      pastIt.map(({ path }) => path),
      [],
    );
  });

  it('nothing that ships imports tests', () => {
    assert.deepEqual(
      importsThat([...client, ...server, ...sourcesBelow('shared-core')], ({ from }) => from.startsWith('test/')),
      [],
    );
  });
});
