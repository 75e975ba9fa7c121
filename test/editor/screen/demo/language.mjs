// The features of the language as they look: colours, hints, lenses, completion and formatting on the screen of a real
// editor.
import assert from 'node:assert/strict';
import { beforeEach, describe, it } from 'mocha';
import { inWindow } from '../../scenes.mjs';

const SUGGESTION = '.suggest-widget.visible .monaco-list-row';

export function language(editor) {
  describe('the language on the screen', () => {
    inWindow(editor, 800);
    beforeEach(async () => {
      await editor.begin();
      await editor.openFile('rear-body.cfgdump');
      await editor.marks('error', 2);
    });

    /** Waits until a line that begins so is shown; hints follow behind it. */
    const lineBegins = (text) =>
      editor.page.waitForFunction(
        (wanted) =>
          [...document.querySelectorAll('.editor-instance .view-line')].some((row) =>
            row.textContent.replaceAll('\u00a0', ' ').startsWith(wanted),
          ),
        text,
      );

    /** The suggestions at a place. */
    const suggestions = async (line, column) => {
      await editor.goTo(line, column);
      // An editor that is just marking what was typed before can let the list go.
      await editor.untilSeen(() => editor.press('Control+Space'), SUGGESTION);
      return editor.page.locator(SUGGESTION).evaluateAll((rows) => rows.map((row) => row.getAttribute('aria-label')));
    };

    it('options, locked bytes and sums have colours of their own, and hints in words', async () => {
      const colourOf = (line, text) =>
        editor.page.evaluate(
          ([start, wanted]) => {
            const row = [...document.querySelectorAll('.editor-instance .view-line')].find((found) =>
              found.textContent.replaceAll('\u00a0', ' ').startsWith(start),
            );
            const part = [...row.querySelectorAll('span > span')].find((span) =>
              span.textContent.replaceAll('\u00a0', ' ').includes(wanted),
            );
            return getComputedStyle(part).color;
          },
          [line, text],
        );
      await editor.page.waitForFunction(() => document.querySelectorAll('.codelens-decoration a').length >= 2);
      await editor.page.locator('.view-line', { hasText: '≠ 21D2' }).waitFor();
      await editor.picture('language');
      await editor.eventually(async () => {
        const data = await colourOf(' 4:', '03');
        assert.notEqual(await colourOf(' 4:', '21'), data, 'an option');
        assert.notEqual(await colourOf(' 1:', 'F4'), data, 'locked bytes');
      });
      await editor.eventually(async () => {
        const words = await editor.shownLines();
        assert.match(words[11], /88\s*≠ A8\s*Trailer socket: 13-pin · Rear fog lamp off with trailer: yes$/);
        const titles = await editor.page.locator('.codelens-decoration').allInnerTexts();
        assert.match(
          titles.join(' ').replace(/\s+/g, ' '),
          /2 sums are wrong: correct all.*1 byte differs from the backup: compare/,
        );
      });
    });

    it('a problem links to what explains it, and the menu of the dump offers what can be done', async () => {
      await editor.hoverAt(12, 27, 'line-sum');
      const link = editor.page.locator('.monaco-hover a', { hasText: 'line-sum' });
      await link.waitFor();
      await editor.picture('problem link');
      await link.click();
      // Some editors ask first whether the link may be followed.
      const allow = editor.page.locator('.monaco-dialog-box .monaco-button', { hasText: 'Open' });
      await editor.eventually(async () => {
        if (await allow.isVisible()) await allow.click();
        await editor.shownPage().locator('h1', { hasText: 'line-sum' }).waitFor({ timeout: 1000 });
      });
      await editor.picture('problem page');
      await editor.openFile('rear-body.cfgdump');
      const openMenu = async () => {
        await editor.press('Escape');
        const line = editor.page.locator('.view-line', { hasText: '08 03 21' }).first();
        await line.click({ button: 'right', position: { x: 40, y: 8 } });
      };
      await editor.untilSeen(openMenu, '.monaco-menu :text("Set an Option…")');
      const entries = (await editor.page.locator('.monaco-menu .action-label').allInnerTexts()).map((text) =>
        text.trim(),
      );
      await editor.picture('menu of a dump');
      for (const entry of ['Correct All Checksums', 'Compare with the Backup', 'Show the Byte Overview'])
        assert.ok(entries.includes(entry), entries.join('; '));
      assert.ok(!entries.includes('Work Out the Checksum Rule'), 'a profile explains it');
      await editor.press('Escape');
    });

    it('a click on what stands above the first line rights all sums', async () => {
      const correctAll = editor.page.locator('.codelens-decoration a', { hasText: 'correct all' });
      await correctAll.first().waitFor();
      await editor.untilDone(
        async () => {
          if (await correctAll.isVisible()) await correctAll.click();
        },
        (limit) => editor.marks('error', 0, limit),
      );
      await editor.page.locator('.codelens-decoration', { hasText: 'All sums are right' }).waitFor();
      await editor.picture('lens - right');
    });

    it('the values of an option are offered in words at its digit', async () => {
      const found = await suggestions(12, 11);
      await editor.picture('complete - option');
      assert.equal(found.length, 3);
      assert.match(found[1], /Trailer socket: 7-pin/);
      await editor.press('ArrowDown');
      await editor.page.waitForSelector(`${SUGGESTION}.focused[aria-label*="Trailer socket: 7-pin"]`);
      await editor.press('Enter');
      await lineBegins(' 4: 08 03 11 7F  00 FF | 98');
    });

    it('a header is offered as soon as its sign is typed, and then its path', async () => {
      await editor.goTo(7, 35);
      await editor.press('Enter');
      const typeSign = async () => {
        await editor.press('Shift+Home');
        await editor.type('@');
      };
      await editor.untilSeen(typeSign, SUGGESTION);
      await editor.type('no');
      await editor.page.locator(`${SUGGESTION}.focused`, { hasText: '@note' }).waitFor();
      await editor.picture('complete - header');
      await editor.press('Enter');
      await lineBegins('@note ');
      await editor.goTo(2, 10);
      await editor.press('Shift+End');
      await editor.press('Delete');
      await editor.untilSeen(
        () => editor.press('Control+Space'),
        `${SUGGESTION}:has-text("cluster.dump-profile.json")`,
      );
      await editor.picture('complete - path');
    });

    it('a missing line is offered whole, and the sum of a line in grey', async () => {
      await editor.goTo(15, 1);
      await editor.press('Shift+End');
      await editor.press('Delete');
      const found = await suggestions(15, 1);
      await editor.picture('complete - line');
      assert.ok(found.some((label) => label.startsWith('7: 7F 7F 08 58')));
      await editor.press('Escape');
      await editor.type(' 7: 7F 7F 08 58  00 00');
      const typeLast = async () => {
        await editor.press('Backspace');
        await editor.type('0');
      };
      await editor.untilSeen(typeLast, '.ghost-text, .ghost-text-decoration');
      await editor.picture('complete - sum');
      await editor.press('Tab');
      await lineBegins(' 7: 7F 7F 08 58  00 00 | 5F');
    });

    it('formatting gives a line the spacing of the others', async () => {
      await editor.goTo(15, 1);
      await editor.press('Shift+End');
      await editor.type('7:7F7F 085800 00|5F');
      await editor.runCommand('Format Document');
      await lineBegins(' 7: 7F 7F 08 58  00 00 | 5F');
      await editor.picture('formatted');
    });
  });
}
