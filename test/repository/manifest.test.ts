import assert from 'node:assert/strict';
import { existsSync, readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { DIAGNOSTICS, type Diagnostic } from '../../shared-core/src/index.js';
import { sourcesBelow } from '../support/sources.js';

interface Manifest {
  readonly contributes?: {
    readonly commands?: readonly { readonly command: string; readonly title: string }[];
    readonly configuration?: Configuration | readonly Configuration[];
  };
}

interface Configuration {
  readonly properties: Readonly<Record<string, unknown>>;
}

const manifest = JSON.parse(readFileSync('package.json', 'utf8')) as Manifest;
const readTexts = (file: string) => JSON.parse(readFileSync(file, 'utf8')) as Readonly<Record<string, string>>;
const texts = readTexts('package.nls.json');
const readme = existsSync('README.md') ? readFileSync('README.md', 'utf8') : '';
const client = sourcesBelow('client/src')
  .map(({ text }) => text)
  .join('\n');

/** A text of the manifest, which stands in package.nls.json under a `%key%`. */
const textOf = (text: string) => text.replace(/^%(.*)%$/, (whole, key: string) => texts[key] ?? whole);
const sorted = (names: Iterable<string>) => [...new Set(names)].sort();

const commands = manifest.contributes?.commands ?? [];
const configuration = [manifest.contributes?.configuration ?? []].flat();
const settings = sorted(configuration.flatMap(({ properties }) => Object.keys(properties)));

/** What the first cells of the table under a heading of the README name: each `name` in them, or else their text. */
function tableUnder(heading: string): string[] {
  const [, section = ''] = readme.split(new RegExp(`^#+ ${heading}\\s*$`, 'm'));
  const [upToNext = ''] = section.split(/^#+ /m);
  const rows = upToNext.split('\n').filter((line) => line.startsWith('|'));
  const cells = rows.slice(2).map((row) => (row.split('|')[1] ?? '').trim());
  return sorted(cells.flatMap((cell) => cell.match(/(?<=`)[^`\s]+(?=`)/g) ?? [cell]));
}

describe('the manifest', () => {
  it('has its settings in the table under "Settings" of the README, and the table has no others', () => {
    assert.deepEqual(tableUnder('Settings'), settings);
  });

  it('has its commands in the table under "Commands" of the README by title, and the table has no others', () => {
    assert.deepEqual(tableUnder('Commands'), sorted(commands.map(({ title }) => textOf(title))));
  });

  it('declares the commands that the client registers for users, and no others', () => {
    const registered = [...client.matchAll(/registerCommand\(\s*'([^']+)'/g)].map(([, name]) => name ?? '');
    assert.deepEqual(
      sorted(commands.map(({ command }) => command)),
      sorted(registered.filter((name) => !name.includes('._'))),
    );
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

/** Names, which are the same in every language. */
const NAMES = ['Countersum', 'Intel HEX', 'S-record'];

/** Members of what the manifest contributes that the editor shows to people. */
const SHOWN =
  /^(?:title|shortTitle|name|(?:markdown)?(?:enum)?descriptions?|enumItemLabels|deprecationMessage|label|contents|aliases|altText)$/i;

function textsIn(node: unknown, shown = false): string[] {
  if (typeof node === 'string') return shown ? [node] : [];
  if (Array.isArray(node)) return node.flatMap((part) => textsIn(part, shown));
  if (typeof node !== 'object' || node === null) return [];
  return Object.entries(node).flatMap(([key, value]) => textsIn(value, SHOWN.test(key)));
}

describe('the diagnostics', () => {
  it('are the table under "Diagnostics" of the README, line by line', () => {
    const lines = Object.entries<Diagnostic>(DIAGNOSTICS).map(
      ([code, { severity, meaning }]) => `| \`${code}\` | ${severity} | ${meaning} |`,
    );
    const [, section = ''] = readme.split(/^## Diagnostics\s*$/m);
    const table = section.split(/^## /m)[0]?.trim();
    assert.equal(table, ['| code | severity | meaning |', '| --- | --- | --- |', ...lines].join('\n'));
  });
});
