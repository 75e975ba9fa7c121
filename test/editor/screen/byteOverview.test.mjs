// The byte overview of a dump beside its text: it tells what bytes are, goes there, follows the cursor and every edit.
import assert from 'node:assert/strict';
import { beforeEach, describe, it } from 'mocha';
import { faultsInThemes, pageFrame } from '../axe.mjs';
import { editorForScenes } from '../scenes.mjs';

describe('the byte overview on the screen', () => {
  const editor = editorForScenes();
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
    await cell('Line 4, byte 3: 21, option, changed from the backup').click();
    await editor.page.waitForFunction(() =>
      document.querySelector('.statusbar')?.textContent.includes('Ln 12, Col 13 (2 selected)'),
    );
    await map.getByText('Trailer socket (bits 7 to 4): 13-pin').waitFor();
    await cell('Line 4, byte 7: 88, sum, wrong').waitFor();
    await editor.runCommand('Countersum: Correct All Checksums');
    await cell('Line 4, byte 7: A8, sum, changed from the backup').waitFor();
    await cell('Line 17, byte 6: 3C, balance place, changed from the backup').waitFor();
  });

  it('is walked by the arrow keys, and Enter goes to the text', async () => {
    await cell('Line 1, byte 1: 06, locked').focus();
    for (const key of ['ArrowDown', 'ArrowDown', 'ArrowRight', 'End']) await editor.press(key);
    assert.equal(
      await map.evaluate(() => document.activeElement.getAttribute('aria-label')),
      'Line 3, byte 7: 24, sum',
    );
    await editor.press('Enter');
    await editor.page.waitForFunction(() =>
      document.querySelector('.statusbar')?.textContent.includes('Ln 11, Col 28 (2 selected)'),
    );
  });

  it('follows the cursor, and has no fault in any theme', async () => {
    await editor.goTo(12, 11);
    await map.locator('[aria-current=location][aria-label^="Line 4, byte 3"]').waitFor();
    assert.deepEqual(await faultsInThemes(editor, 'byte overview'), []);
  });
});
