// Schemas, snippets and pictures in other languages than English: same keys and forms, other words for people.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT } from './prepare.mjs';

const FILES = ['dump-profile.schema', 'retrofit.schema', 'cfgdump.snippets', 'profile.snippets'];

/** Keys whose values people read. */
const FOR_PEOPLE = ['title', 'description', 'label', 'enumDescriptions'];

/** Keys below which nothing is for people: what a snippet puts in. */
const INSERTED = ['body', 'default'];

/** Pictures with words in them. */
const PICTURES = ['option', 'own', 'wrong'];

/** Writes each of these files as <name>.<language> below dist, by the table l10n/files.<language>.json from English to that language. */
export function translateFiles(language = 'de') {
  const read = (name) => JSON.parse(readFileSync(join(ROOT, 'syntaxes', `${name}.json`), 'utf8'));
  const texts = JSON.parse(readFileSync(join(ROOT, 'l10n', `files.${language}.json`), 'utf8'));
  const write = (file, text) => writeFileSync(join(ROOT, 'dist', file), text);
  mkdirSync(join(ROOT, 'dist/syntaxes'), { recursive: true });
  for (const name of FILES) write(`syntaxes/${name}.${language}.json`, JSON.stringify(translated(read(name), texts)));
  mkdirSync(join(ROOT, 'dist/walkthrough'), { recursive: true });
  for (const name of PICTURES) {
    const svg = readFileSync(join(ROOT, 'media/walkthrough', `${name}.svg`), 'utf8');
    write(`walkthrough/${name}.${language}.svg`, inPicture(svg, texts));
  }
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
