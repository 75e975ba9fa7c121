// What the commands of the README need before they can do anything: the project's packages and programs of the system.
// Imports nothing but Node itself, for it runs before any package is there.
import { execFileSync, spawnSync } from 'node:child_process';
import { accessSync, constants, existsSync, lstatSync, readFileSync } from 'node:fs';
import { delimiter, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = resolve(fileURLToPath(new URL('..', import.meta.url)));

const WINDOWS = process.platform === 'win32';

/** Programs that some tests and scripts work with, each with its Debian package and what it is for. */
export const PROGRAMS = {
  browser: { commands: ['chromium', 'chromium-browser', 'google-chrome'], debian: 'chromium', use: 'the real editor' },
  ripgrep: { commands: ['rg'], debian: 'ripgrep', use: 'finding files by name in the VS Code server' },
  srecord: { commands: ['srec_cat'], debian: 'srecord', use: 'sums and hex files beside our own' },
  advancecomp: { commands: ['advzip'], debian: 'advancecomp', use: 'packages as small as can be' },
  webp: { commands: ['cwebp'], debian: 'webp', use: 'pictures of the documents' },
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

/** With COUNTERSUM_NO_INSTALL set, nothing is installed: what is missing is named. */
const MAY_INSTALL = (process.env.COUNTERSUM_NO_INSTALL ?? '') === '';
const PREVENT = 'COUNTERSUM_NO_INSTALL=1 prevents it';

/** Thrown where something is missing that nothing works without; its message says what to type. */
export class SetUpError extends Error {}

/** Fails with what to type, where nothing may be installed. */
export function mustBeAllowed(what, command) {
  if (!MAY_INSTALL)
    throw new SetUpError(`${what} is missing, and COUNTERSUM_NO_INSTALL forbids to install it. Type: ${command}`);
}

/** Does something and ends the process with what to do where the set-up failed. */
export async function orSayWhatToDo(work) {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof SetUpError)) throw error;
    console.error(error.message);
    process.exit(1);
  }
}

const INSTALL = ['ci', '--ignore-scripts', '--no-audit', '--no-fund'];

/** Installs the project's packages where they are missing or not those of the lock file. */
export function installPackages() {
  const folder = join(ROOT, 'node_modules');
  if (packagesAreRight(folder)) return;
  if (lstatSync(folder, { throwIfNoEntry: false })?.isSymbolicLink()) {
    console.log('node_modules is a link and does not hold what package-lock.json asks for; it is left as it is.');
    return;
  }
  const command = `npm ${INSTALL.join(' ')}`;
  mustBeAllowed('What package-lock.json asks for', command);
  console.log(`Installing what package-lock.json asks for into node_modules (${PREVENT}) …`);
  try {
    run('npm', INSTALL);
  } catch {
    throw new SetUpError(`That failed, for the reason above. Once it is out of the way, type: ${command}`);
  }
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

/** Installs missing programs, where that is allowed, and says what to do about those that are still missing. */
export function installPrograms(programs) {
  const missing = () => programs.filter((program) => !isThere(program));
  if (missing().length === 0) return;
  if (MAY_INSTALL && process.getuid?.() === 0 && onPath('apt-get')) {
    const names = missing().map(({ debian, use }) => `${debian} (${use})`);
    console.log(`Installing packages of the system with apt-get, ${PREVENT}: ${names.join(', ')} …`);
    apt('update', '-qq');
    // One after the other, as what one brings may make another unnecessary.
    for (const program of programs)
      if (!isThere(program)) apt('install', '-y', '-qq', '--no-install-recommends', program.debian);
  }
  for (const { commands, ...program } of missing()) console.log(adviceFor(commands[0], program));
}

/** Runs apt-get, and shows what it said where it failed. */
function apt(...args) {
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  const { status, stdout, stderr, error } = spawnSync('apt-get', args, { env, encoding: 'utf8' });
  if (status === 0) return;
  console.log(`apt-get ${args.join(' ')} failed:`);
  console.log([error?.message, stdout, stderr].filter(Boolean).join('\n').trimEnd());
}

function adviceFor(command, { debian, use }) {
  return `Missing: ${command} (${use}). On Debian or Ubuntu: sudo apt-get install ${debian}`;
}

/** What to do about a program that a test needs and that is not there. */
export function whatToDo(command) {
  const program = Object.values(PROGRAMS).find(({ commands }) => commands.includes(command));
  return program === undefined ? `Missing: ${command}` : adviceFor(command, program);
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

/** Runs a command and gives what it printed; what it said goes into the error where it failed. */
export function output(command, args, cwd = ROOT) {
  const options = { cwd, encoding: 'utf8', maxBuffer: 2 ** 26, shell: WINDOWS };
  const { status, stdout, stderr } = spawnSync(command, args, options);
  if (status !== 0) throw new Error(`${command} ${args.join(' ')} failed: ${stdout}${stderr}`);
  return stdout;
}
