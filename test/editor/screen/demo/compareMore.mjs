// Comparing beyond the two texts side by side: changes as a list of words, from one to the next, a line taken over,
// and three dumps or many in one table.
import assert from 'node:assert/strict';
import { beforeEach, describe, it } from 'mocha';
import { faultsInThemes, pageFrame, SMALL_WINDOWS } from '../../axe.mjs';
import { inWindow } from '../../scenes.mjs';

export function compareMore(editor) {
  describe('comparing on the screen', () => {
    // High enough for all entries of a view that shares the side bar.
    inWindow(editor, 1300);
    beforeEach(async () => {
      await editor.begin();
      await editor.openFile('rear-body.cfgdump');
      await editor.marks('error', 2);
    });

    it('lists the changes in words beside the two texts, and each goes to its place', async () => {
      await editor.runCommand('Countersum: Correct All Checksums');
      await editor.line('17: 10 00 FF 00  FF 3C | 55');
      await editor.runCommand('Countersum: Compare with the Backup');
      await editor.comparison();
      await editor.runCommand('Countersum: Focus on Changes View');
      await editor.untilDone(
        () => editor.viewRow('Byte 6: 5C → 3C · balance').click(),
        (limit) => editor.status('(2 selected)', limit),
      );
      await editor.picture('compare - changes');
    });

    it('goes from one changed byte to the next, and back', async () => {
      await editor.runCommand('Countersum: Correct All Checksums');
      await editor.line('17: 10 00 FF 00  FF 3C | 55');
      await editor.goTo(1);
      await editor.press('Control+F7');
      await editor.status('Ln 12, Col 13 (2 selected)');
      await editor.press('Control+F7');
      await editor.status('Ln 12, Col 28 (2 selected)');
      await editor.press('Control+Shift+F7');
      await editor.status('Ln 12, Col 13 (2 selected)');
    });

    it('takes a line over from the backup', async () => {
      await editor.goTo(12, 5);
      await editor.runCommand('Countersum: Take This Line from the Backup');
      assert.match(await editor.confirm('Write It'), /Trailer socket.*Affects the lighting/s);
      await editor.line(' 4: 08 03 01 7F  00 FF | 88');
      await editor.marks('error', 0);
    });

    it('holds three dumps against each other in one table without a fault in any theme', async () => {
      await editor.runCommand('Countersum: Correct All Checksums');
      await editor.line('17: 10 00 FF 00  FF 3C | 55');
      await editor.runAsking('Countersum: Compare with Another Dump');
      await editor.page.waitForSelector('.quick-input-title:has-text("Compare with which dump?")');
      await editor.pick('Three ways');
      await editor.page.waitForSelector('.quick-input-title:has-text("read back")');
      await editor.pick('read-back');
      const page = await pageFrame(editor.page);
      await page.getByText('not written: still as found').first().waitFor();
      assert.deepEqual(await faultsInThemes(editor, 'three ways'), []);
      await editor.untilDone(
        () => page.locator('.place', { hasText: 'Line 17, byte 6' }).click(),
        (limit) => editor.status('(2 selected)', limit),
      );
    });

    it('holds many dumps in one table, filtered and sorted by keys; a value leads into its dump', async () => {
      await editor.runAsking('Countersum: Compare Many Dumps');
      await editor.page.waitForSelector('.quick-input-title:has-text("Compare which dumps?")');
      // The dump in the editor is ticked already.
      for (const name of ['rear-body.as-found', 'rear-body.read-back']) {
        const entry = editor.page.locator(`.quick-input-list .monaco-list-row[aria-label*="${name}"]`);
        await entry.click();
        await entry.locator('input:checked, [aria-checked=true]').waitFor();
      }
      await editor.press('Enter');
      const page = await pageFrame(editor.page);
      await page.getByRole('heading', { name: '3 Dumps Compared' }).waitFor();
      assert.deepEqual(await faultsInThemes(editor, 'many dumps', SMALL_WINDOWS), []);
      const shown = await pageFrame(editor.page);
      await shown.getByRole('button', { name: 'Place' }).press('Enter');
      await shown.locator('th[aria-sort=ascending]').waitFor();
      await shown.getByRole('searchbox').fill('trailer 13-pin');
      await shown.getByText('Shown: 1 of').waitFor();
      await shown.locator('tbody tr').getByRole('button', { name: '13-pin' }).first().press('Enter');
      await editor.status('Ln 12');
    });
  });
}
