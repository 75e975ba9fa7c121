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

  describe('of a document that is open in two forms', () => {
    const [ONE, OTHER] = ['file:///c%3A/demo/a.cfgdump', 'file:///c:/demo/%61.cfgdump'];
    const GOOD = demoFile('rear-body.as-found.cfgdump').replace(/^@seal.*\n/m, '');
    const begin = async () => {
      const session = await serverSession();
      session.files.set('file:///c%3A/demo/rear-body.dump-profile.json', demoFile('rear-body.dump-profile.json'));
      const close = (uri: string) =>
        session.connection.sendNotification('textDocument/didClose', { textDocument: { uri } });
      const codes = async (uri = ONE) => (await session.diagnostics(uri)).map(({ code }) => code);
      return { ...session, end: session.close, close, codes };
    };
    const noted = (note: string) => `@vehicel ${note}\n${GOOD}`;

    it('leave it open until it is closed in both, whichever is closed first', async () => {
      for (const [first, last] of [
        [ONE, OTHER],
        [OTHER, ONE],
      ] as const) {
        const { open, close, codes, end } = await begin();
        await open(ONE, noted('a'));
        await open(OTHER, noted('a'));
        const shown = await codes();
        assert.ok(shown.includes('header-unknown'));
        await close(first);
        assert.deepEqual(await codes(), shown);
        await close(last);
        assert.deepEqual(await codes(), []);
        end();
      }
    });

    it('have each their own text, and what is typed last counts', async () => {
      const { open, replace, change, close, codes, end } = await begin();
      await open(ONE, noted('a'));
      await open(OTHER, GOOD);
      assert.ok(!(await codes()).includes('header-unknown'));
      // The place is one of the text of this address.
      await change(ONE, 0, 0, '@vehicel'.length, '@vin');
      assert.ok((await codes()).includes('vin-characters'));
      await replace(OTHER, noted('b'));
      assert.ok((await codes()).includes('header-unknown'));
      await close(OTHER);
      assert.ok((await codes()).includes('vin-characters'));
      await close(ONE);
      assert.deepEqual(await codes(), []);
      end();
    });

    it('are one to a client that opens it in one form and goes on in another', async () => {
      const { open, connection, close, codes, end } = await begin();
      await open(ONE, GOOD);
      await connection.sendNotification('textDocument/didChange', {
        textDocument: { uri: OTHER, version: 2 },
        contentChanges: [{ text: noted('a') }],
      });
      assert.ok((await codes()).includes('header-unknown'));
      await close(OTHER);
      assert.deepEqual(await codes(), []);
      end();
    });
  });
});
