import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import {
  BYTE_OVERVIEW,
  type ByteOverviewResult,
  OVERVIEW_BYTE,
  type OverviewByteResult,
} from '../../shared-core/src/protocol/byteOverview.js';
import { NAMED, NAMED_TEXT } from '../support/namedLines.js';
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
    const { total, widest, lines, kinds, summary, marked } = await map();
    assert.equal(total, 19);
    assert.equal(widest, 7);
    assert.deepEqual(lines[0], {
      label: '1',
      digits: '06F420410001' + '57',
      roles: 'lllllls',
      signs: '.......',
    });
    assert.deepEqual(lines[3], { label: '4', digits: '0803217F00FF88', roles: 'ddoddds', signs: '..c...w' });
    assert.equal(lines[16]?.roles, 'dddddbs');
    assert.deepEqual(lines[18], { label: 'total', digits: '21B2', roles: 'ss', signs: 'ww' });
    assert.deepEqual(marked, [
      { at: 3, wrong: true },
      { at: 18, wrong: true },
    ]);
    assert.equal(kinds, 'dsolvb');
    assert.deepEqual(summary, ['19 lines', '1 byte differs from the backup', '2 problems']);
  });

  it('speaks of no balance place where the profile has none', async () => {
    const profile = readFileSync('examples/trailer-socket/rear-body.dump-profile.json', 'utf8');
    server.files.set('file:///cars/bare.dump-profile.json', profile.replace(/"balance": \[[^\]]*\],/, ''));
    const text = readFileSync('examples/trailer-socket/rear-body.cfgdump', 'utf8');
    await server.open('file:///cars/bare.cfgdump', text.replace('rear-body.dump-profile', 'bare.dump-profile'));
    const bare = { uri: 'file:///cars/bare.cfgdump', from: 0, count: 1 };
    assert.equal((await server.connection.sendRequest<ByteOverviewResult>(BYTE_OVERVIEW, bare)).kinds, 'dsolv');
  });

  it('gives the part of the lines that is asked for', async () => {
    const { from, lines, total } = await map(5, 2);
    assert.deepEqual([from, total, lines.map(({ label }) => label)], [5, 19, ['6', '7']]);
  });

  it('tells of one byte what it means, in plain words', async () => {
    const params = { uri: URI, at: { row: 11, character: 11 } };
    const said = await server.connection.sendRequest<OverviewByteResult>(OVERVIEW_BYTE, params);
    assert.deepEqual([said.line, said.byte], [3, 2]);
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
      at: { line: 3, byte: 6 },
    });
    assert.match(said.lines.at(-1) ?? '', /sum/);
  });

  it('names rows that are numbered in hex as they are written', async () => {
    const uri = 'file:///cars/roof.cfgdump';
    await server.open(uri, '0x0000: 01 02\n0x0010: 03 04\n32: 05 06\n');
    const { lines } = await server.connection.sendRequest<ByteOverviewResult>(BYTE_OVERVIEW, {
      uri,
      from: 0,
      count: 9,
    });
    assert.deepEqual(
      lines.map(({ label }) => label),
      ['0x0000', '0x0010', '32'],
    );
  });

  it('names rows as the dump writes them, and speaks of their bytes so', async () => {
    const uri = 'file:///cars/climate.cfgdump';
    server.files.set('file:///cars/climate.dump-profile.json', JSON.stringify({ format: 1, ...NAMED }));
    await server.open(uri, `@profile climate.dump-profile.json\n${NAMED_TEXT.replace('r10  01', 'r10  0Z')}`);
    const { lines } = await server.connection.sendRequest<ByteOverviewResult>(BYTE_OVERVIEW, {
      uri,
      from: 0,
      count: 20,
    });
    assert.deepEqual(
      lines.map(({ label }) => label),
      ['r08', 'r09', 'r0A', 'r0B', 'r0C', 'r0D', 'r0E', 'r0F', 'r10', 'r11', 'r12', 'CHK'],
    );
    const at = { line: 2, byte: 0 };
    const said = await server.connection.sendRequest<OverviewByteResult>(OVERVIEW_BYTE, { uri, at });
    assert.equal(said.lines[0], 'Line r0A, byte 1');
  });

  it('names the rows of an image by the addresses of their bytes', async () => {
    const image = 'file:///cars/fan.hex';
    await server.open(image, ':020000040001F9\n:04FFFC00000102FFFF\n:020000040002F8\n:0200000000A15D\n:00000001FF\n');
    const { rows, lines } = await server.connection.sendRequest<ByteOverviewResult>(BYTE_OVERVIEW, {
      uri: image,
      from: 0,
      count: 9,
    });
    assert.equal(rows, 'addresses');
    assert.deepEqual(
      lines.map(({ label, address }) => [label, address]),
      [
        ['–', undefined],
        ['0001FFFC', 0x1fffc],
        ['–', undefined],
        ['00020000', 0x20000],
        ['–', undefined],
      ],
    );
    const said = await server.connection.sendRequest<OverviewByteResult>(OVERVIEW_BYTE, {
      uri: image,
      at: { line: 1, byte: 2 },
    });
    assert.equal(said.lines[0], 'Address 0001FFFE');
  });

  it('names the rows of a dump in lines by their lines', async () => {
    const { rows, lines } = await map(0, 1);
    assert.deepEqual([rows, lines[0]?.address], ['lines', undefined]);
  });

  it('says of a byte that is not there that there is nothing to say', async () => {
    const none = { uri: URI, at: { line: 3, byte: 40 } };
    assert.equal(await server.connection.sendRequest<OverviewByteResult | null>(OVERVIEW_BYTE, none), null);
  });
});
