// The job in a window of 1280 by 800 whose letters are twice as large: what is next is in sight without scrolling.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { SMALL_WINDOWS } from '../axe.mjs';
import { editorForScenes } from '../scenes.mjs';

const VIEW = '.pane:has(.pane-header[aria-label^="Job"])';

describe('the job view in a small window', () => {
  const editor = editorForScenes({ from: 'examples/trailer-socket' });

  it('has the next step and its button in sight without scrolling', async () => {
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
      const step = editor.page.locator(`${VIEW} .monaco-list-row[aria-label^="Everything right, next"]`).first();
      await editor.eventually(async () => {
        const view = await editor.page.locator(`${VIEW} .monaco-list`).first().boundingBox();
        // The module stays at the top of the list, over what is scrolled below it.
        const kept = editor.page.locator(`${VIEW} .monaco-tree-sticky-container:not(.empty)`);
        const sticky = (await kept.count()) === 0 ? null : await kept.first().boundingBox();
        for (const row of [step, button]) {
          const box = await row.boundingBox();
          const top = sticky === null ? view?.y : sticky.y + sticky.height;
          assert.ok(
            box !== null && view !== null && box.y >= top - 1 && box.y + box.height <= view.y + view.height + 1,
            `${name}: ${JSON.stringify([box, view, sticky])}`,
          );
        }
      });
    }
  });
});
