// Drives the real editor in a browser as a person would: by keys, and by what is seen.
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { chromium } from 'playwright-core';
import { startServer } from '../../scripts/editorServer.mjs';
import { find, PROGRAMS, ROOT, whatToDo } from '../../scripts/prepare.mjs';
import { startWebEditor } from '../../scripts/webEditor.mjs';

const PICTURES = join(ROOT, 'out', 'pictures');
/** The editor whose text takes what is typed. */
const TEXT_WITH_KEYS = '.editor-instance .monaco-editor.focused';
const textWithKeys = (name) => `${TEXT_WITH_KEYS}[data-uri$="/${encodeURIComponent(name)}"]`;
/** How long what is to show may take: on a machine with much else to do an extension only starts after a minute. */
const LIMIT = 120_000;
const BELL = '[id="status.notifications"]';
const NOTICES_BEHIND_BELL = '.notifications-center';
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
      if (!existsSync(join(ROOT, from, name))) rmSync(join(folder, name), { recursive: true });
    // What is as it was is left alone: a file that is replaced moves in the explorer.
    cpSync(join(ROOT, from), folder, { recursive: true, filter: (file, copy) => !isSameFile(file, copy) });
  };
  layOut();
  // Hints stand between what a person wrote; scenes that are not about them read the text alone.
  const server = await startServer({ data, settings: { 'editor.inlayHints.enabled': 'off', ...settings } });
  return { ...(await openPage(server.url({ folder }), server, layOut, { data, width, height })), folder };
}

/** Opens the editor that has no server: the folder is in the page's memory, where a key of its extension puts the files back. */
export async function openWebEditor({ from, settings, language, width = 1280, height = 800 } = {}) {
  const data = freshFolder('web');
  const server = await startWebEditor({ data, from, settings, language });
  return openPage(server.url, server, (page) => page.keyboard.press('Control+Alt+Shift+F9'), { data, width, height });
}

function isSameFile(file, copy) {
  const isFile = (path) => statSync(path, { throwIfNoEntry: false })?.isFile() ?? false;
  return isFile(file) && isFile(copy) && readFileSync(file).equals(readFileSync(copy));
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
    // What would slide or fade is there at once.
    const page = await browser.newPage({ viewport, reducedMotion: 'reduce' });
    page.setDefaultTimeout(LIMIT);
    await page.goto(url, { waitUntil: 'domcontentloaded' });
    await page.waitForSelector('.explorer-folders-view .monaco-list-row');
    return { ...handsAndEyes(page, layOut), page, close };
  } catch (error) {
    await close();
    throw error;
  }
}

const pane = (view) => `.pane:has(.pane-header[aria-label^="${view}"])`;
const chosenEntry = (text) => `.quick-input-list .monaco-list-row.focused[aria-label*="${text}"]`;

