// The extension in an editor that is nothing but a page: its server in a worker, its files in the page's memory.
import assert from 'node:assert/strict';
import { before, describe, it } from 'mocha';
import { pageFrame } from '../../axe.mjs';
import { inWindow } from '../../scenes.mjs';

export function mainJob(editor) {
  describe('the main job in a browser without a server', () => {
    inWindow(editor, 800);
    before(async () => {
      await editor.openFile('rear-body.cfgdump');
      await editor.marks('error', 2);
    });

    it('the hover tells the option of the byte and what the backup holds', async () => {
      const hover = await editor.hoverAt(12, 11, 'Trailer socket');
      assert.match(hover, /Trailer socket/);
      assert.match(hover, /In the backup/);
      await editor.picture('web');
      await editor.press('Escape');
    });

    it('the lightbulb menu offers the repairs, and does them', async () => {
      const entries = await editor.lightbulb(27, 9);
      assert.match(entries[0], /^Rebalance file sum using line 17: byte 6 from 5C to 3C/);
      await editor.choose('Correct all checksums');
      await editor.marks('error', 0);
      await editor.line('17: 10 00 FF 00  FF 3C | 55');
    });

    it('a backup is written into the same folder', async () => {
      await editor.goTo(7);
      await editor.press('Control+Shift+K');
      await editor.press('Control+S');
      await editor.saved();
      await editor.runCommand('Countersum: Make a Backup');
      await editor.line('@backup rear-body.backup.cfgdump');
      await editor.openFile('rear-body.backup.cfgdump');
    });

    it('a retrofit of the folder is found and planned', async () => {
      await editor.runCommand('Countersum: Plan Retrofit…');
      const page = await pageFrame(editor.page);
      await page.locator('body', { hasText: 'Plan: 13-pin trailer socket' }).waitFor();
      await editor.picture('web plan');
    });

    it('the comparison shows the dump beside its backup', async () => {
      await editor.openFile('cluster.cfgdump');
      await editor.runCommand('Countersum: Compare with the Backup');
      await editor.eventually(async () => {
        const { right } = await editor.comparison();
        // Headers are each file's own.
        const lines = right.filter((line) => !/^[#@]/.test(line));
        assert.equal(lines.length, 1);
        assert.match(lines[0], /^ 5: 0007 20F7 0010 7F10 \| 36/);
      });
    });
  });
}
