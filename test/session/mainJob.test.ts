import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import type { PublishDiagnosticsParams } from 'vscode-languageserver-protocol';
import { demoFile } from '../support/demo.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const DUMP = 'file:///car/rear-body.cfgdump';

async function demoSession(...how: Parameters<typeof serverSession>): Promise<ServerSession> {
  const session = await serverSession(...how);
  for (const name of ['rear-body.dump-profile.json', 'rear-body.as-found.cfgdump'])
    session.files.set(`file:///car/${name}`, demoFile(name));
  await session.open(DUMP, demoFile('rear-body.cfgdump'));
  return session;
}

const codesOf = (found: readonly { code?: unknown }[]) => found.map(({ code }) => code);

describe('a session with the server', () => {
  let session: ServerSession;
  beforeEach(async () => {
    session = await demoSession();
  });
  afterEach(() => session.close());

  it('marks what is wrong, and nothing once it is right', async () => {
    assert.deepEqual(codesOf(await session.diagnostics(DUMP)), ['line-sum', 'total-sum']);
    await session.change(DUMP, 11, 25, 27, 'A8');
    await session.change(DUMP, 24, 20, 27, '3C | 55');
    assert.deepEqual(await session.diagnostics(DUMP), []);
  });

  it('follows a digit that is deleted and typed again', async () => {
    await session.change(DUMP, 11, 25, 26, '');
    assert.deepEqual(codesOf(await session.diagnostics(DUMP)), ['odd-digits', 'not-checked']);
    await session.change(DUMP, 11, 25, 25, 'A');
    assert.deepEqual(codesOf(await session.diagnostics(DUMP)), ['total-sum']);
  });

  it('keeps answers to the version they were asked for', async () => {
    const edit = (await session.actions(DUMP, 26, 8))[0]?.edit?.documentChanges?.[0];
    assert.deepEqual((edit as { textDocument: unknown }).textDocument, { uri: DUMP, version: 1 });
  });

  for (const [what, title, lines] of [
    ['a line sum', 'Correct the sum of line 4: 88 to A8', [' 4: 08 03 21 7F  00 FF | A8']],
    [
      'the file sum by the place of the profile',
      'Rebalance file sum using line 17: byte 6 from 5C to 3C',
      ['17: 10 00 FF 00  FF 3C | 55'],
    ],
    ['the file sum by rewriting', 'Rewrite the file sum: 21B2 to 21D2', ['total: 21 D2']],
    [
      'everything',
      'Correct all checksums (3 bytes change)',
      [' 4: 08 03 21 7F  00 FF | A8', '17: 10 00 FF 00  FF 3C | 55'],
    ],
  ] as const) {
    it(`repairs ${what} and changes no other character`, async () => {
      const found = [...(await session.actions(DUMP, 11, 25)), ...(await session.actions(DUMP, 26, 8))];
      const text = session.after(
        DUMP,
        found.find((action) => action.title === title),
      );
      const before = demoFile('rear-body.cfgdump').split('\n');
      assert.deepEqual(
        text.split('\n').filter((line, i) => line !== before[i]),
        lines,
      );
    });
  }

  it('gives the repair of all sums by a kind of its own, wherever the cursor is, and nothing once they are right', async () => {
    const kind = ['quickfix.countersum.allSums'];
    assert.deepEqual(
      (await session.actions(DUMP, 0, 0, kind)).map(({ title }) => title),
      ['Correct all checksums (3 bytes change)'],
    );
    await session.change(DUMP, 11, 25, 27, 'A8');
    await session.change(DUMP, 24, 20, 27, '3C | 55');
    assert.deepEqual(await session.actions(DUMP, 11, 10, kind), []);
  });

  it('prefers the first balance place', async () => {
    const preferred = (await session.actions(DUMP, 26, 8)).filter(({ isPreferred }) => isPreferred);
    assert.deepEqual(
      preferred.map(({ title }) => title),
      ['Rebalance file sum using line 17: byte 6 from 5C to 3C'],
    );
  });

  it('sets an option with all sums kept right', async () => {
    const action = (await session.actions(DUMP, 11, 10)).find(
      // The caution is in the title, where it is read before the change is made.
      ({ title }) => title === 'Set Trailer socket to 7-pin (sums kept right) ⚠ affects the lighting',
    );
    const text = session.after(DUMP, action);
    assert.match(text, /^ 4: 08 03 11 7F {2}00 FF \| 98$/m);
    assert.match(text, /^17: 10 00 FF 00 {2}FF 4C \| 65$/m);
    assert.match(text, /^total: 21 B2$/m);
  });

  it('rights sums on saving and never touches data', async () => {
    const [fix] = await session.actions(DUMP, 0, 0, ['source.fixAll.countersum']);
    const text = session.after(DUMP, fix);
    assert.match(text, /^ 4: 08 03 21 7F {2}00 FF \| A8$/m);
    assert.match(text, /^total: 21 B2$/m, 'a kept total stays');
  });

  it('says why the balance places cannot do it, with the lines that could', async () => {
    // Three lines of FF need far more than two bytes can give.
    for (const line of [15, 16, 18]) await session.change(DUMP, line, 4, 22, 'FF FF FF FF  FF FF');
    const refused = (await session.actions(DUMP, 26, 8)).find(({ disabled }) => disabled);
    assert.match(
      refused?.disabled?.reason ?? '',
      /Lines 17, 16 together can take up −8C to \+172 \(hex\), needed is −[0-9A-F]+/,
    );
  });

  it('tells about bytes and sums on hover', async () => {
    const text = async (line: number, column: number) =>
      JSON.stringify((await session.hover(DUMP, line, column))?.contents);
    assert.match(await text(11, 11), /Trailer socket.*13-pin ← now.*lighting/);
    assert.match(await text(11, 11), /In the backup: `01`/);
    assert.match(await text(11, 25), /Sum of line 4.*Stored `88`, computed `A8`, difference `\+20`/);
    assert.match(await text(26, 8), /file sum.*Covers 108 data bytes.*computed `21D2`/);
    assert.match(await text(8, 5), /Locked.*identity/);
    assert.equal(await session.hover(DUMP, 0, 3), null);
  });

  it('reads a profile anew when it changes', async () => {
    assert.equal((await session.diagnostics(DUMP)).length, 2);
    session.files.set('file:///car/rear-body.dump-profile.json', '{ "format": 1 }');
    await session.connection.sendNotification('workspace/didChangeWatchedFiles', {
      changes: [{ uri: 'file:///car/rear-body.dump-profile.json', type: 2 }],
    });
    assert.deepEqual(await session.diagnostics(DUMP), []);
  });
});

