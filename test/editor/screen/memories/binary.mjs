// Raw bytes as they look in the real editor: opened as lines, marked, repaired by a quick fix, saved as raw bytes again.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { beforeEach, describe, it } from 'mocha';
import { inWindow } from '../../scenes.mjs';

const DATA = Array.from({ length: 62 }, (_, i) => (i * 37 + 0x80) & 0xff);
const SUM = DATA.reduce((sum, byte) => sum + byte, 0) & 0xffff;
const WRONG = Buffer.from([...DATA, 0, 0]);
const RIGHT = Buffer.from([...DATA, SUM >> 8, SUM & 0xff]);

export function layOutBinaries(folder) {
  const put = (name, content) => writeFileSync(join(folder, name), content);
  put('ee.bin', WRONG);
  put('ee.bin.dump-headers', '@profile ee.dump-profile.json\n');
  put('notes.txt', ':0400000001020304F2\n:00000001FF\n');
  put(
    'ee.dump-profile.json',
    JSON.stringify({
      format: 1,
      title: 'Bench memory',
      addresses: { from: 0, to: 63 },
      totals: [{ name: 'memory sum', method: 'add', bits: 16, order: 'big', over: [{ from: 0, to: 61 }], address: 62 }],
      options: [{ id: 'socket', title: 'Trailer socket', address: 18, values: { 0: 'none', 26: '7-pin' } }],
    }),
  );
}

/** The row of a file in the explorer, which is away for a moment where the file was replaced. */
function rowOf({ page }, name) {
  const rows = page.locator('.explorer-folders-view .monaco-list-row');
  return rows.filter({ has: page.getByText(name, { exact: true }) }).first();
}

/** Opens a file from the explorer, again where its row moved away under the pointer. */
function openRow(editor, name) {
  const open = async () => {
    await editor.pointAway();
    await rowOf(editor, name).dblclick();
    await editor.pointAway();
  };
  return editor.untilSeen(open, `.tab.active[data-resource-name="${name}"]`);
}

export function binariesInBrowser(editor) {
  describe('raw bytes in a browser without a server', () => {
    inWindow(editor, 800);
    const open = async () => {
      await openRow(editor, 'ee.bin');
      await editor.runCommand('Countersum: Open as Dump Text');
      await editor.line('@profile ee.dump-profile.json');
    };

    it('are opened, repaired, saved and read again', async () => {
      await open();
      await editor.marks('error', 1);
      await editor.lightbulb(5, 52);
      await editor.choose('Rewrite the memory sum: 0000 to 1F4F');
      await editor.marks('error', 0);
      await editor.picture('binary web');
      await editor.press('Control+S');
      await editor.saved();
      await editor.closeTabs();
      await open();
      await editor.line('0x0030: 70 95 BA DF 04 29 4E 73 98 BD E2 07 2C 51 1F 4F');
      await editor.marks('error', 0);
    });
  });
}

