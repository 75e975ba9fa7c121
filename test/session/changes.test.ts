import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { RESTORABLE_LINES } from '../../shared-core/src/protocol/backup.js';
import type { Refusal } from '../../shared-core/src/protocol/common.js';
import {
  CHANGES,
  type ChangesResult,
  TAKE_LINE,
  type TakeLineParams,
  type TakeLineResult,
  THREE_WAYS,
  type ThreeWaysResult,
} from '../../shared-core/src/protocol/compare.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const FOLDER = 'file:///cars';
const URI = `${FOLDER}/rear-body.cfgdump`;
const exampleOf = (name: string) => readFileSync(`examples/trailer-socket/${name}`, 'utf8');

describe('the changes of a dump', () => {
  let server: ServerSession;
  beforeEach(async () => {
    server = await serverSession();
    for (const name of ['rear-body.dump-profile.json', 'rear-body.as-found.cfgdump', 'rear-body.read-back.cfgdump'])
      server.files.set(`${FOLDER}/${name}`, exampleOf(name));
    await server.open(URI, exampleOf('rear-body.cfgdump'));
  });
  afterEach(() => server.close());

  const changes = (other?: string) =>
    server.connection.sendRequest<ChangesResult | Refusal>(CHANGES, { uri: URI, ...(other && { other }) });
  const take = (line: TakeLineParams['line'], other?: string) =>
    server.connection.sendRequest<TakeLineResult | Refusal>(TAKE_LINE, { uri: URI, line, ...(other && { other }) });

  it('are told in words, each with its place', async () => {
    const result = await changes();
    assert.ok('lines' in result);
    assert.deepEqual(
      result.options.map(({ title, says }) => [title, says]),
      [['Trailer socket', 'none → 13-pin']],
    );
    const [line, ...others] = result.lines;
    assert.deepEqual(others, []);
    assert.equal(line?.title, 'Line 4');
    assert.deepEqual(line?.bytes, [
      {
        title: 'Byte 3',
        says: '01 → 21 · Trailer socket',
        range: { start: { line: 11, character: 10 }, end: { line: 11, character: 12 }, head: ' 4: ' },
        reason: 'option',
      },
    ]);
    assert.equal(result.explained, true);
  });

  it('name the bytes of raw bytes by where they are, as these have no records', async () => {
    server.files.set(`${FOLDER}/raw.dump-profile.json`, '{ "format": 1, "addresses": { "from": 0, "to": 31 } }');
    const raw = (value: string) =>
      `@profile raw.dump-profile.json\n0x0000: ${'00 '.repeat(16)}\n0x0010: 00 ${value} ${'00 '.repeat(14)}\n`;
    server.files.set(`${FOLDER}/other.cfgdump`, raw('00'));
    await server.open(`${FOLDER}/raw.cfgdump`, raw('05'));
    const params = { uri: `${FOLDER}/raw.cfgdump`, other: `${FOLDER}/other.cfgdump` };
    const result = await server.connection.sendRequest<ChangesResult | Refusal>(CHANGES, params);
    assert.ok('lines' in result);
    assert.deepEqual(
      result.lines.map(({ title, bytes }) => [title, bytes[0]?.title]),
      [['From 0010', 'Address 0011']],
    );
  });

  it('name a line as the dump itself does', async () => {
    const profile = {
      format: 1,
      notation: { pattern: 'Z{label} {data}' },
      lines: { from: 1, to: 2, data: 2, sum: 1 },
      lineSum: { method: 'add', bits: 8, over: ['data'] },
    };
    const text = '@profile door.dump-profile.json\n@backup door.as-found.cfgdump\nZ01 10 20 30\nZ02 01 02 03\n';
    server.files.set(`${FOLDER}/door.dump-profile.json`, JSON.stringify(profile));
    server.files.set(`${FOLDER}/door.as-found.cfgdump`, text.replace(/^@backup.*\n/m, ''));
    const uri = `${FOLDER}/door.cfgdump`;
    await server.open(uri, text.replace('01 02 03', '01 04 05'));
    const result = await server.connection.sendRequest<ChangesResult | Refusal>(CHANGES, { uri });
    assert.ok('lines' in result, JSON.stringify(result));
    assert.deepEqual(
      result.lines.map(({ title }) => title),
      ['Line Z02'],
    );
    const lines = await server.connection.sendRequest<readonly { title: string }[]>(RESTORABLE_LINES, { uri });
    assert.equal(lines[0]?.title, 'Line Z02');
  });

  it('of what was read back are not told against a backup, and no line of it is taken over', async () => {
    const uri = `${FOLDER}/door.read-back.cfgdump`;
    const text = exampleOf('rear-body.cfgdump').replace(/^@(?:backup|seal).*\n/gm, '');
    server.files.set(uri, text);
    await server.open(uri, text);
    const told = await server.connection.sendRequest<Refusal>(CHANGES, { uri });
    assert.match(told.refused, /^This is what was read back: "Verify Read-back…" compares it with what was planned\.$/);
    assert.equal(told.helps, undefined);
    const line = { uri, line: { label: '4' }, other: URI };
    assert.match((await server.connection.sendRequest<Refusal>(TAKE_LINE, line)).refused, /it stays as it is/);
  });

  it('of a later reading or of what is only to compare with ask for no backup', async () => {
    for (const [name, header, says] of [
      [
        'door.second',
        '@taken 2026-03-02T11:02:00Z',
        /^This is what was read back: "Verify Read-back…" compares it with what was planned\.$/,
      ],
      ['door.early', '@taken 2026-03-01T01:02:00Z', /^Read before the backup of this module by its "@taken"/],
      ['door.other', '@use comparison', /^This dump is only here to compare with/],
    ] as const) {
      const uri = `${FOLDER}/${name}.cfgdump`;
      const text = exampleOf('rear-body.cfgdump').replace(/^@backup.*/m, header);
      server.files.set(uri, text);
      await server.open(uri, text);
      const told = await server.connection.sendRequest<Refusal>(CHANGES, { uri });
      assert.match(told.refused, says);
      assert.equal(told.helps, undefined);
    }
  });

  it('are not all accounted for where a line is missing and the profile does not say which there are', async () => {
    const profile = JSON.stringify({ format: 1, totals: [{ method: 'add', over: ['data'] }] });
    server.files.set(`${FOLDER}/free.dump-profile.json`, profile);
    server.files.set(`${FOLDER}/free.backup.cfgdump`, '1: 01\n2: 00\ntotal: 01\n');
    const uri = `${FOLDER}/free.cfgdump`;
    await server.open(uri, '@profile free.dump-profile.json\n@backup free.backup.cfgdump\n1: 01\ntotal: 01\n');
    const result = await server.connection.sendRequest<ChangesResult>(CHANGES, { uri });
    assert.deepEqual([result.lines.map(({ label }) => label), result.explained], [['2'], false]);
  });

  it('against any other dump are those against that one', async () => {
    const result = await changes(`${FOLDER}/rear-body.read-back.cfgdump`);
    assert.ok('lines' in result);
    assert.match(result.otherUri, /read-back/);
    assert.ok(result.lines.length > 0);
  });

  it('of a line are undone by taking the line over, as it is written here', async () => {
    const taken = await take({ row: 11 });
    assert.ok('edit' in taken, JSON.stringify(taken));
    const after = server.after(URI, { title: '', edit: taken.edit as never });
    assert.match(after, /^ 4: 08 03 01 7F {2}00 FF \| 88$/m);
    assert.equal(after.replace(' 4: 08 03 01', ' 4: 08 03 21'), exampleOf('rear-body.cfgdump'));
  });

  it('that are not there cannot be taken over', async () => {
    assert.match(((await take({ label: '5' })) as Refusal).refused, /Nothing to take over/);
    assert.match(((await take({ row: 0 })) as Refusal).refused, /Put the cursor into a line/);
  });

  it('are held against what was found and what was read back, place by place', async () => {
    const params = { uri: URI, read: `${FOLDER}/rear-body.read-back.cfgdump` };
    const result = await server.connection.sendRequest<ThreeWaysResult>(THREE_WAYS, params);
    assert.deepEqual(
      result.options.map(({ title, found, planned, read, outcome }) => [title, found, planned, read, outcome]),
      [['Trailer socket', 'none', '13-pin', '13-pin', 'written']],
    );
    const [first] = result.bytes;
    assert.deepEqual([first?.title, first?.found, first?.planned, first?.read], ['Line 4, byte 3', '01', '21', '21']);
    assert.equal(first?.says, 'written as planned');
    const [byItself, follows] = result.bytes.filter(({ title }) => title.startsWith('Line 18'));
    assert.deepEqual([byItself?.outcome, byItself?.says], ['volatile', 'changes by itself']);
    assert.deepEqual([follows?.outcome, follows?.says], ['volatile', 'follows what changes by itself']);
    assert.equal(result.good, false);
  });
});
