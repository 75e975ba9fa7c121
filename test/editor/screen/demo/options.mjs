// The options of a dump as a view beside the text: told in words, set by the keyboard, refused where they must not be.
import assert from 'node:assert/strict';
import { beforeEach, describe, it } from 'mocha';
import { inWindow } from '../../scenes.mjs';

export function options(editor) {
  describe('the options view on the screen', () => {
    // High enough for all entries of a view that shares the side bar.
    inWindow(editor, 1100);
    beforeEach(() => editor.begin());

    it('tells all options in words, those that differ from the backup marked', async () => {
      await editor.openFile('rear-body.cfgdump');
      await editor.runCommand('Countersum: Focus on Options View');
      await editor.viewRow('Trailer socket: 13-pin. not as in the backup: none. affects the lighting').waitFor();
      await editor.picture('options');
    });

    it('sets an option by the keyboard, with the sums kept right, and follows the cursor', async () => {
      await editor.openFile('rear-body.cfgdump');
      await editor.runCommand('Countersum: Focus on Options View');
      await editor.viewRow('Trailer socket: 13-pin').waitFor();
      await editor.goTo(14, 8);
      await editor.page.waitForSelector('.monaco-list-row.selected[aria-label^="Rear parking sensors"]');
      await editor.runAsking('Countersum: Set an Option');
      await editor.page.waitForSelector('.quick-input-title:has-text("Which option")');
      await editor.page.keyboard.insertText('socket');
      await editor.page.waitForSelector('.quick-input-list .monaco-list-row.focused[aria-label^="Trailer socket"]');
      await editor.picture('options - which');
      await editor.press('Enter');
      await editor.page.waitForSelector('.quick-input-title:has-text("now: 13-pin")');
      await editor.picture('options - value');
      await editor.press('ArrowUp');
      await editor.press('ArrowUp');
      await editor.page.waitForSelector('.quick-input-list .monaco-list-row.focused[aria-label^="none"]');
      await editor.press('Enter');
      await editor.page.waitForSelector('.monaco-dialog-box');
      await editor.picture('options - caution');
      assert.match(await editor.confirm('Write It'), /Write this change.*Trailer socket.*Affects the lighting/s);
      await editor.marks('error', 0);
      await editor.line(' 4: 08 03 01 7F  00 FF | 88');
      await editor.viewRow('Trailer socket: none').waitFor();
      assert.equal(await editor.viewRow('Trailer socket: none. not as in the backup').count(), 0);
    });

    it('says what to do where no dump is open', async () => {
      await editor.runCommand('Countersum: Focus on Options View');
      await editor.page.getByText('The options of a dump are listed here').waitFor();
      await editor.picture('options - no dump');
    });
  });
}