export function binaries(editor) {
  describe('raw bytes on the screen', () => {
    inWindow(editor, 800);
    const onDisk = () => readFileSync(join(editor.folder, 'ee.bin'));
    const row = (name = 'ee.bin') => rowOf(editor, name);
    const choose = async (name, title) => {
      const entry = `.monaco-menu .action-label:has-text("${title}")`;
      await editor.untilSeen(async () => {
        await editor.press('Escape');
        await editor.pointAway();
        await row(name).click({ button: 'right' });
      }, entry);
      await editor.picture('binary menu');
      // A menu that has just opened takes no click yet.
      await editor.untilDone(
        async () => {
          if (await editor.page.locator(entry).isVisible()) await editor.page.locator(entry).click();
        },
        (limit) => editor.page.waitForSelector(entry, { state: 'hidden', ...limit }),
        1000,
      );
    };
    /** Waits until the editor has put a line that is not saved where it looks when it starts again. */
    const isKept = (text) => {
      const folder = join(dirname(editor.folder), 'User/Backups');
      return editor.eventually(() => {
        const files = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
        const texts = files.map(({ parentPath, name }) => readFileSync(join(parentPath, name), 'utf8'));
        assert.ok(texts.some((kept) => kept.includes(text)));
      });
    };
    const fromExplorer = async () => {
      await choose('ee.bin', 'Open as Dump Text');
      await editor.line('@profile ee.dump-profile.json');
      await editor.marks('error', 1);
    };
    beforeEach(async () => {
      await editor.begin();
      // Files that are put back are replaced, which the explorer may take for their end.
      await editor.page.locator('.explorer-folders-view').hover();
      await editor.page.locator('.action-label[aria-label="Refresh Explorer"]').click();
      await row().waitFor();
    });

    it('open from the explorer, are repaired by a quick fix, and are raw bytes on the disk again', async () => {
      await fromExplorer();
      await editor.picture('binary opened');
      const entries = await editor.lightbulb(5, 52);
      assert.ok(entries.length > 0);
      await editor.choose('Rewrite the memory sum: 0000 to 1F4F');
      await editor.marks('error', 0);
      assert.deepEqual(onDisk(), WRONG);
      await editor.press('Control+S');
      await editor.saved();
      await editor.picture('binary saved');
      assert.deepEqual(onDisk(), RIGHT);
      assert.equal(readFileSync(join(editor.folder, 'ee.bin.dump-headers'), 'utf8'), '@profile ee.dump-profile.json\n');
    });

    it('open from where the editor says that it shows no binary files', async () => {
      await openRow(editor, 'ee.bin');
      await editor.page.getByText('is not displayed in the text editor').waitFor();
      await editor.picture('binary not shown');
      await editor.page.locator('.editor-actions .action-label[aria-label^="Open as Dump Text"]').click();
      await editor.marks('error', 1);
    });

    it('are not saved where the text is none of theirs any more: the editor says why, and nothing is lost', async () => {
      await fromExplorer();
      await editor.goTo(3);
      await editor.press('Control+Shift+K');
      await editor.press('Control+S');
      await editor.noticed('ee.bin is not saved: row 3 is no line of the bytes of a binary');
      await editor.picture('binary refused');
      assert.deepEqual(onDisk(), WRONG);
      assert.equal(await editor.page.locator('.tab.dirty').count(), 1);
    });

    it('are saved under another name, as raw bytes with their headers', async () => {
      await fromExplorer();
      await editor.runAsking('File: Save As...');
      const title = editor.page.locator('.quick-input-title', { hasText: 'Save As' });
      await title.waitFor();
      // Once it lists the folder that it begins at, it no longer writes over what is typed.
      await editor.page.waitForSelector('.quick-input-list .monaco-list-row[aria-label^="ee.bin"]');
      await editor.picture('binary save as');
      await editor.press('Control+A');
      await editor.page.keyboard.insertText(join(editor.folder, 'copy.bin'));
      // The dialog looks into the folder first, and an Enter before that is lost.
      const enter = async () => {
        if (await title.isVisible()) await editor.press('Enter');
      };
      await editor.untilSeen(enter, '.tab.active[data-resource-name="copy.bin"]');
      await editor.picture('binary saved as');
      assert.deepEqual(readFileSync(join(editor.folder, 'copy.bin')), WRONG);
      assert.equal(
        readFileSync(join(editor.folder, 'copy.bin.dump-headers'), 'utf8'),
        '@profile ee.dump-profile.json\n',
      );
    });

    it('follow what others write, as long as nothing is unsaved', async () => {
      await fromExplorer();
      writeFileSync(join(editor.folder, 'ee.bin'), RIGHT);
      await editor.line('0x0030: 70 95 BA DF 04 29 4E 73 98 BD E2 07 2C 51 1F 4F');
      await editor.marks('error', 0);
      writeFileSync(join(editor.folder, 'ee.bin.dump-headers'), '@profile ee.dump-profile.json\n@part A-1\n');
      await editor.line('@part A-1');
      assert.equal(await editor.page.locator('.tab.dirty').count(), 0);
    });

    it('that others change meanwhile are not written over: the editor offers to compare first', async () => {
      await fromExplorer();
      await editor.goTo(2, 9);
      await editor.press('Shift+End');
      await editor.page.keyboard.insertText('80 A5 CA EF 14 39 5E 83 A8 CD F2 17 3C 61 86 AA');
      writeFileSync(join(editor.folder, 'ee.bin'), RIGHT);
      await editor.press('Control+S');
      await editor.noticed('ee.bin is not saved: it has changed on the disk since it was read');
      await editor.picture('binary changed');
      assert.deepEqual(onDisk(), RIGHT);
    });

    it('go on where they were when the editor starts again: unsaved, marked, and saved as before', async () => {
      await fromExplorer();
      await editor.lightbulb(5, 52);
      await editor.choose('Rewrite the memory sum: 0000 to 1F4F');
      await editor.marks('error', 0);
      await editor.goTo(3, 15);
      await editor.press('Delete');
      await editor.press('Delete');
      await editor.type('00');
      await editor.marks('error', 1);
      const changed = '0x0010: D0 F5 00 3F 64 89 AE D3 F8 1D 42 67 8C B1 D6 FB';
      await isKept(changed);
      await editor.page.reload();
      await editor.page.waitForSelector('.tab.dirty', { timeout: 60_000 });
      await editor.line(changed);
      await editor.marks('error', 1);
      await editor.picture('binary again');
      assert.deepEqual(onDisk(), WRONG);
      await editor.press('Control+S');
      await editor.saved();
      const saved = Buffer.from(RIGHT);
      saved[0x12] = 0;
      assert.deepEqual(onDisk(), saved);
    });

    it('as a text of any name: one is offered to be treated as a dump, and stays one in its folder', async () => {
      await editor.openFile('notes.txt');
      await editor.page.getByText('This looks like a dump: Treat as a Dump').waitFor();
      await editor.picture('text offered');
      await choose('notes.txt', 'Treat as a Dump');
      // What is said goes after a few seconds.
      await Promise.all(
        [
          editor.page.getByText('Intel HEX', { exact: true }),
          editor.page.getByText('notes.txt is a dump from now on'),
        ].map((said) => said.first().waitFor()),
      );
      await editor.picture('text treated');
      const settings = JSON.parse(readFileSync(join(editor.folder, '.vscode/settings.json'), 'utf8'));
      assert.deepEqual(settings['files.associations'], { '**/demo/notes.txt': 'intel-hex' });
    });
  });
}
