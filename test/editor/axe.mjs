// What axe-core finds wrong with a page of ours for people who see, hear or move otherwise than most.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT } from '../../scripts/prepare.mjs';

const AXE = readFileSync(join(ROOT, 'node_modules/axe-core/axe.min.js'), 'utf8');

/** A theme of each kind that the editor brings, and what a page in that kind of theme is told; last the one that it begins in. */
const THEMES = {
  'Dark Modern': 'vscode-dark',
  'Light High Contrast': 'vscode-high-contrast-light',
  'Dark High Contrast': 'vscode-high-contrast',
  'Light Modern': 'vscode-light',
};

/** What depends on the theme. */
const COLOUR_RULES = ['color-contrast', 'link-in-text-block'];

/** A window beside another, and one on a small screen whose letters are twice as large. */
export const SMALL_WINDOWS = { '800 px': { width: 800, height: 700 }, '200 %': { width: 640, height: 400 } };

/**
 * Each fault of the page that was opened last, in any kind of theme, and in windows of other sizes too where they are given;
 * what has nothing to do with colours is looked at in one theme. Pictures are kept under a name.
 */
export async function faultsInThemes(editor, name, windows = {}) {
  const found = [];
  const usual = editor.page.viewportSize();
  await inThemes(editor, async (theme, kind) => {
    const rules = theme === Object.keys(THEMES)[0] ? {} : { runOnly: COLOUR_RULES };
    for (const [size, viewport] of Object.entries({ '': usual, ...windows })) {
      const where = [theme, size].filter(Boolean).join(', ');
      await editor.page.setViewportSize(viewport);
      found.push(...(await faultsOf(editor.page, kind, rules)).map((fault) => `${where}: ${fault}`));
      await editor.picture([name, theme, size].filter(Boolean).join(' - '));
    }
    await editor.page.setViewportSize(usual);
  });
  return found;
}

/** Texts of a part of the editor itself that cannot be told from what is behind them, in any kind of theme. */
export async function faintTextsInThemes(editor, part, name) {
  const found = [];
  await editor.page.evaluate(AXE);
  await inThemes(editor, async (theme) => {
    await editor.page.mouse.move(0, 0);
    await editor.picture(`${name} - ${theme}`);
    const { violations } = await editor.page.evaluate(
      (selector) => globalThis.axe.run(selector, { runOnly: ['color-contrast'], preload: false }),
      part,
    );
    found.push(...violations.flatMap(faultsOfRule).map((fault) => `${theme}: ${fault}`));
  });
  return found;
}

/** Does something in a theme of each kind. */
async function inThemes(editor, act) {
  for (const [theme, kind] of Object.entries(THEMES)) {
    await chooseTheme(editor, theme);
    await act(theme, kind);
  }
}

/** Chooses a theme by its name, as a person does. */
async function chooseTheme(editor, theme) {
  const opened = '.quick-input-widget input[placeholder*="Color Theme"]';
  const open = async () => {
    await editor.press('Control+K');
    await editor.press('Control+T');
  };
  await editor.untilSeen(open, opened);
  await editor.pick(theme, opened);
  await editor.page.waitForSelector('.quick-input-widget', { state: 'hidden' });
}

/** The frame of the page that was opened last, once something stands in it. */
export async function pageFrame(page) {
  const outer = page.locator('iframe.webview.ready').last();
  const inner = outer.contentFrame().locator('iframe#active-frame');
  await inner.contentFrame().locator('main, .markdown-body').first().waitFor();
  return (await inner.elementHandle()).contentFrame();
}

/**
 * Each fault of the page as "rule at place: what to do". Of a page that the editor itself renders
 * from Markdown only what we have written is looked at: the frame around it is the editor's, which makes it anew after
 * a change of the theme; then it is looked at again.
 */
async function faultsOf(page, kind, rules) {
  for (let tries = 1; ; tries++) {
    try {
      const frame = await pageFrame(page);
      await frame.waitForFunction((wanted) => document.body.dataset.vscodeThemeKind === wanted, kind);
      // Not as a script of the page, which its security policy would refuse.
      if (!(await frame.evaluate(() => 'axe' in globalThis))) await frame.evaluate(AXE);
      const { violations } = await frame.evaluate((asked) => {
        // What shows through a page is painted outside of its frame, where axe-core does not see it.
        document.documentElement.style.background = 'var(--vscode-editor-background)';
        const ours = document.querySelector('.markdown-body');
        return globalThis.axe.run(ours ?? document, { resultTypes: ['violations'], preload: false, ...asked });
      }, rules);
      return violations.flatMap(faultsOfRule);
    } catch (error) {
      if (tries === 5) throw error;
    }
  }
}

function faultsOfRule({ id, nodes }) {
  return nodes.map(
    ({ target, failureSummary }) => `${id} at ${target.join(' ')}: ${failureSummary.replace(/\s+/g, ' ')}`,
  );
}
