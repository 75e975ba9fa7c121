import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { WorkspaceDiagnosticReport } from 'vscode-languageserver-protocol';
import { canonicalUri, relativePath, resolveUri } from '../../shared-core/src/index.js';
import { demoFile } from '../support/demo.js';
import { serverSession } from '../support/serverSession.js';

describe('addresses', () => {
  it('have one form, whatever an editor escapes and however it writes a drive', () => {
    assert.equal(canonicalUri('file:///C:/a%20b/copy (1).cfgdump'), 'file:///c%3A/a%20b/copy%20%281%29.cfgdump');
    assert.equal(canonicalUri('file:///c%3A/a b/copy%20%281%29.cfgdump'), 'file:///c%3A/a%20b/copy%20%281%29.cfgdump');
    assert.equal(canonicalUri('git:/demo/a.cfgdump?{"ref":"~"}'), 'git:/demo/a.cfgdump?%7B%22ref%22%3A%22~%22%7D');
    assert.equal(canonicalUri('untitled:Untitled-1'), 'untitled:Untitled-1');
    assert.equal(canonicalUri('file:///100%/a'), 'file:///100%25/a');
  });

  it('of paths lead there and back', () => {
    const base = 'file:///cars/2041/a.cfgdump';
    for (const path of ['p (1).json', '../p!.json', 'deep/er/ä p.json', '../../x/y.json']) {
      const target = resolveUri(base, path);
      assert.equal(target, canonicalUri(target));
      assert.equal(relativePath(base, target), path);
    }
  });

  it('tell one file in two forms for one: what is typed in the profile is seen at once', async () => {
    const session = await serverSession();
    const profile = demoFile('rear-body.dump-profile.json');
    session.files.set('file:///demo/copy%20%281%29.dump-profile.json', profile);
    const text = demoFile('rear-body.cfgdump').replace('rear-body.dump-profile', 'copy (1).dump-profile');
    await session.open('file:///demo/a.cfgdump', text);
    assert.equal((await session.diagnostics('file:///demo/a.cfgdump')).length, 3);
    await session.open('file:///demo/copy%20(1).dump-profile.json', profile.replace('"0x06F4"', '"0x06F5"'));
    assert.ok((await session.diagnostics('file:///demo/a.cfgdump')).length > 3);
    const { items } = await session.connection.sendRequest<WorkspaceDiagnosticReport>('workspace/diagnostic', {
      previousResultIds: [],
    });
    assert.deepEqual(
      items.map(({ uri }) => uri),
      ['file:///demo/a.cfgdump', 'file:///demo/copy%20%281%29.dump-profile.json'],
    );
    session.close();
  });
});
