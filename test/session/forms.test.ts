import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { convert } from '../../shared-core/src/convert/index.js';
import { FORMS, type FormId } from '../../shared-core/src/format/index.js';
import { bindText } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { BACKUP, type BackupResult } from '../../shared-core/src/protocol/backup.js';
import { SET_OPTION } from '../../shared-core/src/protocol/options.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const PROFILE = {
  format: 1,
  addresses: { from: 0, to: 0x23 },
  options: [{ id: 'wiper', title: 'Rear wiper', address: '0x11', bits: 0, values: { 0: 'no', 1: 'yes' } }],
  totals: [{ name: 'image sum', method: 'add', bits: 16, order: 'big', over: [{ from: 0, to: 0x21 }], address: 0x22 }],
};
const DATA = Array.from({ length: 34 }, (_, i) => 0x5a + i);
const SUM = DATA.reduce((all, byte) => all + byte, 0);
const written = (id: FormId, sum: number) => {
  const bytes = Buffer.from([...DATA, sum >> 8, sum & 0xff]).toString('hex');
  const converted = convert(bindText('a.cfgdump', `0x0: ${bytes}\n`, EMPTY_PROFILE), id);
  assert.ok(converted.ok);
  return converted.value.text;
};

describe('a session over every written form', () => {
  let session: ServerSession;
  beforeEach(async () => {
    session = await serverSession({
      ...FULL_CLIENT,
      textDocument: {
        ...FULL_CLIENT.textDocument,
        semanticTokens: { requests: { full: true }, tokenTypes: [], tokenModifiers: [], formats: ['relative'] },
      },
    });
  });
  afterEach(() => session.close());

  for (const { id, image, endings, commentSign, headers } of FORMS) {
    // A hex view cannot name a profile.
    if (image === undefined || headers === 'none') continue;
    const uri = `file:///car/a.${endings[0]}`;
    const header = `${commentSign} @profile p.dump-profile.json\n`;

    it(`${id}: a wrong file sum is found and righted, a hover tells of it, tokens are in order`, async () => {
      session.files.set('file:///car/p.dump-profile.json', JSON.stringify(PROFILE));
      const wrong = written(id, SUM ^ 1) + header;
      await session.open(uri, wrong);
      const found = await session.diagnostics(uri);
      assert.deepEqual(
        found.map(({ code }) => code),
        ['total-sum'],
      );
      const { line, character } = found[0]?.range.start ?? { line: 0, character: 0 };
      const actions = await session.actions(uri, line, character);
      const texts = actions.map((action) => session.after(uri, action));
      assert.ok(texts.includes(written(id, SUM) + header), texts.join('\n\n'));
      assert.match(JSON.stringify(await session.hover(uri, line, character + 1)), /image sum/);
      const { data } = (await session.connection.sendRequest('textDocument/semanticTokens/full', {
        textDocument: { uri },
      })) as { data: number[] };
      for (let i = 0; i < data.length; i += 5) {
        assert.ok(
          data.slice(i, i + 3).every((value) => value >= 0),
          `${data.slice(i, i + 5)}`,
        );
        assert.ok((data[i + 2] ?? 0) > 0);
      }
    });

    it(`${id}: typed text is checked as if it were read anew, and an option is set`, async () => {
      session.files.set('file:///car/p.dump-profile.json', JSON.stringify(PROFILE));
      const text = written(id, SUM) + header;
      await session.open(uri, text);
      await session.change(uri, 0, 0, 0, '\n');
      await session.change(uri, 0, 0, 0, 'x y');
      await session.change(uri, 0, 0, 3, '');
      assert.deepEqual(await session.diagnostics(uri), []);
      const result = await session.connection.sendRequest(SET_OPTION, {
        uri,
        id: 'wiper',
        to: { written: 'no' },
      });
      assert.ok('edit' in (result as object), JSON.stringify(result));
    });
  }

  it('a hex view is checked anew as a whole when one character of it changes', async () => {
    const uri = 'file:///car/a.xxd';
    await session.open(uri, '00000000: 0031 ffff  .1..\n');
    assert.deepEqual(await session.diagnostics(uri), []);
    const codes = async () => (await session.diagnostics(uri)).map(({ code }) => code);
    await session.change(uri, 0, 10, 25, '0001 ffff  ....');
    assert.deepEqual(await codes(), ['address-unknown']);
    await session.change(uri, 0, 10, 25, '0031 ffff  .1..');
    assert.deepEqual(await codes(), []);
  });

  it('a hex view gets no headers, as programs would read them as data: those of its backup are for a file beside it', async () => {
    const uri = 'file:///car/a.xxd';
    const text = written('hex-view', SUM);
    session.files.set(uri, text);
    await session.open(uri, text);
    const result = await session.connection.sendRequest<BackupResult>(BACKUP, { uri });
    assert.equal(result.text, text);
    assert.match(result.beside ?? '', /^@seal /m);
  });

  it('a text that may be in several forms has one problem on its first line, which names them', async () => {
    await session.open('file:///car/a.txt', '@0100\n31 32 33\n');
    const [only, ...others] = await session.diagnostics('file:///car/a.txt');
    assert.deepEqual([only?.range.start.line, others], [0, []]);
    assert.match(String(only?.message), /ti-txt, verilog/);
  });
});
