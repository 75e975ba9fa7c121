import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type {
  DocumentHighlight,
  DocumentLink,
  Location,
  LocationLink,
  Range,
  SelectionRange,
  TextDocumentEdit,
  WorkspaceEdit,
  WorkspaceSymbol,
} from 'vscode-languageserver-protocol';
import { ShowMessageNotification } from 'vscode-languageserver-protocol';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const FOLDER = 'file:///demo/';
const REAR = `${FOLDER}rear-body.cfgdump`;
const REAR_PROFILE = `${FOLDER}rear-body.dump-profile.json`;
const RETROFIT = `${FOLDER}trailer-socket.retrofit.json`;
const NAMES = [
  'rear-body.cfgdump',
  'rear-body.as-found.cfgdump',
  'rear-body.dump-profile.json',
  'cluster.cfgdump',
  'cluster.as-found.cfgdump',
  'cluster.dump-profile.json',
  'trailer-socket.retrofit.json',
];

const CLIENT = {
  textDocument: { ...FULL_CLIENT.textDocument, definition: { linkSupport: true }, rename: { prepareSupport: true } },
  workspace: {
    ...FULL_CLIENT.workspace,
    workspaceEdit: { documentChanges: true },
    fileOperations: { willRename: true },
  },
};

async function inDemo(run: (session: ServerSession) => Promise<void>, capabilities: object = CLIENT): Promise<void> {
  const session = await serverSession(capabilities);
  for (const name of NAMES) session.files.set(FOLDER + name, demoFile(name));
  await session.open(REAR, demoFile('rear-body.cfgdump'));
  try {
    await run(session);
  } finally {
    session.close();
  }
}

function at<T>(
  { connection }: ServerSession,
  method: string,
  uri: string,
  place: Place,
  more: object = {},
): Promise<T> {
  const [line, character] = place;
  return connection.sendRequest<T>(`textDocument/${method}`, {
    textDocument: { uri },
    position: { line, character },
    ...more,
  });
}

type Place = readonly [line: number, character: number];

/** The place of the n-th occurrence of a text in a demo file, plus some characters. */
function placeIn(name: string, text: string, { nth = 1, plus = 1 } = {}): Place {
  const whole = demoFile(name);
  let offset = -1;
  for (let i = 0; i < nth; i++) offset = whole.indexOf(text, offset + 1);
  assert.ok(offset >= 0, text);
  const before = whole.slice(0, offset + plus).split('\n');
  return [before.length - 1, before.at(-1)?.length ?? 0];
}

function textAt(uri: string, range: Range): string {
  return TextDocument.create(uri, '', 0, demoFile(uri.slice(FOLDER.length))).getText(range);
}

const SOCKET: Place = [11, 10];

describe('go to definition', () => {
  it('leads from an option digit to its description in the profile', async () => {
    await inDemo(async (session) => {
      const [link, ...rest] = await at<LocationLink[]>(session, 'definition', REAR, SOCKET);
      assert.deepEqual(rest, []);
      assert.equal(link?.targetUri, REAR_PROFILE);
      assert.equal(textAt(REAR_PROFILE, link.targetSelectionRange), 'trailer-socket');
      assert.match(textAt(REAR_PROFILE, link.targetRange), /^\{\s*"id": "trailer-socket"[\s\S]*\}$/);
      assert.equal(link.originSelectionRange && textAt(REAR, link.originSelectionRange), '2');
    });
  });

  it('leads from the file sum to the total, from a path to its file, and is a place for clients without links', async () => {
    await inDemo(async (session) => {
      const [total] = await at<Location[]>(session, 'definition', REAR, [26, 8]);
      assert.match(total ? textAt(total.uri, total.range) : '', /"name": "file sum"/);
      const [backup] = await at<Location[]>(session, 'definition', REAR, placeIn('rear-body.cfgdump', 'rear-body.as-'));
      assert.equal(backup?.uri, `${FOLDER}rear-body.as-found.cfgdump`);
    }, FULL_CLIENT);
  });

  it('leads from a condition and from a retrofit to the option they mean', async () => {
    await inDemo(async (session) => {
      const needs = placeIn('rear-body.dump-profile.json', 'rear-fog-cutout');
      const [needed] = await at<LocationLink[]>(session, 'definition', REAR_PROFILE, needs);
      assert.equal(needed && textAt(needed.targetUri, needed.targetSelectionRange), 'rear-fog-cutout');
      assert.notEqual(needed?.targetSelectionRange.start.line, needs[0]);
      const set = placeIn('trailer-socket.retrofit.json', 'trailer-lamp');
      const [lamp] = await at<LocationLink[]>(session, 'definition', RETROFIT, set);
      assert.equal(lamp?.targetUri, `${FOLDER}cluster.dump-profile.json`);
    });
  });

  it('finds nothing where nothing is', async () => {
    await inDemo(async (session) => {
      assert.deepEqual(await at(session, 'definition', REAR, [0, 3]), []);
      assert.deepEqual(await at(session, 'definition', `${FOLDER}gone.cfgdump`, [0, 3]), []);
    });
  });
});

