// Views of words and swapped memories for the server: marks, hovers, options and fixes go by addresses.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { afterEach, beforeEach, describe, it } from 'mocha';
import type { SemanticTokens, SemanticTokensClientCapabilities } from 'vscode-languageserver-protocol';
import { SET_OPTION, type SetOptionResult } from '../../shared-core/src/protocol/options.js';
import { READINGS, type ReadingsResult } from '../../shared-core/src/protocol/raw.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const PROFILE = {
  format: 1,
  word: { bytes: 2, order: 'little' },
  addresses: { from: 0, to: 0x13 },
  options: [{ id: 'wiper', title: 'Rear wiper', address: '0x11', values: { 0: 'no', 1: 'yes' } }],
  totals: [{ name: 'image sum', method: 'add', bits: 8, over: [{ from: 0, to: 0x12 }], address: 0x13 }],
};
const bytesWith = (wiper: number) => {
  const bytes = Uint8Array.from([...Array.from({ length: 17 }, (_, i) => 0x80 + 7 * i), wiper, 2, 0]);
  bytes[19] = bytes.reduce((sum, byte) => sum + byte, 0);
  return bytes;
};
const view = (bytes: Uint8Array) => spawnSync('hexdump', { input: bytes }).stdout.toString('latin1');
const TOKENS = {
  requests: { full: true, range: true },
  tokenTypes: [],
  tokenModifiers: [],
  formats: [],
} satisfies SemanticTokensClientCapabilities;
const at = (name: string) => `file:///car/${name}`;

