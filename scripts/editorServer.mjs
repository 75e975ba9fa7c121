// A VS Code server on this machine alone, for machines without a desktop editor and for tests.
import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { cpSync, existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { ROOT, run } from './prepare.mjs';

const VERSION = '4.100.3';
const HOME = join(ROOT, '.vscode-test', `code-server-${VERSION}`);
const VSCODE = join(HOME, 'node_modules/code-server/lib/vscode');

/** Installs the server once; about 20 seconds. */
export function installServer() {
  if (existsSync(join(VSCODE, 'node_modules/.package-lock.json'))) return;
  console.log(`Installing the VS Code server (code-server ${VERSION}) …`);
  mkdirSync(HOME, { recursive: true });
  writeFileSync(join(HOME, 'package.json'), '{ "private": true }\n');
  const quiet = { stdio: ['ignore', 'ignore', 'inherit'] };
  // Its own install step wants to build and download things that the editor does without.
  run('npm', ['install', '--ignore-scripts', '--no-audit', '--no-fund', `code-server@${VERSION}`], {
    cwd: HOME,
    ...quiet,
  });
  run('npm', ['install', '--omit=dev', '--ignore-scripts', '--no-audit', '--no-fund'], { cwd: VSCODE, ...quiet });
}

/**
 * Starts the server on 127.0.0.1 behind a token, with this extension and settings that ask no questions.
 * `data` is a folder for what the server keeps; `settings` are added to its user settings.
 */
export async function startServer({ data, settings = {}, extension = true }) {
  installServer();
  const port = await freePort();
  const token = randomBytes(16).toString('hex');
  mkdirSync(join(data, 'User'), { recursive: true });
  const quiet = {
    'security.workspace.trust.enabled': false,
    'workbench.startupEditor': 'none',
    'telemetry.telemetryLevel': 'off',
    'update.mode': 'none',
    'extensions.autoCheckUpdates': false,
    'chat.commandCenter.enabled': false,
    'workbench.tips.enabled': false,
    'git.openRepositoryInParentFolders': 'never',
    'git.enabled': false,
    ...settings,
  };
  // The server keeps the settings of its users in one place, those of the machine in another; the first is what counts here.
  for (const folder of ['User', 'Machine']) {
    mkdirSync(join(data, folder), { recursive: true });
    writeFileSync(join(data, folder, 'settings.json'), JSON.stringify(quiet, null, 2));
  }
  const extensions = join(data, 'extensions');
  if (extension) installExtension(extensions);
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
    { cwd: VSCODE, stdio: ['ignore', 'pipe', 'pipe'] },
  );
  await new Promise((resolve, reject) => {
    const heard = [];
    const listen = (chunk) => {
      heard.push(String(chunk));
      if (/Extension host agent listening|Web UI available/.test(heard.join(''))) resolve();
    };
    server.stdout.on('data', listen);
    server.stderr.on('data', listen);
    server.on('exit', (code) => reject(new Error(`The editor server ended with ${code}:\n${heard.join('')}`)));
  });
  return {
    port,
    token,
    stop: () => server.kill(),
    ended: new Promise((resolve) => server.on('exit', resolve)),
    /** The page that opens a folder; `payload` is passed to the workbench as it is. */
    url: (folder, payload = []) => {
      const query = new URLSearchParams({ tkn: token, folder });
      if (payload.length > 0) query.set('payload', JSON.stringify(payload));
      return `http://127.0.0.1:${port}/?${query}`;
    },
  };
}

/** Puts what ships of this extension into the folder from which the server loads extensions. */
function installExtension(extensions) {
  const target = join(extensions, 'countersum.countersum');
  rmSync(target, { recursive: true, force: true });
  for (const part of [
    'package.json',
    'dist',
    'syntaxes',
    'l10n',
    'README.md',
    'package.nls.json',
    'package.nls.de.json',
    'media',
  ]) {
    if (existsSync(join(ROOT, part))) cpSync(join(ROOT, part), join(target, part), { recursive: true });
  }
}

function freePort() {
  return new Promise((resolve) => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const { port } = probe.address();
      probe.close(() => resolve(port));
    });
  });
}