describe('references', () => {
  const said = (found: readonly Location[]) =>
    found.map(({ uri, range }) => `${uri.slice(FOLDER.length)} ${textAt(uri, range)}`).sort();

  it('of an option are its ids and its digits in all dumps, from dump and profile alike', async () => {
    await inDemo(async (session) => {
      const context = { context: { includeDeclaration: true } };
      const fromDump = said(await at<Location[]>(session, 'references', REAR, SOCKET, context));
      assert.deepEqual(
        fromDump,
        [
          'rear-body.as-found.cfgdump 0',
          'rear-body.cfgdump 2',
          'rear-body.dump-profile.json trailer-socket',
          'rear-body.dump-profile.json trailer-socket',
          'rear-body.dump-profile.json trailer-socket',
          ...(demoFile('cluster.dump-profile.json').includes('trailer-socket')
            ? ['cluster.dump-profile.json trailer-socket']
            : []),
          'trailer-socket.retrofit.json trailer-socket',
        ].sort(),
      );
      const id = placeIn('rear-body.dump-profile.json', 'trailer-socket');
      assert.deepEqual(said(await at<Location[]>(session, 'references', REAR_PROFILE, id, context)), fromDump);
    });
  });

  it('leave the description out where it is not asked for, and see what is not saved', async () => {
    await inDemo(async (session) => {
      await session.change(REAR, 11, 10, 11, '1');
      const context = { context: { includeDeclaration: false } };
      const found = await at<Location[]>(session, 'references', REAR, SOCKET, context);
      const described = placeIn('rear-body.dump-profile.json', 'trailer-socket');
      assert.ok(!found.some(({ uri, range }) => uri === REAR_PROFILE && range.start.line === described[0]));
      assert.ok(found.some(({ uri }) => uri === REAR));
    });
  });
});

describe('rename of an option', () => {
  async function renamed(session: ServerSession, uri: string, place: Place, newName: string): Promise<string[]> {
    const edit = await at<WorkspaceEdit>(session, 'rename', uri, place, { newName });
    return (edit.documentChanges as TextDocumentEdit[]).flatMap(({ textDocument, edits }) =>
      edits.map((one) => `${textDocument.uri.slice(FOLDER.length)} ${textAt(textDocument.uri, one.range)}`),
    );
  }

  it('reaches its profile, conditions and retrofits, from any of them', async () => {
    await inDemo(async (session) => {
      const profile = placeIn('rear-body.dump-profile.json', 'trailer-socket');
      assert.deepEqual(await at(session, 'prepareRename', REAR_PROFILE, profile), {
        range: {
          start: { line: profile[0], character: profile[1] - 1 },
          end: { line: profile[0], character: profile[1] + 13 },
        },
        placeholder: 'trailer-socket',
      });
      const found = await renamed(session, REAR_PROFILE, profile, 'towing.socket');
      assert.ok(found.length >= 3);
      assert.ok(found.every((one) => one.endsWith(' trailer-socket')));
      assert.ok(found.some((one) => one.startsWith('trailer-socket.retrofit.json')));
      const fromRetrofit = placeIn('trailer-socket.retrofit.json', '"trailer-socket"', { plus: 2 });
      assert.deepEqual((await renamed(session, RETROFIT, fromRetrofit, 'towing.socket')).sort(), found.sort());
    });
  });

  it('is refused on a dump, for what is no id, for one that is taken, and beside a torn file that names it', async () => {
    await inDemo(async (session) => {
      const place = placeIn('rear-body.dump-profile.json', 'trailer-socket');
      await assert.rejects(at(session, 'prepareRename', REAR, SOCKET), /Rename the option in its profile/);
      await assert.rejects(at(session, 'rename', REAR_PROFILE, place, { newName: 'two words' }), /can be no id/);
      await assert.rejects(at(session, 'rename', REAR_PROFILE, place, { newName: 'tailgate' }), /already/);
      await assert.rejects(at(session, 'prepareRename', REAR_PROFILE, [0, 0]), /Only the id/);
      session.files.set(RETROFIT, '{ "trailer-socket"');
      await assert.rejects(at(session, 'rename', REAR_PROFILE, place, { newName: 'x' }), /has a JSON error/);
    });
  });

  it('gives plain changes to clients that know no others', async () => {
    await inDemo(
      async (session) => {
        const place = placeIn('rear-body.dump-profile.json', 'trailer-socket');
        const { changes } = await at<WorkspaceEdit>(session, 'rename', REAR_PROFILE, place, { newName: 'x' });
        assert.ok(changes?.[RETROFIT]?.every(({ newText }) => newText === 'x'));
      },
      { ...FULL_CLIENT, workspace: {} },
    );
  });
});

