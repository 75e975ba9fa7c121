// A place that a page or a view told of goes with its row while lines come and go above it; a row that is not there any
// more, or twice, is never taken for another one.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, describe, it } from 'mocha';
import { type ClientSession, clientSession, settle, until } from '../support/clientSession.js';
import { workspace } from '../support/fakeEditor.js';

const FOLDER = 'examples/trailer-socket';
const FILES = Object.fromEntries(readdirSync(FOLDER).map((name) => [name, readFileSync(`${FOLDER}/${name}`, 'utf8')]));
const DUMP = 'rear-body.cfgdump';
/** The row of line 4, where the option is, counted from 0. */
const ROW = (FILES[DUMP] ?? '').split('\n').findIndex((text) => text.startsWith(' 4: '));
const WHY =
  /^rear-body\.cfgdump has changed since this was shown, and the place is not found any more\. Show it anew\.$/;

describe('a place that was told of', () => {
  let session: ClientSession;
  afterEach(() => session.stop());

  const ways: Readonly<Record<string, () => Promise<() => unknown>>> = {
    'the page of three ways': async () => {
      session.editor.person.pick = ({ title }) => [
        title.startsWith('Compare') ? 'Three ways…' : 'rear-body.read-back.cfgdump',
      ];
      await session.run('compareWith');
      return () => session.editor.panels[0]?.send(0);
    },
    'the table of many dumps': async () => {
      session.editor.person.pick = ({ items }) =>
        items.map(({ label }) => label).filter((one) => /^rear-body/.test(one));
      await session.run('compareMany');
      const [panel] = session.editor.panels;
      const names = [...(panel?.html ?? '').matchAll(/<th[^>]*scope="col"[^>]*>(?:<[^>]*>)*([^<]*)/g)].map(
        ([, one]) => one,
      );
      const at = names.indexOf(DUMP) - (names.length - 3);
      assert.ok(at >= 0, names.join());
      return () => panel?.send({ press: `0.${at}` });
    },
    'the Changes view': async () => {
      const { provider } = session.editor.trees.get('countersum.changes') ?? {};
      await until(() => (provider?.getChildren() ?? []).length > 0);
      const [line] = (provider?.getChildren() ?? []).filter((node) => (node as { kind: string }).kind === 'line');
      const [byte] = provider?.getChildren(line) ?? [];
      const { command } = provider?.getTreeItem(byte) ?? {};
      assert.ok(command);
      return () => session.run(command.command.replace('countersum.', ''), ...(command.arguments ?? []));
    },
    'the Options view': async () => {
      const { provider } = session.editor.trees.get('countersum.options') ?? {};
      const all = (node?: unknown): readonly unknown[] =>
        (provider?.getChildren(node) ?? []).flatMap((child) => [child, ...all(child)]);
      const found = () => all().find((node) => provider?.getTreeItem(node).label === 'Trailer socket');
      await until(() => found() !== undefined);
      const node = found();
      return () => session.run('showOption', node);
    },
  };

  for (const [name, way] of Object.entries(ways)) {
    const begin = async () => {
      session = await clientSession(FILES);
      await session.open(DUMP);
      const press = await way();
      return async () => {
        await press();
        await settle();
      };
    };

    it(`in ${name} goes with its row`, async () => {
      const press = await begin();
      await press();
      assert.equal(session.cursor()?.line, ROW);
      session.type(DUMP, '# one\n# two\n');
      await press();
      assert.equal(session.cursor()?.line, ROW + 2);
      assert.deepEqual(session.editor.in('warning'), []);
    });

    it(`in ${name} is refused where its row is gone, or there twice`, async () => {
      const press = await begin();
      const document = workspace.textDocuments.find(({ uri }) => uri.path.endsWith(`/${DUMP}`));
      const line = document?.lineAt(ROW);
      assert.ok(document && line);
      document.change([{ range: line.range, newText: '# gone' }]);
      await press();
      assert.match(session.editor.in('warning').at(-1) ?? '', WHY);
      session.type(DUMP, `${line.text}\n${line.text}\n`);
      await press();
      assert.equal(session.editor.in('warning').length, 2);
    });
  }
});
