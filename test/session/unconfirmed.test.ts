// A profile that may be for another module: each request that changes the dump asks, and does it once that is accepted.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { RESTORE } from '../../shared-core/src/protocol/backup.js';
import { BALANCE_CHOICES, CORRECT_CHECKSUMS } from '../../shared-core/src/protocol/balance.js';
import type { Accepted, Refusal } from '../../shared-core/src/protocol/common.js';
import { TAKE_LINE } from '../../shared-core/src/protocol/compare.js';
import { SET_OPTION } from '../../shared-core/src/protocol/options.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///cars/rear-body.cfgdump';
const read = (name: string) => readFileSync(`examples/trailer-socket/${name}`, 'utf8');

/** Every request whose answer is an edit of the dump. */
const REQUESTS: readonly (readonly [method: string, params: object])[] = [
  [SET_OPTION, { id: 'parking-volume', to: { written: '50' } }],
  [CORRECT_CHECKSUMS, {}],
  [BALANCE_CHOICES, {}],
  [TAKE_LINE, { line: { label: '4' } }],
  [RESTORE, { labels: ['4'] }],
];

describe('a dump that does not say of which module it is', () => {
  let server: ServerSession;
  beforeEach(async () => {
    server = await serverSession();
    const profile = { ...JSON.parse(read('rear-body.dump-profile.json')), appliesTo: { part: ['RB-2041-*'] } };
    server.files.set('file:///cars/rear-body.dump-profile.json', JSON.stringify(profile));
    server.files.set('file:///cars/rear-body.as-found.cfgdump', read('rear-body.as-found.cfgdump'));
    await server.open(URI, read('rear-body.cfgdump').replace(/^@part.*\n/m, ''));
  });
  afterEach(() => server.close());

  for (const [method, params] of REQUESTS) {
    it(`is changed by ${method} once the person has confirmed the profile`, async () => {
      const ask = (accepted: Accepted) =>
        server.connection.sendRequest<Partial<Refusal>>(method, { uri: URI, ...params, ...accepted });
      const refused = await ask({});
      assert.deepEqual(refused.asks, { kind: 'unconfirmed' }, JSON.stringify(refused));
      assert.match(refused.refused ?? '', /"@part"/);
      const done = await ask({ unconfirmed: true });
      assert.equal(done.refused, undefined);
      assert.match(JSON.stringify(done), /"newText"/);
    });
  }
});
