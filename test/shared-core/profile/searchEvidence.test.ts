// What a search writes into a profile as evidence is read again for people: in their language, and in a sentence without figures.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { say, type Translation } from '../../../shared-core/src/base/phrase.js';
import {
  evidenceByHand,
  evidenceInShort,
  evidenceInWords,
  evidenceText,
  fitsAll,
  type SearchEvidence,
  sureInWords,
} from '../../../shared-core/src/profile/searchEvidence.js';

const german = JSON.parse(readFileSync('l10n/bundle.l10n.de.json', 'utf8')) as Translation;
const FOUND: SearchEvidence = {
  groups: [
    { count: 3, name: 'with', dumps: 'a (1).cfgdump, b.cfgdump' },
    { count: 3, name: 'without', dumps: 'c.cfgdump …' },
  ],
  ...{ p: 0.1, q: 1, tried: 45 },
  exceptions: '',
  together: '',
};

describe('how sure a found place is', () => {
  const said = (p: number, q: number, exceptions = 0) => say(sureInWords({ p, q, exceptions, tried: 45 }));

  it('tells places that fit all dumps from what only varies', () => {
    assert.equal(said(0.1, 0.02), 'fits all dumps; could be chance: 1 in 50');
    assert.equal(said(1e-9, 1e-9), 'fits all dumps; practically certain');
    assert.equal(said(0.1, 1), 'fits all dumps; could well be chance, as 45 places vary');
    assert.equal(said(0.4, 1, 1), 'only varies');
    assert.equal(said(0.001, 0.02, 1), 'could be chance: 1 in 50');
  });

  it('calls no place fitting in which nearly each dump holds a value of its own', () => {
    assert.equal(said(1, 1), 'only varies');
    assert.deepEqual([fitsAll({ p: 1, exceptions: 0 }), fitsAll({ p: 0.5, exceptions: 0 })], [false, true]);
  });
});

describe('what speaks for an option', () => {
  const full = { ...FOUND, exceptions: 'd.v2.cfgdump', together: 'line 6, byte 3, bit 0; line 7, bytes 1-2' };

  it('is written in English with its figures behind the words', () => {
    assert.equal(
      evidenceText(FOUND),
      '3 with (a (1).cfgdump, b.cfgdump), 3 without (c.cfgdump …); fits all dumps; could well be chance, as 45 places vary (p = 0.1, q = 1 over 45 places).',
    );
    assert.match(
      evidenceText(full),
      /\. Not as labelled: d\.v2\.cfgdump\. Moves together with line 6, byte 3, bit 0; line 7, bytes 1-2\.$/,
    );
  });

  it('is read again as it was written, and said in the language of whoever reads it', () => {
    for (const one of [FOUND, full]) assert.equal(say(evidenceInWords(evidenceText(one))), evidenceText(one));
    const inGerman = say(evidenceInWords(evidenceText(full)), german);
    assert.match(
      inGerman,
      /^3 mit \(a \(1\)\.cfgdump, b\.cfgdump\), 3 ohne \(c\.cfgdump …\); ändert sich nur \(p = 0,1; q = 1/,
    );
    assert.match(inGerman, /Zeile 6, Byte 3, Bit 0; Zeile 7, Bytes 1-2/);
    assert.doesNotMatch(inGerman, /\b(?:with|line|labelled|places)\b/);
    // As it was written before: in words of its own, or without any.
    for (const words of ['undecided (p = 0.1, q = 1 over 45 places)', 'p = 0.1, q = 1 over 45 places'])
      assert.equal(
        say(evidenceInWords(`3 with (a (1).cfgdump, b.cfgdump), 3 without (c.cfgdump …); ${words}.`)),
        evidenceText(FOUND),
      );
  });

  it('is one sentence without figures where there is no room for more', () => {
    const short = (one: SearchEvidence, words?: Translation) => say(evidenceInShort(evidenceText(one)), words);
    assert.equal(
      short(FOUND),
      'Found by comparing dumps (3 with, 3 without); fits all dumps; could well be chance, as 45 places vary.',
    );
    assert.match(short(full), /; only varies; not as labelled: d\.v2\.cfgdump; other places change with it\.$/);
    for (const one of [FOUND, full]) {
      assert.doesNotMatch(short(one), /p =|q =/);
      assert.doesNotMatch(short(one, german), /\b(?:with|dumps \(|places)\b/);
    }
  });

  it('stays as a person wrote it, and is translated where a selection was named', () => {
    for (const text of ['One car only; p = q.', '3 with (a), 3 without (b); told by a colleague.', ''])
      for (const said of [evidenceInWords(text), evidenceInShort(text)]) assert.equal(say(said, german), text);
    const named = say(evidenceByHand('a, b.cfgdump', '4F'));
    assert.equal(say(evidenceInWords(named)), named);
    assert.match(say(evidenceInWords(named), german), /^Von Hand benannt in a, b\.cfgdump/);
  });
});
