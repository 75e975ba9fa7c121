// Raw bytes in a played editor: opened as lines of dump text, changed by all that changes a dump, saved as raw bytes again.
import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { registerRawFiles } from '../../client/src/rawFileSystem.js';
import { createRawTexts } from '../../client/src/rawText.js';
import { fileUri, rawUri, shownUri } from '../../client/src/rawUri.js';
import { type ClientSession, clientSession, settle } from '../support/clientSession.js';
import { change, close, type FakeDocument, Range, reset, Uri, workspace } from '../support/fakeEditor.js';

const PROFILE = {
  format: 1,
  addresses: { from: 0, to: 0x23 },
  options: [{ id: 'wiper', title: 'Rear wiper', address: '0x11', bits: 0, values: { 0: 'no', 1: 'yes' } }],
  totals: [{ name: 'image sum', method: 'add', bits: 16, order: 'big', over: [{ from: 0, to: 0x21 }], address: 0x22 }],
};
const DATA = Array.from({ length: 34 }, (_, i) => (i === 5 ? 0 : 0x5a + 5 * i) & 0xff);
const SUM = DATA.reduce((all, byte) => all + byte, 0);
const RIGHT = Uint8Array.from([...DATA, SUM >> 8, SUM & 0xff]);
const WRONG = Uint8Array.from([...DATA, 0, 0]);
const HEADERS = '@profile p.dump-profile.json\n';
const FILE = 'file:///cars/ee.bin';
const BESIDE = `${FILE}.dump-headers`;

