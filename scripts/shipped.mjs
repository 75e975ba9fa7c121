import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { ROOT } from './prepare.mjs';
import { keepSentencesOf } from './translate.mjs';

/** Says which files are part of the extension. */
export const IGNORE_FILE = '.vscodeignore';

/**
 * Lays out the extension as it would be once installed: what `.vscodeignore` lets through, and of the sentences those that
 * its bundles say.
 */
export async function layOut(target) {
  const { listFiles, PackageManager } = await import('@vscode/vsce');
  rmSync(target, { recursive: true, force: true });
  mkdirSync(target, { recursive: true });
  // The packager compares each file with each line, which takes ten seconds for the whole project with the editors of
  // the tests; so it chooses only among what is at the top and in the folders that the lines name.
  const folders = namedFolders();
  for (const entry of readdirSync(ROOT, { withFileTypes: true })) {
    if (entry.isFile() || folders.has(entry.name))
      cpSync(join(ROOT, entry.name), join(target, entry.name), { recursive: true });
  }
  const shipped = new Set(await listFiles({ cwd: target, packageManager: PackageManager.None }));
  for (const entry of readdirSync(target, { withFileTypes: true, recursive: true })) {
    const file = join(entry.parentPath, entry.name);
    if (entry.isFile() && !shipped.has(relative(target, file).replaceAll(sep, '/'))) rmSync(file);
  }
  keepSentencesOf(['client.js', 'server.code.js'], target);
  for (const name of shipped) if (/^(?:package\.|syntaxes\/).*json$/.test(name)) writeForEditors(join(target, name));
}

/** What only who builds the extension reads of its manifest. */
const OF_BUILDING = ['scripts', 'devDependencies', 'files', 'bin', 'private'];

/** Writes a manifest, its texts or a grammar as editors read it: without spaces, and without what is for building. */
function writeForEditors(file) {
  const all = Object.entries(JSON.parse(readFileSync(file, 'utf8')));
  writeFileSync(file, JSON.stringify(Object.fromEntries(all.filter(([key]) => !OF_BUILDING.includes(key)))));
}

/** The folders at the top in which lines of `.vscodeignore` name files that are let through. */
function namedFolders() {
  const named = readFileSync(join(ROOT, IGNORE_FILE), 'utf8').match(/(?<=^!)[^/\n]+(?=\/)/gm);
  return new Set(named);
}