describe('a session with a client that cannot ask', () => {
  it('gets problems pushed, with the version they are of', async () => {
    const session = await serverSession({});
    assert.equal(session.initialized.capabilities.diagnosticProvider, undefined);
    const pushed = new Promise<PublishDiagnosticsParams>((resolve) =>
      session.connection.onNotification('textDocument/publishDiagnostics', resolve),
    );
    session.files.set('file:///car/rear-body.dump-profile.json', demoFile('rear-body.dump-profile.json'));
    await session.open(DUMP, demoFile('rear-body.cfgdump').replace(/@backup.*\n/, ''));
    const { version, diagnostics } = await pushed;
    assert.equal(version, 1);
    assert.deepEqual(codesOf(diagnostics), ['line-sum', 'total-sum']);
    session.close();
  });
});

describe('bad input', () => {
  const cases: readonly [string, string, readonly string[]][] = [
    ['an empty file', '', ['no-profile']],
    ['a binary file', '\0\x01\x02\xff\0\0', ['text-unreadable']],
    ['UTF-16 text', '\ufffd\ufffd1\0:\0 \0A\0A\0\n\0', ['text-unreadable']],
    ['a header without value', '@profile\n', ['header-empty']],
    ['a profile that is missing', '@profile nowhere.dump-profile.json\n1: 00', ['profile-unreadable']],
    ['a profile that is no JSON', '@profile broken.dump-profile.json\n1: 00', ['profile-unreadable']],
    ['a profile that is the dump itself', '@profile rear-body.cfgdump\n1: 00', ['profile-unreadable']],
    ['a profile that contradicts itself', '@profile wrong.dump-profile.json\n1: 00', ['profile-invalid']],
    [
      'a backup that is this file',
      '@profile plain.dump-profile.json\n@backup rear-body.cfgdump\n1: 00',
      ['backup-invalid'],
    ],
    [
      'a backup that is missing',
      '@profile plain.dump-profile.json\n@backup gone.cfgdump\n1: 00',
      ['backup-unreadable'],
    ],
    ['a line of a million characters', `@profile plain.dump-profile.json\n1: ${'0'.repeat(1_000_001)}`, ['odd-digits']],
  ];
  for (const [what, text, codes] of cases) {
    it(`${what}: one clear problem`, async () => {
      const session = await serverSession();
      session.files.set('file:///car/broken.dump-profile.json', '{ "format": ');
      session.files.set('file:///car/plain.dump-profile.json', '{ "format": 1 }');
      session.files.set(
        'file:///car/wrong.dump-profile.json',
        '{ "format": 1, "lines": { "from": 1, "to": 1, "data": 1 }, "locked": [{ "line": 2, "byte": 1 }] }',
      );
      await session.open(DUMP, text);
      assert.deepEqual(codesOf(await session.diagnostics(DUMP)), codes);
      session.close();
    });
  }
});
