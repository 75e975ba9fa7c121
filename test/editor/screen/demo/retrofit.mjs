// A retrofit over two modules as it looks: shown as planned, made in one step, taken back, and refused where it must be.
import assert from 'node:assert/strict';
import { appendFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, it } from 'mocha';
import { inWindow } from '../../scenes.mjs';

const RETROFIT = 'trailer-socket.retrofit.json';

export function retrofit(editor) {
  describe('a retrofit on the screen', () => {
    inWindow(editor, 800);
    const read = (name) => readFileSync(join(editor.folder, name), 'utf8');
    beforeEach(() => editor.begin());

    const plan = async () => {
      await editor.openFile(RETROFIT);
      await editor.runCommand('Countersum: Plan Retrofit');
      await editor.shownPage().getByText('Plan: 13-pin trailer socket').first().waitFor();
    };

    it('is shown as planned, set in all modules in one step, and taken back to the backup', async () => {
      await plan();
      await editor.picture('retrofit plan');
      await editor.answer('Set as Planned');
      assert.match(
        await editor.confirm('Set as Planned'),
        /cluster\.cfgdump: Trailer tell-tale: from not shown to shown.*Affects the lighting/s,
      );
      await editor.openFile('cluster.cfgdump');
      await editor.line(' 3: FF44 0800 1210 3800 | 50');
      await editor.openFile('rear-body.cfgdump');
      await editor.line('17: 10 00 FF 00  FF 3C | 55');
      await editor.marks('error', 0);

      await editor.runAsking('Countersum: Restore from Backup');
      await editor.page.waitForSelector('.quick-input-title:has-text("Which lines go back")');
      await editor.picture('way back');
      await editor.press('Enter');
      assert.match(await editor.confirm('Write It'), /Trailer socket.*Affects the lighting/s);
      await editor.line('17: 10 00 FF 00  FF 5C | 75');
      await editor.noticed('Every byte is as in the backup again');
      await editor.marks('error', 0);
      await editor.press('Control+Z');
      await editor.line('17: 10 00 FF 00  FF 3C | 55');
      await editor.press('Control+Shift+Z');
      await editor.line('17: 10 00 FF 00  FF 5C | 75');
      await editor.press('Control+S');
      await editor.page.waitForFunction(() => document.querySelector('.tab.active.dirty') === null);
      const bytes = (name) => read(name).match(/^(?: ?\d+|total):.*$/gm);
      assert.deepEqual(bytes('rear-body.cfgdump'), bytes('rear-body.as-found.cfgdump'));
    });

    it('is refused in all modules where a dump has changed on the disk since', async () => {
      await plan();
      appendFileSync(join(editor.folder, 'rear-body.cfgdump'), '# changed elsewhere\n');
      await editor.answer('Set as Planned');
      await editor.confirm('Set as Planned');
      await editor.noticed('rear-body.cfgdump has changed since');
      await editor.openFile('cluster.cfgdump');
      await editor.line(' 3: FF44 0800 0210 3800 | 60');
    });

    it('that is refused says for each module what to put right, and offers nothing', async () => {
      const cluster = join(editor.folder, 'cluster.cfgdump');
      writeFileSync(cluster, read('cluster.cfgdump').replace(/^@backup.*\n/m, ''));
      writeFileSync(join(editor.folder, RETROFIT), read(RETROFIT).replace('"13-pin"', '"13pin"'));
      // An editor that was not told of it yet shows at first what it knew of the file.
      await editor.openFile(RETROFIT);
      await editor.page.locator('.view-line', { hasText: '"13pin"' }).first().waitFor();
      await plan();
      const page = editor.shownPage();
      await page.getByText('This cannot be done yet, and nothing was changed in any module.').waitFor();
      await page.getByText('is "13-pin" meant?').waitFor();
      await page.getByText('Run "Make a Backup" on it first.').waitFor();
      await editor.noticed('cannot be done yet');
      assert.equal(await editor.page.locator('.monaco-button', { hasText: 'Set as Planned' }).count(), 0);
      await editor.picture('retrofit refused');
    });
  });
}
