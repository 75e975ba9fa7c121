// The files of the tests, and how they are bundled: each for itself, or many into one where that is quicker.
import { readdirSync } from 'node:fs';
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
  format: 'cjs',
  packages: 'external',
  plugins: [playedEditor],
  define: { OVERVIEW_SCRIPT: '""', NAMED_FORMS: await namedForms() },
});

/** The test files below `test`, by their paths from the root. */
export const testFiles = () =>
  readdirSync(join(ROOT, 'test'), { recursive: true })
    .map((name) => join('test', name).split(sep).join('/'))
    .filter((file) => file.endsWith('.test.ts'));

/** Bundles each of these files for itself, into `out/test`. */
export const bundleTests = async (entryPoints) =>
  build({ ...(await tests()), outdir: 'out/test', outbase: 'test', entryPoints });

/** Bundles these files into one, which starts in a fraction of the time. */
export const bundleTogether = async (files, outfile) =>
  build({
    ...(await tests()),
    outfile,
    // Imports for their effects alone are what the tests are, whatever the package says of its own modules.
    ignoreAnnotations: true,
    stdin: { contents: files.map((file) => `import './${file}';`).join('\n'), resolveDir: ROOT },
  });
