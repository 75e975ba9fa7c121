import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, sep } from 'node:path';

/** A source file of this project: its path from the top, with slashes, and its text. */
export interface Source {
  readonly path: string;
  readonly text: string;
}

/** Where a file imports from: a path from the top for a file of this project, else the package's name. */
export interface Import {
  readonly from: string;
  readonly ours: boolean;
}

/** What the tools make or bring, as against what is written by hand. */
const MADE = new Set(['node_modules', 'dist', 'out', '.git', '.vscode-test']);

/** Every file below a folder that is written by hand. The tests run with the project's top as working folder. */
export function filesBelow(folder: string): readonly string[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = folder === '.' ? entry.name : `${folder}/${entry.name}`;
    if (MADE.has(entry.name)) return [];
    return entry.isDirectory() ? filesBelow(path) : entry.isFile() ? [path] : [];
  });
}

/** Every TypeScript source below a folder. */
export function sourcesBelow(folder: string): readonly Source[] {
  return filesBelow(folder)
    .filter((path) => path.endsWith('.ts'))
    .map((path) => ({ path, text: readFileSync(path, 'utf8') }));
}

/** All imports and re-exports of a source, those of types and those made while running included. */
export function importsOf({ path, text }: Source): readonly Import[] {
  const found = text.matchAll(
    /^(?:import|export)\b[^'"`;]*?\bfrom\s*['"]([^'"]+)['"]|\bimport\(?\s*['"]([^'"]+)['"]/gm,
  );
  return [...found].map(([, named, bare]) => {
    const target = named ?? bare ?? '';
    if (!target.startsWith('.')) return { from: target, ours: false };
    const from = normalize(join(dirname(path), target))
      .split(sep)
      .join('/')
      .replace(/\.js$/, '.ts');
    return { from, ours: true };
  });
}

/** "who imports what" for each import that breaks a rule: what a failing test shows. */
export function importsThat(sources: readonly Source[], broken: (found: Import, source: Source) => boolean): string[] {
  return sources.flatMap((source) =>
    importsOf(source)
      .filter((found) => broken(found, source))
      .map(({ from }) => `${source.path} imports ${from}`),
  );
}
