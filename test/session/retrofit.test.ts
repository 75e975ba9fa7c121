import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { demoFile } from '../support/demo.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///demo/trailer-socket.retrofit.json';

describe('a retrofit in the editor', () => {
  it('of the demo has no problem', async () => {
    await withRetrofit(demoFile('trailer-socket.retrofit.json'), async (session) => {
      assert.deepEqual(await session.diagnostics(URI), []);
    });
  });

  it('is marked where its profiles do not know what it asks for', async () => {
    const text = demoFile('trailer-socket.retrofit.json')
      .replace('"trailer-socket": "13-pin"', '"trailer-sockt": "13-pin"')
      .replace('"shown"', '"always"')
      .replace('"rear-body.dump-profile.json"', '"rear-body.dump-profile.json" ');
    await withRetrofit(text, async (session) => {
      const found = await session.diagnostics(URI);
      assert.deepEqual(
        found.map(({ code, message, range }) => [
          code,
          text.split('\n')[range.start.line]?.slice(range.start.character, range.end.character),
          message,
        ]),
        [
          [
            'retrofit-invalid',
            '"trailer-sockt"',
            'The profile has no option "trailer-sockt"; "trailer-socket" is probably meant.',
          ],
          ['retrofit-invalid', '"always"', '"always" is no value of Trailer tell-tale. It takes not shown, shown.'],
        ],
      );
    });
    await withRetrofit(text.replace('"cluster.', '"clutter.'), async (session) => {
      const messages = (await session.diagnostics(URI)).map(({ message }) => message);
      assert.match(messages.join('\n'), /no profile "clutter\.dump-profile\.json" beside this retrofit/);
    });
  });

  it('that is torn is marked once', async () => {
    await withRetrofit('{"format": 1, "changes": [', async (session) => {
      assert.deepEqual(
        (await session.diagnostics(URI)).map(({ code }) => code),
        ['retrofit-unreadable'],
      );
    });
  });
});

async function withRetrofit(text: string, run: (session: ServerSession) => Promise<void>): Promise<void> {
  const session = await serverSession();
  for (const name of ['rear-body', 'cluster'])
    session.files.set(`file:///demo/${name}.dump-profile.json`, demoFile(`${name}.dump-profile.json`));
  await session.open(URI, text);
  try {
    await run(session);
  } finally {
    session.close();
  }
}
