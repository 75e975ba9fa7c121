import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { listed, phrase, say } from '../../shared-core/src/base/index.js';
import { shortFor } from '../../shared-core/src/base/phrase.js';
import { type Source, sourcesBelow } from '../support/sources.js';

/** A call that takes a sentence pattern, up to where its first argument begins. */
const CALLS = /\b(?:phrase|l10n\.t)\(\s*(?:(['"])((?:(?!\1)[^\\\n]|\\.)*)\1|([^\s)]))/g;

/** The functions that take a pattern as a parameter are where the patterns end, not where they begin. */
const DEFINITION = 'shared-core/src/base/phrase.ts';
const sources = ['shared-core/src', 'server/src', 'client/src'].flatMap(sourcesBelow);

interface Call {
  readonly path: string;
  readonly pattern: string | undefined;
}

function callsIn({ path, text }: Source, of = /^/): Call[] {
  return [...text.matchAll(CALLS)]
    .filter(([call]) => of.test(call))
    .map(([, , pattern]) => ({
      path,
      pattern: pattern?.replace(/\\u([0-9a-fA-F]{4})|\\(.)/g, (_, code: string | undefined, character: string) =>
        code === undefined ? (character === 'n' ? '\n' : character) : String.fromCharCode(Number.parseInt(code, 16)),
      ),
    }));
}

const calls = sources
  .flatMap((one) => callsIn(one))
  .filter(({ path, pattern }) => path !== DEFINITION || pattern !== undefined);
const patterns = [...new Set(calls.flatMap(({ pattern }) => pattern ?? []))];

/** The places a pattern has for its parts, in order: `{0}`, `{1}` … */
const placesOf = (pattern: string) => [...new Set(pattern.match(/\{\d+\}/g))].sort().join(' ');

describe('sentences for the user', () => {
  it('are written out where they are said, so that each can be found and translated', () => {
    assert.ok(patterns.length > 0);
    assert.deepEqual(
      calls.filter(({ pattern }) => pattern === undefined).map(({ path }) => path),
      [],
    );
  });

  it('are said by a call that can be found: l10n.t goes by no shorter name', () => {
    const renamed = sources.filter(({ text }) => /\bl10n(?!\.(?:t|bundle)\b)(?=\s*[;,)}])/.test(text));
    assert.deepEqual(
      renamed.map(({ path }) => path),
      [],
    );
  });

  it('number their parts from {0} without a gap', () => {
    const gaps = patterns.filter((pattern) => {
      const places = placesOf(pattern).split(' ').filter(Boolean);
      return places.some((_, index) => !places.includes(`{${index}}`));
    });
    assert.deepEqual(gaps, []);
  });

  for (const bundle of ['l10n/bundle.l10n.de.json']) {
    const translation = JSON.parse(readFileSync(bundle, 'utf8')) as Record<string, string>;

    it(`are all translated in ${bundle}, and none is there that is no longer said`, () => {
      const translated = Object.keys(translation);
      assert.deepEqual({ lacking: patterns.filter((pattern) => !translated.includes(pattern)) }, { lacking: [] });
      assert.deepEqual({ unused: translated.filter((pattern) => !patterns.includes(pattern)) }, { unused: [] });
    });

    it(`are all found in ${bundle} as it is given away, those that the editor looks up under their English words`, () => {
      const packed = JSON.parse(readFileSync(`dist/${bundle}`, 'utf8')) as Record<string, string>;
      const parts = Array.from({ length: 10 }, (_, i) => phrase(`{${i}}`));
      for (const [pattern, words] of Object.entries(translation))
        assert.equal(say({ pattern, parts }, packed), words, pattern);
      const looked = sources.flatMap((one) => callsIn(one, /\bl10n\.t\(/));
      assert.ok(looked.length > 100);
      for (const { pattern = '' } of looked) assert.equal(packed[pattern], translation[pattern], pattern);
      for (const between of [', ', ' ', '; ', ': ', '\n'])
        for (let count = 1; count < 300; count++) {
          const { pattern } = listed(Array(count).fill(''), between);
          assert.equal(
            packed[pattern] ?? packed[shortFor(pattern)],
            translation[pattern],
            `${count} parts and a sentence have one short key`,
          );
        }
    });

    it(`keep all their parts in ${bundle}`, () => {
      const lost = Object.entries(translation).filter(([from, to]) => placesOf(from) !== placesOf(to));
      assert.deepEqual(lost, []);
    });
  }
});
