// npm run manifest: the parts of package.json that follow from the commands and pages of the client. With --check it
// writes nothing, and fails where they differ from what is committed.
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';
import { ROOT } from './prepare.mjs';

const FILE = join(ROOT, 'package.json');

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

/** The commands and pages as the client declares them. */
export async function declared() {
  const tables = `
    export { COMMANDS } from './client/src/commands/table.js';
    export { PAGES } from './client/src/pages/table.js';`;
  const { outputFiles } = await build({
    stdin: { contents: tables, resolveDir: ROOT },
    bundle: true,
    write: false,
    format: 'cjs',
    platform: 'node',
    mainFields: ['module', 'main'],
    plugins: [noEditor],
  });
  const module = { exports: {} };
  new Function('module', 'exports', 'require', outputFiles[0].text)(module, module.exports, () => ({}));
  return module.exports;
}

/** package.json with its generated parts as they should be. */
export function withDeclared(manifest, { COMMANDS, PAGES }) {
  const named = COMMANDS.filter(({ id }) => !id.startsWith('_'));
  const entriesOf = (menu) =>
    named.flatMap(({ id, menus = [] }) =>
      menus
        .filter((entry) => entry.menu === menu)
        .map(({ group, when }) => ({ command: `countersum.${id}`, when, group })),
    );
  const menus = [...new Set(named.flatMap((command) => (command.menus ?? []).map(({ menu }) => menu)))].sort();
  const hidden = named
    .filter(({ onlyInMenus }) => onlyInMenus)
    .map(({ id }) => ({ command: `countersum.${id}`, when: 'false' }));
  const others = manifest.activationEvents.filter((event) => !event.startsWith('onWebviewPanel:'));
  return {
    ...manifest,
    activationEvents: [
      ...others,
      ...PAGES.filter(({ returns }) => returns).map(({ id }) => `onWebviewPanel:countersum.${id}`),
    ],
    contributes: {
      ...manifest.contributes,
      commands: named.map(({ id, icon, when }) => ({
        command: `countersum.${id}`,
        title: `%command.${id}%`,
        category: 'Countersum',
        ...(icon && { icon: `$(${icon})` }),
        ...(when && { enablement: when }),
      })),
      customEditors: PAGES.filter(({ files }) => files).map(({ id, files }) => ({
        viewType: `countersum.${id}`,
        displayName: `%editor.${id}%`,
        selector: [{ filenamePattern: files }],
        priority: 'option',
      })),
      menus: { ...Object.fromEntries(menus.map((menu) => [menu, entriesOf(menu)])), commandPalette: hidden },
      keybindings: named.flatMap(({ id, key }) => (key ? [{ command: `countersum.${id}`, ...key }] : [])),
    },
  };
}

const before = readFileSync(FILE, 'utf8');
const after = `${JSON.stringify(withDeclared(JSON.parse(before), await declared()), null, 2)}\n`;
if (!process.argv.includes('--check')) writeFileSync(FILE, after);
else if (before !== after) {
  console.error(
    'package.json does not say what the commands and pages of client/src declare: run "npm run manifest" and commit.',
  );
  process.exitCode = 1;
}
