// What both commands of the README need before they can do anything: packages of the project and, as root, of the system.
import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('..', import.meta.url));

/** Installs the project's packages where they are missing or older than the lock file. */
export function installPackages() {
  const installed = `${ROOT}node_modules/.package-lock.json`;
  if (existsSync(installed) && statSync(installed).mtimeMs >= statSync(`${ROOT}package-lock.json`).mtimeMs) return;
  console.log('Installing packages …');
  run('npm', ['ci', '--ignore-scripts', '--no-audit', '--no-fund']);
}

/** Installs Debian packages that lack, where that is allowed; returns those that still lack. */
export function installSystem(wanted) {
  const lacking = () => wanted.filter(({ command }) => !onPath(command));
  const names = lacking().map(({ name }) => name);
  if (names.length === 0) return [];
  if (process.getuid?.() === 0 && onPath('apt-get')) {
    console.log(`Installing ${names.join(', ')} …`);
    const quiet = {
      stdio: ['ignore', 'ignore', 'inherit'],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    };
    spawnSync('apt-get', ['update', '-qq'], quiet);
    spawnSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...names], quiet);
  }
  return lacking().map(({ name }) => name);
}

export function onPath(command) {
  return spawnSync('sh', ['-c', `command -v ${command}`]).status === 0;
}

/** Runs a command in the project's folder and throws where it fails. */
export function run(command, args, options = {}) {
  execFileSync(command, args, { cwd: ROOT, stdio: 'inherit', ...options });
}
