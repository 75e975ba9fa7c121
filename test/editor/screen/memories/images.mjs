// Memory images as they look: marked, compared and balanced by address, converted, and shown where they are too large.
import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { crc32 } from 'node:zlib';
import { beforeEach, describe, it } from 'mocha';
import { faultsInThemes, pageFrame } from '../../axe.mjs';
import { inWindow } from '../../scenes.mjs';

const SIZE = 0x2000;

/** An image as found, and one whose socket has been coded and nothing else righted; in records of other widths. */
export function layOutImages(folder) {
  const put = (name, text) => writeFileSync(join(folder, name), text);
  const bytes = Buffer.from(Array.from({ length: SIZE }, (_, i) => (i < 0x1f00 ? (i * 37 + (i >> 4)) & 0xff : 0xff)));
  bytes[0x10a] = 0;
  bytes.writeUInt32BE(crc32(bytes.subarray(0, 0x1ffc)), 0x1ffc);
  const headers = (lines) => lines.map((line) => `; @${line}\n`).join('');
  put('bench.as-found.hex', intelHex(bytes, 16));
  bytes[0x10a] = 2;
  put('bench.hex', intelHex(bytes, 32) + headers(['profile bench.dump-profile.json', 'backup bench.as-found.hex']));
  put(
    'bench.dump-profile.json',
    JSON.stringify({
      format: 1,
      title: 'Bench image',
      addresses: { from: 0, to: SIZE - 1 },
      totals: [
        {
          name: 'image sum',
          method: 'crc',
          model: 'CRC-32/ISO-HDLC',
          over: [{ from: 0, to: 0x1ffb }],
          address: 0x1ffc,
          keep: true,
        },
      ],
      balance: [0x1f00, 0x1f01, 0x1f02, 0x1f03].map((address) => ({ address })),
      options: [
        { id: 'socket', title: 'Trailer socket', address: 0x10a, values: { 0: 'none', 1: '7-pin', 2: '13-pin' } },
      ],
    }),
  );
}

function intelHex(bytes, width) {
  let text = '';
  for (let at = 0; at < bytes.length; at += width) {
    const record = [width, at >> 8, at & 0xff, 0, ...bytes.subarray(at, at + width)];
    const sum = -record.reduce((all, byte) => all + byte, 0);
    text += `:${Buffer.from([...record, sum])
      .toString('hex')
      .toUpperCase()}\n`;
  }
  return `${text}:00000001FF\n`;
}

export function images(editor) {
  describe('memory images on the screen', () => {
    inWindow(editor, 800);
    beforeEach(async () => {
      await editor.begin();
      await editor.openFile('bench.hex');
      await editor.goTo(256, 66);
      await editor.marks('error', 1);
    });

    it('the comparison stands in the records of the image, whatever those of the backup are', async () => {
      await editor.runCommand('Countersum: Compare with the Backup');
      await editor.eventually(async () => {
        const { left, right } = await editor.comparison();
        assert.equal(left.length, 1);
        assert.equal(right.length, 1);
        assert.match(right[0], /^:20010000/);
      });
      await editor.noticed('Trailer socket: none → 13-pin · Address 010A: 00 → 02 (option)');
      await editor.picture('image compare');
    });

    it('addresses take up the difference: what they become is shown while they are typed', async () => {
      await editor.runAsking('Countersum: Rebalance Using');
      await editor.page.getByText('Which addresses are to take up the difference?').waitFor();
      await editor.press('Control+A');
      await editor.type('1f10..1f12');
      await editor.page.getByText(/At least one more free byte is needed\..*It can be done with 1F10–1F13/).waitFor();
      await editor.picture('image rebalance refused');
      await editor.press('Backspace');
      await editor.type('3');
      await editor.page
        .getByText(/no other change of so few bytes allowed here could do it\. Press Enter to write it/)
        .waitFor();
      await editor.picture('image rebalance');
      await editor.press('Enter');
      await editor.marks('error', 0);
    });

    it('a conversion opens as a text of its own, with colours and without marks', async () => {
      await editor.runAsking('Countersum: Convert to Another Form');
      await editor.page.getByText('S-records (*.s19)').waitFor();
      await editor.pick('S-records');
      await editor.page.waitForSelector('.tab.active[data-resource-name="bench.s19"]');
      await editor.page.waitForFunction(() => document.querySelector('.view-line')?.textContent.startsWith('S113'));
      await editor.marks('error', 0);
      await editor.picture('image converted');
      await editor.runCommand('View: Revert and Close Editor');
    });

    it('the read-only view tells what is wrong and shows the bytes, a page at a time', async () => {
      await editor.runCommand('Countersum: Open Read-Only View');
      const frame = await pageFrame(editor.page);
      await frame.getByText(/The image sum is [0-9A-F]{8}, its bytes make [0-9A-F]{8}/).waitFor();
      await frame.locator('#bytes', { hasText: /^0000 {2}00 25 4A/ }).waitFor();
      await frame.locator('#next').click();
      await frame.getByText('Page 2 of 2').waitFor();
      await frame.locator('#address').fill('10A');
      await frame.locator('#address').press('Enter');
      await frame.getByText('Page 1 of 2').waitFor();
      await editor.picture('image view');
      assert.deepEqual(await faultsInThemes(editor, 'image view'), []);
    });
  });
}

export function imagesInBrowser(editor) {
  describe('memory images in a browser without a server', () => {
    inWindow(editor, 800);

    it('the read-only view reads a file that lies on no disk', async () => {
      await editor.openFile('bench.hex');
      await editor.goTo(256, 66);
      await editor.marks('error', 1);
      await editor.runCommand('Countersum: Open Read-Only View');
      const frame = await pageFrame(editor.page);
      await frame.getByText(/The image sum is [0-9A-F]{8}, its bytes make [0-9A-F]{8}/).waitFor();
      await frame.locator('#next').click();
      await frame.getByText('Page 2 of 2').waitFor();
      await editor.picture('web image view');
    });
  });
}
