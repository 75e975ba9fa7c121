// Finding one's way in a dump: the outline, the list of problems, the path above the text, from a digit to its meaning.
import assert from 'node:assert/strict';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, it } from 'mocha';
import { inWindow } from '../../scenes.mjs';

export function navigation(editor) {
  describe('the way through a dump on the screen', () => {
    inWindow(editor, 900);
    beforeEach(() => editor.begin());

    const rows = (list) => editor.page.locator(`${list} .monaco-list-row`);
    const tab = (name) => `.tab.active[data-resource-name="${name}"]`;
    const followTo = (name) =>
      editor.untilDone(
        () => editor.press('F12'),
        (limit) => editor.showsFile(name, limit),
      );

    /** A text that was just opened may not be known to the server yet. */
    const openRename = () => editor.untilSeen(() => editor.press('F2'), '.rename-box :focus');

    it('lists the problems of all dumps of the folder without opening them', async () => {
      await editor.runCommand('Problems: Focus on Problems View');
      const problem = rows('.markers-panel').filter({ hasText: 'line-sum' });
      await problem.first().waitFor();
      await editor.picture('problems of the folder');
      await editor.eventually(async () => {
        const listed = (await rows('.markers-panel').allInnerTexts()).join('\n');
        assert.match(listed, /rear-body\.cfgdump/);
        assert.match(listed, /cluster\.cfgdump/);
      });
      assert.equal(await editor.page.locator('.tab').count(), 0);
      // Another program writes one of them; an editor that has just begun may not watch the folder yet.
      const file = join(editor.folder, 'rear-body.cfgdump');
      await editor.untilDone(
        () => writeFileSync(file, readFileSync(file, 'utf8').replace('00 FF | 88', '00 FF | A8')),
        (limit) => problem.first().waitFor({ state: 'detached', ...limit }),
      );
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
      await editor.eventually(async () => {
        const shown = (await rows('.outline-pane').allInnerTexts()).join('\n');
        assert.match(shown, /Rear body module \(demo\)/);
        assert.match(shown, /Headers/);
      });
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
      await editor.eventually(async () => {
        const files = (await rows('.reference-zone-widget').allInnerTexts()).join('\n');
        assert.match(files, /rear-body\.as-found\.cfgdump/);
        assert.match(files, /trailer-socket\.retrofit\.json/);
      });
      await editor.picture('references');
    });

    it('marks all that the file sum covers, and folds', async () => {
      await editor.openFile('rear-body.cfgdump');
      await editor.marks('error', 2);
      // Marks are asked for when the cursor moves, and again when it comes back.
      const move = async () => {
        await editor.goTo(1);
        await editor.goTo(27, 9);
      };
      await editor.untilDone(move, (limit) =>
        editor.page.waitForFunction(() => document.querySelectorAll('.wordHighlight').length >= 18, undefined, limit),
      );
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
      await editor.untilSeen(() => editor.press('F2'), ':text("Rename the option in its profile")');
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
      await editor.untilSeen(() => editor.press('Control+T'), '.quick-input-widget input');
      await editor.type('trailer');
      const found = '.quick-input-list .monaco-list-row.focused';
      await editor.page.locator(found, { hasText: 'Trailer socket' }).waitFor();
      await editor.picture('symbols of the folder');
      await editor.press('Enter');
      await editor.page.waitForSelector(tab('rear-body.dump-profile.json'));
    });

    it('has dumps name their profile when it is renamed', async () => {
      const row = editor.page.locator('.explorer-folders-view .monaco-list-row[aria-label^="rear-body.dump-profile"]');
      const rename = async () => {
        await row.click();
        await editor.press('F2');
      };
      await editor.untilSeen(rename, '.explorer-item-edited input');
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
}
