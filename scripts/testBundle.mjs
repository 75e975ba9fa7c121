// The files of the tests, and how they are bundled: each for itself, or many into one where that is quicker.
import { readdirSync, rmSync } from 'node:fs';
import { join, sep } from 'node:path';
import { build } from 'esbuild';
import { namedForms } from './namedForms.mjs';
import { ROOT } from './prepare.mjs';

/** How everything is bundled, tests and what ships. */
export const SHARED = {
  bundle: true,
  target: 'node20',
  platform: 'node',
  sourcemap: true,
  // jsonc-parser's "main" is a UMD file that bundlers cannot follow; its "module" is plain.
  mainFields: ['module', 'main'],
  logLevel: 'warning',
};

/** Tests of the client run without an editor: what it uses of one is played. */
const playedEditor = {
  name: 'played editor',
  setup({ onResolve }) {
    const played = join(ROOT, 'test/support/fakeEditor.ts');
    onResolve({ filter: /^vscode$/ }, ({ importer }) =>
      importer.startsWith(join(ROOT, 'client')) ? { path: played } : { path: 'vscode', external: true },
    );
  },
};

const tests = async () => ({
  ...SHARED,
  packages: 'external',
  plugins: [playedEditor],
  define: { OVERVIEW_SCRIPT: '""', NAMED_FORMS: await namedForms() },
});

/** The test files below `test`, by their paths from the root. */
export const testFiles = () =>
  readdirSync(join(ROOT, 'test'), { recursive: true })
    .map((name) => join('test', name).split(sep).join('/'))
    .filter((file) => file.endsWith('.test.ts'));

/**
 * Bundles each of these files into `out/test`; what several of them use is there once, so that it is read, and made fast by
 * V8, once. The suite of the real editor is loaded by that, which takes no modules.
 */
export async function bundleTests(entryPoints) {
  const inEditor = (file) => file.startsWith('test/editor/');
  const both = { ...(await tests()), outdir: 'out/test', outbase: 'test' };
  const modules = {
    format: 'esm',
    splitting: true,
    chunkNames: 'shared/[name]-[hash]',
    outExtension: { '.js': '.mjs' },
    define: { ...both.define, __dirname: 'import.meta.dirname' },
  };
  rmSync('out/test', { recursive: true, force: true });
  await Promise.all([
    build({ ...both, ...modules, entryPoints: entryPoints.filter((file) => !inEditor(file)) }),
    build({ ...both, format: 'cjs', entryPoints: entryPoints.filter(inEditor) }),
  ]);
}

/** Bundles these files into one, which starts in a fraction of the time. */
export const bundleTogether = async (files, outfile) =>
  build({
    ...(await tests()),
    format: 'cjs',
    outfile,
    // Imports for their effects alone are what the tests are, whatever the package says of its own modules.
    ignoreAnnotations: true,
    stdin: { contents: files.map((file) => `import './${file}';`).join('\n'), resolveDir: ROOT },
  });
