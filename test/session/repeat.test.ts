import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { Range, WorkspaceEdit } from 'vscode-languageserver-protocol';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { OPTIONS, type OptionsResult, SET_OPTION } from '../../shared-core/src/protocol/options.js';
import { FULL_CLIENT, serverSession } from '../support/serverSession.js';

const FOLDER = 'file:///any/';
const PROFILE = `${FOLDER}p.dump-profile.json`;
const OTHER = `${FOLDER}q.dump-profile.json`;
const RETROFIT = `${FOLDER}r.retrofit.json`;

const PROFILE_TEXT = JSON.stringify(
  {
    format: 1,
    lines: { from: 1, to: 2, data: 4, sum: 0 },
    options: [
      { id: 'wheel', line: 1, byte: 1, number: {}, repeat: { count: 3, step: 1 } },
      { id: 'wheel.x', line: 2, byte: 1, number: {}, needs: [{ option: 'wheel.2', in: ['1'] }] },
      { id: 'tyre.3', line: 2, byte: 2, number: {} },
    ],
  },
  undefined,
  2,
);
const FILES = new Map([
  [PROFILE, PROFILE_TEXT],
  [
    OTHER,
    JSON.stringify({
      format: 1,
      options: [
        {
          id: 'wheel',
          line: 1,
          byte: 1,
          number: {},
          needs: [{ profile: 'p.dump-profile.json', option: 'wheel.3', in: ['1'] }],
        },
      ],
    }),
  ],
  [
    RETROFIT,
    JSON.stringify({
      format: 1,
      title: 'r',
      changes: [{ profile: 'p.dump-profile.json', set: { 'wheel.1': '7', 'wheel.x': '1', 'wheel.9': '2' } }],
    }),
  ],
]);

/** Asks for a rename at the first place of some words, and gives each text that would be replaced with its file. */
async function renamed(uri: string, words: string, newName: string) {
  const session = await serverSession({ ...FULL_CLIENT, workspace: {} });
  for (const [file, text] of FILES) session.files.set(file, text);
  try {
    const position = TextDocument.create(uri, 'json', 0, FILES.get(uri) ?? '').positionAt(
      (FILES.get(uri) ?? '').indexOf(words) + 2,
    );
    const params = { textDocument: { uri }, position };
    const prepared = await session.connection.sendRequest<{ range: Range; placeholder: string }>(
      'textDocument/prepareRename',
      params,
    );
    const edit = await session.connection.sendRequest<WorkspaceEdit>('textDocument/rename', { ...params, newName });
    const edits = Object.entries(edit.changes ?? {}).map(([file, changes]) => {
      const document = TextDocument.create(file, 'json', 0, FILES.get(file) ?? '');
      return [file.slice(FOLDER.length), TextDocument.applyEdits(document, changes)] as const;
    });
    return { placeholder: prepared.placeholder, texts: new Map(edits) };
  } finally {
    session.close();
  }
}

describe('rename of an option that is there several times', () => {
  it('reaches its description and each of a kind where it is named, from any of them', async () => {
    const { placeholder, texts } = await renamed(PROFILE, '"wheel"', 'rim');
    assert.equal(placeholder, 'wheel');
    assert.equal(
      texts.get('p.dump-profile.json'),
      PROFILE_TEXT.replace('"wheel"', '"rim"').replace('"wheel.2"', '"rim.2"'),
    );
    assert.equal(texts.get('q.dump-profile.json'), FILES.get(OTHER)?.replace('wheel.3', 'rim.3'));
    assert.equal(texts.get('r.retrofit.json'), FILES.get(RETROFIT)?.replace('wheel.1', 'rim.1'));
    for (const [uri, words] of [
      [PROFILE, '"wheel.2"'],
      [OTHER, '"wheel.3"'],
      [RETROFIT, '"wheel.1"'],
    ] as const)
      assert.deepEqual(await renamed(uri, words, 'rim'), { placeholder, texts });
  });

  it('is refused where one of a kind would be called as another option is', async () => {
    await assert.rejects(renamed(PROFILE, '"wheel"', 'tyre'), /The profile has an option "tyre" already/);
    await assert.rejects(renamed(PROFILE, '"tyre.3"', 'wheel.2'), /already/);
  });
});

const TABLE = {
  format: 1,
  lines: { from: 1, to: 1, data: 4, sum: 0 },
  options: [
    {
      id: 'curve',
      title: 'Injection',
      line: 1,
      byte: 1,
      number: { scale: 0.5, unit: 'ms' },
      repeat: { count: 3, step: 1, axis: { name: 'Engine speed', unit: 'rpm', at: [0, 500, 1000] } },
    },
    { id: 'alone', line: 1, byte: 4, number: {} },
  ],
};

describe('a table', () => {
  async function opened() {
    const session = await serverSession(undefined, { commands: true });
    session.files.set(PROFILE, JSON.stringify(TABLE));
    const uri = `${FOLDER}a.cfgdump`;
    await session.open(uri, '@profile p.dump-profile.json\n1: 02 03 04 05\n');
    return { session, uri };
  }

  it('is shown whole in the hover of any of its entries, that one marked', async () => {
    const { session, uri } = await opened();
    const hover = await session.hover(uri, 1, 6);
    const text = JSON.stringify(hover);
    assert.ok(text.includes('**Injection (500 rpm)**: 1'), text);
    const table = [
      '| Engine speed | Injection |',
      '| --- | --- |',
      '| 0 rpm | 1 ms |',
      String.raw`| **500 rpm** | **1\.5 ms** |`,
      '| 1000 rpm | 2 ms |',
    ];
    assert.ok(text.includes(JSON.stringify(table.join('\n')).slice(1, -1)), text);
    assert.ok(!JSON.stringify(await session.hover(uri, 1, 12)).includes('Engine speed'));
    session.close();
  });

  it('is one in the list of options, each entry of which is set by itself', async () => {
    const { session, uri } = await opened();
    const { options } = await session.connection.sendRequest<OptionsResult>(OPTIONS, { uri });
    const table = { id: 'curve', title: 'Injection', axis: 'Engine speed' };
    assert.deepEqual(
      options.map((option) => [option.id, option.now, option.table]),
      [
        ['curve.1', '1 ms', { ...table, at: '0 rpm' }],
        ['curve.2', '1.5 ms', { ...table, at: '500 rpm' }],
        ['curve.3', '2 ms', { ...table, at: '1000 rpm' }],
        ['alone', '5', null],
      ],
    );
    const set = await session.connection.sendRequest<{ edit?: unknown }>(SET_OPTION, {
      uri,
      id: 'curve.3',
      to: { written: '12.5' },
    });
    assert.match(JSON.stringify(set), /"newText":"1".*"newText":"9"/);
    session.close();
  });

  it('has no entry off its end', async () => {
    const { session, uri } = await opened();
    const asked = (id: string) =>
      session.connection.sendRequest<object>(SET_OPTION, { uri, id, to: { written: '1' } }).then(
        (answer) => JSON.stringify(answer),
        (error: unknown) => String(error),
      );
    assert.match(await asked('curve.4'), /is there 3 times, from .*curve\.1.* to .*curve\.3.*: there is no .*curve\.4/);
    assert.match(await asked('curve'), /is there 3 times: name one of them/);
    session.close();
  });
});
