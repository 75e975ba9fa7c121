// Drives the real editor in a browser as a person would: by keys, and by what is seen.
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { startServer } from '../../scripts/editorServer.mjs';
import { find, PROGRAMS, ROOT, whatToDo } from '../../scripts/prepare.mjs';
import { startWebEditor } from '../../scripts/webEditor.mjs';

const PICTURES = join(ROOT, 'out', 'pictures');
const MENU_ENTRY = '.action-widget .monaco-list-row.action';

/** A browser that needs no network but this machine's own; `COUNTERSUM_BROWSER` names another than the usual. */
export async function launchBrowser() {
  const program = process.env.COUNTERSUM_BROWSER ?? PROGRAMS.browser.commands.map(find).find(Boolean);
  const quiet = ['--disable-gpu', '--disable-quic', '--disable-background-networking', '--disable-sync'];
  const args = ['--no-sandbox', '--no-first-run', '--disable-component-update', ...quiet];
  if (program !== undefined) return chromium.launch({ executablePath: program, args });
  return chromium.launch({ channel: 'chrome', args }).catch(() => {
    throw new Error(whatToDo('chromium'));
  });
}

/** Opens the built extension over a fresh copy of a folder of this project; call `close` when done. */
export async function openEditor({ from = 'examples/trailer-socket', settings = {}, width = 1280, height = 800 } = {}) {
  const data = freshFolder('screen');
  const folder = join(data, 'demo');
  const layOut = () => {
    for (const name of existsSync(folder) ? readdirSync(folder) : [])
      if (!existsSync(join(ROOT, from, name))) rmSync(join(folder, name));
    cpSync(join(ROOT, from), folder, { recursive: true });
  };
  layOut();
  // Hints stand between what a person wrote; scenes that are not about them read the text alone.
  const server = await startServer({ data, settings: { 'editor.inlayHints.enabled': 'off', ...settings } });
  return { ...(await openPage(server.url({ folder }), server, layOut, { data, width, height })), folder };
}

/** Opens the editor that has no server: the folder is in the page's memory, and stays as it is between scenes. */
export async function openWebEditor({ from, settings, language, width = 1280, height = 800 } = {}) {
  const data = freshFolder('web');
  const server = await startWebEditor({ data, from, settings, language });
  return openPage(server.url, server, () => {}, { data, width, height });
}

/** A new folder for one editor alone: one that is just ending still writes into its own. */
function freshFolder(name) {
  const parent = join(ROOT, '.vscode-test');
  mkdirSync(parent, { recursive: true });
  mkdirSync(PICTURES, { recursive: true });
  return mkdtempSync(join(parent, `${name}-`));
}

async function openPage(url, server, layOut, { data, ...viewport }) {
  const browser = await launchBrowser();
  const close = async () => {
    await browser.close();
    server.stop();
    await server.ended;
    rmSync(data, { recursive: true, force: true, maxRetries: 5 });
  };
  try {
    const page = await browser.newPage({ viewport });
    // Beside another window everything may take twice as long.
    page.setDefaultTimeout(60_000);
    await page.goto(url, { waitUntil: 'domcontentloaded' });
    await page.waitForSelector('.explorer-folders-view .monaco-list-row', { timeout: 90_000 });
    return { ...handsAndEyes(page, layOut), page, close };
  } catch (error) {
    await close();
    throw error;
  }
}

const chosenEntry = (text) => `.quick-input-list .monaco-list-row.focused[aria-label*="${text}"]`;

