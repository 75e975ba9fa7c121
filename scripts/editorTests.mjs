// Runs test/editor inside a real VS Code: the desktop one where there is one, else the VS Code server in a browser.
import { cpSync, existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { onPath, ROOT } from './prepare.mjs';

const RESULTS = join(ROOT, 'out/test/editor/results.json');

/** Runs the suite over a fresh copy of the demo; gives how many tests passed and failed. */
export async function runEditorTests() {
  rmSync(RESULTS, { force: true });
  const workspace = join(ROOT, '.vscode-test', 'workspace');
  rmSync(workspace, { recursive: true, force: true });
  cpSync(join(ROOT, 'examples'), workspace, { recursive: true });
  const desktop = process.env.VSCODE_DESKTOP ?? (onPath('code') ? 'code' : undefined);
  if (desktop !== undefined) await inDesktop(desktop, workspace);
  else await inBrowser(workspace);
  if (!existsSync(RESULTS)) return { passed: 0, failed: 1 };
  return JSON.parse(readFileSync(RESULTS, 'utf8'));
}

async function inDesktop(executable, workspace) {
  const { runTests } = await import('@vscode/test-electron');
  await runTests({
    vscodeExecutablePath: executable,
    extensionDevelopmentPath: ROOT,
    extensionTestsPath: join(ROOT, 'out/test/editor/index.js'),
    launchArgs: [workspace, '--disable-extensions', '--no-sandbox'],
  }).catch((error) => console.log(String(error)));
}

async function inBrowser(workspace) {
  const { startServer } = await import('./editorServer.mjs');
  const { launchBrowser } = await import('../test/editor/driver.mjs');
  const data = join(ROOT, '.vscode-test', 'suite');
  rmSync(data, { recursive: true, force: true });
  const server = await startServer({ data, extension: false });
  const browser = await launchBrowser();
  try {
    const page = await browser.newPage();
    let end;
    const ended = new Promise((resolve) => {
      end = resolve;
    });
    await page.exposeFunction('codeAutomationLog', (_type, args) =>
      console.log(...args.filter((part) => typeof part === 'string')),
    );
    await page.exposeFunction('codeAutomationExit', (code) => end(code));
    const remote = (path) => `vscode-remote://127.0.0.1:${server.port}${path}`;
    await page.goto(
      server.url(workspace, [
        ['extensionDevelopmentPath', remote(ROOT.replace(/\/$/, ''))],
        ['extensionTestsPath', remote(join(ROOT, 'out/test/editor/index.js'))],
        ['skipWelcome', 'true'],
      ]),
    );
    const limit = new Promise((resolve) => setTimeout(() => resolve('no end after 3 minutes'), 180_000).unref());
    const code = await Promise.race([ended, limit]);
    if (code !== 0) console.log(`The editor ended the suite with: ${code}`);
  } finally {
    await browser.close();
    server.stop();
    await server.ended;
  }
}
