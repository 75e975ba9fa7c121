// Schemas, snippets and pictures in each language: same keys and forms, other words for people; and the sentences as they are
// given away.
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { buildSync } from 'esbuild';
import { ROOT } from './prepare.mjs';

const FILES = ['dump-profile.schema', 'retrofit.schema', 'cfgdump.snippets', 'profile.snippets'];

/** Keys whose values people read. */
const FOR_PEOPLE = ['title', 'description', 'label', 'enumDescriptions'];

/** Keys below which nothing is for people: what a snippet puts in. */
const INSERTED = ['body', 'default'];

/** Pictures with words in them. */
const PICTURES = ['option', 'own', 'wrong'];

/**
 * Writes each of these files below dist: as it is without its spaces, and as <name>.<language> by the table
 * l10n/files.<language>.json from English to that language. With them the table of sentences.
 */
export function translateFiles(language = 'de') {
  const read = (name) => JSON.parse(readFileSync(join(ROOT, 'syntaxes', `${name}.json`), 'utf8'));
  const texts = JSON.parse(readFileSync(join(ROOT, 'l10n', `files.${language}.json`), 'utf8'));
  const write = (file, text) => writeFileSync(join(ROOT, 'dist', file), text);
  mkdirSync(join(ROOT, 'dist/syntaxes'), { recursive: true });
  for (const name of FILES) {
    write(`syntaxes/${name}.json`, JSON.stringify(read(name)));
    write(`syntaxes/${name}.${language}.json`, JSON.stringify(translated(read(name), texts)));
  }
  mkdirSync(join(ROOT, 'dist/l10n'), { recursive: true });
  write(`l10n/${tableName(language)}`, JSON.stringify(withShortKeys(sentences(language))));
  mkdirSync(join(ROOT, 'dist/walkthrough'), { recursive: true });
  for (const name of PICTURES) {
    const svg = readFileSync(join(ROOT, 'media/walkthrough', `${name}.svg`), 'utf8');
    write(`walkthrough/${name}.${language}.svg`, inPicture(svg, texts));
  }
}

/** Writes into a folder laid out like this one the table of only those sentences that some of the bundles in its `dist` say. */
export function keepSentencesOf(bundles, folder, language = 'de') {
  const isSaidBy = (names) => {
    const code = names.map((name) => unescaped(readFileSync(join(ROOT, 'dist', name), 'utf8'))).join('\n');
    return ([sentence]) => code.includes(sentence);
  };
  const all = Object.entries(sentences(language));
  // What is not even found among all bundles is written in them in a way that is not known here, and would be lost.
  const isSaid = isSaidBy(['client.js', 'server.code.js', 'cli.code.js']);
  const strange = all.find((entry) => !isSaid(entry));
  if (strange !== undefined) throw new Error(`No bundle says: ${strange[0]}`);
  const kept = Object.fromEntries(all.filter(isSaidBy(bundles)));
  writeFileSync(join(folder, 'dist/l10n', tableName(language)), JSON.stringify(withShortKeys(kept)));
}

function tableName(language) {
  return `bundle.l10n.${language}.json`;
}

function sentences(language) {
  return JSON.parse(readFileSync(join(ROOT, 'l10n', tableName(language)), 'utf8'));
}

/** Code in which each string stands as it is meant. */
function unescaped(code) {
  return code
    .replace(/\\x([\da-f]{2})|\\u([\da-f]{4})/gi, (_, two, four) =>
      String.fromCharCode(Number.parseInt(two ?? four, 16)),
    )
    .replaceAll('\\n', '\n')
    .replace(/\\(.)/g, '$1');
}

/** A sentence by what is short for it in English, but for those that the editor looks up by themselves for the client. */
function withShortKeys(sentences) {
  const { shortFor } = phrases();
  const lookedUp = lookedUpByTheEditor();
  const entries = Object.entries(sentences);
  const packed = new Map(entries.map(([key, words]) => [lookedUp.has(key) ? key : shortFor(key), words]));
  if (packed.size < entries.length) throw new Error('Two sentences have one short key: give `shortFor` another start.');
  return Object.fromEntries(packed);
}

function phrases() {
  const { outputFiles } = buildSync({
    absWorkingDir: ROOT,
    entryPoints: ['shared-core/src/base/phrase.ts'],
    ...{ bundle: true, write: false, format: 'cjs', platform: 'node' },
  });
  const module = { exports: {} };
  new Function('module', 'exports', outputFiles[0].text)(module, module.exports);
  return module.exports;
}

/** The first arguments of `l10n.t` in the client. */
function lookedUpByTheEditor() {
  const client = join(ROOT, 'client/src');
  const files = readdirSync(client, { recursive: true }).filter((name) => name.endsWith('.ts'));
  const texts = files.map((name) => readFileSync(join(client, name), 'utf8'));
  const literals = texts.flatMap((text) => [
    ...text.matchAll(/\bl10n\.t\(\s*('(?:[^'\\\n]|\\.)*'|"(?:[^"\\\n]|\\.)*")/g),
  ]);
  return new Set(literals.map(([, literal]) => new Function(`return ${literal}`)()));
}

/** The words of a picture stand between tags. */
function inPicture(svg, texts) {
  return svg.replace(/(?<=>)[^<>]+(?=<\/text>)/g, (words) => texts[words] ?? words);
}

function translated(value, texts, key = '') {
  if (INSERTED.includes(key)) return value;
  if (typeof value === 'string') return FOR_PEOPLE.includes(key) ? (texts[value] ?? value) : value;
  if (Array.isArray(value)) return value.map((one) => translated(one, texts, key));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, translated(one, texts, name)]));
}