describe('highlights', () => {
  const KINDS = ['', 'text', 'read', 'write'];
  async function marked(session: ServerSession, place: Place): Promise<string[]> {
    const found = await at<DocumentHighlight[]>(session, 'documentHighlight', REAR, place);
    return found.map(({ range, kind }) => `${range.start.line} ${textAt(REAR, range)} ${KINDS[kind ?? 0]}`);
  }

  it('of an option are its digits, what it needs, and the sums that move with it', async () => {
    await inDemo(async (session) => {
      assert.deepEqual(await marked(session, SOCKET), ['11 2 read', '11 1 text', '11 88 write', '26 21 B2 write']);
    });
  });

  it('of a line sum are the number and the data that it covers', async () => {
    await inDemo(async (session) => {
      assert.deepEqual(await marked(session, [11, 25]), ['11 88 write', '11 4 read', '11 08 03 21 7F  00 FF read']);
    });
  });

  it('of the file sum are all bytes it covers', async () => {
    await inDemo(async (session) => {
      const found = await marked(session, [26, 8]);
      assert.equal(found[0], '26 21 B2 write');
      assert.equal(found.length, 19);
      assert.ok(found.includes('11 08 03 21 7F  00 FF read'));
    });
  });
});

describe('selection', () => {
  it('grows from digit to byte, data, bytes of the line, line, group and dump', async () => {
    await inDemo(async ({ connection }) => {
      const [grown] = await connection.sendRequest<SelectionRange[]>('textDocument/selectionRange', {
        textDocument: { uri: REAR },
        positions: [{ line: 11, character: 10 }],
      });
      const texts: string[] = [];
      for (let range = grown; range !== undefined; range = range.parent) texts.push(textAt(REAR, range.range));
      const [digit, byte, data, bytes, trimmed, line, group, whole, ...rest] = texts;
      assert.deepEqual(
        [digit, byte, data, bytes, trimmed, line],
        [
          '2',
          '21',
          '08 03 21 7F  00 FF',
          '08 03 21 7F  00 FF | 88',
          '4: 08 03 21 7F  00 FF | 88',
          ' 4: 08 03 21 7F  00 FF | 88',
        ],
      );
      assert.match(group ?? '', /^ 1: [\s\S]*total: 21 B2$/);
      assert.equal(whole, demoFile('rear-body.cfgdump'));
      assert.deepEqual(rest, []);
    });
  });

  it('is a chain in which each holds the one before, wherever the cursor is', async () => {
    await inDemo(async ({ connection }) => {
      const rows = demoFile('rear-body.cfgdump').split('\n');
      const positions = rows.flatMap((row, line) =>
        Array.from({ length: row.length + 1 }, (_, character) => ({ line, character })),
      );
      const found = await connection.sendRequest<SelectionRange[]>('textDocument/selectionRange', {
        textDocument: { uri: REAR },
        positions,
      });
      const document = TextDocument.create(REAR, '', 0, demoFile('rear-body.cfgdump'));
      for (const [i, grown] of found.entries()) {
        let last = { start: positions[i] as Range['start'], end: positions[i] as Range['end'] };
        for (let range: SelectionRange | undefined = grown; range !== undefined; range = range.parent) {
          assert.ok(
            document.offsetAt(range.range.start) <= document.offsetAt(last.start),
            JSON.stringify(positions[i]),
          );
          assert.ok(document.offsetAt(range.range.end) >= document.offsetAt(last.end), JSON.stringify(positions[i]));
          last = range.range;
        }
      }
    });
  });
});

