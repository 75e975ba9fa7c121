import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { WorkspaceDiagnosticReport } from 'vscode-languageserver-protocol';
import { demoFile } from '../support/demo.js';
import { serverSession } from '../support/serverSession.js';

describe('addresses', () => {
  it('tell one file in two forms for one: what is typed in the profile is seen at once', async () => {
    const session = await serverSession();
    const profile = demoFile('rear-body.dump-profile.json');
    session.files.set('file:///demo/copy%20%281%29.dump-profile.json', profile);
    const text = demoFile('rear-body.cfgdump').replace('rear-body.dump-profile', 'copy (1).dump-profile');
    await session.open('file:///demo/a.cfgdump', text);
    assert.equal((await session.diagnostics('file:///demo/a.cfgdump')).length, 3);
    await session.open('file:///demo/copy%20(1).dump-profile.json', profile.replace('"0xFA"', '"0xFB"'));
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
