import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { Hover, InlayHint } from 'vscode-languageserver-protocol';
import { OPTIONS, type OptionsResult, SET_OPTION } from '../../shared-core/src/protocol/options.js';
import { KEPT_VALUES, keptValues } from '../support/keptValues.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///any/a.cfgdump';

async function opened(text: string, locale = 'en'): Promise<ServerSession> {
  const session = await serverSession(FULL_CLIENT, { commands: true }, locale);
  session.files.set('file:///any/p.dump-profile.json', JSON.stringify(KEPT_VALUES));
  await session.open(URI, text);
  return session;
}

describe('values as modules keep them, in the editor', () => {
  it('are beside their lines in words', async () => {
    const session = await opened(keptValues());
    const hints = await session.connection.sendRequest<InlayHint[]>('textDocument/inlayHint', {
      textDocument: { uri: URI },
      range: { start: { line: 0, character: 0 }, end: { line: 9, character: 0 } },
    });
    const labels = JSON.stringify(hints);
    for (const words of [
      'Mileage: 12345 km',
      'Made on: 2024-02-29',
      'Limit: not set',
      'Trim: plain',
      'Plate: \\"123\\"',
    ])
      assert.ok(labels.includes(words), `${words} in ${labels}`);
    session.close();
  });

  it('are told where somebody points, with all places of bits that lie apart and the special values', async () => {
    const session = await opened(keptValues());
    const text = keptValues().split('\n');
    const hover = async (row: number, byte: number) => {
      const character = (text[row]?.indexOf(': ') ?? 0) + 2 + 3 * (byte - 1);
      const found = await session.connection.sendRequest<Hover>('textDocument/hover', {
        textDocument: { uri: URI },
        position: { line: row, character },
      });
      return JSON.stringify(found.contents);
    };
    for (const byte of [1, 3]) {
      const trim = await hover(3, byte);
      assert.match(trim, /Trim.*Line 2, byte 1, bits 1 to 0; Line 2, byte 3, bit 7.*plain/);
    }
    assert.match(await hover(2, 7), /Limit.*not set.*FF.*not set ← now/);
    session.close();
  });

  it('are listed with what may be written, and set by it', async () => {
    const session = await opened(keptValues());
    const { options } = await session.connection.sendRequest<OptionsResult>(OPTIONS, { uri: URI });
    const told = new Map(options.map(({ id, form, now, limits }) => [id, [form, now, limits]] as const));
    assert.deepEqual(told.get('made'), ['date', '2024-02-29', 'A date or time, such as 2024-02-29, or "never"']);
    assert.deepEqual(told.get('limit'), ['number', 'not set', 'A number from 0 to 255 km/h, or "not set"']);
    assert.deepEqual(told.get('mileage'), ['number', '12345 km', 'A number from 0 to 999999 km']);
    assert.deepEqual(told.get('plate'), ['text', '"123"', 'Up to 4 decimal digits']);
    assert.deepEqual(told.get('trim'), ['values', 'plain', null]);
    const set = (id: string, written: string) =>
      session.connection.sendRequest<{ readonly why?: string }>(SET_OPTION, { uri: URI, id, to: { written } });
    assert.match(JSON.stringify(await set('made', '29. Februar 2020')), /2020-02-29/);
    assert.match(JSON.stringify(await set('made', '2021-02-29')), /takes a date or time that exists/);
    session.close();
  });

  it('have quick fixes for their special values', async () => {
    const session = await opened(keptValues({ 1: '01 23 45 31 02 24 50 00' }));
    const problem = (await session.diagnostics(URI)).find(({ code }) => code === 'option-value');
    assert.ok(problem);
    const actions = await session.actions(URI, problem.range.start.line, problem.range.start.character);
    const never = actions.find(({ title }) => title.startsWith('Set Made on to never'));
    assert.ok(never, actions.map(({ title }) => title).join('\n'));
    assert.match(session.after(URI, never), /01 23 45 00 00 00 50 00/);
    session.close();
  });

  it('show a date as it is written in the language of the person, and take it so', async () => {
    const session = await opened(keptValues(), 'de');
    const { options } = await session.connection.sendRequest<OptionsResult>(OPTIONS, { uri: URI });
    const made = options.find(({ id }) => id === 'made');
    assert.deepEqual([made?.now, made?.limits], ['29.02.2024', 'Datum oder Uhrzeit, etwa 29.02.2024, oder "never"']);
    const hover = await session.hover(URI, 2, 14);
    assert.match(JSON.stringify(hover), /Made on.*29\.02\.2024/);
    const set = await session.connection.sendRequest<object>(SET_OPTION, {
      uri: URI,
      id: 'made',
      to: { written: '28.02.2024' },
    });
    assert.match(JSON.stringify(set), /28\.02\.2024/);
    session.close();
  });
});
