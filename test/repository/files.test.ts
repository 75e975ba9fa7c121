import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { describe, it } from 'mocha';

const read = (file: string): unknown => JSON.parse(readFileSync(file, 'utf8'));
const TEXTS = read('l10n/files.de.json') as Readonly<Record<string, string>>;

/** Walks a file and its translation side by side: each string with the keys that lead to it. */
function pairs(one: unknown, other: unknown, path: readonly string[] = []): [path: string, from: string, to: string][] {
  if (typeof one === 'string') {
    assert.equal(typeof other, 'string', path.join('.'));
    return [[path.join('.'), one, String(other)]];
  }
  if (typeof one !== 'object' || one === null) {
    assert.deepEqual(other, one, path.join('.'));
    return [];
  }
  const [here, there] = [one, other] as Readonly<Record<string, unknown>>[];
  assert.deepEqual(Object.keys(there ?? {}), Object.keys(here ?? {}), path.join('.'));
  return Object.entries(here ?? {}).flatMap(([key, value]) => pairs(value, there?.[key], [...path, key]));
}

describe('schemas, snippets and pictures', () => {
  const all = ['dump-profile.schema', 'retrofit.schema', 'cfgdump.snippets', 'profile.snippets'].flatMap((name) =>
    pairs(read(`syntaxes/${name}.json`), read(`dist/syntaxes/${name}.de.json`)),
  );
  const forPeople = all.filter(
    ([path]) =>
      /(?:^|\.)(?:title|description|label|enumDescriptions\.\d+)$/.test(path) && !/\b(?:body|default)\b/.test(path),
  );

  const wordsIn = (file: string) =>
    [...readFileSync(file, 'utf8').matchAll(/>([^<>]+)<\/text>/g)].map(([, words]) => words ?? '');
  const inPictures = ['option', 'own', 'wrong'].flatMap((name) => {
    const there = wordsIn(`dist/walkthrough/${name}.de.svg`);
    return wordsIn(`media/walkthrough/${name}.svg`).map((from, i) => [from, there[i] ?? ''] as const);
  });

  it('have sentences in pictures in German; names from the demo stay as its profile has them', () => {
    for (const [from, to] of inPictures) assert.equal(to, TEXTS[from] ?? from);
    // Three words and more, with no bytes among them, are a sentence of ours.
    const sentences = inPictures.filter(([from]) => /[a-z]+ [a-z]+ .*[a-z]{2}/.test(from) && from !== 'Rear fog lamp');
    assert.ok(sentences.length >= 5);
    for (const [from, to] of sentences) assert.notEqual(to, from);
  });

  it('say in German all that they say to people, and nothing else is changed', () => {
    assert.ok(forPeople.length > 100);
    for (const [path, from, to] of all)
      assert.equal(to, forPeople.some(([other]) => other === path) ? TEXTS[from] : from, `${path}: ${from}`);
  });

  it('have no translation that is no longer said', () => {
    const said = new Set([...forPeople.map(([, from]) => from), ...inPictures.map(([from]) => from)]);
    assert.deepEqual(
      Object.keys(TEXTS).filter((text) => !said.has(text)),
      [],
    );
  });

  it('are named in the texts of the manifest, for each language its own', () => {
    const manifest = readFileSync('package.json', 'utf8');
    for (const [file, folder, ending] of [
      ['package.nls.json', './dist/syntaxes/', '.json'],
      ['package.nls.de.json', './dist/syntaxes/', '.de.json'],
    ] as const) {
      const texts = read(file) as Readonly<Record<string, string>>;
      for (const [key, name] of [
        ['file.profileSchema', 'dump-profile.schema'],
        ['file.retrofitSchema', 'retrofit.schema'],
        ['file.dumpSnippets', 'cfgdump.snippets'],
        ['file.profileSnippets', 'profile.snippets'],
      ] as const) {
        assert.equal(texts[key], folder + name + ending);
        assert.ok(manifest.includes(`"%${key}%"`));
      }
    }
  });
});
