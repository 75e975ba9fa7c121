// Editors for the tests, installed beside the project and not among its packages: they are large, and nothing needs
// them but the tests and, where no desktop editor is found, `npm start`.
import { existsSync, mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { mustBeAllowed, ROOT, run, SetUpError } from './prepare.mjs';

export const QUIET_INSTALL = ['--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error'];

/**
 * Installs a package once in a folder of its own and gives where the package lies. It is made beside its place, where
 * `finish` completes it, and moved there when whole, so that an interrupted installation is begun anew.
 */
export function installBeside(name, version, what, finish = () => {}) {
  const home = join(ROOT, '.vscode-test', `${name}-${version}`);
  const packageIn = (folder) => join(folder, 'node_modules', name);
  if (existsSync(home)) return packageIn(home);
  const command = `npm install ${QUIET_INSTALL.join(' ')} ${name}@${version}`;
  mustBeAllowed(`${what} (${name} ${version})`, 'the same without COUNTERSUM_NO_INSTALL');
  console.log(`Installing ${what} (${name} ${version}) into .vscode-test (COUNTERSUM_NO_INSTALL=1 prevents it) …`);
  const making = `${home}.part`;
  rmSync(making, { recursive: true, force: true });
  mkdirSync(making, { recursive: true });
  writeFileSync(join(making, 'package.json'), '{ "private": true }\n');
  try {
    run('npm', ['install', ...QUIET_INSTALL, `${name}@${version}`], {
      cwd: making,
      stdio: ['ignore', 'ignore', 'inherit'],
    });
    finish(packageIn(making));
  } catch (error) {
    throw new SetUpError(`${what} could not be installed (${command}): ${error.message}\nWhat it said is above.`);
  }
  renameSync(making, home);
  return packageIn(home);
}
