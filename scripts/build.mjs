// Bundles what ships into dist/ (client, server, command line) and, with --tests, every test file into out/test/.
import { spawnSync } from 'node:child_process';
import { chmodSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { bundledPackages, notices } from './bundled.mjs';
import { namedForms } from './namedForms.mjs';
import { bundleTests, SHARED, testFiles } from './testBundle.mjs';
import { translateFiles } from './translate.mjs';

const withTests = process.argv.includes('--tests');
const isProduction = process.argv.includes('--production');
const NAMED_FORMS = await namedForms();

/** Scripts of pages are put into the client as text: a page loads nothing. */
const inPages = await build({
  ...SHARED,
  platform: 'browser',
  target: 'es2022',
  format: 'iife',
  minify: true,
  sourcemap: false,
  write: false,
  entryPoints: ['client/src/pages/inPage/byteOverview.ts'],
});

const shipped = {
  ...SHARED,
  format: 'cjs',
  minify: true,
  sourcemap: !isProduction,
  external: ['vscode'],
  metafile: true,
  // Client and server are one bundle each, for editors with Node.js and in a browser: what only one of them runs is
  // imported when it starts, and each part of the protocol's packages is exported under its own condition.
  conditions: ['module', 'browser'],
  plugins: [supportedByManifest()],
  define: {
    NAMED_FORMS,
    OVERVIEW_SCRIPT: JSON.stringify(inPages.outputFiles[0].text),
    COUNTERSUM_VERSION: JSON.stringify(JSON.parse(readFileSync('package.json', 'utf8')).version),
  },
  outdir: 'dist',
  entryPoints: {
    client: 'client/src/activate.ts',
    server: 'server/src/codeCache.ts',
    cli: 'server/src/codeCache.ts',
  },
};

/**
 * What the loader runs: functions of what modules have, so that it has nothing to put around them, also as modules that export
 * them. In a worker of a browser nobody loads: there the server's function calls itself.
 */
const loaded = {
  ...shipped,
  plugins: [onFirstUse(['child_process', 'crypto', 'fs/promises', 'net', 'os', 'tty'])],
  banner: {
    js: '("importScripts"in globalThis?f=>f({},undefined,{}):"undefined"==typeof module?f=>f:f=>module.exports=f)(function(exports,require,module,__filename,__dirname){',
  },
  footer: { js: '})' },
  entryPoints: { 'server.code': 'server/src/main.ts', 'cli.code': 'server/src/cli/main.ts' },
};

const built = await Promise.all([
  build(shipped),
  build(loaded),
  ...(withTests ? [bundleTests([...testFiles(), 'test/editor/index.ts'])] : []),
]);
const bundled = bundledPackages(built.slice(0, 2).map(({ metafile }) => metafile));
writeFileSync('dist/bundled.json', JSON.stringify(bundled.map(({ name, version }) => ({ name, version }))));
writeFileSync('dist/NOTICES.txt', notices(bundled));
if (isProduction) for (const code of ['client', 'server.code', 'cli.code']) await renameLocals(`dist/${code}.js`);
for (const code of ['dist/server.code.js', 'dist/cli.code.js']) {
  const [wide] = readFileSync(code, 'utf8').match(/.{0,20}[^\0-\x7f].{0,20}/) ?? [];
  if (wide !== undefined) throw new Error(`${code} must be plain ASCII, which the loader reads: …${wide}…`);
}
translateFiles();
// As npm does to the programs of a package, so that they can be called by name from here as well.
chmodSync('dist/cli.js', 0o755);
rehearse();

/** Loads parts of Node.js when something of them is first used: most runs need none of them, and each takes its time at the start. */
function onFirstUse(parts) {
  const [name, namespace] = ['parts of Node.js on first use', 'on-first-use'];
  const onlyNeeded = ({ path }) => {
    const getters = Object.keys(createRequire(import.meta.url)(path)).map(
      (key) => `get ${key}() { return require('${path}').${key}; }`,
    );
    return { contents: `module.exports = {${getters.join()}}` };
  };
  return {
    name,
    setup({ onResolve, onLoad }) {
      onResolve({ filter: new RegExp(`^(node:)?(${parts.join('|')})$`) }, ({ path, ...from }) =>
        from.namespace === namespace
          ? { path, external: true }
          : { path: `node:${path.replace('node:', '')}`, namespace },
      );
      onLoad({ filter: /./, namespace }, onlyNeeded);
    },
  };
}

/** The language client asks for the same version of the editor as the manifest, by which the editor does not install what is too new for it. */
function supportedByManifest() {
  const [name, namespace] = ['versions are for the manifest', 'versions'];
  const contents = 'module.exports = () => ({ prerelease: [] });';
  return {
    name,
    setup({ onResolve, onLoad }) {
      onResolve({ filter: /^semver\/functions\/(parse|satisfies)$/ }, ({ path }) => ({ path, namespace }));
      onLoad({ filter: /./, namespace }, () => ({ contents }));
    },
  };
}

/** Gives locals the same names in each function, which changes nothing else: packed, the code is a fifteenth smaller. */
async function renameLocals(file) {
  const { minify } = await import('@swc/core');
  const format = { asciiOnly: true, comments: false };
  const { code } = await minify(readFileSync(file, 'utf8'), { compress: false, mangle: true, ecma: 2022, format });
  writeFileSync(file, code);
}

/** Runs the server and the command line once over the demo, so that what V8 compiles of them is kept beside them. */
function rehearse() {
  const uri = pathToFileURL('examples/trailer-socket/rear-body.cfgdump').href;
  const text = readFileSync('examples/trailer-socket/rear-body.cfgdump', 'utf8');
  const textDocument = { uri };
  const capabilities = { textDocument: { diagnostic: {}, hover: { contentFormat: ['markdown'] } } };
  const session = [
    { id: 1, method: 'initialize', params: { processId: null, rootUri: null, capabilities } },
    { method: 'initialized', params: {} },
    { method: 'textDocument/didOpen', params: { textDocument: { uri, languageId: 'cfgdump', version: 1, text } } },
    { id: 2, method: 'textDocument/diagnostic', params: { textDocument } },
    { id: 3, method: 'textDocument/hover', params: { textDocument, position: { line: 12, character: 8 } } },
    { id: 4, method: 'shutdown' },
    { method: 'exit' },
  ].map((message) => {
    const json = JSON.stringify({ jsonrpc: '2.0', ...message });
    return `Content-Length: ${Buffer.byteLength(json)}\r\n\r\n${json}`;
  });
  for (const name of readdirSync('dist')) if (/\.cache$/.test(name)) rmSync(join('dist', name));
  spawnSync(process.execPath, ['dist/server.js', '--stdio'], { input: session.join('') });
  spawnSync(process.execPath, ['dist/cli.js', 'check', 'examples/trailer-socket']);
}
