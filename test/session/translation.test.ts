import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, serverSession } from '../support/serverSession.js';

const DUMP = 'file:///car/rear-body.cfgdump';

/** What the server says of the demo to a client in a language. */
async function said(locale: string, initializationOptions = {}) {
  const session = await serverSession(FULL_CLIENT, initializationOptions, locale);
  try {
    for (const name of ['rear-body.dump-profile.json', 'rear-body.as-found.cfgdump'])
      session.files.set(`file:///car/${name}`, demoFile(name));
    await session.open(DUMP, demoFile('rear-body.cfgdump'));
    const hover = await session.hover(DUMP, 11, 11);
    return {
      problems: (await session.diagnostics(DUMP)).map(({ message }) => String(message)),
      actions: (await session.actions(DUMP, 26, 8)).map(({ title }) => title),
      hover: (hover as { contents: { value: string } }).contents.value,
    };
  } finally {
    session.close();
  }
}

describe('what the server says', () => {
  it('is German to a German editor, of whatever country, with every part in its place', async () => {
    const { problems, actions, hover } = await said('de-AT');
    assert.deepEqual(problems, [
      'Zeile 4: Ihre Prüfsumme ist 88, ihre Bytes ergeben A8.',
      'Dateiprüfsumme ist 21B2, die Bytes ergeben 21D2: 0020 zu wenig.',
    ]);
    assert.equal(actions[0], 'Dateiprüfsumme ausgleichen über Zeile 17: Byte 6 von 5C zu 3C');
    assert.match(hover, /^\*\*Zeile 4, Byte 3\*\*\n\n`21` hex · 33 dezimal · `0010 0001` binär/);
    assert.match(hover, /⚠ Betrifft die Beleuchtung\./);
  });

  it('is English to an editor in a language without a translation', async () => {
    assert.match((await said('fr')).problems[0] ?? '', /^Line 4: its sum is 88/);
  });

  it('is in the words that the client brings along, where it does', async () => {
    const translation = { 'Line {0}: its sum is {1}, its bytes make {2}.': '{2} < {1} < {0}' };
    assert.equal((await said('de', { translation })).problems[0], 'A8 < 88 < 4');
  });
});
