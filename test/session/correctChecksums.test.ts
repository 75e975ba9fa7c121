import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { CORRECT_CHECKSUMS, type CorrectChecksumsResult } from '../../shared-core/src/protocol/balance.js';
import { ALL_SUMS, type Refusal } from '../../shared-core/src/protocol/common.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///cars/rear-body.cfgdump';
const TEXT = readFileSync('examples/trailer-socket/rear-body.cfgdump', 'utf8');
const PROFILE = readFileSync('examples/trailer-socket/rear-body.dump-profile.json', 'utf8');
const BACKUP = readFileSync('examples/trailer-socket/rear-body.as-found.cfgdump', 'utf8');

describe('the command that makes all sums right', () => {
  let server: ServerSession;
  beforeEach(async () => {
    server = await serverSession();
    server.files.set('file:///cars/rear-body.dump-profile.json', PROFILE);
    server.files.set('file:///cars/rear-body.as-found.cfgdump', BACKUP);
  });
  afterEach(() => server.close());

  const right = async (text: string): Promise<CorrectChecksumsResult | Refusal> => {
    await server.open(URI, text);
    return server.connection.sendRequest<CorrectChecksumsResult | Refusal>(CORRECT_CHECKSUMS, { uri: URI });
  };

  it('does what the quick fix of that name does', async () => {
    const result = await right(TEXT);
    assert.ok(result !== null && 'edit' in result);
    const [quick] = await server.actions(URI, 0, 0, [ALL_SUMS]);
    assert.equal(server.after(URI, { title: '', edit: result.edit as never }), server.after(URI, quick));
    assert.deepEqual(result.cautions, []);
    const righted = server.after(URI, quick);
    server.files.set('file:///cars/righted.cfgdump', righted);
    await server.open('file:///cars/righted.cfgdump', righted);
    const again = { uri: 'file:///cars/righted.cfgdump' };
    assert.equal(await server.connection.sendRequest(CORRECT_CHECKSUMS, again), null);
  });

  it('tells what a balance place touches that is an option with a hazard', async () => {
    const profile = JSON.parse(PROFILE);
    for (const [i, place] of profile.balance.entries())
      profile.options.push({
        id: `abs-${i}`,
        title: 'Brake help',
        ...place,
        number: {},
        hazard: 'braking',
      });
    server.files.set('file:///cars/rear-body.dump-profile.json', JSON.stringify(profile));
    const result = await right(TEXT);
    assert.ok(result !== null && 'cautions' in result, JSON.stringify(result));
    assert.match(result.cautions.join(), /Brake help.*the brakes/);
  });

  it('never calls sums right that nobody can tell', async () => {
    for (const text of [
      TEXT.replace(/^@profile.*\n/m, ''),
      TEXT.replace('rear-body.dump-profile', 'gone.dump-profile'),
      TEXT.replace(/^12: .*\n/m, '').replace('88', '8A'),
      TEXT.replace('12: 10 00', '12: 10 0O').replace('| 88', '| A8'),
      '',
    ]) {
      const result = await right(text);
      assert.ok(result !== null);
      assert.doesNotMatch('refused' in result ? result.refused : result.says, /^All sums are right/);
    }
  });
});
