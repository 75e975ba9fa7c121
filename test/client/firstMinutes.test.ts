// The first minutes of a new person, in a played editor: nothing they press ends in the void.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { type ClientSession, clientSession, settle, until } from '../support/clientSession.js';
import { close, Range, Uri, window, workspace } from '../support/fakeEditor.js';
import { ownForm } from '../support/ownForm.js';

const DUMP = 'rear-body.cfgdump';
const PROFILE = 'rear-body.dump-profile.json';
const FILES = Object.fromEntries(
  readdirSync('examples/trailer-socket').map((name) => [name, readFileSync(`examples/trailer-socket/${name}`, 'utf8')]),
);
/** As it was found, and no backup anywhere. */
const FRESH = (FILES['rear-body.as-found.cfgdump'] ?? '').replace(/^@seal.*\n/m, '');

let session: ClientSession;
const shown = (where: string) => session.editor.in(where).join('\n');
const didContext = (step: string) => session.editor.contexts.get(`countersum.did.${step}`);

describe('a dump without a backup', () => {
  afterEach(() => session.stop());
  let asked: (readonly string[])[];
  beforeEach(async () => {
    session = await clientSession({ ...FILES, 'fresh.cfgdump': FRESH });
    await session.open('fresh.cfgdump');
    asked = [];
    session.editor.person.pick = ({ title }) =>
      title.startsWith('Which') ? ['Trailer socket'] : title.startsWith('Trailer') ? ['13-pin'] : undefined;
  });
  const press = (button: number) => {
    session.editor.person.modal = (_text, _detail, buttons) => {
      asked.push(buttons);
      return buttons.some((one) => /Backup/.test(one)) ? buttons[button] : buttons.at(-1);
    };
  };
  const backup = () => session.editor.files.get('file:///cars/fresh.backup.cfgdump');

  it('gets one first, of what was read, where an option is to be set', async () => {
    press(0);
    await session.run('setOption');
    assert.deepEqual(asked[0], ['Make a Backup First', 'Set without a Backup']);
    assert.match(new TextDecoder().decode(backup()), /^@seal sha256:/m);
    assert.match(session.text('fresh.cfgdump'), /^@backup fresh\.backup\.cfgdump$/m);
    assert.match(session.text('fresh.cfgdump'), /^ 4: 08 03 21/m);
    assert.doesNotMatch(new TextDecoder().decode(backup()), /^ 4: 08 03 21/m);
    assert.equal(didContext('setOption'), true);
    assert.equal(didContext('makeBackup'), true);
  });

  it('is changed without one where the person wants that, and is not asked about again', async () => {
    press(1);
    await session.run('setOption');
    assert.match(session.text('fresh.cfgdump'), /^ 4: 08 03 21/m);
    assert.equal(backup(), undefined);
    const before = asked.length;
    session.editor.person.pick = ({ title }) =>
      title.startsWith('Which') ? ['Trailer socket'] : title.startsWith('Trailer') ? ['none'] : undefined;
    await session.run('setOption');
    assert.match(session.text('fresh.cfgdump'), /^ 4: 08 03 01/m);
    assert.deepEqual(
      asked
        .slice(before)
        .flat()
        .filter((button) => /Backup/.test(button)),
      [],
    );
  });

  it('stays as it is where the person goes away', async () => {
    press(9);
    await session.run('setOption');
    assert.equal(session.text('fresh.cfgdump'), FRESH);
    assert.equal(didContext('setOption'), undefined);
  });

  it('has a backup of the file as it was saved, whatever was changed since', async () => {
    press(1);
    await session.run('setOption');
    assert.match(session.text('fresh.cfgdump'), /^ 4: 08 03 21/m);
    await session.run('makeBackup');
    assert.match(shown('notice'), /Backup sealed of the file as it was last saved: fresh\.backup\.cfgdump/);
    assert.equal(new TextDecoder().decode(backup()).replace(/^@seal.*\n/m, ''), FRESH);
    assert.match(session.text('fresh.cfgdump'), /^ 4: 08 03 21/m);
  });

  for (const id of ['compareWithBackup', 'restoreFromBackup', 'nextChange', 'takeLine'])
    it(`says so with a button that makes one: ${id}`, async () => {
      session.editor.person.notice = (_, buttons) => buttons.find((button) => button === 'Make a Backup');
      await session.run(id);
      await until(() => backup() !== undefined);
      assert.match(shown('warning'), /This dump names no backup/);
    });
});