function handsAndEyes(page, layOut) {
  const press = (keys) => page.keyboard.press(keys);

  /** Waits until so many marks of a kind are under the text. */
  const marks = (kind, count) =>
    page.waitForFunction(
      ([name, wanted]) => document.querySelectorAll(`.squiggly-${name}`).length === wanted,
      [kind, count],
      { timeout: 60_000 },
    );

  /** Does something until it shows, as a person would who sees that the editor was not ready for it. */
  const untilSeen = async (act, selector) => {
    for (let tries = 1; ; tries++) {
      await act();
      try {
        return await page.waitForSelector(selector, { timeout: 6000 });
      } catch (error) {
        if (tries === 5) throw error;
      }
    }
  };

  /** Opens a file of the folder from the explorer, whose rows may move when a file comes. */
  const openFile = async (name) => {
    const row = page.locator(`.explorer-folders-view .monaco-list-row[aria-label^="${name}"]`).first();
    await untilSeen(() => row.dblclick(), `.tab.active[data-resource-name="${name}"]`);
    await page.waitForSelector('.editor-instance .view-line');
  };

  /** Opens the input box that a key opens. A box that is just closing takes the key with it: then it is pressed again, as a person would. */
  const openInput = async (key) => {
    for (let tries = 1; ; tries++) {
      await press(key);
      try {
        await page.waitForSelector('.quick-input-widget input', { timeout: 5000 });
        return;
      } catch (error) {
        if (tries === 5) throw error;
      }
    }
  };

  /**
   * Takes the entry that holds a text from a list that opens, as soon as typing the text has brought it to the top.
   * `opened` is what tells this list from one that is closing, into which nothing must be typed.
   */
  const pick = async (text, opened = `.quick-input-list .monaco-list-row[aria-label*="${text}"]`) => {
    await page.waitForSelector(opened);
    await page.keyboard.insertText(text);
    await page.waitForSelector(chosenEntry(text));
    await press('Enter');
  };

  /** Runs a command of the palette, as `runCommand`, that asks something at once, so that the box stays where it is. */
  const runAsking = async (title) => {
    const ask = async () => {
      if (await page.locator('.quick-input-widget input').isVisible()) await press('Escape');
      await openInput('F1');
      await page.keyboard.insertText(title);
    };
    await untilSeen(ask, chosenEntry(title));
    await press('Enter');
  };

  /** Runs a command of the palette by its title, as the palette shows it; at the start it does not know all commands yet. */
  const runCommand = async (title) => {
    await runAsking(title);
    await page.waitForSelector('.quick-input-widget', { state: 'hidden' });
  };

  /** Puts the cursor at a line and column, both from 1. */
  const goTo = async (line, column = 1) => {
    await openInput('Control+G');
    await page.keyboard.insertText(`${line}:${column}`);
    await press('Enter');
    await page.waitForSelector('.quick-input-widget', { state: 'hidden' });
  };

  /**
   * Opens the lightbulb menu at a place and gives its entries. An editor that hears of problems while it asks what can be
   * done about them drops the question and says that there is nothing: then it is asked again, as a person would, and
   * waited for longer each time, as a new question drops the one before; the cursor goes there anew, as the editor keeps
   * what it was told at a place. What it says instead of a menu is in the error.
   */
  const lightbulb = async (line, column) => {
    const menu = page.locator(MENU_ENTRY).first();
    const isThere = (timeout) =>
      menu.waitFor({ timeout }).then(
        () => true,
        () => false,
      );
    const said = new Set();
    for (let wait = 2000; ; wait *= 2) {
      await goTo(line, column);
      await page.waitForSelector('.editor-instance .monaco-editor.focused');
      await press('Control+.');
      if (await isThere(wait)) break;
      for (const text of await page.locator('.monaco-editor-overlaymessage').allInnerTexts()) said.add(text.trim());
      if (wait > 30_000)
        throw new Error(`There is no menu at ${line}:${column}, but: ${[...said].join('; ') || 'nothing'}.`);
      await press('Escape');
    }
    return page.locator(MENU_ENTRY).allInnerTexts();
  };

  /** Takes an entry of the open lightbulb menu by the keyboard; `title` is the beginning of it. */
  const choose = async (title) => {
    const entries = await page.locator(MENU_ENTRY).allInnerTexts();
    const focused = page.locator(`${MENU_ENTRY}.focused`);
    for (const _ of entries) {
      if ((await focused.textContent()).trim().startsWith(title)) break;
      await press('ArrowDown');
    }
    if (!(await focused.textContent()).trim().startsWith(title))
      throw new Error(`"${title}" is not in the menu: ${entries.join('; ')}`);
    await press('Enter');
    await page.waitForSelector('.action-widget', { state: 'hidden' });
  };

  /** Shows the hover at a place and gives its text. */
  const hoverAt = async (line, column) => {
    const contents = '.monaco-hover:not(.hidden) .hover-contents';
    await goTo(line, column);
    const show = async () => {
      await press('Control+K');
      await press('Control+I');
    };
    await untilSeen(show, `${contents}:not(:has-text("Loading"))`);
    await settled(page);
    return (await page.locator(contents).allInnerTexts()).join('\n');
  };

  /** What the editor shows of the file, from its first visible line on, with plain blanks. */
  const shownLines = () =>
    page.locator('.editor-instance .view-line').evaluateAll((rows) =>
      rows
        .map((row) => [Number.parseFloat(row.style.top), row.textContent.replaceAll('\u00a0', ' ')])
        .sort(([a], [b]) => a - b)
        .map(([, text]) => text),
    );

  /** Waits until a line that reads so is shown. */
  const line = (text) =>
    page.waitForFunction(
      (wanted) =>
        [...document.querySelectorAll('.editor-instance .view-line')].some(
          (row) => row.textContent.replaceAll('\u00a0', ' ') === wanted,
        ),
      text,
    );

  /** Both sides of the open comparison: the lines that are marked as different. */
  const comparison = async () => {
    await page.waitForSelector('.monaco-diff-editor .line-insert');
    const marked = (side) =>
      page.locator(`.monaco-diff-editor .editor.${side}`).evaluate((editor) => {
        const tops = new Set(
          [...editor.querySelectorAll('.line-insert, .line-delete')].map(
            (mark) => mark.closest('[style*="top"]')?.style.top,
          ),
        );
        return [...editor.querySelectorAll('.view-line')]
          .filter((row) => tops.has(row.style.top))
          .map((row) => row.textContent.replaceAll('\u00a0', ' '));
      });
    return { left: await marked('original'), right: await marked('modified') };
  };

  /** Waits for a notice that reads so; one that was answered may still be on the screen when the next one comes. */
  const noticed = (text) => page.locator('.notification-list-item-message', { hasText: text }).first().waitFor();

  /** The entry of a view beside the text whose description begins so. */
  const viewRow = (name) => page.locator(`.pane-body .monaco-list-row[aria-label^="${name}"]`);

  /** Presses a button of a notice. */
  const answer = async (button) => {
    await page.locator('.notification-list-item .monaco-button', { hasText: button }).click();
    await settled(page);
  };

  /** Reads what is asked before anything else can be done, and presses a button of it. */
  const confirm = async (button) => {
    const box = page.locator('.monaco-dialog-box');
    const asked = await box.locator('.dialog-message-container').textContent();
    await box.locator('.monaco-button', { hasText: button }).click();
    await box.waitFor({ state: 'detached' });
    return asked;
  };

  /** The page that is shown in place of a text: a preview, or one of the extension's own. */
  const shownPage = () => page.frameLocator('iframe.webview.ready').frameLocator('iframe');

  /** Drops all changes, notices and tabs, puts the files back and shows their list: what a scene begins with. */
  const begin = async () => {
    await press('Escape');
    if ((await page.locator('.notification-toast').count()) > 0)
      await runCommand('Notifications: Clear All Notifications');
    const dirty = page.locator('.tab.dirty');
    for (let left = await dirty.count(); left > 0; left = await dirty.count()) {
      await dirty.first().click();
      await runCommand('File: Revert File');
      await page.waitForFunction((most) => document.querySelectorAll('.tab.dirty').length < most, left);
    }
    if ((await page.locator('.tab').count()) > 0) await runCommand('View: Close All Editors');
    await page.waitForFunction(() => document.querySelector('.tab') === null);
    layOut();
    if (!(await page.locator('.explorer-folders-view').isVisible()))
      await untilSeen(() => runCommand('Explorer: Focus on Folders View'), '.explorer-folders-view .monaco-list:focus');
  };

  /** Saves what is on the screen as out/pictures/<name>.png. */
  const picture = async (name) => {
    await settled(page);
    await page.screenshot({ path: join(PICTURES, `${name}.png`) });
  };

  const type = (text) => page.keyboard.type(text, { delay: 15 });
  const hands = {
    press,
    type,
    pick,
    untilSeen,
    openFile,
    runCommand,
    runAsking,
    goTo,
    lightbulb,
    choose,
    answer,
    confirm,
    begin,
  };
  const eyes = { marks, shownLines, shownPage, line, hoverAt, comparison, noticed, viewRow, picture };
  return { ...hands, ...eyes };
}

/** Waits until nothing fades or slides any more. */
function settled(page) {
  return page.evaluate(() =>
    Promise.allSettled(
      document
        .getAnimations()
        .filter((animation) => animation.effect?.getTiming().iterations !== Number.POSITIVE_INFINITY)
        .map((animation) => animation.finished),
    ),
  );
}
