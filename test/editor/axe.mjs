// What axe-core finds wrong with a page of ours for people who see, hear or move otherwise than most.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT } from '../../scripts/prepare.mjs';

const AXE = readFileSync(join(ROOT, 'node_modules/axe-core/axe.min.js'), 'utf8');

/** A theme of each kind that the editor brings. */
export const THEMES = ['Light Modern', 'Dark Modern', 'Light High Contrast', 'Dark High Contrast'];

/** The frame of the page that was opened last, once something stands in it. */
export async function pageFrame(page) {
  const outer = page.locator('iframe.webview.ready').last();
  const inner = outer.contentFrame().locator('iframe#active-frame');
  await inner.contentFrame().locator('main, body > *').first().waitFor();
  return (await inner.elementHandle()).contentFrame();
}

/** Each fault of a page as "rule at place: what to do". */
export async function faultsOf(frame) {
  // Not as a script of the page, which its security policy would refuse.
  await frame.evaluate(AXE);
  const { violations } = await frame.evaluate(() => globalThis.axe.run(document, { resultTypes: ['violations'] }));
  return violations.flatMap(({ id, nodes }) =>
    nodes.map(({ target, failureSummary }) => `${id} at ${target.join(' ')}: ${failureSummary.replace(/\s+/g, ' ')}`),
  );
}
