// Texts of any name in a played editor: treated as dumps, remembered in the settings of their folder, offered once.
import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { createWorkspace } from '../../shared-core/src/workspace/index.js';
import { type ClientSession, clientSession, settle, until } from '../support/clientSession.js';
import { languages, Range, TabInputText, Uri, window, workspace } from '../support/fakeEditor.js';
import { memoryHost } from '../support/memoryHost.js';
import { NUMBERED_PROFILE, numberedList } from '../support/numberedList.js';
import { ownForm } from '../support/ownForm.js';

const IMAGE = ':0400000001020304F2\n:00000001FF\n';

describe('a text of any name', () => {
  let session: ClientSession;
  const shown = (where: string) => session.editor.in(where).join('\n');
  const languageOf = (name: string) => session.languageOf(name);
  const above = (of: unknown) => session.editor.lenses.flatMap((one) => one.provideCodeLenses(of));
  /** All entries of the *Job* view with what is beside them. */
  const jobs = (node?: unknown): readonly string[] => {
    const provider = session.editor.trees.get('countersum.job')?.provider;
    return (provider?.getChildren(node) ?? []).flatMap((one) => {
      const { label, description } = provider?.getTreeItem(one) ?? {};
      return [`${label} ${description}`, ...jobs(one)];
    });
  };
  const treat = (name: string) => session.run('treatAsDump', Uri.parse(`file:///cars/${name}`));
  const remembered = () => session.editor.settings.get('files.associations');
  beforeEach(async () => {
    session = await clientSession({
      'read%5B1%5D.txt': IMAGE,
      'unclear.dat': '00112233\n44556677\n',
      'words.txt': '0000000 3130 3332\n0000004\n',
      'words.txt.dump-headers': '@vin 1\n@word 4be',
      'notes.txt': 'Dear reader,\nthis is no dump.\n',
      'ee.bin': Uint8Array.from([0, 1, 2, 3]),
      'ee.bin.dump-headers': '@vin 1\n',
    });
  });
  afterEach(() => session.stop());

  it('is treated as the form that it is written in, which the settings of its folder keep beside what they had', async () => {
    session.editor.settings.set('files.associations', { '*.abc': 'plaintext' });
    await treat('read%5B1%5D.txt');
    assert.equal(languageOf('read%5B1%5D.txt'), 'intel-hex');
    assert.deepEqual(remembered(), { '*.abc': 'plaintext', '**/cars/read?1?.txt': 'intel-hex' });
    assert.match(shown('status bar'), /files\.associations/);
  });

  it('of which that is not sure is read as the person says, who sees a sample of each reading', async () => {
    session.editor.person.pick = ({ items }) => {
      assert.ok(items.length > 1 && items.every(({ detail = '' }) => /The first record would be /.test(detail)));
      return ['A list of hex'];
    };
    await treat('unclear.dat');
    assert.equal(languageOf('unclear.dat'), 'hex-list');
    session.editor.person.pick = () => undefined;
    await treat('unclear.dat');
    assert.equal(languageOf('unclear.dat'), 'hex-list');
  });

  it('that prints words is read in the words that the person says, which the headers beside it keep', async () => {
    session.editor.person.pick = ({ items }) => {
      assert.deepEqual(
        items.map(({ label, detail }) => `${label}: ${detail}`),
        [
          'A hex view in words (2le): The first record would be 0000: 30 31 32 33',
          'A hex view in words (2be): The first record would be 0000: 31 30 33 32',
        ],
      );
      return ['A hex view in words (2le)'];
    };
    await treat('words.txt');
    assert.equal(languageOf('words.txt'), 'hex-view');
    const headers = session.editor.files.get('file:///cars/words.txt.dump-headers');
    assert.equal(new TextDecoder().decode(headers), '@vin 1\n@word 2le\n');
  });

  it('whose form nothing describes is a dump all the same, which no notice tells, as none can be closed once its rule is worked out', async () => {
    session.editor.files.set('file:///cars/own.txt', new TextEncoder().encode(ownForm()));
    await treat('own.txt');
    assert.equal(languageOf('own.txt'), 'cfgdump');
    assert.match(shown('status bar'), /own\.txt is a dump from now on \(files\.associations\)\.$/);
    assert.equal(shown('notice'), '');
    assert.deepEqual(session.editor.in('warning'), []);
  });

  it('whose lines are numbered is read as such first, as where it is brought in, and as a list of bytes only where a person says so', async () => {
    session.editor.files.set('file:///cars/list.txt', new TextEncoder().encode(numberedList()));
    const offered: string[] = [];
    session.editor.person.pick = ({ items }) => {
      offered.push(...items.map(({ label, detail }) => `${label}: ${detail}`));
      return [items[0]?.label ?? ''];
    };
    await treat('list.txt');
    assert.deepEqual(offered, [
      'Numbered lines: Line 28 holds 1B 01 E7 CD B3 83',
      'A list of hex: The first record would be 28 1B 01 E7 CD B3 83',
    ]);
    assert.equal(languageOf('list.txt'), 'cfgdump');
    assert.deepEqual(remembered(), { '**/cars/list.txt': 'cfgdump' });
    // It goes on as what is brought in does: the rule is worked out from the lines.
    session.editor.person.pick = () => [];
    await session.run('learn');
    assert.match(session.editor.panels.at(-1)?.html ?? '', /data-add="0"/);
    session.editor.person.pick = () => ['A list of hex'];
    await treat('list.txt');
    assert.equal(languageOf('list.txt'), 'hex-list');
  });

  it('whose lines are numbered and that is read as a list of hex names its profile so that all doors find it there', async () => {
    session.stop();
    session = await clientSession({
      'roof.dump-profile.json': JSON.stringify(NUMBERED_PROFILE),
      'list.txt': numberedList(),
      'other.txt': numberedList(6),
    });
    for (const name of ['list.txt', 'other.txt']) {
      await session.open(name);
      session.editor.person.pick = () => ['A list of hex'];
      await treat(name);
      assert.equal(languageOf(name), 'hex-list');
    }
    const uri = 'file:///cars/list.txt';
    await window.showTextDocument(await workspace.openTextDocument(Uri.parse(uri)));
    session.editor.person.pick = ({ items }) => [items[0]?.label ?? ''];
    await session.run('learn');
    await settle();
    assert.match(session.text('list.txt'), /\n\/\/ @profile roof\.dump-profile\.json\n$/, shown('warning'));
    const problems = async (of: string) => {
      const params = { textDocument: { uri: of } };
      const { items } = await session.connection.sendRequest<{ items: { message: string; severity?: number }[] }>(
        'textDocument/diagnostic',
        params,
      );
      return items.filter(({ severity }) => severity === 1).map(({ message }) => message);
    };
    assert.deepEqual(await problems(uri), []);
    // What the command line reads is the saved file, by its name and text alone.
    const saved = new Map([
      [uri, session.text('list.txt')],
      ['file:///cars/roof.dump-profile.json', JSON.stringify(NUMBERED_PROFILE)],
    ]);
    const loaded = await createWorkspace(memoryHost(saved)).load(uri);
    assert.equal(loaded.ok && loaded.value.profile.kind, 'read');
    await until(() => jobs().every((one) => !/list\.txt has no profile yet/.test(one)));
    // The other one gets it the same way.
    session.editor.person.pick = ({ items }) => items.map(({ label }) => label);
    session.editor.person.modal = (_text, _said, [write]) => write;
    await session.run('useForSimilar');
    await settle();
    assert.match(session.text('other.txt'), /\n\/\/ @profile roof\.dump-profile\.json\n$/);
    assert.deepEqual(await problems('file:///cars/other.txt'), []);
  });

  it('that is pasted and in no file is offered once, treated as a dump, and to be saved', async () => {
    const pasted = async (text: string, language = 'plaintext') => {
      const document = await workspace.openTextDocument({ language, content: '' });
      await window.showTextDocument(document);
      document.change([{ range: new Range(0, 0, 0, 0), newText: text }]);
      await settle();
      return document;
    };
    const typed = await pasted('L01 00 11 22 33\n');
    typed.change([{ range: new Range(0, 0, 0, 0), newText: 'Dear reader,\nthis\nis\nno dump.\n' }]);
    await settle();
    assert.equal(shown('status bar'), '');
    const document = await pasted(ownForm());
    const offers = () => session.editor.in('status bar').filter((text) => /looks like a dump/.test(text)).length;
    assert.equal(offers(), 1);
    document.change([{ range: new Range(0, 0, 0, 0), newText: 'a\nb\nc\nd\n' }]);
    await settle();
    assert.equal(offers(), 1);
    // The offer is above the text, and goes away with what it offers.
    assert.deepEqual(above(typed), []);
    const [lens] = above(document);
    assert.equal(lens?.command.title, 'This looks like a dump: Treat as a Dump');
    // The editor may take lines of hex for any language.
    await languages.setTextDocumentLanguage(document, 'bat');
    assert.equal(above(document).length, 1);
    const guessed = await pasted(ownForm(), 'bat');
    assert.equal(above(guessed).length, 1);
    await window.showTextDocument(document);
    // The *Job* view offers the same first, while the text is in front.
    await until(() => jobs()[0] === 'Treat as a Dump Untitled-1');
    await window.showTextDocument(typed);
    await until(() => jobs().every((one) => !one.startsWith('Treat')));
    await window.showTextDocument(document);
    await until(() => jobs()[0]?.startsWith('Treat as a Dump') === true);
    session.editor.shown = [];
    await session.run(`${lens?.command.command}`.replace('countersum.', ''), ...(lens?.command.arguments ?? []));
    assert.equal(workspace.textDocuments.find(({ uri }) => uri === document.uri)?.languageId, 'cfgdump');
    // Then it has a job, which begins with saving it.
    await until(() => jobs().includes('Save the File Untitled-1'));

    assert.ok(!jobs().some((one) => one.startsWith('Treat')));
    assert.match(shown('status bar'), /is a dump now\. Save it in its vehicle's folder\./);
    assert.equal(shown('notice'), '');
  });

  it('that is no dump stays what it is', async () => {
    session.editor.person.pick = () => undefined;
    await treat('notes.txt');
    assert.equal(shown('warning'), 'notes.txt has no lines of bytes in hex, so it is no dump.');
    assert.equal(languageOf('notes.txt'), 'plaintext');
    assert.equal(remembered(), undefined);
  });

  it('outside of the open folders is a dump while it is open, which is said', async () => {
    session.editor.files.set('file:///elsewhere/a.txt', new TextEncoder().encode(IMAGE));
    await session.run('treatAsDump', Uri.parse('file:///elsewhere/a.txt'));
    assert.equal(workspace.textDocuments[0]?.languageId, 'intel-hex');
    assert.match(shown('notice'), /while it is open/);
    assert.equal(remembered(), undefined);
  });

  it('is offered once to be treated as a dump where it is one for sure, and never again', async () => {
    await session.open('notes.txt');
    assert.equal(shown('status bar'), '');
    await session.open('read%5B1%5D.txt');
    assert.equal(shown('status bar'), 'read[1].txt is written as Intel HEX.');
    assert.equal(shown('notice'), '', 'a notice would still offer it once it is done elsewhere');
    session.editor.shown = [];
    await session.open('notes.txt');
    await session.open('read%5B1%5D.txt');
    assert.equal(shown('status bar'), '');
    assert.equal(languageOf('read%5B1%5D.txt'), 'plaintext');
  });

  it('becomes a dump where the offer is taken', async () => {
    await session.open('read%5B1%5D.txt');
    await settle();
    const [lens] = above(window.activeTextEditor?.document);
    await session.run(`${lens?.command.command}`.replace('countersum.', ''), ...(lens?.command.arguments ?? []));
    assert.equal(languageOf('read%5B1%5D.txt'), 'intel-hex');
  });

  it('that is raw bytes, which the editor shows as a text where no byte is zero, is opened as dump text', async () => {
    session.editor.files.set('file:///cars/raw.dat', Uint8Array.from([0x80, 0x81, 2, 3]));
    await treat('raw.dat');
    assert.ok(workspace.textDocuments.some(({ uri }) => uri.toString() === 'countersum-bytes://file/cars/raw.dat'));
    assert.equal(remembered(), undefined);
  });

  it('without a file in the editor is asked for', async () => {
    window.activeTextEditor = undefined;
    await session.run('treatAsDump');
    assert.match(shown('notice'), /Open the file first/);
    await session.run('openAsDumpText');
    assert.match(shown('notice'), /Open the file first/);
  });

  it('that is raw bytes with headers beside it is offered to be opened as dump text, once', async () => {
    const tab = { input: new TabInputText(Uri.parse('file:///cars/ee.bin')), isActive: true };
    session.editor.person.notice = (_, buttons) => buttons[0];
    for (let times = 0; times < 2; times++) {
      window.tabGroups.changed.fire({ opened: [tab], closed: [], changed: [] });
      await settle();
    }
    assert.equal(session.editor.in('notice').filter((text) => /ee\.bin has the headers/.test(text)).length, 1);
    assert.ok(workspace.textDocuments.some(({ uri }) => uri.scheme === 'countersum-bytes'));
  });

  it('that is a hex view names its profile in the file with its headers, where its vehicle is, and never in its rows', async () => {
    await nameLearned('roof.txt', ROOF);
    assert.equal(session.text('roof.txt'), ROOF);
    assert.equal(session.text('roof.txt.dump-headers'), '@vehicle 7\n@profile roof.dump-profile.json\n');
    assert.match(shown('status bar'), /Draft roof\.dump-profile\.json, named beside the dump\.$/m);
  });

  it('that is taken for another form is offered no rule by which nothing of it is read', async () => {
    session.stop();
    session = await clientSession({ 'roof.cfgdump': ROOF });
    await session.open('roof.cfgdump');
    session.editor.person.pick = () => [];
    session.editor.person.write = () => 'Roof';
    await session.run('learn');
    const page = session.editor.panels.at(-1)?.html ?? '';
    assert.doesNotMatch(page, /data-add="0"/);
    assert.match(page, /Give it another ending, such as/);
  });

  const nameLearned = async (name: string, text: string) => {
    session.stop();
    session = await clientSession({ [name]: text, [`${name}.dump-headers`]: '@vehicle 7\n' });
    await session.open(name);
    await treat(name);
    session.editor.person.pick = () => [];
    session.editor.person.write = () => 'Roof';
    await session.run('learn');
    session.editor.panels.at(-1)?.send({ add: 0 });
    await until(() => shown('status bar').includes('Draft '));
    await settle();
  };
});

/** Rows of a hex view whose last byte is the sum of the others. */
const ROOF = [0x11, 0x2d, 0x47, 0x6b, 0x13, 0x35]
  .map((seed, at) => {
    const data = Array.from({ length: 15 }, (_, i) => (seed * (7 * i + 3)) & 0xff);
    const row = Uint8Array.from([...data, data.reduce((sum, byte) => sum + byte, 0) & 0xff]);
    const hex = Array.from(row, (byte) => byte.toString(16).padStart(2, '0')).join(' ');
    const signs = Array.from(row, (byte) => (byte >= 0x20 && byte < 0x7f ? String.fromCharCode(byte) : '.')).join('');
    return `${(16 * at).toString(16).padStart(8, '0')}: ${hex}  ${signs}\n`;
  })
  .join('');
