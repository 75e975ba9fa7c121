// A folder that is not trusted: a dump from somebody else. Nothing of it is run, so nothing need be left out.
import assert from 'node:assert/strict';
import { before, describe, it } from 'mocha';
import { editorForScenes } from '../scenes.mjs';

describe('a folder that is not trusted', () => {
  const editor = editorForScenes({
    settings: { 'security.workspace.trust.enabled': true, 'security.workspace.trust.startupPrompt': 'never' },
  });
  before(() => editor.page.waitForSelector('.part.banner'));

  it('has its wrong sums marked and repaired like any other', async () => {
    await editor.openFile('rear-body.cfgdump');
    await editor.marks('error', 2);
    const entries = await editor.lightbulb(27, 9);
    assert.match(entries[0], /^Rebalance file sum using line 17/);
    await editor.choose('Correct all checksums');
    await editor.marks('error', 0);
  });
});
