// What the sources declare as data: commands and pages of the client, written forms, diagnostics. package.json and the
// reference in docs are written from it.
import { build } from 'esbuild';
import { namedForms } from './namedForms.mjs';
import { ROOT } from './prepare.mjs';

/** Nothing of the editor is needed to read what is declared: whatever is asked of it gives the same again. */
const noEditor = {
  name: 'no editor',
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^vscode$/ }, () => ({ path: 'vscode', namespace: 'none' }));
    onLoad({ filter: /.*/, namespace: 'none' }, () => ({
      contents: 'const none = new Proxy(function () {}, { get: () => none }); module.exports = none;',
    }));
  },
};

/** The tables that the sources declare. */
export async function declared() {
  const tables = `
    export { COMMANDS } from './client/src/commands/table.js';
    export { PAGES } from './client/src/pages/table.js';
    export { FORMS } from './shared-core/src/format/forms.js';
    export { DIAGNOSTICS } from './shared-core/src/checks/diagnostics.js';`;
  const { outputFiles } = await build({
    stdin: { contents: tables, resolveDir: ROOT },
    bundle: true,
    write: false,
    format: 'cjs',
    platform: 'node',
    mainFields: ['module', 'main'],
    plugins: [noEditor],
    define: { NAMED_FORMS: await namedForms() },
  });
  const module = { exports: {} };
  new Function('module', 'exports', 'require', outputFiles[0].text)(module, module.exports, () => ({}));
  return module.exports;
}
