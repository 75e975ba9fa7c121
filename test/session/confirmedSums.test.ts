// A file sum that is only a guess, at its place in the profile, once dumps with other values follow it.
import assert from 'node:assert/strict';
import { afterEach, describe, it } from 'mocha';
import { CHANGE_PROFILE, UNCONFIRMED_SUMS } from '../../shared-core/src/protocol/learning.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///car/p.dump-profile.json';
const PROFILE = `{
  "format": 1,
  "lines": { "from": 1, "to": 2, "data": 3, "sum": 1 },
  "lineSum": { "method": "add", "over": ["data"] },
  "totals": [
    { "name": "file sum", "method": "add", "bits": 16, "confidence": "guess" }
  ]
}
`;
const dump = (first: string, sum: string, total: string) =>
  `@use comparison\n@vehicle car ${first}\n@profile p.dump-profile.json\n1: ${first} 02 03 | ${sum}\n2: 10 21 00 | 31\ntotal: ${total}\n`;

describe('at a file sum of a profile that is only a guess', () => {
  let server: ServerSession;
  afterEach(() => server.close());
  const start = async (files: Readonly<Record<string, string>>) => {
    server = await serverSession();
    for (const [name, text] of Object.entries({ ...files, 'p.dump-profile.json': PROFILE }))
      server.files.set(`file:///car/${name}`, text);
    await server.open(URI, PROFILE);
  };
  const two = { 'a.cfgdump': dump('01', '06', '0037'), 'b.cfgdump': dump('05', '0A', '003B') };

  it('a quick fix takes the guess away where two dumps confirm it, and names them in the profile', async () => {
    await start(two);
    const [fix, ...others] = await server.actions(URI, 5, 10, ['quickfix']);
    assert.deepEqual([fix?.title, others], ['No Guess Any More: a.cfgdump and b.cfgdump Confirm It', []]);
    assert.match(
      server.after(URI, fix),
      /"confidence": "confirmed", "note": "Follows from the bytes in a\.cfgdump \(0037\) and b\.cfgdump \(003B\)\."/,
    );
    assert.deepEqual(await server.actions(URI, 2, 10, ['quickfix']), []);
  });

  it('nothing is offered where one dump alone follows it', async () => {
    await start({ 'a.cfgdump': two['a.cfgdump'] });
    assert.deepEqual(await server.actions(URI, 5, 10, ['quickfix']), []);
    const found = await server.connection.sendRequest(UNCONFIRMED_SUMS, { profile: URI });
    assert.deepEqual(found, { wish: null, says: [] });
  });

  it('the client is told what confirms it, and the wish that writes it', async () => {
    await start(two);
    const found = await server.connection.sendRequest<{ wish: unknown; says: string[] }>(UNCONFIRMED_SUMS, {
      profile: URI,
    });
    assert.deepEqual(found.says, [
      'The file sum was a guess. a.cfgdump (0037) and b.cfgdump (003B), as they were read, both follow it.',
    ]);
    const changed = await server.connection.sendRequest<{ edits: unknown[] }>(CHANGE_PROFILE, {
      profile: PROFILE,
      wish: found.wish,
    });
    assert.equal(changed.edits.length, 1);
  });
});