function handsAndEyes(page, layOut) {
  const press = (keys) => page.keyboard.press(keys);

  /** Waits until so many marks of a kind are under the text. */
  const marks = (kind, count, limit) =>
    page.waitForFunction(
      ([name, wanted]) => document.querySelectorAll(`.squiggly-${name}`).length === wanted,
      [kind, count],
      limit,
    );

  /**
   * Does something until what it is to bring about is there, as a person would who sees that the editor was not ready for
   * it, and waits longer each time, as what was begun may only be slow.
   */
  const untilDone = async (act, isDone, first = 6000) => {
    for (let timeout = first; ; timeout *= 2) {
      await act();
      try {
        return await isDone({ timeout });
      } catch (error) {
        if (timeout >= LIMIT / 3) throw error;
      }
    }
  };

  const untilSeen = (act, selector, first) => untilDone(act, (limit) => page.waitForSelector(selector, limit), first);

  /** Looks again until what is looked at is as expected; what it was at last is in the error. */
  const eventually = async (look) => {
    for (const end = Date.now() + LIMIT; ; await sleep(100)) {
      try {
        return await look();
      } catch (error) {
        if (Date.now() > end) throw error;
      }
    }
  };

  /** Waits until a file is active and the editor shows its text: a tab is there before. */
  const showsFile = async (name, limit) => {
    await page.waitForSelector(`.tab.active[data-resource-name="${name}"]`, limit);
    await page.waitForSelector(
      `.editor-instance .monaco-editor[data-uri$="/${encodeURIComponent(name)}"] .view-line`,
      limit,
    );
  };

  /** Shows the list of files. */
  const showFiles = async () => {
    if (await page.locator('.explorer-folders-view').isVisible()) return;
    await untilSeen(() => runCommand('Explorer: Focus on Folders View'), '.explorer-folders-view .monaco-list:focus');
  };

  /** Moves the pointer away from what says more where it rests: that would lie over what is pressed next. */
  const pointAway = () => page.mouse.move(0, 0);

  /**
   * Opens a file of the folder from the explorer, to stay, and puts the keys into its text. It is chosen by one click and
   * kept by Enter: rows move when files come, and the second of two clicks could be on another.
   */
  const openFile = async (name) => {
    const row = `.monaco-list-row[aria-label^="${name}"]`;
    // A view that was told to show something can come up late, and take the place of the files.
    const choose = async () => {
      await pointAway();
      await showFiles();
      await page
        .locator(`.explorer-folders-view ${row}`)
        .first()
        .click({ timeout: 6000 })
        .catch(() => {});
      await pointAway();
    };
    await untilDone(choose, (limit) => showsFile(name, limit), 2000);
    const keep = async () => {
      if (await page.locator(`.explorer-folders-view .monaco-list:focus ${row}.focused`).isVisible())
        await press('Enter');
    };
    // Where the list has no keys yet nothing is pressed, so it is soon tried again.
    await untilSeen(keep, textWithKeys(name), 1000);
  };

  /** Opens the input box that a key opens. A box that is just closing takes the key with it. */
  const openInput = (key) => untilSeen(() => press(key), '.quick-input-widget input');

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

  /** Waits until the editor says that the cursor is at a line and column, in whatever language. */
  const cursorAt = (line, column, limit) =>
    page.waitForFunction(
      (wanted) => document.getElementById('status.editor.selection')?.textContent.match(/\d+/g)?.join() === wanted,
      `${line},${column}`,
      limit,
    );

  /** Waits until a text is at the lower edge, where the cursor is told among others. */
  const status = (text, limit) =>
    page.waitForFunction((wanted) => document.querySelector('.statusbar')?.textContent.includes(wanted), text, limit);

  /** Puts the cursor at a line and column, both from 1, and the keys into the text. */
  const goTo = async (line, column = 1) => {
    const go = async () => {
      await openInput('Control+G');
      await page.keyboard.insertText(`${line}:${column}`);
      await press('Enter');
      await page.waitForSelector('.quick-input-widget', { state: 'hidden' });
    };
    await untilDone(go, (limit) => cursorAt(line, column, limit));
    await page.waitForSelector(TEXT_WITH_KEYS);
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

  /** Shows the hover at a place and gives its text, once it says something: what others say of the place may be there before. */
  const hoverAt = async (line, column, said) => {
    const contents = '.monaco-hover:not(.hidden) .hover-contents';
    await goTo(line, column);
    const show = async () => {
      await press('Control+K');
      await press('Control+I');
    };
    await untilSeen(show, `${contents}:has-text("${said}")`);
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

  /** Waits until nothing is unsaved. */
  const saved = () => page.waitForFunction(() => document.querySelector('.tab.dirty') === null);

  /** Waits until a line that reads so is shown. */
  const line = (text) =>
    page.waitForFunction(
      (wanted) =>
        [...document.querySelectorAll('.editor-instance .view-line')].some(
          (row) => row.textContent.replaceAll('\u00a0', ' ') === wanted,
        ),
      text,
    );

  /** Both sides of the open comparison: the lines that are marked as different so far. */
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

  /** Waits for a part of a notice. A notice goes after a while: then it is among those behind the bell. */
  const inNotice = async (part) => {
    const isThere = part.waitFor({ timeout: 10_000 }).then(() => true);
    if (await isThere.catch(() => false)) return;
    if (!(await page.locator(NOTICES_BEHIND_BELL).isVisible())) await page.locator(`${BELL} a`).click();
    await part.waitFor();
  };

  /** Waits for a notice that reads so; one that was answered may still be on the screen when the next one comes. */
  const noticed = (text) => inNotice(page.locator('.notification-list-item-message', { hasText: text }).first());

  /** Presses a button of a notice, of the one that reads so where several are there. */
  const answer = async (button, said = '') => {
    const notice = page.locator('.notification-list-item', { hasText: said });
    const wanted = notice.locator('.monaco-button', { hasText: button });
    for (let tries = 1; ; tries++) {
      await inNotice(wanted);
      try {
        return await wanted.click({ timeout: 6000 });
      } catch (error) {
        // It went while the pointer was on its way.
        if (tries === 5) throw error;
      }
    }
  };

  /** The entry of a view beside the text whose description begins so. */
  const viewRow = (name) => page.locator(`.pane-body .monaco-list-row[aria-label^="${name}"]`);

  /** Shows the views of the extension, one of which is named. Their icon pressed once more would hide them. */
  const openViews = (view) =>
    untilSeen(async () => {
      if (!(await page.locator(pane(view)).isVisible()))
        await page.locator('.activitybar .action-item a[aria-label^="Countersum"]').click();
    }, pane(view));

  /** Puts the keys into a view beside the text; one that is only being made does not take them yet. */
  const focusOn = (view) =>
    untilSeen(() => runCommand(`Countersum: Focus on ${view} View`), `${pane(view)} .monaco-list:focus`, 1500);

  /**
   * Puts the keys into a view and walks down it until an entry is reached. A view that is only being filled, or filled anew, is
   * walked again from its top; so is one that lost the keys to a text which was opened late.
   */
  const walkTo = async (view, name) => {
    /** The entry that has the focus, once it is another than one before; undefined where the focus stays. */
    const entry = (before) =>
      page
        .waitForFunction(
          ([selector, left]) => {
            const row = document.querySelector(selector);
            return row && row.dataset.index !== left && { at: row.dataset.index, says: row.ariaLabel };
          },
          [`${pane(view)} .monaco-list:focus .monaco-list-row.focused`, before?.at],
          { timeout: 1000 },
        )
        .then(
          (found) => found.jsonValue(),
          () => undefined,
        );
    await eventually(async () => {
      await focusOn(view);
      await press('Home');
      const passed = [];
      for (let now = await entry(); now; now = await entry(now)) {
        if (now.says.startsWith(name)) return;
        passed.push(now.says);
        await press('ArrowDown');
      }
      throw new Error(`The keys do not come to "${name}" in ${view}, but to ${JSON.stringify(passed)}.`);
    });
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
  const shownPage = () =>
    page.locator('iframe.webview.ready').last().contentFrame().frameLocator('iframe#active-frame');

  /** Closes all tabs by their keys, and drops what is unsaved in them. */
  const closeTabs = async () => {
    const drop = page.locator('.monaco-dialog-box .monaco-button', { hasText: "Don't Save" });
    const close = async () => {
      if ((await page.locator('.tab').count()) === 0) return;
      await press('Control+K');
      await press('Control+W');
    };
    const isClosedOrAsked = (limit) =>
      page.waitForFunction(
        () => document.querySelector('.tab') === null || document.querySelector('.monaco-dialog-box') !== null,
        undefined,
        limit,
      );
    await untilDone(close, isClosedOrAsked);
    if ((await page.locator('.tab').count()) > 0) await drop.click();
    await page.waitForFunction(() => document.querySelector('.tab') === null);
  };

  /** Drops all changes, notices, tabs and the panel, puts the files back and shows their list: what a scene begins with. */
  const begin = async () => {
    await press('Escape');
    const notices = `.notification-toast, ${NOTICES_BEHIND_BELL}.visible, ${BELL} .codicon-bell-dot`;
    if ((await page.locator(notices).count()) > 0) await runCommand('Notifications: Clear All Notifications');
    await closeTabs();
    await layOut(page);
    // What a scene has left open below would hide the end of a text.
    if (await page.locator('.part.panel').isVisible()) await runCommand('View: Toggle Panel Visibility');
    await showFiles();
  };

  /** Saves what is on the screen as out/pictures/<name>.png. */
  const keepPicture = (name) => page.screenshot({ path: join(PICTURES, `${name}.png`) });

  /** The same for those who want to look, who say so by `COUNTERSUM_PICTURES=1`: all of them take a minute. */
  const picture = async (name) => {
    if (process.env.COUNTERSUM_PICTURES === '1') await keepPicture(name);
  };

  const type = (text) => page.keyboard.type(text);
  const hands = {
    press,
    type,
    pick,
    pointAway,
    untilDone,
    untilSeen,
    openFile,
    runCommand,
    runAsking,
    goTo,
    openViews,
    focusOn,
    walkTo,
    lightbulb,
    choose,
    answer,
    confirm,
    closeTabs,
    begin,
  };
  const eyes = {
    eventually,
    showsFile,
    saved,
    marks,
    status,
    shownLines,
    shownPage,
    line,
    hoverAt,
    comparison,
    noticed,
    viewRow,
    picture,
    keepPicture,
  };
  return { ...hands, ...eyes };
}
