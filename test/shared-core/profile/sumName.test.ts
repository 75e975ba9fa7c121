import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/phrase.js';
import { sumName } from '../../../shared-core/src/profile/sumName.js';

describe('the name of a sum over the file', () => {
  const german: Readonly<Record<string, string>> = JSON.parse(readFileSync('l10n/bundle.l10n.de.json', 'utf8'));
  const inGerman = (name: string) => say(phrase('{0}', sumName({ name })), german);

  it('is in the language of the reader where a draft gave it', () => {
    assert.equal(inGerman('file sum'), german['file sum']);
    assert.equal(inGerman('sum 2'), 'Prüfsumme 2');
    assert.notEqual(inGerman('file sum'), 'file sum');
  });

  it('is as it was written where a person gave it', () => {
    for (const name of ['sum', 'File sum', 'sum 2b', 'check word', '']) assert.equal(inGerman(name), name);
  });
});
