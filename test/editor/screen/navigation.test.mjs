// Finding one's way in a dump: the outline, the list of problems, the path above the text, from a digit to its meaning.
import assert from 'node:assert/strict';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, it } from 'mocha';
import { editorForScenes } from '../scenes.mjs';

describe('the way through a dump on the screen', () => {
  const editor = editorForScenes({ settings: { 'breadcrumbs.enabled': true }, height: 900 });
  beforeEach(() => editor.begin());

  const rows = (list) => editor.page.locator(`${list} .monaco-list-row`);
  const tab = (name) => `.tab.active[data-resource-name="${name}"]`;
  const followTo = (name) => editor.untilSeen(() => editor.press('F12'), tab(name));

  /** A text that was just opened may not be known to the server yet: then the key is pressed again, as a person would. */
  const openRename = async () => {
    for (let tries = 1; ; tries++) {
      await editor.press('F2');
      try {
        await editor.page.waitForFunction(() => document.activeElement?.closest('.rename-box'), undefined, {
          timeout: 4000,
        });
        return;
      } catch (error) {
        if (tries === 5) throw error;
      }
    }
  };

  it('lists the problems of all dumps of the folder without opening them', async () => {
    await editor.runCommand('Problems: Focus on Problems View');
    const problem = rows('.markers-panel').filter({ hasText: 'line-sum' });
    await problem.first().waitFor();
    await editor.picture('problems of the folder');
    const listed = (await rows('.markers-panel').allInnerTexts()).join('\n');
    assert.match(listed, /rear-body\.cfgdump/);
    assert.match(listed, /cluster\.cfgdump/);
    assert.equal(await editor.page.locator('.tab').count(), 0);
    // Another program writes one of them.
    const file = join(editor.folder, 'rear-body.cfgdump');
    writeFileSync(file, readFileSync(file, 'utf8').replace('00 FF | 88', '00 FF | A8'));
    await problem.first().waitFor({ state: 'detached' });
    await editor.runCommand('View: Toggle Panel Visibility');
  });

  it('shows module, lines, options and file sum in the outline, and where the cursor is above the text', async () => {
    await editor.openFile('rear-body.cfgdump');
    await editor.marks('error', 2);
    await editor.runCommand('Explorer: Focus on Outline View');
    // The list of files gives its room to the outline.
    const files = editor.page.locator('.pane-header[aria-label^="Explorer Section"]');
    await files.click();
    const line = rows('.outline-pane').filter({ hasText: 'Line 4' });
    await line.first().waitFor();
    const shown = (await rows('.outline-pane').allInnerTexts()).join('\n');
    assert.match(shown, /Rear body module \(demo\)/);
    assert.match(shown, /Headers/);
    await editor.goTo(12, 11);
    await editor.page
      .locator('.breadcrumbs-control .monaco-breadcrumb-item', { hasText: 'Trailer socket' })
      .first()
      .waitFor();
    await editor.picture('outline');
    await files.click();
    await editor.page.waitForSelector('.explorer-folders-view .monaco-list-row');
  });

  it('goes from a digit to its option in the profile, and shows everywhere it is set', async () => {
    await editor.openFile('rear-body.cfgdump');
    await editor.marks('error', 2);
    await editor.goTo(12, 11);
    await followTo('rear-body.dump-profile.json');
    await editor.page.locator('.view-line', { hasText: '"trailer-socket"' }).first().waitFor();
    await editor.untilSeen(() => editor.press('Shift+F12'), '.reference-zone-widget .monaco-list-row');
    const files = (await rows('.reference-zone-widget').allInnerTexts()).join('\n');
    assert.match(files, /rear-body\.as-found\.cfgdump/);
    assert.match(files, /trailer-socket\.retrofit\.json/);
    await editor.picture('references');
  });

  it('marks all that the file sum covers, and folds', async () => {
    await editor.openFile('rear-body.cfgdump');
    await editor.marks('error', 2);
    await editor.goTo(27, 9);
    await editor.page.waitForFunction(() => document.querySelectorAll('.wordHighlight').length >= 18);
    await editor.picture('what the file sum covers');
    await editor.runCommand('Fold All');
    await editor.page.waitForFunction(() => document.querySelectorAll('.editor-instance .view-line').length < 10);
    await editor.picture('folded');
    await editor.runCommand('Unfold All');
  });

  it('renames an option in profiles and retrofits, and says on a dump where to do it', async () => {
    await editor.openFile('rear-body.cfgdump');
    await editor.marks('error', 2);
    await editor.goTo(12, 11);
    await editor.press('F2');
    await editor.page.getByText('Rename the option in its profile').first().waitFor();
    await editor.picture('rename refused');
    await followTo('rear-body.dump-profile.json');
    await editor.goTo(21, 20);
    await openRename();
    await editor.page.keyboard.insertText('towing-socket');
    await editor.press('Enter');
    await editor.page.locator('.view-line', { hasText: '"towing-socket"' }).first().waitFor();
    await editor.picture('renamed');
    // The editor saves what it renames in files that are not open.
    await editor.openFile('trailer-socket.retrofit.json');
    await editor.page.locator('.view-line', { hasText: '"towing-socket"' }).first().waitFor();
  });

  it('finds options and dumps of the folder by name', async () => {
    await editor.openFile('cluster.cfgdump');
    await editor.press('Control+T');
    await editor.page.waitForSelector('.quick-input-widget input');
    await editor.type('trailer');
    await editor.page.locator('.quick-input-list .monaco-list-row', { hasText: 'Trailer socket' }).first().waitFor();
    await editor.picture('symbols of the folder');
    await editor.press('Enter');
    await editor.page.waitForSelector(tab('rear-body.dump-profile.json'));
  });

  it('has dumps name their profile when it is renamed', async () => {
    await editor.page.locator('.explorer-folders-view .monaco-list-row[aria-label^="rear-body.dump-profile"]').click();
    await editor.press('F2');
    await editor.page.waitForSelector('.explorer-item-edited input');
    await editor.press('Control+A');
    await editor.page.keyboard.insertText('rear (new).dump-profile.json');
    await editor.press('Enter');
    await editor.page.getByText("Extension 'Countersum' wants to make refactoring changes").waitFor();
    await editor.page.getByRole('button', { name: 'OK' }).click();
    await editor.openFile('rear-body.cfgdump');
    await editor.line('@profile rear (new).dump-profile.json');
    await editor.marks('error', 2);
    await editor.picture('renamed profile');
    await editor.openFile('trailer-socket.retrofit.json');
    await editor.page.locator('.view-line', { hasText: '"rear (new).dump-profile.json"' }).first().waitFor();
  });
});
