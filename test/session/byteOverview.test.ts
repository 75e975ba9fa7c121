import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import {
  BYTE_OVERVIEW,
  type ByteOverviewResult,
  OVERVIEW_BYTE,
  type OverviewByteResult,
} from '../../shared-core/src/index.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///cars/rear-body.cfgdump';

describe('the byte overview of a dump', () => {
  let server: ServerSession;
  beforeEach(async () => {
    server = await serverSession();
    for (const name of ['rear-body.dump-profile.json', 'rear-body.as-found.cfgdump'])
      server.files.set(`file:///cars/${name}`, readFileSync(`examples/trailer-socket/${name}`, 'utf8'));
    await server.open(URI, readFileSync('examples/trailer-socket/rear-body.cfgdump', 'utf8'));
  });
  afterEach(() => server.close());

  const map = (from = 0, count = 1000) =>
    server.connection.sendRequest<ByteOverviewResult>(BYTE_OVERVIEW, { uri: URI, from, count });

  it('tells of each byte what it is for, and whether it has changed or is wrong', async () => {
    const { total, widest, lines, summary, marked } = await map();
    assert.equal(total, 19);
    assert.equal(widest, 7);
    assert.deepEqual(lines[0], {
      row: 8,
      label: '1',
      digits: '06F420410001' + '57',
      roles: 'lllllls',
      signs: '.......',
    });
    assert.deepEqual(lines[3], { row: 11, label: '4', digits: '0803217F00FF88', roles: 'ddoddds', signs: '..c...w' });
    assert.equal(lines[16]?.roles, 'dddddbs');
    assert.deepEqual(lines[18], { row: 26, label: 'total', digits: '21B2', roles: 'ss', signs: 'ww' });
    assert.deepEqual(marked, [
      { at: 3, wrong: true },
      { at: 18, wrong: true },
    ]);
    assert.deepEqual(summary, ['19 lines', '1 byte differs from the backup', '2 problems']);
  });

  it('gives the part of the lines that is asked for', async () => {
    const { from, lines, total } = await map(5, 2);
    assert.deepEqual([from, total, lines.map(({ label }) => label)], [5, 19, ['6', '7']]);
  });

  it('tells of one byte what it means, in plain words', async () => {
    const params = { uri: URI, row: 11, at: { character: 11 } };
    const said = await server.connection.sendRequest<OverviewByteResult>(OVERVIEW_BYTE, params);
    assert.equal(said.byte, 2);
    assert.deepEqual(said.range, { start: { line: 11, character: 10 }, end: { line: 11, character: 12 } });
    assert.equal(said.lines[0], 'Line 4, byte 3');
    assert.ok(
      said.lines.some((line) => line === 'Trailer socket (bits 7 to 4): 13-pin'),
      said.lines.join('\n'),
    );
  });

  it('tells what is wrong with a byte', async () => {
    const said = await server.connection.sendRequest<OverviewByteResult>(OVERVIEW_BYTE, {
      uri: URI,
      row: 11,
      at: { byte: 6 },
    });
    assert.match(said.lines.at(-1) ?? '', /sum/);
  });
});
