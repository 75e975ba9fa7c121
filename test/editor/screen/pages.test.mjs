// Our pages for people who see, hear or move otherwise than most: axe-core finds no fault in any kind of theme.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { faultsInThemes, pageFrame } from '../axe.mjs';
import { openWebEditor } from '../driver.mjs';
import { editorForScenes } from '../scenes.mjs';

/** Each page, the file it is opened from, and the command that opens it. */
const PAGES = [
  { page: 'plan', file: 'rear-body.cfgdump', command: 'Countersum: Plan Retrofit…' },
  { page: 'job card', file: 'rear-body.cfgdump', command: 'Countersum: Make a Job Card' },
  { page: 'vehicle record', file: 'rear-body.cfgdump', command: 'Countersum: Open Vehicle Record' },
];

describe('pages', () => {
  const editor = editorForScenes({}, openWebEditor);

  for (const { page, file, command } of PAGES) {
    it(`${page}: no fault, whatever the theme`, async () => {
      await editor.begin();
      await editor.openFile(file);
      await editor.runCommand(command);
      await pageFrame(editor.page);
      assert.deepEqual(await faultsInThemes(editor, page), []);
    });
  }
});
