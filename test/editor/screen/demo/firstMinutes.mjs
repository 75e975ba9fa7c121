// The first minutes: a walkthrough with the demo, which opens as a copy, and what the language of a dump says of it.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { inWindow } from '../../scenes.mjs';

const STEPS = [
  'Open the demo',
  'Correct the checksums',
  'Set an option',
  'Compare with the backup',
  'Bring in your own dump',
];

/** Lines in a form of their own, with a sum in each and one over all. */
const OWN_FORM = ['RE-01 = 04 1A 22 10 *AF', 'RE-02 = 14 0A 21 00 *C0', 'RE-03 = 24 3A 02 11 *8E', 'CHECK = 0102'].join(
  '\n',
);

export function firstMinutes(editor) {
  describe('the first minutes on the screen', () => {
    // High enough for all entries of a view that shares the side bar.
    inWindow(editor, 1300);

    /** Opens a step. What is clicked while the page is still being laid out goes nowhere. */
    const show = (step) =>
      editor.untilSeen(
        () => editor.page.locator('.getting-started-step h3', { hasText: step }).click(),
        `.getting-started-step.expanded:has-text("${step}")`,
      );

    const pressButton = (text) =>
      editor.page.locator('.getting-started-step .monaco-text-button', { hasText: text }).click();

    it('are a walkthrough of five steps, each with a picture', async () => {
      await editor.openFile('rear-body.cfgdump');
      await editor.marks('error', 2);
      // The command ends in another list, in which the walkthrough is chosen.
      await editor.runAsking('Welcome: Open Walkthrough');
      await editor.pick('First steps with a dump');
      for (const [index, step] of STEPS.entries()) {
        await show(step);
        await editor.page.waitForSelector(
          '.getting-started-media iframe, .getting-started-media img, .getting-started-media svg',
        );
        await editor.picture(`walkthrough ${index + 1}`);
      }
    });

    it('act on the dump that was open last, and tick what was done', async () => {
      await show(STEPS[1]);
      await editor.untilSeen(() => pressButton('Correct All Checksums'), '[data-done-step-id$="wrong"].complete');
      await editor.picture('walkthrough ticked');
    });

    it('open the demo as a copy, beside its options', async () => {
      await show(STEPS[0]);
      await editor.untilSeen(() => pressButton('Open the Demo'), '.quick-input-title:has-text("How is the demo")');
      // The walkthrough may take the focus back: the mouse needs none.
      await editor.page.locator('.quick-input-list .monaco-list-row', { hasText: 'Look at it here' }).click();
      await editor.page.waitForSelector('.pane-body .monaco-list-row[aria-label^="Trailer socket: 13-pin"]');
      await editor.marks('error', 2);
      await editor.picture('demo');
      await editor.runCommand('Countersum: Correct All Checksums');
      await editor.marks('error', 0);
      await editor.page.waitForSelector('.pane-body .monaco-list-row[aria-label^="Byte 6: 5C → 3C"]');
    });

    it('tell the state of the dump at its language', async () => {
      const item = editor.page.locator('[id="status.languageStatus"]');
      const said = editor.page.locator('.hover-language-status');
      await editor.untilDone(
        () => item.click(),
        (limit) => said.filter({ hasText: 'Profile: Rear body module (demo)' }).waitFor(limit),
      );
      assert.match((await said.allInnerTexts()).join('\n'), /All sums right|Errors/);
      await editor.picture('language status');
    });

    it('offer a pasted text in the Job view, then show one mark, and what to do above it where nothing describes its form', async () => {
      await editor.begin();
      await editor.press('Control+Alt+N');
      await editor.page.waitForSelector('.tab.active[data-resource-name^="Untitled"]');
      await editor.page.waitForSelector('.editor-instance .monaco-editor.focused[data-uri^="untitled:"]');
      await editor.page.evaluate((text) => {
        const clipboardData = new DataTransfer();
        clipboardData.setData('text/plain', text);
        const paste = new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true });
        document.activeElement.dispatchEvent(paste);
      }, OWN_FORM);
      await editor.openViews('Job');
      await editor.viewRow('Treat as a Dump').waitFor();
      await editor.picture('pasted');
      // Another dump may have its own step to save: that the offer is taken shows in that it goes.
      await editor.untilDone(
        () => editor.viewRow('Treat as a Dump').click(),
        (limit) => editor.viewRow('Treat as a Dump').waitFor({ state: 'detached', ...limit }),
      );
      await editor.viewRow('Save the File').first().waitFor();
      await editor.page.waitForSelector(
        '.codelens-decoration:has-text("This form is not known yet: Work Out the Checksum Rule")',
      );
      await editor.marks('error', 1);
      await editor.picture('unknown form');
    });
  });
}
