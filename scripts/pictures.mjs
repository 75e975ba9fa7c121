// npm run pictures: makes the pictures of README and docs anew, from the real editor over a copy of the demo.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { openEditor } from '../test/editor/driver.mjs';
import { installPrograms, PROGRAMS, ROOT, run } from './prepare.mjs';
import { smallPng } from './smallPng.mjs';

/** What the pictures are always taken with, so that two runs give the same. */
const SETTINGS = {
  'workbench.colorTheme': 'Light Modern',
  'editor.fontFamily': 'DejaVu Sans Mono',
  'editor.fontSize': 13,
  'breadcrumbs.enabled': false,
  'window.commandCenter': false,
  'window.title': 'Countersum',
};
const SIZE = { width: 1080, height: 720 };
const LIMIT = 60_000;

installPrograms([PROGRAMS.webp]);
run(process.execPath, ['scripts/build.mjs']);
const editor = await openEditor({ settings: SETTINGS, ...SIZE });
try {
  await takeAll();
} finally {
  await editor.close();
}

async function takeAll() {
  const { page } = editor;
  await editor.openFile('rear-body.cfgdump');
  await editor.marks('error', 2);
  // The package has room for a small picture only.
  await editor.press('Control+B');
  await editor.lightbulb(27, 9);
  await keep('media/lightbulb.webp', { x: 48, y: 30, width: 550, height: 525 });
  await editor.press('Escape');
  await editor.press('Control+B');

  await page.locator('.activitybar .action-item a[aria-label^="Countersum"]').click();
  await widenSideBar(440);
  for (const view of ['Options', 'Changes']) await page.locator(`.pane-header[aria-label^="${view}"]`).click();
  await page.locator('.pane:has(.pane-header[aria-label^="Job"]) .monaco-list-row').nth(4).waitFor();
  // Where no bulb covers a label.
  await editor.goTo(8, 1);
  await page.locator('.codelens-decoration', { hasText: '2 sums are wrong' }).waitFor();
  await keep('docs/pictures/job.webp');

  await editor.runCommand('Countersum: Correct All Checksums');
  await editor.marks('error', 0);
  await save();
  await editor.press('Control+B');
  await editor.runCommand('Countersum: Compare with the Backup');
  await editor.comparison();
  await withoutNotices();
  await keep('docs/pictures/compare.webp');

  await editor.press('Control+B');
  await editor.begin();
  await planned();
  await editor.openFile('rear-body.cfgdump');
  await editor.press('Control+B');
  await editor.runCommand('Countersum: Make a Job Card');
  await editor.shownPage().getByRole('heading', { name: 'Job card: 13-pin trailer socket' }).waitFor();
  await withoutNotices();
  await keep('docs/pictures/card.webp');

  await backTo('rear-body.cfgdump');
  await editor.runAsking('Countersum: Verify Read-back');
  await editor.pick('read-back');
  await editor.shownPage().getByText('Not written: it still holds what it held before.').waitFor();
  await withoutNotices();
  await keep('docs/pictures/read-back.webp', { height: 440 });

  await backTo('rear-body.cfgdump');
  await editor.runCommand('Countersum: Open Vehicle Record');
  await editor.shownPage().getByRole('heading', { name: 'Vehicle record: stock no. 2041' }).waitFor();
  await keep('docs/pictures/record.webp');
}

/** Makes the side bar so wide that nothing in it is cut off. */
async function widenSideBar(width) {
  const { mouse } = editor.page;
  const { x, width: now } = await editor.page.locator('.part.sidebar').boundingBox();
  await mouse.move(x + now, 400);
  await mouse.down();
  await mouse.move(x + width, 400, { steps: 5 });
  await mouse.up();
}

/** The files as the tutorial leaves them before they are written to the modules, and one line that was forgotten. */
async function planned() {
  const { folder } = editor;
  const command = (...args) => run(process.execPath, [join(ROOT, 'dist/cli.js'), ...args], { cwd: folder });
  command('set', 'cluster.cfgdump', 'language=German', '--write');
  command('plan', 'trailer-socket.retrofit.json', '--write');
  const text = readFileSync(join(folder, 'rear-body.cfgdump'), 'utf8');
  const read = text
    .replace(/^@backup.*/m, '@taken 2026-03-02T11:02:00Z')
    .replace(/^ 4:.*/m, ' 4: 08 03 01 7F  00 FF | 88');
  writeFileSync(join(folder, 'rear-body.read-back.cfgdump'), read);
}

async function save() {
  await editor.press('Control+S');
  await editor.page.waitForFunction(() => document.querySelector('.tab.active.dirty') === null);
}

async function backTo(name) {
  await editor.page.locator(`.tab[data-resource-name="${name}"]`).click();
  await editor.page.waitForSelector('.editor-instance .view-line');
}

async function withoutNotices() {
  await editor.page.locator('.notification-toast').first().waitFor();
  await editor.runCommand('Notifications: Clear All Notifications');
  await editor.page.locator('.notification-toast').first().waitFor({ state: 'hidden' });
}

/** Keeps what is on the screen under a path of the project, all of it or a part. */
async function keep(path, { x = 0, y = 0, width = SIZE.width, height = SIZE.height } = {}) {
  const file = join(ROOT, path);
  if (!existsSync(dirname(file))) mkdirSync(dirname(file), { recursive: true });
  // A cursor that blinks, and a pointer that rests on something, would make each picture another.
  await editor.page.mouse.move(SIZE.width / 2, 12);
  await editor.page.waitForTimeout(600);
  const seen = await editor.page.screenshot({ caret: 'hide', clip: { x, y, width, height } });
  // Without loss it is a quarter smaller than the same as PNG.
  const webp = ['-quiet', '-lossless', '-z', '9', '-o', file, '--', '-'];
  execFileSync('cwebp', webp, { input: smallPng(seen) });
  const { size } = statSync(file);
  if (size > LIMIT) throw new Error(`${path} has ${size} bytes; it must stay below ${LIMIT}.`);
  console.log(`${relative(ROOT, file)}: ${Math.round(size / 1000)} kB`);
}
