// npm run docs: the pages of docs/reference, from what the sources, the manifest and the schema of profiles declare. With
// --check it writes nothing, and fails where they differ from what is committed. The command line must be built.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { declared } from './declared.mjs';
import { ROOT } from './prepare.mjs';

const FOLDER = join(ROOT, 'docs/reference');

const jsonOf = (name) => JSON.parse(readFileSync(join(ROOT, name), 'utf8'));

/** Text for a cell: a bar would end it. */
const cell = (text) => text.replaceAll('|', '\\|').replaceAll('\n', ' ');

function table(heads, rows) {
  const line = (cells) => `| ${cells.map(cell).join(' | ')} |`;
  return [line(heads), line(heads.map(() => '---')), ...rows.map(line)].join('\n');
}

function page(title, ...parts) {
  return [`# ${title}`, ...parts, '_This page is written by `npm run docs`._', ''].join('\n\n');
}

function commandsPage(commands) {
  const rows = commands.filter(({ id }) => !id.startsWith('_')).map(({ title, does }) => [title, does]);
  return page('Commands of the editor', table(['command', 'does'], rows));
}

function settingsPage() {
  const texts = jsonOf('package.nls.json');
  const { properties } = jsonOf('package.json').contributes.configuration;
  const said = (text = '') => texts[text.slice(1, -1)] ?? text;
  const rows = Object.entries(properties).map(([name, one]) => [
    `\`${name}\``,
    said(one.markdownDescription ?? one.description),
    `\`${JSON.stringify(one.default)}\``,
    (one.enum ?? []).map((value) => `\`${value}\``).join(' '),
  ]);
  return page('Settings', table(['setting', 'chooses', 'default', 'values'], rows));
}

function diagnosticsPage(diagnostics) {
  const rows = Object.entries(diagnostics).map(([code, { severity, meaning }]) => [`\`${code}\``, severity, meaning]);
  return page(
    'Diagnostics',
    'What the list of problems and `countersum check` name, by its code.',
    table(['code', 'severity', 'meaning'], rows),
  );
}

function formsPage(forms) {
  const rows = forms.map(({ id, about, endings, keeps, headers }) => [
    `\`${id}\``,
    about,
    endings.map((one) => `\`.${one}\``).join(' '),
    keeps.addresses ? (keeps.gaps === false ? 'without gaps' : 'any') : 'from 0 on',
    keeps.comments ? 'yes' : 'no',
    headers === 'none' ? 'in a file beside' : headers === 'own' ? 'in lines of their own' : 'behind a comment sign',
  ]);
  rows.push(['`binary`', 'Raw bytes.', 'any', 'from 0 or `--offset` on', 'no', 'in a file beside']);
  return page(
    'Written forms',
    'Each is read, changed and written. [Bring in a dump](../how-to/bring-in-a-dump.md) says how a form is recognised.',
    table(['form', 'what it is', 'endings', 'addresses', 'comments kept by conversions', 'headers'], rows),
  );
}

function commandLinePage() {
  const help = (...args) => {
    const { stdout, status } = spawnSync(process.execPath, [join(ROOT, 'dist/cli.js'), ...args, '--help'], {
      encoding: 'utf8',
      env: { PATH: process.env.PATH, LC_ALL: 'C' },
    });
    if (status !== 0) throw new Error('The command line is not built: node scripts/build.mjs');
    return stdout.trimEnd();
  };
  const all = help();
  const names = [...all.matchAll(/^ {2}countersum ([a-z][a-z-]*(?: [a-z]+)?)/gm)].map(([, name]) => name);
  const block = (text) => `\`\`\`text\n${text}\n\`\`\``;
  return page('Command line', block(all), ...names.map((name) => `## ${name}\n\n${block(help(...name.split(' ')))}`));
}

/** The keys of profiles, each with what the schema says of it. */
function profilePage() {
  const schema = jsonOf('syntaxes/dump-profile.schema.json');
  const resolved = (one) => {
    // Where a value may be one thing or a list of them, the keys are those of one.
    const parts = [
      one,
      ...(one.allOf ?? []),
      ...(one.anyOf?.[0].$ref === undefined ? [] : [{ $ref: one.anyOf[0].$ref }]),
    ];
    const refs = parts.map(({ $ref }) => $ref && schema.definitions[$ref.split('/').at(-1)]).filter(Boolean);
    return Object.assign({}, ...refs.map(resolved), ...parts);
  };
  const keys = (one, path) =>
    Object.entries(one.properties ?? {}).flatMap(([name, raw]) => {
      if (name === 'note' && path !== '') return [];
      const value = resolved(raw);
      const here = path === '' ? name : `${path}.${name}`;
      const inside = value.items ? resolved(value.items) : value;
      const below = path.split('.').length < 2 ? keys(inside, value.items ? `${here}[]` : here) : [];
      return [[`\`${here}\``, value.description ?? ''], ...below];
    });
  return page(
    'Keys of a profile',
    'Numbers may be written as `"0x…"`; comments are allowed. A profile with any problem is for reading only.',
    table(['key', 'meaning'], keys(schema.else, '')),
  );
}

const { COMMANDS, FORMS, DIAGNOSTICS } = await declared();
const PAGES = {
  'commands.md': commandsPage(COMMANDS),
  'settings.md': settingsPage(),
  'diagnostics.md': diagnosticsPage(DIAGNOSTICS),
  'written-forms.md': formsPage(FORMS),
  'command-line.md': commandLinePage(),
  'profile.md': profilePage(),
};

mkdirSync(FOLDER, { recursive: true });
const differing = Object.entries(PAGES).filter(([name, text]) => {
  const file = join(FOLDER, name);
  return !existsSync(file) || readFileSync(file, 'utf8') !== text;
});
if (!process.argv.includes('--check')) {
  for (const [name, text] of differing) writeFileSync(join(FOLDER, name), text);
} else if (differing.length > 0) {
  const names = differing.map(([name]) => name).join(', ');
  console.error(`docs/reference: ${names} are not as the sources declare them. Run "npm run docs" and commit.`);
  process.exitCode = 1;
}