describe('a file of raw bytes in the editor', () => {
  let session: ClientSession;
  const start = async (files: Readonly<Record<string, string | Uint8Array>>) => {
    session = await clientSession({ 'p.dump-profile.json': JSON.stringify(PROFILE), ...files });
  };
  const shown = (where: string) => session.editor.in(where).join('\n');
  const onDisk = (uri: string) => session.editor.files.get(uri);
  const textOnDisk = (uri: string) => new TextDecoder().decode(onDisk(uri));
  const openText = async (file = FILE): Promise<FakeDocument> => {
    await session.run('openAsDumpText', Uri.parse(file));
    const raw = rawUri(Uri.parse(file) as never).toString();
    const document = workspace.textDocuments.find(({ uri }) => uri.toString() === raw);
    assert.ok(document, shown('warning'));
    return document;
  };
  const replace = (document: FakeDocument, before: string, after: string) => {
    const lines = document.getText().split('\n');
    const line = lines.findIndex((one) => one.includes(before));
    const column = lines[line]?.indexOf(before) ?? -1;
    assert.ok(line >= 0, before);
    document.change([{ range: new Range(line, column, line, column + before.length), newText: after }]);
  };

  beforeEach(() => start({ 'ee.bin': WRONG, 'ee.bin.dump-headers': HEADERS }));
  afterEach(() => session.stop());

  it('is the text that the command line makes of it, behind the headers from the file beside it', async () => {
    const document = await openText();
    assert.equal(document.languageId, 'cfgdump');
    assert.match(
      document.getText(),
      /^@profile p\.dump-profile\.json\n0x0000: 5A 5F 64 [^\n]+\n0x0010: [^\n]+\n0x0020: [0-9A-F ]{11}\n$/,
    );
  });

  it('is no text to load into a module: the file itself is, and nothing is written', async () => {
    await start({ 'ee.bin': RIGHT, 'ee.bin.dump-headers': HEADERS });
    await openText();
    session.editor.person.saveAs = (offered) => offered;
    const before = [...session.editor.files.keys()];
    await session.run('saveToLoad');
    assert.match(shown('notice'), /^ee\.bin holds the bytes alone: save it and load that file\.$/m);
    assert.deepEqual([...session.editor.files.keys()], before);
  });

  it('gets what was read back as another file of raw bytes, which says that it is of the same vehicle', async () => {
    await start({ 'ee.bin': RIGHT, 'ee.bin.dump-headers': `${HEADERS}@vehicle stock no. 7\n` });
    await openText();
    session.editor.files.set('file:///stick/read.bin', RIGHT);
    session.editor.person.pick = ({ items }) =>
      items.flatMap(({ label }) => (/^Choose a file/.test(label) ? label : []));
    session.editor.person.file = () => 'file:///stick/read.bin';
    session.editor.person.write = () => '2026-03-02T18:20:00Z';
    await session.run('_jobStep', { does: 'bringBack', uri: FILE, other: null });
    assert.deepEqual(session.editor.in('error'), []);
    assert.deepEqual(onDisk('file:///cars/read.bin'), RIGHT);
    const said = textOnDisk('file:///cars/read.bin.dump-headers');
    assert.match(said, /^@profile p\.dump-profile\.json\n@vehicle stock no\. 7\n@taken 2026-03-02T18:20:00Z$/m);
  });

  it('is shared as raw bytes with their headers beside them, in a new folder', async () => {
    await start({ 'ee.bin': RIGHT, 'ee.bin.dump-headers': HEADERS });
    await openText();
    session.editor.person.file = () => 'file:///shared';
    session.editor.person.write = (_title, value) => value;
    await session.run('shareCopy');
    assert.deepEqual(session.editor.in('error'), []);
    assert.deepEqual(onDisk('file:///shared/copies-to-share/ee.bin'), RIGHT);
    assert.match(textOnDisk('file:///shared/copies-to-share/ee.bin.dump-headers'), /^@profile /m);
    assert.ok(![...session.editor.files.keys()].some((uri) => uri.includes('.part/')));
  });

  it('is to the server the file that it is in: its profile is found, its sums are checked and made right, its options set', async () => {
    const document = await openText();
    await session.run('correctChecksums');
    assert.ok(document.isDirty);
    assert.deepEqual(onDisk(FILE), WRONG);
    assert.ok(await document.save(), shown('error'));
    assert.deepEqual(onDisk(FILE), RIGHT);
    assert.equal(textOnDisk(BESIDE), HEADERS);
    session.editor.person.pick = ({ title }) => (title.startsWith('Which') ? ['Rear wiper'] : [0, 1]);
    session.editor.person.modal = (_text, _detail, buttons) => buttons.find((one) => one === 'Set without a Backup');
    await session.run('setOption');
    assert.ok(document.isDirty);
    const addresses = session.asked.map(({ params }) => JSON.stringify(params)).join('\n');
    assert.match(addresses, /file:\/\/\/cars\/ee\.bin/);
    assert.doesNotMatch(addresses, /countersum-bytes/);
  });

  for (const [name, headers] of Object.entries({
    none: undefined,
    'lines that end as on Windows, and blank ones': '@profile p.dump-profile.json\r\n\r\n# K\u00e4fer\r\n',
    'no line end behind the last': '@vin 1',
    'a mark before them': '\ufeff@vin 1\n',
    'nothing in the file beside it': '',
  }))
    it(`that is opened and saved is the same byte for byte, and so are its headers: ${name}`, async () => {
      session.stop();
      await start({ 'ee.bin': WRONG, ...(headers !== undefined && { 'ee.bin.dump-headers': headers }) });
      const before = onDisk(BESIDE);
      const times = new Map(session.editor.times);
      const document = await openText();
      assert.ok(await document.save(), shown('error'));
      assert.deepEqual(onDisk(FILE), WRONG);
      assert.deepEqual(onDisk(BESIDE), before);
      assert.deepEqual(session.editor.times, times, 'nothing was written');
    });

  it('keeps the line ends of its headers where one is added', async () => {
    session.stop();
    await start({ 'ee.bin': WRONG, 'ee.bin.dump-headers': '@profile p.dump-profile.json\r\n' });
    const document = await openText();
    document.change([{ range: new Range(1, 0, 1, 0), newText: '@part K\u00e4fer\n' }]);
    assert.ok(await document.save(), shown('error'));
    assert.equal(textOnDisk(BESIDE), '@profile p.dump-profile.json\r\n@part K\u00e4fer\r\n');
  });

  it('has its first header put into a new file beside it', async () => {
    session.stop();
    await start({ 'ee.bin': WRONG });
    const document = await openText();
    document.change([{ range: new Range(0, 0, 0, 0), newText: HEADERS }]);
    assert.ok(await document.save());
    assert.equal(textOnDisk(BESIDE), HEADERS);
    assert.deepEqual(onDisk(FILE), WRONG);
  });

  for (const [what, spoil, says] of [
    ['a row that cannot be read', (one: FakeDocument) => replace(one, '5A 5F', '5A 5'), /row 2 is no line/],
    [
      'a missing row',
      (one: FakeDocument) => one.change([{ range: new Range(2, 0, 3, 0), newText: '' }]),
      /row 3 is no line/,
    ],
    ['a byte less', (one: FakeDocument) => replace(one, '5A 5F', '5A'), /row 3 is no line/],
    [
      'the last row gone',
      (one: FakeDocument) => one.change([{ range: new Range(3, 0, 4, 0), newText: '' }]),
      /it has 36 bytes, and this text has 32/,
    ],
    [
      'nothing left',
      (one: FakeDocument) => one.change([{ range: new Range(0, 0, 9, 0), newText: '' }]),
      /it has 36 bytes, and this text has 0/,
    ],
    [
      'a comment behind bytes',
      (one: FakeDocument) => replace(one, '5A 5F', '5A 5F # here'),
      /row 2 (?:has a comment|is no line)/,
    ],
  ] as const)
    it(`is not saved with ${what}: the text stays unsaved, and nothing is written`, async () => {
      const document = await openText();
      spoil(document);
      assert.equal(await document.save(), false);
      assert.match(shown('error'), /^ee\.bin is not saved: /);
      assert.match(shown('error'), says);
      assert.ok(document.isDirty);
      assert.deepEqual(onDisk(FILE), WRONG);
      assert.equal(textOnDisk(BESIDE), HEADERS);
    });

  it('that others have changed meanwhile is never written over, nor are its headers; it can be reverted and compared', async () => {
    const document = await openText();
    for (const [uri, content] of [
      [FILE, RIGHT],
      [BESIDE, new TextEncoder().encode('@vin 2\n')],
    ] as const) {
      replace(document, '5F', '5E');
      change(uri, content);
      assert.equal(await document.save(), false);
      assert.match(shown('error'), /it has changed on the disk since it was read/);
      assert.deepEqual(onDisk(uri), content);
      await document.revert();
      assert.doesNotMatch(document.getText(), / 5E /);
    }
    replace(document, '5F', '5E');
    change(FILE, WRONG);
    assert.equal(await document.save(), false);
    // Who compares has seen what is there.
    await workspace.fs.readFile(document.uri);
    assert.ok(await document.save());
    assert.equal(onDisk(FILE)?.[1], 0x5e);
  });

  it('tells the editor when it or its headers change, with another time and size', async () => {
    const document = await openText();
    const provider = session.editor.fileSystems.get('countersum-bytes');
    const before = await provider?.stat(document.uri);
    let told = 0;
    provider?.onDidChangeFile(() => told++);
    (provider as unknown as { watch(uri: unknown): void }).watch(document.uri);
    change(FILE, RIGHT.slice(1));
    change(BESIDE, new TextEncoder().encode('@vin 2\n'));
    assert.equal(told, 2);
    const now = await provider?.stat(document.uri);
    assert.ok(before && now && now.mtime > before.mtime && now.size !== before.size);
  });

  it('that is read-only says so, and is not written', async () => {
    session.editor.readOnly.add(FILE);
    const document = await openText();
    assert.equal((await workspace.fs.stat(document.uri)).permissions, 1);
    replace(document, '5F', '5E');
    assert.equal(await document.save(), false);
    assert.deepEqual(onDisk(FILE), WRONG);
    session.editor.files.set('locked:/ee.bin', WRONG);
    assert.equal((await workspace.fs.stat(rawUri(Uri.parse('locked:/ee.bin') as never) as never)).permissions, 1);
  });

  for (const seal of ['@seal sha256:00\n', '@Seal sha256:00\n', '@seal\n', '@seal'])
    it(`that is a sealed backup is not written: ${JSON.stringify(seal)}`, async () => {
      session.editor.files.set(BESIDE, new TextEncoder().encode(seal));
      const document = await openText();
      const readOnly = 'workbench.action.files.setActiveEditorReadonlyInSession';
      assert.ok(session.editor.executed.some(([id]) => id === readOnly));
      replace(document, '5F', '5E');
      assert.equal(await document.save(), false);
      assert.match(shown('error'), /sealed backup/);
      assert.deepEqual(onDisk(FILE), WRONG);
    });

  it('that is too large, or whose name promises a text, is not opened, which is said', async () => {
    session.editor.files.set(FILE, new Uint8Array(16 * 1024 * 1024 + 1));
    await session.run('openAsDumpText', Uri.parse(FILE));
    assert.match(shown('warning'), /larger than 16 MB.*command line/);
    session.editor.files.set('file:///cars/a.hex', WRONG);
    await session.run('openAsDumpText', Uri.parse('file:///cars/a.hex'));
    assert.match(shown('warning'), /a\.hex promises a form of text/);
    await session.run('openAsDumpText', Uri.parse('file:///cars/none.bin'));
    assert.match(shown('warning'), /none\.bin cannot be read/);
    assert.equal(workspace.textDocuments.length, 0);
  });

  it('that is text is asked about first', async () => {
    session.editor.files.set('file:///cars/notes.txt', new TextEncoder().encode('1: 00\n'));
    await session.run('openAsDumpText', Uri.parse('file:///cars/notes.txt'));
    assert.match(shown('modal'), /notes\.txt is text/);
    assert.equal(workspace.textDocuments.length, 0);
    session.editor.person.modal = (_text, _detail, buttons) => buttons.at(-1);
    assert.equal((await openText('file:///cars/notes.txt')).getText(), '0x0000: 31 3A 20 30 30 0A\n');
  });

  it('that is a picture or a program is said to be one first, unless headers beside it say that it is a dump', async () => {
    const picture = new Uint8Array([...Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), 0, 0]);
    session.editor.files.set('file:///cars/tool.bin', picture);
    await session.run('openAsDumpText', Uri.parse('file:///cars/tool.bin'));
    assert.match(shown('modal'), /tool\.bin is a picture \(PNG\), not a dump\./);
    assert.equal(workspace.textDocuments.length, 0);
    session.editor.person.modal = (_text, _detail, buttons) => buttons.at(-1);
    assert.match((await openText('file:///cars/tool.bin')).getText(), /^0x0000: 89 50 4E 47 /);
    session.editor.person.modal = () => assert.fail('asked');
    session.editor.files.set('file:///cars/read.bin', picture);
    session.editor.files.set('file:///cars/read.bin.dump-headers', new TextEncoder().encode('@part A\n'));
    assert.match((await openText('file:///cars/read.bin')).getText(), /^@part A\n0x0000: 89 50 /);
  });

  it('gets a backup that is raw bytes with its headers beside it, from which it is restored', async () => {
    session.stop();
    await start({ 'ee.bin': RIGHT, 'ee.bin.dump-headers': HEADERS });
    const document = await openText();
    // Other lines than the file is read as again.
    replace(document, '0x0010: ', `${document.getText().split('\n')[2]?.slice(0, 10)}\n0x0011: `);
    document.change([{ range: new Range(3, 8, 3, 11), newText: '' }]);
    await session.run('makeBackup');
    assert.match(shown('status bar'), /Backup sealed: ee\.backup\.bin/, shown('warning'));
    assert.deepEqual(onDisk('file:///cars/ee.backup.bin'), RIGHT);
    assert.match(
      textOnDisk('file:///cars/ee.backup.bin.dump-headers'),
      /^@seal sha256:[0-9a-f]{64}\n@profile p\.dump-profile\.json\n$/,
    );
    assert.match(document.getText(), /^@backup ee\.backup\.bin$/m);
    replace(document, '5F', '5E');
    session.editor.person.pick = ({ items }) => items.map(({ label }) => label);
    session.editor.person.modal = (_text, _detail, buttons) => buttons.at(-1);
    await session.run('restoreFromBackup');
    await session.run('compareWithBackup');
    assert.equal(shown('diff title'), 'ee.backup.bin ↔ ee.bin', shown('warning'));
    assert.ok(await document.save(), shown('error'));
    assert.deepEqual(onDisk(FILE), RIGHT);
    assert.equal(textOnDisk(BESIDE), '@profile p.dump-profile.json\n@backup ee.backup.bin\n');
  });

  it('gets a backup under a name of which not even headers are there', async () => {
    session.stop();
    const headers = '@vin 1\n';
    await start({ 'ee.bin': RIGHT, 'ee.bin.dump-headers': HEADERS, 'ee.backup.bin.dump-headers': headers });
    await openText();
    await session.run('makeBackup');
    assert.match(shown('status bar'), /Backup sealed: ee\.backup-2\.bin/, shown('warning'));
    assert.equal(textOnDisk('file:///cars/ee.backup.bin.dump-headers'), headers);
  });

  it('that becomes a text is no longer raw bytes to the editor', async () => {
    session.editor.files.set(
      'file:///cars/old.bin',
      RIGHT.map((byte) => byte || 1),
    );
    const document = await openText();
    const compare = async () => {
      session.editor.person.pick = () => ['Another file…'];
      session.editor.person.file = () => 'file:///cars/old.bin';
      await session.run('compareWith');
    };
    const shownAs = () => session.shownAs('file:///cars/old.bin');
    await compare();
    assert.equal(shownAs(), 'countersum-bytes://file/cars/old.bin');
    change('file:///cars/old.bin', new TextEncoder().encode(document.getText()));
    await session.connection.sendNotification('workspace/didChangeWatchedFiles', {
      changes: [{ uri: 'file:///cars/old.bin', type: 2 }],
    });
    await compare();
    assert.equal(shownAs(), 'file:///cars/old.bin');
  });

  it('is listed among the dumps where its headers are beside it, read while it is closed, and compared', async () => {
    session.editor.files.set(
      'file:///cars/old.bin',
      RIGHT.map((byte) => byte || 1),
    );
    session.editor.files.set('file:///cars/old.bin.dump-headers', new TextEncoder().encode(HEADERS));
    // The editor shows it as a text, as it does where no byte is zero.
    await session.open('old.bin');
    await openText();
    session.editor.person.pick = ({ items }) => {
      assert.deepEqual(
        items.map(({ label }) => label).filter((label) => label.endsWith('.bin')),
        ['old.bin'],
      );
      return ['old.bin'];
    };
    await session.run('verifyReadBack');
    assert.match(shown('markdown'), /^# Read-back/m, shown('warning'));
    await session.run('compareWith');
    assert.equal(shown('diff title'), 'old.bin ↔ ee.bin', shown('warning'));
  });

  it('goes on being known after the editor has started again with its text unsaved', async () => {
    const kept = new Map<string, unknown>();
    const memento = {
      get: (key: string, fallback: unknown) => kept.get(key) ?? fallback,
      update: async (key: string, value: unknown) => void kept.set(key, value),
    };
    const begin = async () => {
      const editor = reset();
      editor.files.set(FILE, WRONG);
      registerRawFiles(memento as never, createRawTexts(session.connection as never));
      return editor.fileSystems.get('countersum-bytes');
    };
    const uri = rawUri(Uri.parse(FILE) as never) as never;
    const text = await (await begin())?.readFile(uri);
    const again = await begin();
    const edited = new TextEncoder().encode(new TextDecoder().decode(text).replace('5F', '5E'));
    await again?.writeFile(uri, edited, { create: true, overwrite: true });
    change(FILE, RIGHT);
    await assert.rejects(
      async () => again?.writeFile(uri, edited, { create: true, overwrite: true }),
      /has changed on the disk/,
    );
  });

  it('is saved under another name, never over a file that was not read', async () => {
    const document = await openText();
    const as = async (name: string) => {
      const uri = rawUri(Uri.parse(`file:///cars/${name}`) as never) as never;
      // The editor makes an empty file first where there is none.
      if (!session.editor.files.has(`file:///cars/${name}`)) await workspace.fs.writeFile(uri, new Uint8Array(0));
      await workspace.fs.writeFile(uri, new TextEncoder().encode(document.getText()));
    };
    await as('copy.bin');
    assert.deepEqual(onDisk('file:///cars/copy.bin'), WRONG);
    assert.equal(textOnDisk('file:///cars/copy.bin.dump-headers'), HEADERS);
    session.editor.files.set('file:///cars/other.bin', RIGHT);
    await assert.rejects(as('other.bin'), /other\.bin is not saved/);
    session.editor.files.set('file:///cars/third.bin.dump-headers', new TextEncoder().encode('@vin 1\n'));
    await assert.rejects(as('third.bin'), /headers of another file/);
    assert.equal(onDisk('file:///cars/third.bin'), undefined);
    assert.equal(textOnDisk('file:///cars/third.bin.dump-headers'), '@vin 1\n');
  });

  it('takes its headers along where it is renamed', async () => {
    const edits: string[][] = [];
    const rename = async (...names: readonly string[]) => {
      const uriOf = (name: string) => Uri.parse(`file:///cars/${name}`);
      const files = names.map((name) => ({ oldUri: uriOf(name), newUri: uriOf(`new-${name}`) }));
      const waited: Promise<{ renamed: string[] }>[] = [];
      workspace.willRename.fire({ files, waitUntil: (edit) => waited.push(edit) });
      for (const edit of await Promise.all(waited)) edits.push(edit.renamed);
    };
    await rename('ee.bin');
    await rename('p.dump-profile.json');
    await rename('ee.bin', 'ee.bin.dump-headers');
    assert.deepEqual(edits, [[`${BESIDE} > file:///cars/new-ee.bin.dump-headers`], [], []]);
  });

  it('comes to name a profile for similar dumps too: in the file of its headers, or in its text where that is open; a sealed one stays', async () => {
    session.stop();
    const unnamed = '@use comparison\n';
    await start({
      ...{ 'ee.bin': RIGHT, 'ee.bin.dump-headers': HEADERS },
      ...{ 'a.bin': RIGHT, 'a.bin.dump-headers': unnamed, 'b.bin': RIGHT, 'b.bin.dump-headers': unnamed },
      ...{ 'ee.backup.bin': RIGHT, 'ee.backup.bin.dump-headers': `@seal sha256 ${'0'.repeat(64)}\n` },
    });
    const b = await openText('file:///cars/b.bin');
    await openText();
    let detail = '';
    session.editor.person.modal = (_text, said, [first]) => {
      detail = said;
      return first;
    };
    session.editor.person.notice = (_, [first]) => first;
    await session.run('useForSimilar');
    await settle();
    assert.match(detail, /^a\.bin, b\.bin$/m);
    assert.match(detail, /ee\.backup\.bin stays as it is: it is sealed\./);
    assert.doesNotMatch(detail, /name the profile there/);
    assert.equal(textOnDisk('file:///cars/a.bin.dump-headers'), `${unnamed}${HEADERS}`);
    assert.match(b.getText(), /^@profile p\.dump-profile\.json$/m);
    assert.equal(b.isDirty, false);
    assert.match(textOnDisk('file:///cars/b.bin.dump-headers'), /^@profile p\.dump-profile\.json$/m);
    for (const name of ['a.bin', 'b.bin']) assert.deepEqual(onDisk(`file:///cars/${name}`), RIGHT);
    assert.doesNotMatch(textOnDisk('file:///cars/ee.backup.bin.dump-headers'), /@profile/);
  });

  it('closed and opened again is read from the disk again', async () => {
    const first = await openText();
    close(first);
    change(FILE, RIGHT);
    await settle();
    assert.notEqual((await openText()).getText(), first.getText());
  });
});

describe('the address under which raw bytes are text', () => {
  for (const file of [
    'file:///cars/ee.bin',
    'file://server/share/ee%20%5B1%5D.bin',
    'file:///c%3A/cars/ee.bin',
    'vscode-vfs://github/a/b/ee.bin',
    'vscode-remote://ssh-remote%2Bhost/cars/ee.bin',
    'memfs:/cars/ee.bin?rev=1',
  ])
    it(`leads back to ${file}`, () => {
      const raw = rawUri(Uri.parse(file) as never);
      assert.equal(raw.scheme, 'countersum-bytes');
      assert.equal(rawUri(raw), raw);
      assert.equal(fileUri(Uri.parse(raw.toString()) as never).toString(), Uri.parse(file).toString());
    });

  it('is none of a text that is in no file yet', () => {
    const address = 'untitled:Untitled-1';
    assert.equal(shownUri(address, () => true).toString(), address);
  });
});
