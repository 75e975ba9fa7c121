// The read-only view of memory images, as the server answers for it.
import assert from 'node:assert/strict';
import { crc32 } from 'node:zlib';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { CancellationTokenSource, LSPErrorCodes } from 'vscode-languageserver-protocol';
import { CLOSE_FILE, OPEN_FILE, READ_PIECE, type ReadPieceParams } from '../../shared-core/src/protocol/files.js';
import {
  CLOSE_IMAGE,
  IMAGE_PAGE,
  type ImagePage,
  OPEN_IMAGE,
  type OpenImageResult,
} from '../../shared-core/src/protocol/imageView.js';
import { STATUS } from '../../shared-core/src/protocol/status.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const uri = 'file:///car/a.hex';
const SMALL = ':0400000001020304F2\n:00000001FF\n';

/** Sound records of 16 bytes from address 0 on. */
function image(records: number): string {
  const data = Array.from({ length: 16 }, (_, i) => i * 17);
  const lines = Array.from({ length: records }, (_, i) => {
    const bytes = [16, (i >> 4) & 0xff, (i << 4) & 0xff, 0, ...data];
    const sum = -bytes.reduce((all, byte) => all + byte, 0) & 0xff;
    const page = i > 0 && i % 0x1000 === 0 ? `${extended(i >> 12)}\n` : '';
    return `${page}:${Buffer.from([...bytes, sum])
      .toString('hex')
      .toUpperCase()}\n`;
  });
  return `${lines.join('')}:00000001FF\n`;
}

function extended(upper: number): string {
  const bytes = [2, 0, 0, 4, upper >> 8, upper & 0xff];
  return `:${Buffer.from([...bytes, -bytes.reduce((all, byte) => all + byte, 0) & 0xff])
    .toString('hex')
    .toUpperCase()}`;
}

