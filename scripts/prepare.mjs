// What the commands of the README need before they can do anything: the project's packages and programs of the system.
// Imports nothing but Node itself, for it runs before any package is there.
import { execFileSync, spawnSync } from 'node:child_process';
import { accessSync, constants, existsSync, lstatSync, readFileSync } from 'node:fs';
import { delimiter, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = resolve(fileURLToPath(new URL('..', import.meta.url)));

const WINDOWS = process.platform === 'win32';

/** Programs that some tests work with, each with its Debian package and what it is for. */
export const PROGRAMS = {
  browser: { commands: ['chromium', 'chromium-browser', 'google-chrome'], debian: 'chromium', use: 'the real editor' },
  ripgrep: { commands: ['rg'], debian: 'ripgrep', use: 'finding files by name in the VS Code server' },
  srecord: { commands: ['srec_cat'], debian: 'srecord', use: 'sums and hex files beside our own' },
  binutils: { commands: ['objcopy'], debian: 'binutils', use: 'hex files beside our own' },
  emacs: { commands: ['emacs'], debian: 'emacs-nox', use: 'the language server in another editor' },
  // Part of Emacs since its version 29.
  eglot: {
    commands: ['emacs'],
    works: ['--batch', '--eval', "(require 'eglot)"],
    debian: 'elpa-eglot',
    use: 'language servers in Emacs 28',
  },
  neovim: { commands: ['nvim'], debian: 'neovim', use: 'the language server in another editor' },
};

/** Installs the project's packages where they are missing or not those of the lock file. */
export function installPackages() {
  const folder = join(ROOT, 'node_modules');
  if (packagesAreRight(folder)) return;
  if (lstatSync(folder, { throwIfNoEntry: false })?.isSymbolicLink()) {
    console.log('node_modules is a link and does not hold what package-lock.json asks for; it is left as it is.');
    return;
  }
  console.log('Installing packages …');
  run('npm', ['ci', '--ignore-scripts', '--no-audit', '--no-fund']);
}

/** Whether each package of the lock file is there in its version; optional ones are for other machines. */
function packagesAreRight(folder) {
  const installed = join(folder, '.package-lock.json');
  if (!existsSync(installed)) return false;
  const packagesOf = (path) => JSON.parse(readFileSync(path, 'utf8')).packages;
  const have = packagesOf(installed);
  return Object.entries(packagesOf(join(ROOT, 'package-lock.json'))).every(
    ([path, { version, optional, devOptional }]) =>
      path === '' || have[path]?.version === version || ((optional || devOptional) && have[path] === undefined),
  );
}

/** Installs programs that lack, where that is allowed, and says what to do about those that still lack. */
export function installPrograms(programs = Object.values(PROGRAMS)) {
  const lacking = () => programs.filter((program) => !isThere(program));
  if (lacking().length === 0) return;
  if (process.getuid?.() === 0 && onPath('apt-get')) {
    console.log(
      `Installing ${lacking()
        .map(({ debian }) => debian)
        .join(', ')} …`,
    );
    const quiet = {
      stdio: ['ignore', 'ignore', 'inherit'],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    };
    spawnSync('apt-get', ['update', '-qq'], quiet);
    // One after the other, as what one brings may make another unnecessary.
    for (const program of programs)
      if (!isThere(program))
        spawnSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', program.debian], quiet);
  }
  for (const { commands, debian, use } of lacking())
    console.log(`Missing: ${commands[0]} (${use}). On Debian or Ubuntu: sudo apt-get install ${debian}`);
}

/** Whether one of the commands is there and, where that is not enough, works when it is called so. */
function isThere({ commands, works }) {
  const command = commands.find(onPath);
  return command !== undefined && (works === undefined || spawnSync(command, works).status === 0);
}

/** The full path of a command, as the shell would find it. */
export function find(command) {
  const endings = WINDOWS ? (process.env.PATHEXT ?? '.EXE;.CMD').split(';') : [''];
  return (process.env.PATH ?? '')
    .split(delimiter)
    .flatMap((folder) => endings.map((ending) => join(folder, command + ending)))
    .find(isProgram);
}

export function onPath(command) {
  return find(command) !== undefined;
}

function isProgram(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/** Runs a command in the project's folder and throws where it fails. */
export function run(command, args, options = {}) {
  // npm and the like are scripts on Windows, which only a shell starts.
  execFileSync(command, args, { cwd: ROOT, stdio: 'inherit', shell: WINDOWS, ...options });
}