describe('commands while another editor has the focus', () => {
  afterEach(() => session.stop());
  beforeEach(async () => {
    session = await clientSession({ ...FILES, 'notes.txt': 'notes\n' });
    await session.open(DUMP, 11, 10);
    await session.open('notes.txt');
    assert.equal(window.activeTextEditor?.document.languageId, 'plaintext');
  });

  it('act on the dump that was active last', async () => {
    await session.run('correctChecksums');
    assert.match(session.text(DUMP), /^17: 10 00 FF 00 {2}FF 3C \| 55$/m);
    await session.run('compareWithBackup');
    assert.equal(shown('diff title'), 'rear-body.as-found.cfgdump ↔ rear-body.cfgdump');
    for (const id of ['makeBackup', 'convert', 'jobCard', 'setOption', 'takeLine', 'nextChange', 'learn', 'rebalance'])
      await session.run(id);
    assert.doesNotMatch(shown('notice'), /Open a configuration dump|Open a dump|Open the dump/);
    assert.deepEqual(['correctChecksums', 'compare'].map(didContext), [true, true]);
  });

  it('say what to open where that dump was closed', async () => {
    session.close(DUMP);
    await settle();
    await session.run('correctChecksums');
    assert.match(shown('notice'), /^Open a configuration dump/m);
  });
});

describe('the walkthrough', () => {
  afterEach(() => session.stop());
  it('ticks its steps by what the extension says was done, and its titles fit', async () => {
    const { contributes } = JSON.parse(readFileSync('package.json', 'utf8'));
    const [{ steps, title }] = contributes.walkthroughs;
    session = await clientSession({});
    const sources = readdirSync('client/src/commands').map((name) =>
      readFileSync(`client/src/commands/${name}`, 'utf8'),
    );
    const ticked = new Set(
      [
        ...sources,
        ...['newBackup', 'views/comparison'].map((name) => readFileSync(`client/src/${name}.ts`, 'utf8')),
      ].flatMap((source) =>
        [...source.matchAll(/\btick\('(\w+)'\)/g)].map(([, step]) => `onContext:countersum.did.${step}`),
      ),
    );
    const events = steps.flatMap(({ completionEvents }: { completionEvents: string[] }) => completionEvents);
    assert.deepEqual(new Set(events), ticked);
    for (const language of ['package.nls.json', 'package.nls.de.json']) {
      const texts = JSON.parse(readFileSync(language, 'utf8'));
      for (const one of [title, ...steps.map((step: { title: string }) => step.title)])
        assert.ok(texts[one.replaceAll('%', '')].length <= 30, texts[one.replaceAll('%', '')]);
    }
  });
});

describe('the Options view', () => {
  afterEach(() => session.stop());
  it('shows what the profile says now, typed or saved, though no problem of the dump has changed', async () => {
    session = await clientSession(FILES);
    await session.open(DUMP);
    const tree = session.editor.trees.get('countersum.options');
    const titles = () =>
      (tree?.provider.getChildren() ?? [])
        .flatMap((group) => tree?.provider.getChildren(group) ?? [])
        .map((node) => (node as { readonly item: { readonly title: string } }).item.title);
    await until(() => titles().includes('Trailer socket'));
    await session.open(PROFILE);
    await session.open(DUMP);
    const document = workspace.textDocuments.find(({ uri }) => uri.path.endsWith(PROFILE));
    const text = document?.getText() ?? '';
    const at = document?.positionAt(text.indexOf('Trailer socket'));
    assert.ok(document && at);
    document.change([
      {
        range: Object.assign(Object.create(null), {
          start: at,
          end: { line: at.line, character: at.character + 'Trailer socket'.length },
        }),
        newText: 'Tow bar socket',
      },
    ]);
    await document.save();
    await until(() => titles().includes('Tow bar socket'));
  });
});