describe('the read-only view of an image, answered by the server', () => {
  let session: ServerSession;
  beforeEach(async () => {
    session = await serverSession();
  });
  afterEach(() => session.close());

  const open = (view = 1, of = uri) => {
    const params = { uri: of, view, linesOnPage: 2 };
    return session.connection.sendRequest<OpenImageResult>(OPEN_IMAGE, params);
  };
  const page = (at: object, view = 1) =>
    session.connection.sendRequest<ImagePage | null>(IMAGE_PAGE, { view, linesOnPage: 2, at });

  it('gives what the check came to, the regions with their sums, and a page at a time', async () => {
    session.files.set(uri, image(5));
    const opened = await open();
    assert.equal(opened.form, 'Intel HEX');
    assert.equal(opened.held, 80);
    assert.deepEqual(opened.problems, []);
    assert.match(
      opened.summary.join(' '),
      /no profile explains it.*Files checked: 1, no problem found in what was checked/,
    );
    const bytes = Buffer.from(Array.from({ length: 80 }, (_, i) => (i % 16) * 17));
    const sum = crc32(bytes).toString(16).toUpperCase().padStart(8, '0');
    assert.deepEqual(opened.regions, [{ from: 0, to: 79, crc32: sum }]);
    assert.deepEqual([opened.first.page, opened.first.pages], [0, 3]);
    assert.match(opened.first.text, /^0000 {2}00 11 22.*\n0010 {2}00 11 22.*$/);
    assert.match((await page({ page: 2 }))?.text ?? '', /^0040 {2}[^\n]*$/);
    assert.equal((await page({ page: 99 }))?.page, 2);
    const found = await page({ address: '0x35' });
    assert.deepEqual([found?.page, found?.line], [1, 1]);
    const refused = await page({ address: 'nowhere' });
    assert.deepEqual([refused?.page, refused?.refused], [0, 'An address is written in hex, such as 1F0.']);
  });

  it('holds the bytes of each view while that is open, and no longer', async () => {
    session.files.set(uri, SMALL);
    session.files.set('file:///car/b.hex', image(2));
    await open(1);
    await open(2, 'file:///car/b.hex');
    await session.connection.sendNotification(CLOSE_IMAGE, { view: 1 });
    assert.equal(await page({ page: 0 }, 1), null);
    assert.match((await page({ page: 0 }, 2))?.text ?? '', /^0000 {2}00 11/);
    assert.equal(await page({ page: 0 }, 3), null);
  });

  it('reads a file anew where its view is opened again, and holds nothing of one that cannot be read', async () => {
    session.files.set(uri, SMALL);
    await open();
    session.files.set(uri, ':01000000AB54\n:00000001FF\n');
    assert.equal((await open()).held, 1);
    assert.match((await page({ page: 0 }))?.text ?? '', /^0000 {2}AB/);
    session.files.set(uri, { special: 'pipe' });
    assert.deepEqual(await open(), { refused: 'a.hex cannot be read: it is no regular file' });
    session.files.delete(uri);
    assert.deepEqual(await open(), { refused: 'a.hex cannot be read: no such file' });
    assert.equal(await page({ page: 0 }), null);
    session.files.set('file:///car/a.cfgdump', '1: 00');
    const refused = {
      refused:
        'This file is no memory image. Open its bytes with the command Open as Dump Text, or check it with the command line: countersum check.',
    };
    assert.deepEqual(await open(1, 'file:///car/a.cfgdump'), refused);
  });

  it('says where an address lies behind all that is held, beside the last page', async () => {
    session.files.set(uri, image(5));
    await open();
    const beyond = await page({ address: '0x50' });
    assert.equal(beyond?.refused, 'Nothing is at 0050 or behind it: the last address is 004F.');
    assert.deepEqual([beyond?.page, beyond?.line], [2, undefined]);
    assert.equal((await page({ address: '0x4F' }))?.refused, undefined);
  });

  it('shows the file as it is saved, whatever is typed and not saved', async () => {
    session.files.set(uri, SMALL);
    await session.open(uri, SMALL.replace('F2', 'F3'));
    assert.equal((await session.diagnostics(uri)).length, 1);
    assert.deepEqual((await open()).problems, []);
  });

  it('lets a key that is pressed meanwhile have its answer first', async () => {
    session.files.set(uri, image(200_000));
    const other = 'file:///car/b.hex';
    await session.open(other, SMALL);
    const answers: string[] = [];
    const opening = open().then(() => answers.push('image'));
    await session.connection.sendRequest(STATUS, { uri: other });
    answers.push('status');
    await opening;
    assert.deepEqual(answers, ['status', 'image']);
  });

  it('ends a reading that is taken back, closed or begun anew, and holds nothing of it', async () => {
    session.files.set(uri, image(200_000));
    const cancelled = { code: LSPErrorCodes.RequestCancelled };
    const source = new CancellationTokenSource();
    const params = { uri, view: 1, linesOnPage: 2 };
    const taken = session.connection.sendRequest(OPEN_IMAGE, params, source.token);
    source.cancel();
    await assert.rejects(taken, cancelled);
    assert.equal(await page({ page: 0 }), null);
    const closed = open();
    await session.connection.sendNotification(CLOSE_IMAGE, { view: 1 });
    await assert.rejects(closed, cancelled);
    assert.equal(await page({ page: 0 }), null);
    const [first, second] = [open(), open()];
    await assert.rejects(first, cancelled);
    assert.equal((await second).held, 3_200_000);
    assert.match((await page({ page: 0 }))?.text ?? '', /^0000/);
  });

  it('ends a reading when the server shuts down', async () => {
    session.files.set(uri, image(200_000));
    const opening = assert.rejects(open(), { code: LSPErrorCodes.RequestCancelled });
    await session.connection.sendRequest('shutdown');
    await opening;
  });

  describe('of a file that only the client can reach', () => {
    const away = 'memory:///car/a.hex';
    let text: string;
    let pieces: ReadPieceParams[];
    let closed: number[];
    const handOver = async (piece = (bytes: Buffer) => bytes) => {
      session.close();
      session = await serverSession(FULL_CLIENT, { pieces: true });
      [pieces, closed] = [[], []];
      session.connection.onRequest(OPEN_FILE, () => ({ file: 7, size: text.length }));
      session.connection.onRequest(READ_PIECE, (params: ReadPieceParams) => {
        pieces.push(params);
        const bytes = Buffer.from(text).subarray(params.from, params.from + params.count);
        return { base64: piece(bytes).toString('base64') };
      });
      session.connection.onNotification(CLOSE_FILE, ({ file }: { file: number }) => void closed.push(file));
    };

    it('is the same, read in pieces', async () => {
      text = image(20_000);
      session.files.set(uri, text);
      const here = await open();
      await handOver();
      assert.deepEqual(await open(1, away), here);
      assert.equal(pieces.length, Math.ceil(text.length / (1 << 18)));
      assert.deepEqual(closed, [7]);
    });

    it('is given up at the next piece where its view is closed', async () => {
      text = image(50_000);
      await handOver();
      const opening = assert.rejects(open(1, away), { code: LSPErrorCodes.RequestCancelled });
      while (pieces.length === 0) await new Promise((resolve) => setTimeout(resolve, 1));
      await session.connection.sendNotification(CLOSE_IMAGE, { view: 1 });
      await opening;
      await page({ page: 0 });
      assert.ok(pieces.length < text.length / (1 << 18), String(pieces.length));
      assert.deepEqual(closed, [7]);
    });

    it('is refused where the client hands over too little', async () => {
      text = SMALL;
      await handOver((bytes) => bytes.subarray(1));
      assert.deepEqual(await open(1, away), { refused: 'a.hex cannot be read: it was changed while it was read' });
      await page({ page: 0 });
      assert.deepEqual(closed, [7]);
    });
  });
});
