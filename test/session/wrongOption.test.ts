// An option that is wrong, taken out of its profile by a quick fix there.
import assert from 'node:assert/strict';
import { afterEach, describe, it } from 'mocha';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///car/p.dump-profile.json';
const PROFILE = `{
  "format": 1,
  "lines": { "from": 1, "to": 2, "data": 3, "sum": 1 },
  "options": [
    // the front ones
    { "id": "fog", "title": "Fog", "line": 1, "byte": 1, "bits": "0", "values": { "0": "no" } },
    // the rear one
    { "id": "rear", "line": 1, "byte": 1, "bits": "1", "values": { "0": "no" } }
  ]
}
`;

describe('at an option of a profile', () => {
  let server: ServerSession;
  afterEach(() => server.close());
  const titles = async (text: string, row: number, commands = false) => {
    server = await serverSession(FULL_CLIENT, commands ? { commands } : {});
    server.files.set(URI, text);
    await server.open(URI, text);
    return server.actions(URI, row, 10, ['quickfix']);
  };

  it('stands a fix that takes it out with its comma, and leaves comments and the others', async () => {
    const [first, ...others] = await titles(PROFILE, 5);
    assert.deepEqual([first?.title, others], ['Remove "Fog" from This Profile', []]);
    const after = server.after(URI, first);
    assert.match(after, /\/\/ the front ones\s+\/\/ the rear one\s+\{ "id": "rear"/);
    server.close();
    const [last] = await titles(PROFILE, 7);
    assert.match(server.after(URI, last), /"no" \} \},?\s+\/\/ the rear one\s+\]/);
  });

  it('is taken out of what samples hold too', async () => {
    const samples = '"samples": [{ "dump": "a.cfgdump", "expect": { "fog": "no", "rear": "no" } }]';
    const [first] = await titles(PROFILE.replace('"options"', `${samples},\n  "options"`), 6);
    const after = server.after(URI, first);
    assert.match(after, /"expect": \{ "rear": "no" \}/);
    assert.doesNotMatch(after, /fog/);
  });

  it('stands none between options, or where the profile has another problem', async () => {
    assert.deepEqual(await titles(PROFILE, 2), []);
    server.close();
    assert.deepEqual(await titles(PROFILE.replace('"format": 1', '"format": 1, "x": 1'), 5), []);
  });

  it('asks first in an editor with the commands', async () => {
    const [first] = await titles(PROFILE, 5, true);
    assert.deepEqual(first?.command?.arguments, [URI, 'fog', 'Fog']);
  });
});
