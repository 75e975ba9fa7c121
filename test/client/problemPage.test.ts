// The list of problems links to what explains each kind, inside the extension: it opens where there is no network.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import type { Diagnostic } from 'vscode-languageserver-protocol';
import { DIAGNOSTICS } from '../../shared-core/src/checks/index.js';
import { type ClientSession, clientSession, settle } from '../support/clientSession.js';
import { Uri } from '../support/fakeEditor.js';

const REFERENCE = readFileSync('docs/reference/diagnostics.md', 'utf8');

describe('what a problem links to', () => {
  let session: ClientSession;
  beforeEach(async () => {
    session = await clientSession({ 'a.cfgdump': '1: 0G\n' });
    session.editor.files.set('file:///extension/docs/reference/diagnostics.md', new TextEncoder().encode(REFERENCE));
  });
  afterEach(() => session.stop());

  const openLink = async (link: string) => {
    await session.editor.links?.(Uri.parse(link));
    await settle();
    return session.editor.in('markdown').at(-1) ?? '';
  };

  it('is a page of the extension that explains its kind', async () => {
    await session.open('a.cfgdump');
    const { items } = await session.connection.sendRequest<{ items: Diagnostic[] }>('textDocument/diagnostic', {
      textDocument: { uri: 'file:///cars/a.cfgdump' },
    });
    const link = items.find(({ code }) => code === 'not-hex')?.codeDescription?.href;
    assert.equal(link, 'vscode://countersum.countersum/problem/not-hex');
    assert.match(await openLink(link), /^# not-hex\n\n\*error\* · a character that is no hex digit/);
  });

  it('is there for every kind of problem', async () => {
    for (const code of Object.keys(DIAGNOSTICS)) {
      const page = await openLink(`vscode://countersum.countersum/problem/${code}`);
      assert.match(page, new RegExp(`^# ${code}\\n\\n\\*(error|warning|information)\\* · \\S`), code);
    }
  });

  it('is the list of all kinds where an address names none, and nothing where it is another address', async () => {
    assert.equal(await openLink('vscode://countersum.countersum/problem/[x](command:y)'), REFERENCE);
    const before = session.editor.in('markdown').length;
    await openLink('vscode://countersum.countersum/elsewhere');
    assert.equal(session.editor.in('markdown').length, before);
  });

  it('comes with the package', () => {
    assert.match(readFileSync('.vscodeignore', 'utf8'), /^!docs\/reference\/diagnostics\.md$/m);
  });
});
