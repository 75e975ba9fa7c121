// The schemas and snippets in other languages than English: same keys and forms, other words for people.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT } from './prepare.mjs';

const FILES = ['dump-profile.schema', 'retrofit.schema', 'cfgdump.snippets', 'profile.snippets'];

/** Keys whose values people read. */
const FOR_PEOPLE = ['title', 'description', 'label', 'enumDescriptions'];

/** Keys below which nothing is for people: what a snippet puts in. */
const INSERTED = ['body', 'default'];

/** Writes dist/syntaxes/<name>.<language>.json by the table l10n/syntaxes.<language>.json, from English to that language. */
export function translateSyntaxes(language = 'de') {
  const read = (name) => JSON.parse(readFileSync(join(ROOT, 'syntaxes', `${name}.json`), 'utf8'));
  const texts = JSON.parse(readFileSync(join(ROOT, 'l10n', `syntaxes.${language}.json`), 'utf8'));
  mkdirSync(join(ROOT, 'dist/syntaxes'), { recursive: true });
  for (const name of FILES)
    writeFileSync(
      join(ROOT, 'dist/syntaxes', `${name}.${language}.json`),
      JSON.stringify(translated(read(name), texts)),
    );
}

function translated(value, texts, key = '') {
  if (INSERTED.includes(key)) return value;
  if (typeof value === 'string') return FOR_PEOPLE.includes(key) ? (texts[value] ?? value) : value;
  if (Array.isArray(value)) return value.map((one) => translated(one, texts, key));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, translated(one, texts, name)]));
}
