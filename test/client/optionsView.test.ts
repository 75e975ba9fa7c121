// The view of the options beside the text, in a played editor: what it shows of the place where the cursor is.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { type ClientSession, clientSession, until } from '../support/clientSession.js';
import { moveCursor } from '../support/fakeEditor.js';

const FOLDER = 'examples/trailer-socket';
const FILES = Object.fromEntries(readdirSync(FOLDER).map((name) => [name, readFileSync(`${FOLDER}/${name}`, 'utf8')]));

describe('the options view', () => {
  let session: ClientSession;
  beforeEach(async () => {
    session = await clientSession(FILES);
    await session.open('rear-body.cfgdump');
    await until(() => (view()?.provider.getChildren().length ?? 0) > 0);
  });
  afterEach(() => session.stop());

  const view = () => session.editor.trees.get('countersum.options');
  const selected = () => view()?.selection.map((node) => view()?.provider.getTreeItem(node).label)[0];

  it('shows the option at the cursor', async () => {
    moveCursor(13, 7);
    await until(() => selected() === 'Rear parking sensors');
  });

  it('tells a screen reader sentences with one stop each', async () => {
    // Nothing can be set in what was read back, which each of its options says.
    await session.open('rear-body.read-back.cfgdump');
    const spoken = () =>
      (view()?.provider.getChildren() ?? [])
        .flatMap((node) => view()?.provider.getChildren(node) ?? [])
        .map((node) => view()?.provider.getTreeItem(node).accessibilityInformation?.label ?? '');
    await until(() => spoken().some((label) => /How sure: .*[a-z]\. This was read back/.test(label)));
    assert.deepEqual(
      spoken().filter((label) => label.includes('..')),
      [],
    );
  });

  it('shows it too where the options are listed anew meanwhile', async () => {
    let go = () => {};
    session.editor.beforeReveal = new Promise((resolve) => {
      go = resolve;
    });
    const [before] = view()?.provider.getChildren() ?? [];
    moveCursor(13, 7);
    session.tellState();
    await until(() => view()?.provider.getChildren()[0] !== before);
    assert.equal(selected(), undefined);
    go();
    await until(() => selected() === 'Rear parking sensors');
  });
});
