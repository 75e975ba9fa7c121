// The end of a job as it looks: the card to work from, the read-back, and the record of the vehicle.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { before, describe, it } from 'mocha';
import { inWindow } from '../../scenes.mjs';

const change = (text, ...changes) => changes.reduce((now, [from, to]) => now.replace(from, to), text);

export function card(editor) {
  describe('a job card on the screen', () => {
    inWindow(editor, 1000);
    const read = (name) => readFileSync(join(editor.folder, name), 'utf8');
    const write = (name, text) => writeFileSync(join(editor.folder, name), text);
    // Rows of the explorer move when a file comes: what is opened next is looked for where it stands then.
    const listed = (ending) =>
      editor.page.waitForSelector(`.explorer-folders-view .monaco-list-row[aria-label*="${ending}"]`);
    const kept = (ending) => readdirSync(editor.folder).filter((name) => name.endsWith(ending));

    before(async () => {
      await editor.openFile('rear-body.cfgdump');
      await editor.marks('error', 2);
      const planned = change(
        read('rear-body.cfgdump'),
        ['00 FF | 88', '00 FF | A8'],
        ['17: 10 00 FF 00  FF 5C | 75', '17: 10 00 FF 00  FF 3C | 55'],
      );
      const shown = [
        ['0007 20F7 0010 7F10 | 36', '0001 20F7 0010 7F10 | 3C'],
        ['0210 3800 | 60', '1210 3800 | 50'],
        ['total: 0A BB', 'total: FA BA'],
      ];
      write('cluster.cfgdump', change(read('cluster.cfgdump'), ...shown));
      // Line 4 was not written, in line 8 a digit was mistyped, and the write counter has gone on by one.
      write(
        'rear-body.read-back.cfgdump',
        change(
          planned,
          [/^@backup.*/m, '@taken 2026-03-02T11:02:00Z'],
          ['08 03 21 7F  00 FF | A8', '08 03 01 7F  00 FF | 88'],
          [' 8: 00 72', ' 8: 00 77'],
          ['18: 00 1A 08 C1  00 55 | 44', '18: 00 1B 08 C1  00 55 | 45'],
        ),
      );
      // An editor that has just begun may not watch the folder yet.
      await editor.untilDone(
        () => write('rear-body.cfgdump', planned),
        (limit) => editor.marks('error', 0, limit),
      );
      await listed('rear-body.read-back');
    });

    it('is shown as a page and kept in the vehicle folder where the person wants it', async () => {
      await editor.runCommand('Countersum: Make a Job Card');
      const page = editor.shownPage();
      await page.getByRole('heading', { name: 'Job card: 13-pin trailer socket' }).waitFor();
      await page.getByText('Instrument cluster (demo)').first().waitFor();
      await editor.picture('card');
      await page.getByText('This card says what the profiles say.').scrollIntoViewIfNeeded();
      await editor.picture('card lines');
      await editor.answer('Keep in the Folder');
      await editor.page.waitForSelector('.tab[aria-label*="job-card.md"]');
      await listed('.job-card.md');
      const [name] = kept('.job-card.md');
      assert.match(name, /^stock-no-2041\.\d{4}(?:-\d\d){4}-UTC\.job-card\.md$/);
      assert.match(read(name), /^# Job card: 13-pin trailer socket/);
    });

    it('prints on two A4 pages', async () => {
      await editor.openFile('rear-body.cfgdump');
      await editor.runCommand('Countersum: Make a Job Card');
      await editor.answer('Keep for Printing');
      await editor.noticed(/job-card\.html is for printing/);
      await listed('.job-card.html');
      const paper = await editor.page.context().browser().newPage();
      try {
        await paper.goto(`file://${join(editor.folder, kept('.job-card.html')[0])}`);
        const pdf = await paper.pdf({ preferCSSPageSize: true });
        assert.equal(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g).length, 2);
        await paper.setViewportSize({ width: 794, height: 1123 });
        await paper.screenshot({ path: 'out/pictures/card on paper.png', fullPage: true });
      } finally {
        await paper.close();
      }
    });

    it('ends with the read-back: each line that differs with its likely cause', async () => {
      await editor.openFile('rear-body.cfgdump');
      await editor.runAsking('Countersum: Verify Read-back');
      await editor.pick('read-back');
      const page = editor.shownPage();
      await page.getByText('Not written: it still holds what it held before.').waitFor();
      await page.getByText('This line was not to be changed').waitFor();
      await editor.picture('read-back');
      await editor.answer('Show Side by Side');
      await editor.eventually(async () => {
        const { left, right } = await editor.comparison();
        assert.equal(left.length, right.length);
      });
      await editor.picture('read-back beside');
    });

    it('is listed in the record of the vehicle, with what changed and what is open', async () => {
      await editor.openFile('cluster.cfgdump');
      await editor.runCommand('Countersum: Open Vehicle Record');
      const page = editor.shownPage();
      await page.getByRole('heading', { name: 'Vehicle record: stock no. 2041' }).waitFor();
      await page.getByText('Trailer tell-tale: not shown → shown').waitFor();
      await page.getByText(/job-card\.md/).waitFor();
      await editor.picture('record');
    });
  });
}
