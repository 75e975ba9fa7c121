import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { convert } from '../../shared-core/src/convert/index.js';
import { FORMS } from '../../shared-core/src/format/index.js';
import { bindText } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { digitsOf } from '../support/images.js';

interface Pattern {
  readonly match: string;
  readonly name?: string;
  readonly captures?: Readonly<Record<string, { readonly name: string }>>;
}

const patternsOf = (language: string): readonly Pattern[] =>
  JSON.parse(readFileSync(`syntaxes/${language}.tmLanguage.json`, 'utf8')).patterns;

/** What of a line a grammar takes for data, in the order of the line; undefined where it calls the line wrong. */
function dataIn(language: string, line: string): string | undefined {
  let [at, data] = [0, ''];
  while (at < line.length) {
    const found = patternsOf(language)
      .map((pattern) => ({ pattern, match: new RegExp(pattern.match, 'dg') }))
      .map(({ pattern, match }) => {
        match.lastIndex = at;
        return { pattern, match: match.exec(line) };
      })
      .filter(({ match }) => match !== null && match[0] !== '')
      .sort((a, b) => (a.match?.index ?? 0) - (b.match?.index ?? 0))[0];
    if (found?.match == null) break;
    const { pattern, match } = found;
    if (pattern.name?.startsWith('invalid')) return undefined;
    if (pattern.name?.includes('.data.')) data += match[0];
    for (const [group, { name }] of Object.entries(pattern.captures ?? {}))
      if (name.includes('.data.')) data += match[Number(group)] ?? '';
    at = match.index + match[0].length;
  }
  return data.replace(/\s/g, '').toUpperCase();
}

describe('grammars of images', () => {
  for (const { id, language, image } of FORMS) {
    if (image === undefined) continue;
    it(`${language} finds the digits of the data in each line that is written`, () => {
      const lines = `@note one\n0x0: ${'00112233445566778899AABBCCDDEEFF'.repeat(3)}AB\n`;
      const dump = bindText('a.cfgdump', lines, EMPTY_PROFILE);
      const converted = convert(dump, id);
      assert.ok(converted.ok);
      const read = bindText('a.txt', converted.value.text, EMPTY_PROFILE);
      assert.equal(read.notation.id, id);
      for (const row of read.rows) {
        const found = dataIn(language, row.text.trimEnd());
        assert.notEqual(found, undefined, row.text);
        const count = read.layout.dataCount[read.rows.indexOf(row)] ?? 0;
        if (row.kind !== 'record' || count === 0) continue;
        assert.equal(found, digitsOf(row, read.notation).slice(0, 2 * count), row.text);
      }
    });
  }
});
