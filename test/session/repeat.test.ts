import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { Range, WorkspaceEdit } from 'vscode-languageserver-protocol';
import { TextDocument } from 'vscode-languageserver-textdocument';
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
