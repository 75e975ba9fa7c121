// Drives the real editor in a browser as a person would: by keys, by what is seen.
import { existsSync, mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { startServer } from '../../scripts/editorServer.mjs';
import { ROOT } from '../../scripts/prepare.mjs';

const PICTURES = join(ROOT, 'out', 'pictures');

/** A browser that needs no network but this machine's own. */
export function launchBrowser() {
  const flags = [
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
  ];
  const found = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? found, args: flags });
}

/** Opens a folder in the editor; call `close` when done. */
export async function openEditor(folder, { settings = {} } = {}) {
  const data = join(ROOT, '.vscode-test', 'screen');
  rmSync(data, { recursive: true, force: true });
  mkdirSync(PICTURES, { recursive: true });
  const server = await startServer({ data, settings });
  const browser = await launchBrowser();
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.goto(server.url(folder), { waitUntil: 'domcontentloaded' });
  await page.waitForSelector('.monaco-workbench .explorer-folders-view', { timeout: 90_000 });

  const press = (keys) => page.keyboard.press(keys);
  const editor = {
    page,
    press,
    type: (text) => page.keyboard.type(text, { delay: 15 }),
    /** Opens a file of the folder from the explorer. */
    openFile: async (name) => {
      await page
        .locator('.explorer-folders-view .monaco-list-row .label-name', {
          hasText: new RegExp(`^${name.replaceAll('.', '\\.')}$`),
        })
        .dblclick();
      await page.waitForSelector(`.tab.active[data-resource-name="${name}"]`);
      await page.waitForSelector('.editor-instance .view-line');
    },
    /** Runs a command of the palette by its title. */
    runCommand: async (title) => {
      await press('F1');
      await page.waitForSelector('.quick-input-widget input');
      await page.keyboard.insertText(title);
      await page.waitForSelector(`.quick-input-list .monaco-list-row[aria-label*="${title}"]`);
      await press('Enter');
    },
    /** Puts the cursor at a line and column, both from 1. */
    goTo: async (line, column) => {
      await press('Control+G');
      await page.waitForSelector('.quick-input-widget input');
      await page.keyboard.insertText(`${line}:${column}`);
      await press('Enter');
      await page.waitForSelector('.quick-input-widget', { state: 'hidden' });
    },
    /** Waits until so many error marks are under the text. */
    errors: (count) =>
      page.waitForFunction((n) => document.querySelectorAll('.squiggly-error').length === n, count, {
        timeout: 60_000,
      }),
    /** Opens the lightbulb menu at the cursor and gives its entries. */
    lightbulb: async () => {
      await press('Control+.');
      await page.waitForSelector('.action-widget .monaco-list-row.action');
      return page.locator('.action-widget .monaco-list-row.action').allInnerTexts();
    },
    /** Takes an entry of the open lightbulb menu by the keyboard. */
    choose: async (title) => {
      const entry = page.locator('.action-widget .monaco-list-row.action', { hasText: title }).first();
      for (let steps = 0; steps < 30 && !(await entry.getAttribute('class')).includes('focused'); steps++)
        await press('ArrowDown');
      await press('Enter');
      await page.waitForSelector('.action-widget', { state: 'hidden' });
    },
    /** Shows the hover at the cursor and gives its text. */
    hover: async () => {
      await press('Control+K');
      await press('Control+I');
      await page.waitForSelector('.monaco-hover:not(.hidden) .hover-contents');
      await settled(page);
      return (await page.locator('.monaco-hover:not(.hidden) .hover-contents').allInnerTexts()).join('\n');
    },
    /** Text of a line as the editor shows it, blanks made plain. */
    lineText: async (line) => {
      const rows = await page
        .locator('.editor-instance .monaco-editor.focused .view-line, .editor-instance .monaco-editor .view-line')
        .evaluateAll((all) => all.map((element) => [Number.parseFloat(element.style.top), element.textContent]));
      return rows.sort((a, b) => a[0] - b[0])[line - 1]?.[1].replaceAll('\u00a0', ' ');
    },
    picture: async (name) => {
      await settled(page);
      await page.screenshot({ path: join(PICTURES, `${name}.png`) });
    },
    close: async () => {
      await browser.close();
      server.stop();
      await server.ended;
    },
  };
  return editor;
}

/** Waits until nothing fades or slides any more. */
function settled(page) {
  return page.evaluate(() =>
    Promise.allSettled(
      document
        .getAnimations()
        .filter((a) => a.effect?.getTiming().iterations !== Number.POSITIVE_INFINITY)
        .map((a) => a.finished),
    ),
  );
}
