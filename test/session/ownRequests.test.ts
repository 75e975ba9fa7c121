// The extension's own requests, with what no client of ours sends.
import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { ErrorCodes } from 'vscode-languageserver-protocol';
import { base64Of } from '../../shared-core/src/base/index.js';
import {
  CLOSE_FILE,
  LIST_FILES,
  LIST_FOLDER,
  OPEN_FILE,
  READ_FILE,
  READ_PIECE,
} from '../../shared-core/src/protocol/files.js';
import { CLOSE_IMAGE, IMAGE_PAGE, OPEN_IMAGE } from '../../shared-core/src/protocol/imageView.js';
import { JOBS_CHANGED, OFFER_PLANS } from '../../shared-core/src/protocol/jobs.js';
import { RAW_BYTES, RAW_FILE, RAW_TEXT, type RawBytesResult } from '../../shared-core/src/protocol/raw.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';
import { sourcesBelow } from '../support/sources.js';

/** All names of requests and notifications; those that only the server sends are answered as unknown. */
const METHODS = sourcesBelow('shared-core/src/protocol').flatMap(({ text }) =>
  [...text.matchAll(/= '(countersum\/\w+)';/g)].map(([, method = '']) => method),
);
const WITHOUT_PARAMS: readonly string[] = [LIST_FILES];
const NOT_ASKED: readonly string[] = [
  CLOSE_FILE,
  CLOSE_IMAGE,
  JOBS_CHANGED,
  LIST_FOLDER,
  OFFER_PLANS,
  OPEN_FILE,
  RAW_FILE,
  READ_FILE,
  READ_PIECE,
];

describe('a request of the extension', () => {
  let session: ServerSession;
  beforeEach(async () => {
    session = await serverSession();
    await session.open('file:///car/a.cfgdump', '1: 00 00\n');
  });
  afterEach(() => session.close());

  const errorOf = (method: string, params: unknown) =>
    session.connection.sendRequest(method, params).then(
      () => undefined,
      ({ code, message }: { code: number; message: string }) => ({ code, message }),
    );

  for (const method of METHODS.filter((one) => !WITHOUT_PARAMS.includes(one) && !NOT_ASKED.includes(one)))
    it(`is told what is missing or wrong in its parameters: ${method}`, async () => {
      for (const params of [undefined, {}, { uri: 5 }, { uri: null, view: 'x' }, [1]]) {
        const error = await errorOf(method, params);
        assert.equal(error?.code, ErrorCodes.InvalidParams, `${JSON.stringify(params)}: ${error?.message}`);
        assert.match(error?.message ?? '', /^"[a-zA-Z0-9]+" of countersum\/[a-zA-Z]+ is missing/);
      }
    });

  it('for a page of an image wants a number of lines that a page can have', async () => {
    const uri = 'file:///car/a.hex';
    session.files.set(uri, ':0400000001020304F2\n:00000001FF\n');
    for (const linesOnPage of [0, null, -1, 0.5, '2']) {
      assert.equal((await errorOf(OPEN_IMAGE, { uri, view: 1, linesOnPage }))?.code, ErrorCodes.InvalidParams);
      const at = { page: 0 };
      assert.equal((await errorOf(IMAGE_PAGE, { view: 1, linesOnPage, at }))?.code, ErrorCodes.InvalidParams);
    }
  });

  it('takes as raw bytes only what is written in base64', async () => {
    for (const base64 of ['***', 'AAA', 'AA==AA==', 'AA=A', 'é===', ' AAA'])
      assert.equal((await errorOf(RAW_TEXT, { base64, headers: '' }))?.code, ErrorCodes.InvalidParams, `"${base64}"`);
    for (const base64 of ['', 'AA==', 'AAA=', 'AAAA', '+/9a'])
      assert.equal(await errorOf(RAW_TEXT, { base64, headers: '' }), undefined, `"${base64}"`);
  });

  it('gives no bytes for a file that has another number of them', async () => {
    const bytesFor = (text: string, size: number | null) =>
      session.connection.sendRequest<RawBytesResult>(RAW_BYTES, { text, size });
    const base64 = base64Of(new Uint8Array([1, 2, 3]));
    for (const size of [3, 0, null])
      assert.deepEqual(await bytesFor('0000: 01 02 03\n', size), { base64, headers: '', isSealed: false }, `${size}`);
    for (const size of [4, 2])
      assert.deepEqual(await bytesFor('0000: 01 02 03\n', size), {
        refused: `it has ${size} bytes, and this text has 3`,
      });
  });
});
