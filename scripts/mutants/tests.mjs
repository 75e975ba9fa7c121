// The tests against which mutants are tried, as one program: what they share is loaded once.
import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { build } from 'esbuild';

/** Tests that look at the repository, start editors, or only measure. */
const NOT_HERE = /^test[\\/](?:repository|otherEditors|scoring|editor|client|bench)[\\/]/;
/** Those of learning take long, and what they are about writes nothing. */
const LEARNING = /^test[\\/](?!cli[\\/]).*(?:learn|findOption|statistics)/i;

/** Those of some tests that load a file of a folder, or start a program: no other comes by what is in it. */
export async function thatReach(folder, files) {
  const { metafile } = await build({ ...SHARED, entryPoints: files, outdir: 'out', metafile: true });
  const loads = new Map(
    Object.values(metafile.outputs).map(({ entryPoint, inputs }) => [entryPoint, Object.keys(inputs)]),
  );
  const reaches = (file) => {
    const loaded = loads.get(file.replaceAll('\\', '/')) ?? [];
    return (
      startsProgram(file) ||
      loaded.some((one) => one.startsWith(`${folder}/`) || (one.startsWith('test/') && startsProgram(one)))
    );
  };
  return files.filter(reaches);
}

/** The files of tests that are tried; those that start the command line, and those of learning, only where that is what is changed. */
export function testFiles({ withCommandLine, withLearning }, pattern) {
  return readdirSync('test', { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.test.ts'))
    .map((entry) => join(entry.parentPath, entry.name))
    .filter((file) => !NOT_HERE.test(file) && (pattern === undefined || pattern.test(file)))
    .filter((file) => withLearning || !LEARNING.test(file))
    .filter((file) => withCommandLine || !startsProgram(file))
    .sort();
}

function startsProgram(file) {
  return /\b(?:spawn|spawnSync|execFileSync)\(|support\/commandLine/.test(readFileSync(file, 'utf8'));
}

const SHARED = {
  bundle: true,
  platform: 'node',
  target: 'node20',
  format: 'cjs',
  packages: 'external',
  mainFields: ['module', 'main'],
  logLevel: 'error',
  write: false,
  // The package says that its files do nothing when they are loaded; tests do.
  ignoreAnnotations: true,
};

/** All tests as one text, with some sources in place of what is on the disk. */
export async function bundledTests(files, sources) {
  const contents = files.map((file) => `import ${JSON.stringify(`./${file.replaceAll('\\', '/')}`)};`).join('\n');
  const stdin = { contents, resolveDir: resolve('.'), loader: 'ts' };
  const { outputFiles } = await build({ ...SHARED, stdin, plugins: [inPlaceOf(sources)] });
  return outputFiles[0].text;
}

/** The command line as one text. */
export async function bundledCommandLine(sources) {
  const { outputFiles } = await build({
    ...SHARED,
    packages: 'bundle',
    entryPoints: ['server/src/cli/main.ts'],
    define: { COUNTERSUM_VERSION: JSON.stringify(JSON.parse(readFileSync('package.json', 'utf8')).version) },
    plugins: [inPlaceOf(sources)],
  });
  return outputFiles[0].text;
}

function inPlaceOf(sources) {
  return {
    name: 'mutants',
    setup: ({ onLoad }) => {
      onLoad({ filter: /\.ts$/ }, ({ path }) => {
        const contents = sources.get(path);
        return contents === undefined ? undefined : { contents, loader: 'ts' };
      });
    },
  };
}
