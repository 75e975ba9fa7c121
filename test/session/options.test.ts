import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { textOfRows } from '../../shared-core/src/format/index.js';
import { BACKUP, type BackupResult, RESTORE, type RestoreResult } from '../../shared-core/src/protocol/backup.js';
import { CORRECT_CHECKSUMS, type CorrectChecksumsResult } from '../../shared-core/src/protocol/balance.js';
import type { Accepted, Refusal } from '../../shared-core/src/protocol/common.js';
import {
  OPTIONS,
  type OptionsResult,
  SET_OPTION,
  type SetOptionParams,
  type SetOptionResult,
} from '../../shared-core/src/protocol/options.js';
import { demoDump } from '../support/demo.js';
import { set as setIn } from '../support/edits.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///cars/rear-body.cfgdump';
const text = readFileSync('examples/trailer-socket/rear-body.cfgdump', 'utf8');

describe('the options of a dump', () => {
  let server: ServerSession;
  beforeEach(async () => {
    server = await serverSession();
    for (const name of ['rear-body.dump-profile.json', 'rear-body.as-found.cfgdump'])
      server.files.set(`file:///cars/${name}`, readFileSync(`examples/trailer-socket/${name}`, 'utf8'));
    await server.open(URI, text);
  });
  afterEach(() => server.close());

  const list = (uri = URI) => server.connection.sendRequest<OptionsResult>(OPTIONS, { uri });
  const set = (id: string, to: SetOptionParams['to'], accepted: Accepted = {}) =>
    server.connection.sendRequest<SetOptionResult | Refusal>(SET_OPTION, { uri: URI, id, to, ...accepted });
  const textAfter = (result: SetOptionResult | Refusal) => {
    assert.ok('edit' in result, JSON.stringify(result));
    return server.after(URI, { title: '', edit: result.edit as never });
  };

  it('are told in words, with what the backup holds, what they touch and how sure the profile is', async () => {
    const { state, options } = await list();
    assert.equal(state, 'options');
    const [socket] = options;
    assert.equal(socket?.title, 'Trailer socket');
    assert.equal(socket?.group, 'Towing');
    assert.equal(socket?.now, '13-pin');
    assert.equal(socket?.before, 'none');
    assert.equal(socket?.caution?.touches, 'the lighting');
    assert.equal(socket?.certainty?.confidence, 'confirmed');
    assert.match(socket?.certainty?.evidence ?? '', /^Five cars/);
    assert.equal(socket?.place, 'Line 4, byte 3, bits 7 to 4');
    assert.deepEqual(socket?.range?.start, { line: 11, character: 10 });
    assert.deepEqual(
      socket?.choices.map(({ words, current, before }) => [words, current, before]),
      [
        ['none', false, true],
        ['7-pin', false, false],
        ['13-pin', true, false],
      ],
    );
  });

  it('are not set to what another module of the vehicle cannot go with, unless that is accepted', async () => {
    for (const name of ['cluster.dump-profile.json', 'cluster.cfgdump'])
      server.files.set(`file:///cars/${name}`, readFileSync(`examples/trailer-socket/${name}`, 'utf8'));
    const shown = setIn(demoDump('cluster.cfgdump'), 'trailer-lamp', 'shown');
    server.files.set('file:///cars/cluster.cfgdump', textOfRows(shown.rows));
    const refused = await set('trailer-socket', { value: '0' });
    assert.match('refused' in refused ? refused.refused : '', /Trailer tell-tale "shown" needs Trailer socket at /);
    assert.ok('edit' in (await set('trailer-socket', { value: '0' }, { despite: ['trailer-socket'] })));
    const offered = (await server.actions(URI, 11, 10)).filter(({ title }) =>
      title.startsWith('Set Trailer socket to none'),
    );
    assert.deepEqual(
      offered.map(({ edit, disabled }) => [edit, /Trailer tell-tale/.test(disabled?.reason ?? '')]),
      [[undefined, true]],
    );
    // The way back stays open, and says what it breaks.
    const back = await server.connection.sendRequest<RestoreResult | Refusal>(RESTORE, { uri: URI, labels: ['4'] });
    assert.ok('cautions' in back);
    assert.match(back.cautions.join(' '), /Trailer tell-tale "shown" needs Trailer socket/);
  });

  it('tell what can be written where they are numbers', async () => {
    const { options } = await list();
    const volume = options.find(({ id }) => id === 'parking-volume');
    assert.equal(volume?.limits, 'A number from 0 to 100 %, in steps of 5');
  });

  it('say where there is no profile', async () => {
    await server.open('file:///cars/other.cfgdump', ' 1: 00\n');
    assert.deepEqual(await list('file:///cars/other.cfgdump'), {
      version: 1,
      state: 'unexplained',
      options: [],
      lacksBackup: true,
    });
  });

  it('are set by the same edit as the quick fix', async () => {
    const [quick] = (await server.actions(URI, 11, 10)).filter(({ title }) =>
      title.startsWith('Set Trailer socket to 7-pin'),
    );
    assert.equal(textAfter(await set('trailer-socket', { value: '1' })), server.after(URI, quick));
  });

  it('are set in no dump that was read back, whatever it is called: it would prove what was never written', async () => {
    const reading = text.replace(/^@backup.*/m, '@taken 2026-03-02T11:02:00Z');
    const own = [URI, text] as const;
    for (const [uri, of] of [
      ['file:///cars/noon.cfgdump', reading],
      ['file:///cars/rear-body.read-back.cfgdump', reading],
    ] as const) {
      server.files.set(...own);
      await server.open(uri, of);
      const { options, lacksBackup } = await list(uri);
      const stays = /^This was read back from the module and stays as it is/;
      assert.match(options[0]?.refused ?? '', stays);
      assert.equal(lacksBackup, false);
      const params: SetOptionParams = { uri, id: 'trailer-socket', to: { value: '0' } };
      for (const answer of [
        await server.connection.sendRequest<SetOptionResult | Refusal>(SET_OPTION, params),
        await server.connection.sendRequest<CorrectChecksumsResult | Refusal>(CORRECT_CHECKSUMS, { uri }),
        await server.connection.sendRequest<BackupResult | Refusal>(BACKUP, { uri }),
      ])
        assert.match(answer !== null && 'refused' in answer ? answer.refused : '', stays);
    }
    // Where no dump in work shows that it was read back, it may be the one that is worked on.
    server.files.delete(URI);
    const alone = reading.replace(/^@v.*\n/gm, '');
    await server.open('file:///cars/alone.cfgdump', alone);
    assert.equal((await list('file:///cars/alone.cfgdump')).options[0]?.refused, null);
  });

  it('that are flags are set together', async () => {
    const after = textAfter(await set('everyday-helpers', { flags: ['4'] }));
    assert.match(after, /^ 9: 00 00 10 10 {2}20 A1/m);
  });

  it('that are numbers are refused outside their limits', async () => {
    const refused = await set('parking-volume', { written: '130' });
    assert.deepEqual(refused, { refused: 'Parking tone volume takes 0 to 100 %; 130 is outside.' });
    assert.match(textAfter(await set('parking-volume', { written: '50' })), /^ 6: 7F 05 0A 10/m);
  });

  it('are refused where the new value leaves a need of others unmet, unless a person accepts that', async () => {
    const refused = await set('rear-fog-cutout', { value: '0' });
    assert.ok('refused' in refused);
    assert.match(refused.refused, /Trailer socket/);
    assert.ok(refused.asks?.kind === 'despite');
    const despite = refused.asks.options;
    assert.match(textAfter(await set('rear-fog-cutout', { value: '0' }, { despite })), /^ 4: /m);
  });

  it('come with what a person must know before a value with a hazard is written', async () => {
    const touching = await set('trailer-socket', { value: '1' });
    assert.ok('cautions' in touching);
    assert.equal(touching.cautions.length, 1);
    assert.match(touching.cautions[0] ?? '', /Trailer socket.*Affects the lighting/);
    const harmless = await set('parking-volume', { written: '50' });
    assert.ok('cautions' in harmless);
    assert.deepEqual(harmless.cautions, []);
  });

  it('are refused a raw value that is no number, in a sentence', async () => {
    for (const value of ['no', '', '-1', '1.0', '0x1', ' 1', '9'.repeat(81)]) {
      const answer = await set('trailer-socket', { value });
      assert.deepEqual(answer, { refused: `"${value}" is no raw value: it is written in decimal digits.` });
      assert.deepEqual(await set('everyday-helpers', { flags: ['4', value] }), answer);
    }
  });

  it('that concern the security of the vehicle are shown, and refused with the reason', async () => {
    const profile = JSON.parse(readFileSync('examples/trailer-socket/rear-body.dump-profile.json', 'utf8'));
    profile.options[3].hazard = 'security';
    server.files.set('file:///cars/secure.dump-profile.json', JSON.stringify(profile));
    const uri = 'file:///cars/secure.cfgdump';
    await server.open(uri, text.replace('rear-body.dump-profile.json', 'secure.dump-profile.json'));
    const { options } = await list(uri);
    const [item] = options.filter(({ refused }) => refused !== null);
    assert.equal(item?.id, 'parking-sensors');
    assert.match(item?.refused ?? '', /never changed, except back/);
    const params = { uri, id: 'parking-sensors', to: { value: '1' } };
    const answer = await server.connection.sendRequest<Refusal>(SET_OPTION, params);
    assert.equal(answer.refused, item?.refused);
  });
});
