import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { InlayHint, InlayHintLabelPart } from 'vscode-languageserver-protocol';
import { DEFAULTS, settingsOf } from '../../server/src/settings.js';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///demo/rear-body.cfgdump';

describe('hints beside the lines', () => {
  it('say what options are set to, only for the lines that are asked for', async () => {
    await withDemo({}, async (session) => {
      assert.deepEqual(await hints(session, 11, 11), [
        '11:27 Trailer socket: 13-pin · Rear fog lamp off with trailer: yes',
      ]);
      assert.deepEqual(await hints(session, 9, 10), []);
    });
  });

  it('lead to their options in the profile, for a client that asks', async () => {
    await withDemo({}, async (session) => {
      const params = { textDocument: { uri: URI }, range: rangeOf(11, 11) };
      const [hint] = await session.connection.sendRequest<InlayHint[]>('textDocument/inlayHint', params);
      const resolved = await session.connection.sendRequest<InlayHint>('inlayHint/resolve', hint);
      const profile = demoFile('rear-body.dump-profile.json').split('\n');
      const names = (resolved.label as InlayHintLabelPart[]).map(({ location }) => {
        const { start, end } = location?.range ?? rangeOf(0, 0);
        return profile[start.line]?.slice(start.character, end.character).replaceAll('"', '');
      });
      assert.deepEqual(names, ['trailer-socket', 'rear-fog-cutout']);
      assert.equal(session.initialized.capabilities.inlayHintProvider, true, 'this client did not ask');
    });
  });

  it('say at each sum whether it is right where the person wants that', async () => {
    await withDemo({ hints: { options: false, sums: true } }, async (session) => {
      assert.deepEqual(await hints(session, 10, 11), ['10:27 ✓', '11:27 ≠ A8']);
      assert.deepEqual(await hints(session, 26, 26), ['26:12 ≠ 21D2']);
    });
  });

  it('take what a client says wrong for unsaid', () => {
    const given = { hints: { options: 'no' }, 'hints.sums': true, format: { letterCase: 'lower', spacing: 'wide' } };
    assert.deepEqual(settingsOf(given), { ...DEFAULTS, 'hints.sums': true, 'format.letterCase': 'lower' });
    assert.deepEqual(settingsOf(null), DEFAULTS);
  });
});

async function withDemo(settings: object, run: (session: ServerSession) => Promise<void>): Promise<void> {
  const session = await serverSession({ ...FULL_CLIENT, workspace: { ...FULL_CLIENT.workspace, configuration: true } });
  session.connection.onRequest('workspace/configuration', () => [settings]);
  session.files.set('file:///demo/rear-body.dump-profile.json', demoFile('rear-body.dump-profile.json'));
  await session.open(URI, demoFile('rear-body.cfgdump'));
  try {
    await run(session);
  } finally {
    session.close();
  }
}

function rangeOf(first: number, last: number) {
  return { start: { line: first, character: 0 }, end: { line: last, character: 99 } };
}

async function hints({ connection }: ServerSession, first: number, last: number): Promise<string[]> {
  const range = rangeOf(first, last);
  const found = await connection.sendRequest<InlayHint[]>('textDocument/inlayHint', {
    textDocument: { uri: URI },
    range,
  });
  return found.map(({ position, label }) => {
    const text = typeof label === 'string' ? label : label.map(({ value }) => value).join('');
    return `${position.line}:${position.character} ${text.trim()}`;
  });
}