describe('a text in a form that nothing describes', () => {
  afterEach(() => session.stop());

  it('is worked out before it is in a file; for its profile it is saved first', async () => {
    session = await clientSession({});
    const document = await workspace.openTextDocument({ language: 'cfgdump', content: ownForm() });
    await window.showTextDocument(document);
    await settle();
    await session.run('learn', document.uri.toString());
    session.editor.person.write = (_, value) => value;
    const [panel] = session.editor.panels;
    assert.match(
      panel?.html ?? '',
      /<\/h1><p>\S+ is in no file yet\. For its profile, which goes into the same folder, it is saved first\.<\/p>/,
    );
    assert.match(
      panel?.html ?? '',
      /<button class="secondary" data-add="0">Save the Dump and Make the Profile<\/button>/,
    );
    let offered = '';
    session.editor.person.saveAs = (uri) => {
      offered = uri?.path ?? '';
      return undefined;
    };
    panel?.send({ add: 0 });
    await until(() => offered !== '');
    await settle();
    assert.equal(offered, '/cars/dump.cfgdump', 'the editor would call it like its first bytes');
    assert.equal(session.editor.files.size, 0);
    session.editor.person.saveAs = () => Uri.parse('file:///cars/rear.cfgdump');
    panel?.send({ add: 0 });
    await until(() => session.editor.files.has('file:///cars/rear.dump-profile.json'));
    await until(() => /^@profile rear\.dump-profile\.json$/m.test(session.text('rear.cfgdump')));
    assert.equal(didContext('learn'), true);
  });

  it('is known on the page of its rule though it was saved from elsewhere meanwhile', async () => {
    session = await clientSession({});
    const text = `@vehicle stock no. 7\n@part DM-1\n${ownForm()}`;
    const document = await workspace.openTextDocument({ language: 'cfgdump', content: text });
    await window.showTextDocument(document);
    await settle();
    await session.run('learn', document.uri.toString());
    let offered = '';
    session.editor.person.saveAs = (uri) => {
      offered = uri?.path ?? '';
      return uri;
    };
    await session.run('_jobStep', { does: 'save', uri: document.uri.toString(), other: null });
    close(document);
    assert.equal(offered, '/cars/stock-no.-7-DM-1.cfgdump');
    session.editor.person.write = (_, value) => value;
    session.editor.panels[0]?.send({ add: 0 });
    await until(() => session.editor.files.has('file:///cars/stock-no.-7-DM-1.dump-profile.json'));
    assert.equal(shown('warning'), '');
  });

  it('stays open where something was typed while it was saved', async () => {
    session = await clientSession({});
    const document = await workspace.openTextDocument({ language: 'cfgdump', content: `@part DM-1\n${ownForm()}` });
    await window.showTextDocument(document);
    const closing = 'workbench.action.revertAndCloseActiveEditor';
    const closed = () => session.editor.executed.some(([id]) => id === closing);
    const { files } = session.editor;
    const set = files.set.bind(files);
    session.editor.person.saveAs = () => Uri.parse('file:///cars/a.cfgdump');
    files.set = (uri, bytes) => {
      document.change([{ range: new Range(0, 0, 0, 0), newText: '# typed\n' }]);
      return set(uri, bytes);
    };
    await session.run('_jobStep', { does: 'save', uri: document.uri.toString(), other: null });
    files.set = set;
    assert.ok(files.has('file:///cars/a.cfgdump'));
    assert.deepEqual([closed(), document.getText().startsWith('# typed')], [false, true]);
    session.editor.person.saveAs = () => Uri.parse('file:///cars/b.cfgdump');
    await session.run('_jobStep', { does: 'save', uri: document.uri.toString(), other: null });
    assert.equal(closed(), true);
  });

  it('asks for no others of its module where none can be', async () => {
    session = await clientSession({ 'other.cfgdump': '1: 00 01 | 02\n', 'rear.cfgdump': ownForm() });
    await session.open('rear.cfgdump');
    await session.run('learn');
    assert.equal(shown('list title'), '');
    assert.equal(session.editor.panels.length, 1);
  });

  it('in a file of any name is worked out where the person wants that', async () => {
    session = await clientSession({ 'rear.txt': ownForm() });
    await session.open('rear.txt');
    await session.run('treatAsDump', Uri.parse('file:///cars/rear.txt'));
    // The line above the text offers it.
    await session.run('learn', 'file:///cars/rear.txt');
    await until(() => session.editor.panels.length > 0);
    assert.equal(session.languageOf('rear.txt'), 'cfgdump');
  });
});

describe('a plan for want of a backup', () => {
  afterEach(() => session.stop());

  it('has a button that makes those that there are not', async () => {
    const without = (name: string) => (FILES[name] ?? '').replace(/^@(?:backup|seal).*\n/gm, '');
    session = await clientSession({
      'rear-body.cfgdump': FRESH,
      'cluster.cfgdump': without('cluster.as-found.cfgdump'),
      ...Object.fromEntries(Object.entries(FILES).filter(([name]) => name.endsWith('.json'))),
    });
    session.editor.person.notice = (_, buttons) => buttons.find((one) => one === 'Make a Backup');
    await session.run('planRetrofit');
    assert.match(shown('markdown'), /It has no backup/);
    await until(() => session.editor.files.has('file:///cars/cluster.backup.cfgdump'));
    await until(() => session.editor.files.has('file:///cars/rear-body.backup.cfgdump'));
  });
});
