import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { COMMANDS } from '../../client/src/commands/table.js';
import { PAGES } from '../../client/src/pages/table.js';
import { FORMS } from '../../shared-core/src/format/index.js';
import { filesBelow, sourcesBelow } from '../support/sources.js';

interface Manifest {
  readonly contributes?: {
    readonly menus?: Readonly<Record<string, readonly { readonly command: string }[]>>;
    readonly views?: Readonly<Record<string, readonly { readonly id: string }[]>>;
    readonly configuration?: Configuration | readonly Configuration[];
  };
}

interface Configuration {
  readonly properties: Readonly<Record<string, unknown>>;
}

const manifest = JSON.parse(readFileSync('package.json', 'utf8')) as Manifest;
const readTexts = (file: string) => JSON.parse(readFileSync(file, 'utf8')) as Readonly<Record<string, string>>;
const texts = readTexts('package.nls.json');
const client = sourcesBelow('client/src');

const sorted = (names: Iterable<string>) => [...new Set(names)].sort();

const views = Object.values(manifest.contributes?.views ?? {}).flatMap((some) =>
  some.map(({ id }) => id.replace('countersum.', '')),
);

describe('the manifest', () => {
  it('says what the commands and pages of the client declare: else run "npm run manifest" and commit', () => {
    const { status, stderr } = spawnSync(process.execPath, ['scripts/manifest.mjs', '--check'], { encoding: 'utf8' });
    assert.equal(status, 0, stderr);
  });
});

describe('the commands of the client', () => {
  const ids = COMMANDS.map(({ id }) => id);

  it('stand in its table, each once, and nowhere else is one registered', () => {
    const written = client.flatMap(({ text }) => [...text.matchAll(/: Command = \{\s+id: '([^']+)'/g)]);
    assert.deepEqual(sorted(ids), sorted(written.map(([, id]) => id ?? '')));
    assert.equal(new Set(ids).size, ids.length);
    const registering = client.filter(({ text }) => text.includes('registerCommand('));
    assert.deepEqual(
      registering.map(({ path }) => path),
      ['client/src/command.ts'],
    );
  });

  it('are each run by a test of the client or of the editor', () => {
    const tests = [...filesBelow('test/client'), ...filesBelow('test/editor')]
      .map((file) => readFileSync(file, 'utf8'))
      .join('\n');
    const isRun = (id: string) => new RegExp(`(?:run\\(|\\bcountersum\\.)(['"]?)${id}\\b`).test(tests);
    assert.deepEqual(
      ids.filter((id) => !isRun(id)),
      [],
    );
  });

  it('are in the palette only where they are of use', () => {
    const everywhere = COMMANDS.filter(({ id, when, onlyInMenus }) => !id.startsWith('_') && !when && !onlyInMenus);
    assert.deepEqual(
      everywhere.map(({ id }) => id),
      ['bringIn', 'openAsDumpText', 'treatAsDump', 'showProfiles', 'openDemo'],
    );
    const { commandPalette = [] } = manifest.contributes?.menus ?? {};
    assert.deepEqual(
      commandPalette.map(({ command }) => command),
      COMMANDS.filter(({ onlyInMenus }) => onlyInMenus).map(({ id }) => `countersum.${id}`),
    );
  });

  it('are the ones to which welcome texts, the walkthrough and the server lead', () => {
    const leading = [JSON.stringify(manifest), ...Object.values(texts)].flatMap((text) => [
      ...text.matchAll(/(?:\]\(command:|onCommand:)countersum\.([\w.]+)/g),
    ]);
    const inServer = sourcesBelow('server/src').flatMap(({ text }) => [...text.matchAll(/'countersum\.(\w+)'/g)]);
    const known = [...ids, ...views.map((view) => `${view}.focus`)];
    const named = sorted([...leading, ...inServer].map(([, id]) => id ?? ''));
    assert.ok(named.length > 8);
    assert.deepEqual(
      named.filter((id) => !known.includes(id)),
      [],
    );
  });

  it('that find and name an option are at hand where a profile has none yet', () => {
    const buttons = [...(texts['welcome.empty'] ?? '').matchAll(/\]\(command:countersum\.(\w+)\)/g)].map(
      ([, id]) => id,
    );
    assert.deepEqual(buttons, ['findOption', 'newOption']);
  });

  it('are in the menu of a dump in groups: what changes it, what compares it, what shows and proves it', () => {
    const entries = COMMANDS.flatMap(({ id, menus = [] }) =>
      menus.filter(({ menu }) => menu === 'editor/context').map(({ group }) => ({ id, group })),
    ).sort((a, b) => (a.group < b.group ? -1 : 1));
    const inGroup = (name: string) => entries.filter(({ group }) => group.startsWith(`${name}@`)).map(({ id }) => id);
    const groups = ['1_countersum', '1_countersum2', '1_countersum3'];
    for (const id of ['setOption', 'correctChecksums', 'rebalance'])
      assert.ok(inGroup('1_countersum').includes(id), id);
    assert.deepEqual(inGroup('1_countersum2'), [
      'compareWithBackup',
      'compareWith',
      'takeLine',
      'restoreFromBackup',
      'makeBackup',
    ]);
    assert.deepEqual(inGroup('1_countersum3'), [
      'showByteOverview',
      'jobCard',
      'verifyReadBack',
      'vehicleRecord',
      'showInWords',
    ]);
    assert.deepEqual(groups.flatMap(inGroup).length, entries.length);
  });

  it('that need a backup or a profile are not offered where there is none', () => {
    const whenOf = (id: string) => COMMANDS.find((command) => command.id === id)?.when ?? '';
    for (const id of ['compareWithBackup', 'restoreFromBackup', 'jobCard'])
      assert.match(whenOf(id), /!countersum\.withoutBackup/, id);
    for (const id of ['setOption', 'rebalance']) assert.match(whenOf(id), /!countersum\.withoutProfile/, id);
    // A sealed backup opens read-only: its menu does not offer to change it.
    for (const id of ['setOption', 'correctChecksums', 'rebalance', 'restoreFromBackup', 'makeBackup'])
      assert.match(JSON.stringify(COMMANDS.find((one) => one.id === id)?.menus), /!activeEditorIsReadonly/, id);
  });

  it('go by conditions that the client sets', () => {
    const conditions = [...JSON.stringify(manifest.contributes).matchAll(/"(?:when|enablement)":"((?:[^"\\]|\\.)*)"/g)];
    const named = sorted(
      conditions.flatMap(([, when = '']) => [...when.matchAll(/\bcountersum\.(\w+)/g)].map(([, name]) => name ?? '')),
    );
    const set = client.flatMap(({ text }) => [...text.matchAll(/'setContext', 'countersum\.(\w+)'/g)]);
    assert.deepEqual(named, sorted([...set.map(([, name]) => name ?? ''), ...views]));
  });
});

