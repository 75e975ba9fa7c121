// Many dumps in one table: chosen, filtered, sorted and walked by keys alone, in any theme and in small windows.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { faultsInThemes, pageFrame, SMALL_WINDOWS } from '../axe.mjs';
import { editorForScenes } from '../scenes.mjs';

describe('many dumps on the screen', () => {
  const editor = editorForScenes({});

  it('are one table, filtered and sorted by keys, and a value leads into its dump', async () => {
    await editor.begin();
    await editor.openFile('rear-body.cfgdump');
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
