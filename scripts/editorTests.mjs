// Runs test/editor in a real VS Code: the suite inside its extension host, and the scenes on its screen.
import { cpSync, existsSync, readFileSync, realpathSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { format } from 'node:util';
import { find, ROOT } from './prepare.mjs';

const SUITE = join(ROOT, 'out/test/editor/index.js');
const RESULTS = join(ROOT, 'out/test/editor/results.json');
const LIMIT_IN_MINUTES = 5;

/**
 * Runs the suite over a fresh copy of the demo, in the desktop VS Code where there is one and a screen to show it on,
 * else in the VS Code server with a headless browser. Gives how many tests passed and failed, and why those failed.
 *
 * `COUNTERSUM_VSCODE` chooses: the path of a desktop VS Code, a version of it to download, or `server`.
 */
export async function runEditorTests() {
  rmSync(RESULTS, { force: true });
  const workspace = join(ROOT, '.vscode-test', 'workspace');
  rmSync(workspace, { recursive: true, force: true });
  cpSync(join(ROOT, 'examples/trailer-socket'), workspace, { recursive: true });
  const desktop = desktopToUse();
  console.log(desktop === undefined ? 'in the VS Code server with a headless browser' : `in ${Object.values(desktop)}`);
  await (desktop === undefined ? inBrowser(workspace) : inDesktop(desktop, workspace));
  if (!existsSync(RESULTS)) return { passed: 0, failed: 1 };
  const { report, ...counts } = JSON.parse(readFileSync(RESULTS, 'utf8'));
  console.log(report.join('\n'));
  return counts;
}

/** Which desktop VS Code to take, as options of test-electron; undefined for the server. */
function desktopToUse() {
  const chosen = process.env.COUNTERSUM_VSCODE;
  if (chosen === 'server') return undefined;
  if (chosen !== undefined) return existsSync(chosen) ? { vscodeExecutablePath: chosen } : { version: chosen };
  const screen = process.platform !== 'linux' || process.env.DISPLAY || process.env.WAYLAND_DISPLAY;
  const command = find('code');
  const program = screen && command !== undefined ? programOf(realpathSync(command)) : undefined;
  return program === undefined ? undefined : { vscodeExecutablePath: program };
}

/** The editor's own program, next to which its command `bin/code` lies; the command itself cannot run tests. */
function programOf(command) {
  const home = dirname(dirname(command));
  return ['code', 'Code.exe', '../../MacOS/Electron'].map((name) => join(home, name)).find(existsSync);
}

async function inDesktop(desktop, workspace) {
  const { runTests } = await import('@vscode/test-electron');
  await runTests({
    ...desktop,
    extensionDevelopmentPath: ROOT,
    extensionTestsPath: SUITE,
    launchArgs: [workspace, '--disable-extensions', '--disable-workspace-trust', '--no-sandbox'],
  }).catch((error) => console.log(String(error)));
}

async function inBrowser(workspace) {
  const data = join(ROOT, '.vscode-test', 'suite');
  rmSync(data, { recursive: true, force: true });
  const written = await runInServer({ data, folder: workspace, suite: SUITE });
  if (!existsSync(RESULTS)) console.log(written);
}

/**
 * Runs a suite in the extension host of the VS Code server, with this extension under development, and gives what the
 * editor wrote meanwhile, which is of concern only where the suite did not come to its end.
 */
export async function runInServer({ data, folder, suite }) {
  const { startServer } = await import('./editorServer.mjs');
  const { launchBrowser } = await import('../test/editor/driver.mjs');
  const server = await startServer({ data, extension: false });
  const browser = await launchBrowser();
  try {
    const page = await browser.newPage();
    const { promise: ended, resolve: end } = promised();
    // The two functions by which the editor's web page hands out what a test run writes, and how it ended.
    const written = [];
    await page.exposeFunction('codeAutomationLog', (_type, args) => written.push(format(...args)));
    await page.exposeFunction('codeAutomationExit', end);
    await page.goto(server.url({ folder, tests: suite }));
    const { promise: late, resolve: giveUp } = promised();
    setTimeout(() => giveUp(`no end within ${LIMIT_IN_MINUTES} minutes`), LIMIT_IN_MINUTES * 60_000).unref();
    const code = await Promise.race([ended, late]);
    return `${written.join('\n')}\nThe editor ended the suite with: ${code}`;
  } finally {
    await browser.close();
    server.stop();
    await server.ended;
  }
}

function promised() {
  const made = {};
  made.promise = new Promise((resolve) => {
    made.resolve = resolve;
  });
  return made;
}
