// The main job as it looks: what is on the screen of a real editor when a person works by keys. Pictures are kept in
// out/pictures for those who want to look.
import assert from 'node:assert/strict';
import { after, before, beforeEach, describe, it } from 'mocha';
import { openEditor } from '../driver.mjs';

describe('the main job on the screen', () => {
  let editor;
  before(async () => {
    editor = await openEditor();
  });
  after(() => editor?.close());
  beforeEach(async () => {
    await editor.begin();
    await editor.openFile('rear-body.cfgdump');
    await editor.marks('error', 2);
  });

  it('a wrong line sum and a wrong file sum are underlined in red', async () => {
    await editor.picture('marks');
  });

  it('the lightbulb menu tells what each repair does, and does it', async () => {
    const entries = await editor.lightbulb(27, 9);
    assert.match(entries[0], /^Rebalance file sum using line 17: byte 6 from 5C to 3C/);
    await editor.picture('lightbulb');
    await editor.choose('Rebalance file sum using line 17');
    await editor.line('17: 10 00 FF 00  FF 3C | 55');
  });

  it('the hover tells the option of the byte and what the backup holds', async () => {
    const hover = await editor.hoverAt(12, 11);
    assert.match(hover, /Trailer socket/);
    assert.match(hover, /In the backup/);
    await editor.picture('hover');
  });

  it('the comparison shows the backup left and the dump right, different only in the changed line', async () => {
    await editor.runCommand('Countersum: Compare with the Backup');
    const { left, right } = await editor.comparison();
    assert.deepEqual(right, [' 4: 08 03 21 7F  00 FF | 88']);
    assert.equal(left.length, 1);
    await editor.picture('compare');
  });

  it('all sums are right after one command of the palette, and wrong again after one undo', async () => {
    await editor.runCommand('Countersum: Make All Sums Right');
    await editor.marks('error', 0);
    await editor.press('Control+Z');
    await editor.marks('error', 2);
  });
});
