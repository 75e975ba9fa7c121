// The main job as it looks: what is on the screen of a real editor when a person works by keys.
import assert from 'node:assert/strict';
import { beforeEach, describe, it } from 'mocha';
import { inWindow } from '../../scenes.mjs';

export function mainJob(editor) {
  describe('the main job on the screen', () => {
    inWindow(editor, 800);
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
      const hover = await editor.hoverAt(12, 11, 'Trailer socket');
      assert.match(hover, /Trailer socket/);
      assert.match(hover, /In the backup/);
      await editor.picture('hover');
    });

    it('the comparison shows the backup left and the dump right, different only in the changed line', async () => {
      await editor.runCommand('Countersum: Compare with the Backup');
      // Each file has its own headers, and beyond them one line differs.
      const own = /^[#@]/;
      await editor.eventually(async () => {
        const { left, right } = await editor.comparison();
        assert.deepEqual(
          right.filter((line) => !own.test(line)),
          [' 4: 08 03 21 7F  00 FF | 88'],
        );
        assert.equal(left.filter((line) => !own.test(line)).length, 1);
      });
      await editor.picture('compare');
    });

    it('all sums are right after one command of the palette, and wrong again after one undo', async () => {
      await editor.runCommand('Countersum: Correct All Checksums');
      await editor.marks('error', 0);
      await editor.press('Control+Z');
      await editor.marks('error', 2);
    });

    it('an option is set by its name at its byte, with the sums kept right', async () => {
      const entries = await editor.lightbulb(12, 11);
      assert.ok(entries.some((entry) => entry.startsWith('Set Trailer socket to 7-pin (sums kept right)')));
      await editor.choose('Set Trailer socket to none (sums kept right)');
      await editor.marks('error', 0);
      await editor.line(' 4: 08 03 01 7F  00 FF | 88');
    });

    it('saving rights a line sum and leaves data and a kept file sum alone', async () => {
      await editor.goTo(1, 3);
      await editor.type('Checked. ');
      await editor.press('Control+S');
      await editor.line(' 4: 08 03 21 7F  00 FF | A8');
      await editor.saved();
    });

    it('a sealed backup cannot be typed into', async () => {
      await editor.goTo(7);
      await editor.press('Control+Shift+K');
      // A dump whose sums are wrong was not read right, so it gets no backup; what is saved is what was read.
      await editor.runAsking('Countersum: Correct All Checksums');
      // Without its backup nobody knows what differs in the line.
      assert.match(await editor.confirm('Write It'), /its bytes may be damaged/);
      await editor.line('17: 10 00 FF 00  FF 3C | 55');
      await editor.press('Control+S');
      await editor.saved();
      await editor.runCommand('Countersum: Make a Backup');
      await editor.line('@backup rear-body.backup.cfgdump');
      await editor.press('Control+S');
      await editor.saved();
      await editor.openFile('rear-body.backup.cfgdump');
      await editor.page.waitForSelector('.tab.active [class*="iconBadge"]');
      const before = await editor.shownLines();
      await editor.goTo(1);
      await editor.untilSeen(() => editor.type('x'), '.monaco-editor-overlaymessage');
      assert.deepEqual(await editor.shownLines(), before);
      await editor.picture('sealed');
    });
  });
}