describe('the pages of the client', () => {
  it('of which the manifest must know stand in its table', () => {
    const written = client.flatMap(({ text }) => [
      ...text.matchAll(/: Page<[^>]*> = \{\s*id: '([^']+)',\s*(?:returns|files):/g),
    ]);
    assert.deepEqual(sorted(PAGES.map(({ id }) => id)), sorted(written.map(([, id]) => id ?? '')));
  });
});

describe('the texts of the manifest', () => {
  const named = [...JSON.stringify(manifest).matchAll(/"%([^%"]+)%"/g)].map(([, key]) => key ?? '');

  it('all stand outside of it, as "%key%", so that they can be translated', () => {
    assert.deepEqual(
      textsIn(manifest.contributes).filter((text) => !NAMES.includes(text) && !/^%[^%]+%$/.test(text)),
      [],
    );
  });

  for (const file of ['package.nls.json', 'package.nls.de.json']) {
    it(`are each in ${file}, and it has no others`, () => {
      assert.deepEqual(sorted(Object.keys(readTexts(file))), sorted(named));
    });
  }

  it('keep in German what names a setting, a command or a file', () => {
    const german = readTexts('package.nls.de.json');
    const namesIn = (text = '') => sorted(text.match(/`[^`]+`|\]\([^)]+\)|\$\([^)]+\)/g) ?? []);
    for (const [key, text] of Object.entries(texts)) assert.deepEqual(namesIn(german[key]), namesIn(text), key);
  });
});

/** Names, which are the same in every language; the small one is that by which tasks ask for the problem matcher. */
const NAMES = ['Countersum', 'countersum', ...FORMS.map(({ title }) => title.pattern)];

/** Members of what the manifest contributes that the editor shows to people. */
const SHOWN =
  /^(?:title|shortTitle|name|(?:markdown)?(?:enum)?descriptions?|enumItemLabels|deprecationMessage|label|contents|aliases|altText)$/i;

function textsIn(node: unknown, shown = false): string[] {
  if (typeof node === 'string') return shown ? [node] : [];
  if (Array.isArray(node)) return node.flatMap((part) => textsIn(part, shown));
  if (typeof node !== 'object' || node === null) return [];
  return Object.entries(node).flatMap(([key, value]) => textsIn(value, SHOWN.test(key)));
}
