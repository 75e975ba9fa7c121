// npm run package: the extension as a file that any VS Code installs, the command line as one that npm installs, and
// the bill of what others wrote in them.
import { mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { pathToFileURL } from 'node:url';
import { bundledBill } from './bundled.mjs';
import { installServer } from './editorServer.mjs';
import { installPackages, installPrograms, onPath, output, PROGRAMS, ROOT, run } from './prepare.mjs';
import { IGNORE_FILE, layOut } from './shipped.mjs';

/** The most bytes that the extension and the command line may have. */
const LIMITS = { vsix: 700_000, tgz: 1_000_000 };

/** Builds and packs all that is given away, and shows that it is small and works where it is installed. */
export async function packageAll() {
  run(process.execPath, ['scripts/build.mjs', '--production']);
  const bundled = JSON.parse(readFileSync(join(ROOT, 'dist/bundled.json'), 'utf8'));
  const { name, version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
  const fileOf = (ending) => join(ROOT, `${name}-${version}.${ending}`);
  await packExtension(fileOf('vsix'));
  installs(fileOf('vsix'), `${name}.${name}-${version}`);
  packCommandLine(fileOf('tgz'));
  checksOffline(fileOf('tgz'));
  const bill = JSON.parse(output('npm', ['sbom', '--sbom-format=cyclonedx', '--package-lock-only']));
  writeFileSync(fileOf('cdx.json'), `${JSON.stringify(bundledBill(bill, bundled), null, 2)}\n`);
  for (const [ending, limit] of Object.entries(LIMITS)) {
    const file = fileOf(ending);
    const { size } = statSync(file);
    if (size >= limit) throw new Error(`${file} has ${size} bytes; it must stay below ${limit}.`);
    console.log(`${relative(ROOT, file)}: ${Math.round(size / 1000)} kB, and it installs.`);
  }
  console.log(`${relative(ROOT, fileOf('cdx.json'))}: ${bundled.length} packages of others are bundled.`);
}

async function packExtension(packagePath) {
  const { createVSIX } = await import('@vscode/vsce');
  const cwd = join(ROOT, '.vscode-test', 'extension');
  await layOut(cwd);
  const options = { allowMissingRepository: true, rewriteRelativeLinks: false, ignoreFile: join(ROOT, IGNORE_FILE) };
  await createVSIX({ cwd, packagePath, dependencies: false, ...options });
  packAgain('advzip', packagePath);
}

/** The same content in a twenty-fifth less, as Zopfli packs it; without the program the package is only larger. */
function packAgain(program, file) {
  if (onPath(program)) output(program, ['--recompress', '-4', file]);
}

function packCommandLine(file) {
  rmSync(file, { force: true });
  output('npm', ['pack', '--ignore-scripts', '--silent']);
  packAgain('advdef', file);
}

/** Installs the command line into an empty folder without a network, and checks a demo with it from there. */
function checksOffline(file) {
  const folder = join(ROOT, '.vscode-test', 'npm');
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  output('npm', ['install', '--offline', '--no-audit', '--no-fund', '--prefix', folder, file], folder);
  const dump = join(ROOT, 'examples/seat-heater/seat.as-found.bin');
  const said = output('npx', ['--offline', 'countersum', 'check', dump], folder);
  if (!said.includes('all good')) throw new Error(`npx countersum check ${dump} said: ${said}`);
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
  installPrograms([PROGRAMS.advancecomp]);
  await packageAll();
}
