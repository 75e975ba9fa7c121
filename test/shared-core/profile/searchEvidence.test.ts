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
  together: [],
  unnamed: 0,
};

describe('how sure a found place is', () => {
  const said = (p: number, q: number, exceptions = 0) => say(sureInWords({ p, q, exceptions, tried: 45 }));

  it('tells places that fit all dumps from what only varies', () => {
    assert.equal(said(0.1, 0.02), 'fits all dumps; could be chance: 1 in 50');
    assert.equal(said(1e-9, 1e-9), 'fits all dumps; practically certain');
    assert.equal(said(0.1, 1), 'fits all dumps; could well be chance, as the bits that vary show 45 patterns');
    assert.equal(said(0.4, 1, 1), 'only varies');
    assert.equal(said(0.001, 0.02, 1), 'could be chance: 1 in 50');
  });

  it('calls no place fitting in which nearly each dump holds a value of its own', () => {
    assert.equal(said(1, 1), 'only varies');
    assert.deepEqual([fitsAll({ p: 1, exceptions: 0 }), fitsAll({ p: 0.5, exceptions: 0 })], [false, true]);
  });
});

describe('what speaks for an option', () => {
  const full = { ...FOUND, exceptions: 'd.v2.cfgdump', together: ['line 6, byte 3, bit 0', 'line 7, bytes 1-2'] };

  it('is written in English with its figures behind the words', () => {
    assert.equal(
      evidenceText(FOUND),
      '3 with (a (1).cfgdump, b.cfgdump), 3 without (c.cfgdump …); fits all dumps; could well be chance, as the bits that vary show 45 patterns (p = 0.1, q = 1 over 45 patterns).',
    );
    assert.match(
      evidenceText(full),
      /\. Not as labelled: d\.v2\.cfgdump\. Moves together with 2 places: line 6, byte 3, bit 0; line 7, bytes 1-2\.$/,
    );
    const moving = (count: number) =>
      evidenceText({ ...FOUND, together: Array.from({ length: count }, (_, i) => `line ${i + 1}, byte 1`) }).replace(
        /^.*patterns\)\.\s*/s,
        '',
      );
    assert.equal(moving(1), 'Moves together with line 1, byte 1.');
    assert.equal(
      moving(30),
      'Moves together with 30 places: line 1, byte 1; line 2, byte 1; line 3, byte 1; and 27 more.',
    );
  });

  it('is read again as it was written, and said in the language of whoever reads it', () => {
    const many = { ...full, unnamed: 27, together: [...full.together, 'line 8, byte 1'] };
    const one = { ...full, together: ['line 8, byte 1'] };
    for (const found of [FOUND, full, many, one])
      assert.equal(say(evidenceInWords(evidenceText(found))), evidenceText(found));
    const inGerman = say(evidenceInWords(evidenceText(full)), german);
    assert.match(
      inGerman,
      /^3 mit \(a \(1\)\.cfgdump, b\.cfgdump\), 3 ohne \(c\.cfgdump …\); ändert sich nur \(p = 0,1; q = 1/,
    );
    assert.match(inGerman, /Zeile 6, Byte 3, Bit 0; Zeile 7, Bytes 1-2/);
    assert.doesNotMatch(inGerman, /\b(?:with|line|labelled|places|patterns)\b/);
    // As it was written before: in words of its own, or without any.
    for (const words of ['undecided (p = 0.1, q = 1 over 45 places)', 'p = 0.1, q = 1 over 45 places'])
      assert.equal(
        say(evidenceInWords(`3 with (a (1).cfgdump, b.cfgdump), 3 without (c.cfgdump …); ${words}.`)),
        evidenceText(FOUND),
      );
    // It named all places, and called patterns so too.
    const older = evidenceText(FOUND).replace('patterns)', 'places)');
    const places = Array.from({ length: 30 }, (_, i) => `line r${i + 1}, byte 3, bit 0`);
    const told = evidenceInWords(`${older} Moves together with ${places.join('; ')}.`);
    assert.equal(say(told), evidenceText({ ...FOUND, together: places }));
    assert.match(
      say(told, german),
      /\(p = 0,1; q = 1 bei 45 Mustern\)\. Ändert sich zusammen mit 30 Stellen: Zeile r1, Byte 3, Bit 0; .*; und 27 weitere\.$/,
    );
  });

  it('is one sentence without figures where there is no room for more', () => {
    const short = (one: SearchEvidence, words?: Translation) => say(evidenceInShort(evidenceText(one)), words);
    assert.equal(
      short(FOUND),
      'Found by comparing dumps (3 with, 3 without); fits all dumps; could well be chance, as the bits that vary show 45 patterns.',
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
