// Our pages and views for people who see, hear or move otherwise than most: axe-core finds no fault in any kind of theme, in
// a narrow window or with letters twice as large, and everything can be done by keys.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { faintTextsInThemes, faultsInThemes, pageFrame, SMALL_WINDOWS } from '../../axe.mjs';
import { inWindow } from '../../scenes.mjs';

/** Each page, the file it is opened from, and the command that opens it. */
const PAGES = [
  { page: 'plan', file: 'rear-body.cfgdump', command: 'Countersum: Plan Retrofit…' },
  { page: 'job card', file: 'rear-body.cfgdump', command: 'Countersum: Make a Job Card' },
  { page: 'vehicle record', file: 'rear-body.cfgdump', command: 'Countersum: Open Vehicle Record' },
  { page: 'profiles', file: 'rear-body.cfgdump', command: 'Countersum: Show Profiles' },
];

export function pages(editor) {
  describe('pages', () => {
    inWindow(editor, 800);

    for (const { page, file, command } of PAGES) {
      it(`${page}: no fault, whatever the theme and the room`, async () => {
        await editor.begin();
        await editor.openFile(file);
        await editor.runCommand(command);
        await pageFrame(editor.page);
        assert.deepEqual(await faultsInThemes(editor, page, SMALL_WINDOWS), []);
      });
    }

    it('the views beside the text can be read in each theme', async () => {
      await editor.begin();
      await editor.openFile('rear-body.cfgdump');
      await editor.focusOn('Job');
      await editor.viewRow('Correct All Checksums').waitFor();
      assert.deepEqual(await faintTextsInThemes(editor, '.part.sidebar', 'views'), []);
    });

    it('the views beside the text are walked and used by keys alone', async () => {
      await editor.begin();
      await editor.openFile('rear-body.cfgdump');
      await editor.walkTo('Options', 'Trailer socket: 13-pin');
      await editor.press('Enter');
      await editor.page.waitForSelector('.quick-input-title:has-text("Trailer socket (now: 13-pin)")');
      // What is asked about is what the view shows as chosen.
      await editor.page.waitForSelector('.pane-body .monaco-list-row.selected[aria-label^="Trailer socket"]');
      await editor.press('Escape');
      await editor.walkTo('Changes', 'Byte 3');
      await editor.press('Enter');
      await editor.status('Ln 12');
      // The cursor is told before the text has the keys.
      await editor.page.waitForSelector('.editor-instance .monaco-editor.focused');
      await editor.walkTo('Job', 'Correct All Checksums');
      await editor.press('Enter');
      await editor.viewRow('Make and Keep the Job Card').waitFor();
    });
  });
}