describe('links and renamed files', () => {
  it('lead from paths in headers, conditions and retrofits to their files', async () => {
    await inDemo(async ({ connection }) => {
      const linksOf = async (uri: string) => {
        const found = await connection.sendRequest<DocumentLink[]>('textDocument/documentLink', {
          textDocument: { uri },
        });
        return found.map(({ range, target }) => [textAt(uri, range), target]);
      };
      assert.deepEqual(await linksOf(REAR), [
        ['rear-body.dump-profile.json', REAR_PROFILE],
        ['rear-body.as-found.cfgdump', `${FOLDER}rear-body.as-found.cfgdump`],
      ]);
      assert.deepEqual((await linksOf(RETROFIT))[1], [
        'cluster.dump-profile.json',
        `${FOLDER}cluster.dump-profile.json`,
      ]);
    });
  });

  async function willRename({ connection }: ServerSession, oldUri: string, newUri: string): Promise<string[]> {
    const edit = await connection.sendRequest<WorkspaceEdit | null>('workspace/willRenameFiles', {
      files: [{ oldUri, newUri }],
    });
    return ((edit?.documentChanges ?? []) as TextDocumentEdit[]).flatMap(({ textDocument, edits }) =>
      edits.map((one) => `${textDocument.uri.slice(FOLDER.length)}: ${'newText' in one ? one.newText : ''}`),
    );
  }

  it('are followed by the headers of dumps and by retrofits', async () => {
    await inDemo(async (session) => {
      const found = await willRename(session, REAR_PROFILE, `${FOLDER}profiles/rear body.dump-profile.json`);
      assert.deepEqual(
        found.filter((one) => !one.startsWith('cluster')),
        [
          'rear-body.cfgdump: profiles/rear body.dump-profile.json',
          'rear-body.dump-profile.json: ../rear-body.as-found.cfgdump',
          'trailer-socket.retrofit.json: profiles/rear body.dump-profile.json',
        ],
      );
      assert.deepEqual(await willRename(session, REAR, `${FOLDER}work/rear-body.cfgdump`), [
        'rear-body.cfgdump: ../rear-body.dump-profile.json',
        'rear-body.cfgdump: ../rear-body.as-found.cfgdump',
      ]);
    });
  });

  it('are not followed by a sealed file, which is named to the person', async () => {
    await inDemo(async (session) => {
      const said: string[] = [];
      session.connection.onNotification(ShowMessageNotification.type, ({ message }) => {
        said.push(message);
      });
      const found = await willRename(session, REAR_PROFILE, `${FOLDER}profiles/rear body.dump-profile.json`);
      assert.ok(!found.some((one) => one.startsWith('rear-body.as-found')), found.join());
      assert.equal(said.length, 1);
      assert.match(said[0] ?? '', /Sealed files are never changed.*rear-body\.as-found\.cfgdump/);
      await willRename(session, REAR, `${FOLDER}rear.cfgdump`);
      assert.equal(said.length, 1);
    });
  });

  it('need no edit where a whole folder moves, or nothing that is named', async () => {
    await inDemo(async (session) => {
      assert.deepEqual(await willRename(session, 'file:///demo', 'file:///car'), []);
      assert.deepEqual(await willRename(session, `${FOLDER}notes.txt`, `${FOLDER}other.txt`), []);
    });
  });

  it('are announced only to clients that tell of them', async () => {
    await inDemo(async ({ initialized }) => {
      assert.equal(initialized.capabilities.workspace?.fileOperations, undefined);
    }, FULL_CLIENT);
  });
});

describe('symbols of the workspace', () => {
  it('are options by title or id, and dumps by name', async () => {
    await inDemo(async ({ connection }) => {
      const found = (query: string) => connection.sendRequest<WorkspaceSymbol[]>('workspace/symbol', { query });
      const [socket, ...rest] = await found('trlsock');
      assert.deepEqual(rest, []);
      assert.equal(socket?.name, 'Trailer socket');
      assert.equal(socket?.location.uri, REAR_PROFILE);
      assert.deepEqual(
        (await found('cluster.as')).map(({ name }) => name),
        ['cluster.as-found.cfgdump'],
      );
      assert.equal((await found('')).filter(({ name }) => name.endsWith('.cfgdump')).length, 4);
    });
  });
});
