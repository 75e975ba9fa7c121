// A dump without its headers, for the program that loads it: the bytes of its file less those lines, in whatever encoding.
import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { bytesOfBase64 } from '../../shared-core/src/base/index.js';
import { TEXT_TO_LOAD, type TextToLoadResult } from '../../shared-core/src/protocol/convert.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const PROFILE = JSON.stringify({
  format: 1,
  lines: { from: 1, to: 2, data: 1, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['data'] },
});
const HEADERS = '@profile p.dump-profile.json\r\n@vehicle M\u00fcller\r\n';
const LINES = '# K\u00fcche\r\n1: 00 | 00\r\n2: 01 | 01\r\n';
const at = (name: string) => `file:///car/${name}`;

/** Bytes of the two encodings of Unicode that put a mark first (RFC 2781), and of Windows-1252, whose letters here are Latin-1. */
const ENCODINGS: Readonly<Record<string, (text: string) => Uint8Array>> = {
  'UTF-16': (text) => Buffer.from(`\ufeff${text}`, 'utf16le'),
  'UTF-16 with the high byte first': (text) => Buffer.from(`\ufeff${text}`, 'utf16le').swap16(),
  'UTF-8 with a mark': (text) => Buffer.from(`\ufeff${text}`),
  'UTF-8': (text) => Buffer.from(text),
  'Windows-1252': (text) => Buffer.from(text, 'latin1'),
};

describe('a dump without headers, to load into the module', () => {
  let session: ServerSession;
  beforeEach(async () => {
    session = await serverSession();
    session.files.set(at('p.dump-profile.json'), PROFILE);
  });
  afterEach(() => session.close());
  const toLoad = (uri: string) => session.connection.sendRequest<TextToLoadResult>(TEXT_TO_LOAD, { uri });

  for (const [name, encode] of Object.entries(ENCODINGS))
    it(`is in ${name} where the dump is, with its line ends`, async () => {
      session.files.set(at('a.cfgdump'), encode(HEADERS + LINES));
      await session.open(at('a.cfgdump'), HEADERS + LINES);
      const { base64 } = await toLoad(at('a.cfgdump'));
      assert.deepEqual(Buffer.from(bytesOfBase64(base64)), Buffer.from(encode(LINES)));
    });
});
