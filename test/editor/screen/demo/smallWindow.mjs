// The job in a window of 1280 by 800 whose letters are twice as large: what is next is in sight without scrolling.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { SMALL_WINDOWS } from '../../axe.mjs';
import { inWindow } from '../../scenes.mjs';

const VIEW = '.pane:has(.pane-header[aria-label^="Job"])';

/** Waits until a step and its button are in sight in the list, below the module that stays at its top. */
async function untilInSight(editor, name, rows) {
  await editor.eventually(async () => {
    const view = await editor.page.locator(`${VIEW} .monaco-list`).first().boundingBox();
    const kept = editor.page.locator(`${VIEW} .monaco-tree-sticky-container:not(.empty)`);
    const sticky = (await kept.count()) === 0 ? null : await kept.first().boundingBox();
    for (const row of rows) {
      const box = await row.boundingBox({ timeout: 1000 });
      const top = sticky === null ? view?.y : sticky.y + sticky.height;
      assert.ok(
        box !== null && view !== null && box.y >= top - 1 && box.y + box.height <= view.y + view.height + 1,
        `${name}: ${JSON.stringify([box, view, sticky])}`,
      );
    }
  });
}

export function smallWindow(editor) {
  describe('the job view in a small window', () => {
    inWindow(editor, 800);
    const rowOf = (spoken) => editor.page.locator(`${VIEW} .monaco-list-row[aria-label^="${spoken}"]`).first();

    it('has the next step and its button in sight without scrolling', async () => {
      await editor.openFile('rear-body.cfgdump');
      for (const [name, size] of Object.entries(SMALL_WINDOWS)) {
        await editor.page.setViewportSize(size);
        await editor.page.locator('.activitybar .action-item a[aria-label^="Explorer"]').click();
        await editor.page.locator('.activitybar .action-item a[aria-label^="Countersum"]').click();
        const button = rowOf('Correct All Checksums: press Enter');
        await button.waitFor();
        await editor.picture(`job in a small window ${name}`);
        await untilInSight(editor, name, [rowOf('Everything right, next'), button]);
      }
    });

    it('has the step that is next then in sight too, where the work goes on in that window', async () => {
      await rowOf('Correct All Checksums: press Enter').click();
      await untilInSight(editor, 'after a step', [
        rowOf('Job card made, next'),
        rowOf('Make and Keep the Job Card: press Enter'),
      ]);
      await editor.picture('job in a small window after a step');
    });
  });
}
