// npm run package: the extension as a file that any VS Code installs.
import { mkdirSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { join, relative } from 'node:path';
import { pathToFileURL } from 'node:url';
import { installServer } from './editorServer.mjs';
import { installPackages, ROOT, run } from './prepare.mjs';

const LIMIT = 1_000_000;

/** Builds and packs the extension, and shows that it is small and installs; gives where it lies. */
export async function packageExtension() {
  run(process.execPath, ['scripts/build.mjs', '--production']);
  const { name, version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
  const file = join(ROOT, `${name}-${version}.vsix`);
  const { createVSIX } = await import('@vscode/vsce');
  const options = { allowMissingRepository: true, rewriteRelativeLinks: false };
  await createVSIX({ cwd: ROOT, packagePath: file, dependencies: false, ...options });
  const { size } = statSync(file);
  if (size >= LIMIT) throw new Error(`${file} has ${size} bytes; it must stay below ${LIMIT}.`);
  installs(file, `${name}.${name}-${version}`);
  console.log(`${relative(ROOT, file)}: ${Math.round(size / 1000)} kB, and it installs.`);
  return file;
}

/** Installs the file into an empty VS Code server and looks whether it is there. */
function installs(file, folder) {
  const data = join(ROOT, '.vscode-test', 'package');
  rmSync(data, { recursive: true, force: true });
  mkdirSync(join(data, 'extensions'), { recursive: true });
  const places = [
    `--extensions-dir=${join(data, 'extensions')}`,
    `--server-data-dir=${data}`,
    `--user-data-dir=${data}`,
  ];
  const install = ['out/server-main.js', '--accept-server-license-terms', ...places, `--install-extension=${file}`];
  run(process.execPath, install, { cwd: installServer(), stdio: 'pipe' });
  const found = readdirSync(join(data, 'extensions'));
  if (!found.includes(folder)) throw new Error(`${file} did not install: the server holds ${found.join(', ')}.`);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  installPackages();
  await packageExtension();
}