describe('words for the server', () => {
  let session: ServerSession;
  beforeEach(async () => {
    session = await serverSession(
      { ...FULL_CLIENT, textDocument: { ...FULL_CLIENT.textDocument, semanticTokens: TOKENS } },
      {},
    );
    session.files.set(at('p.dump-profile.json'), JSON.stringify(PROFILE));
    session.files.set(at('ee.hexdump.dump-headers'), '@profile p.dump-profile.json\n');
  });
  afterEach(() => session.close());
  const codes = async (name: string) => (await session.diagnostics(at(name))).map(({ code }) => code);
  const set = (name: string) =>
    session.connection.sendRequest<SetOptionResult>(SET_OPTION, {
      uri: at(name),
      id: 'wiper',
      to: { value: '0' },
    });

  it('a view of words is explained by the profile that its headers name, each byte at its address', async () => {
    await session.open(at('ee.hexdump'), view(bytesWith(1)));
    assert.deepEqual(await codes('ee.hexdump'), []);
    // Of the word at 0010 the second byte is printed first.
    const hover = await session.hover(at('ee.hexdump'), 1, 8);
    assert.match(JSON.stringify(hover), /Rear wiper.*yes/);
    assert.doesNotMatch(JSON.stringify(await session.hover(at('ee.hexdump'), 1, 10)), /Rear wiper/);
    await session.change(at('ee.hexdump'), 1, 8, 10, '00');
    assert.deepEqual(await codes('ee.hexdump'), ['total-sum']);
    const [fix] = (await session.actions(at('ee.hexdump'), 1, 14)).filter(({ edit }) => edit !== undefined);
    assert.equal(session.after(at('ee.hexdump'), fix), view(bytesWith(0)));
  });

  it('the colours of digits and the places of values are those of their addresses, in the order of the text', async () => {
    const wide = {
      ...PROFILE,
      options: [
        ...PROFILE.options,
        { id: 'speed', title: 'Speed', address: '0x5', length: 2, order: 'big', number: {} },
      ],
      locked: [{ address: '0x2' }],
    };
    session.files.set(at('p.dump-profile.json'), JSON.stringify(wide));
    const text = view(bytesWith(1));
    await session.open(at('ee.hexdump'), text);
    const { legend } = session.initialized.capabilities.semanticTokensProvider ?? assert.fail();
    const { data } = await session.connection.sendRequest<SemanticTokens>('textDocument/semanticTokens/full', {
      textDocument: { uri: at('ee.hexdump') },
    });
    const lines = text.split('\n');
    const shown: string[] = [];
    for (let i = 0, line = 0, start = 0; i < data.length; i += 5) {
      const [down = 0, right = 0, length = 0, type = 0] = data.slice(i, i + 5);
      assert.ok(down >= 0 && right >= 0 && length > 0);
      [line, start] = [line + down, down === 0 ? start + right : right];
      shown.push(`${legend.tokenTypes[type]} ${lines[line]?.slice(start, start + length)}`);
    }
    // Row 0000 is 8780 958e a39c b1aa bfb8 …: the bytes at 0002, 0005 and 0006 are 8E, A3 and AA.
    assert.deepEqual(
      shown.slice(1, 8).map((token) => token.replace(/^\S+ /, '')),
      ['8780 95', '8e', 'a3', '9c b1', 'aa', lines[0]?.slice(28), '0000010'],
    );
    const hover = await session.hover(at('ee.hexdump'), 0, 19);
    assert.match(JSON.stringify(hover), /Speed/);
  });

  it('an option is set in the digits of its address', async () => {
    await session.open(at('ee.hexdump'), view(bytesWith(1)));
    assert.match(
      JSON.stringify(await set('ee.hexdump')),
      /"character":9},"end":{"line":1,"character":10}},"newText":"0"/,
    );
  });

  it('without words a view is not read, and the ways to read it are shown with a sample of each', async () => {
    session.files.set(at('ee.hexdump.dump-headers'), '@note none\n');
    await session.open(at('ee.hexdump'), view(bytesWith(1)));
    assert.ok((await codes('ee.hexdump')).includes('text-unreadable'));
    const { isCertain, readings } = await session.connection.sendRequest<ReadingsResult>(READINGS, {
      text: view(bytesWith(1)),
    });
    assert.equal(isCertain, false);
    assert.deepEqual(
      readings.map(({ language, word, sample }) => [language, word, sample]),
      [
        ['hex-view', '2le', '0000: 80 87 8E 95 9C A3 AA B1 …'],
        ['hex-view', '2be', '0000: 87 80 95 8E A3 9C B1 AA …'],
      ],
    );
    session.files.set(at('ee.hexdump.dump-headers'), '@profile p.dump-profile.json\n@word 2be\n');
    await session.connection.sendNotification('workspace/didChangeWatchedFiles', {
      changes: [{ uri: at('ee.hexdump.dump-headers'), type: 2 }],
    });
    // The header of the file goes before its profile.
    assert.ok((await codes('ee.hexdump')).includes('total-sum'));
  });

  it('raw bytes that are saved swapped are shown as they are stored and go by addresses', async () => {
    const bytes = bytesWith(1);
    const digits = (from: number, to: number) =>
      Array.from(bytes.subarray(from, to), (_, i) => bytes[(from + i) ^ 1]?.toString(16).padStart(2, '0')).join(' ');
    const text = `@profile p.dump-profile.json\n0x0000: ${digits(0, 16)}\n0x0010: ${digits(16, 20)}\n`;
    await session.open(at('ee.bin'), text);
    assert.deepEqual(await codes('ee.bin'), []);
    assert.match(JSON.stringify(await session.hover(at('ee.bin'), 2, 8)), /Rear wiper.*yes/);
    // A row that cuts a word is not read.
    await session.change(at('ee.bin'), 2, 16, 19, '');
    assert.ok((await codes('ee.bin')).includes('text-unreadable'));
  });

  it('words that are typed into the headers of a dump count at once', async () => {
    session.files.set(at('p.dump-profile.json'), JSON.stringify({ ...PROFILE, word: undefined }));
    const text = '@profile p.dump-profile.json\n@word \n0x0000: 01 02 03 04\n';
    await session.open(at('ee.cfgdump'), text);
    const shown = async () => JSON.stringify(await session.hover(at('ee.cfgdump'), 2, 8));
    assert.match(await shown(), /0000/);
    await session.change(at('ee.cfgdump'), 1, 6, 6, '2le');
    assert.match(await shown(), /0001/);
    await session.change(at('ee.cfgdump'), 1, 6, 9, '');
    assert.match(await shown(), /0000/);
  });
});
