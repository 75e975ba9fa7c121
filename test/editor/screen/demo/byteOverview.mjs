// The byte overview of a dump beside its text: it tells what bytes are, goes there, follows the cursor and every edit.
import assert from 'node:assert/strict';
import { beforeEach, describe, it } from 'mocha';
import { faultsInThemes, pageFrame, SMALL_WINDOWS } from '../../axe.mjs';
import { inWindow } from '../../scenes.mjs';

export function byteOverview(editor) {
  describe('the byte overview on the screen', () => {
    inWindow(editor, 800);
    let map;
    beforeEach(async () => {
      await editor.begin();
      await editor.openFile('rear-body.cfgdump');
      await editor.marks('error', 2);
      await editor.runCommand('Countersum: Show the Byte Overview');
      map = await pageFrame(editor.page);
      await map.locator('[role=gridcell]').first().waitFor();
    });

    const cell = (name) => map.locator(`[role=gridcell][aria-label="${name}"]`);

    it('says of each byte what it is, follows edits, and the text follows a click', async () => {
      await editor.untilDone(
        () => cell('Line 4, byte 3: 21, option, changed from the backup').click(),
        (limit) => editor.status('Ln 12, Col 13 (2 selected)', limit),
      );
      await map.getByText('Trailer socket (bits 7 to 4): 13-pin').waitFor();
      await cell('Line 4, byte 7: 88, sum, wrong').waitFor();
      await editor.runCommand('Countersum: Correct All Checksums');
      await cell('Line 4, byte 7: A8, sum, changed from the backup').waitFor();
      await cell('Line 17, byte 6: 3C, balance place, changed from the backup').waitFor();
    });

    it('is walked by the arrow keys, and Enter goes to the text', async () => {
      await editor.eventually(async () => {
        await cell('Line 1, byte 1: 06, locked').focus();
        for (const key of ['ArrowDown', 'ArrowDown', 'ArrowRight', 'End']) await editor.press(key);
        assert.equal(
          await map.evaluate(() => document.activeElement.getAttribute('aria-label')),
          'Line 3, byte 7: 24, sum',
        );
      });
      await editor.press('Enter');
      await editor.status('Ln 11, Col 28 (2 selected)');
    });

    it('follows the cursor, and has no fault in any theme', async () => {
      await editor.goTo(12, 11);
      await map.locator('[aria-current=location][aria-label^="Line 4, byte 3"]').waitFor();
      assert.deepEqual(await faultsInThemes(editor, 'byte overview', SMALL_WINDOWS), []);
    });

    /** The byte that is framed and the head of the sheet, once both are of one byte. */
    const selected = (name) =>
      Promise.all([
        map.locator(`[aria-selected=true][aria-label^="${name}:"]`).waitFor(),
        map.locator('#side h2', { hasText: new RegExp(`^${name}$`) }).waitFor(),
      ]);

    it('frames the byte that it tells about, by key, by mouse, by cursor and after an edit', async () => {
      await editor.goTo(12, 11);
      await selected('Line 4, byte 3');
      await cell('Line 4, byte 3: 21, option, changed from the backup').focus();
      await editor.press('ArrowRight');
      await selected('Line 4, byte 4');
      await cell('Line 6, byte 2: 05, option').hover();
      await selected('Line 6, byte 2');
      await editor.press('ArrowRight');
      await selected('Line 4, byte 5');
      assert.equal(await map.locator('[aria-selected=true]').count(), 1);
      await editor.press('Enter');
      await editor.page.waitForSelector('.editor-instance .monaco-editor.focused');
      await editor.goTo(25, 23);
      await selected('Line 17, byte 6');
      await map.locator('#side p', { hasText: '5C hex' }).waitFor();
      await editor.runCommand('Countersum: Correct All Checksums');
      await map.locator('#side p', { hasText: '3C hex' }).waitFor();
      await selected('Line 17, byte 6');
    });

    it('needs no scrolling to the side, whatever the width and the zoom', async () => {
      await map.locator('#key ul').waitFor();
      for (const size of Object.values(SMALL_WINDOWS)) {
        await editor.page.setViewportSize(size);
        await map.waitForFunction(
          () =>
            document.documentElement.scrollWidth <= innerWidth &&
            document.getElementById('scroll').scrollWidth <= document.getElementById('scroll').clientWidth,
        );
        // What the signs mean makes room for the bytes.
        await map.locator('#key ul').waitFor({ state: 'hidden' });
      }
      await editor.page.setViewportSize({ width: 1280, height: 800 });
      await map.locator('#key ul').waitFor();
      await map.locator('#key summary').click();
      await map.locator('#key ul').waitFor({ state: 'hidden' });
    });
  });
}
