// The job in a window of 1280 by 800 whose letters are twice as large: what is next is in sight without scrolling.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { SMALL_WINDOWS } from '../axe.mjs';
import { editorForScenes } from '../scenes.mjs';

const VIEW = '.pane:has(.pane-header[aria-label^="Job"])';

describe('the job view in a small window', () => {
  const editor = editorForScenes({ from: 'examples/trailer-socket' });

  it('has the button of the next step in sight without scrolling', async () => {
    await editor.openFile('rear-body.cfgdump');
    for (const [name, size] of Object.entries(SMALL_WINDOWS)) {
      await editor.page.setViewportSize(size);
      await editor.page.locator('.activitybar .action-item a[aria-label^="Explorer"]').click();
      await editor.page.locator('.activitybar .action-item a[aria-label^="Countersum"]').click();
      const button = editor.page
        .locator(`${VIEW} .monaco-list-row[aria-label="Correct All Checksums: press Enter"]`)
        .first();
      await button.waitFor();
      await editor.picture(`job in a small window ${name}`);
      await editor.eventually(async () => {
        const box = await button.boundingBox();
        const view = await editor.page.locator(`${VIEW} .monaco-list`).first().boundingBox();
        assert.ok(
          box !== null && view !== null && box.y >= view.y && box.y + box.height <= view.y + view.height + 1,
          `${name}: ${JSON.stringify([box, view])}`,
        );
      });
    }
  });
});
