// Bundles what ships into dist/ (client, server, command line) and, with --tests, every test file into out/test/.
import { readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';

const withTests = process.argv.includes('--tests');
const shared = {
  bundle: true,
  target: 'node20',
  platform: 'node',
  sourcemap: true,
  // jsonc-parser's "main" is a UMD file that bundlers cannot follow; its "module" is plain.
  mainFields: ['module', 'main'],
  logLevel: 'warning',
};

const shipped = {
  ...shared,
  format: 'cjs',
  minify: true,
  sourcemap: !process.argv.includes('--production'),
  external: ['vscode'],
  outdir: 'dist',
  entryPoints: { client: 'client/src/main.ts', server: 'server/src/main.ts', cli: 'server/src/cli/main.ts' },
};

const tests = {
  ...shared,
  format: 'cjs',
  packages: 'external',
  external: ['vscode'],
  outdir: 'out/test',
  outbase: 'test',
  entryPoints: withTests ? testFiles('test') : [],
};

if (withTests) rmSync('out/test', { recursive: true, force: true });
await Promise.all([build(shipped), ...(withTests ? [build(tests)] : [])]);

function testFiles(folder) {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter(
      (entry) =>
        entry.isFile() &&
        (entry.name.endsWith('.test.ts') || entry.parentPath === 'test/editor') &&
        entry.name.endsWith('.ts'),
    )
    .map((entry) => join(entry.parentPath, entry.name));
}
