// When a text counts as a job card that is kept, and of which dumps it is.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { savedCard } from '../../../shared-core/src/jobs/index.js';
import { sha256OfText } from '../../../shared-core/src/model/seal.js';
import { cardOf, FOUND, german, PLANNED, READ, UNCHANGED } from '../../support/jobFolder.js';

const saved = (text: string, to = german) => savedCard('file:///x', 'x', text, to);
const isWhole = (text: string) => saved(text).isWhole;
const CARD = cardOf([
  [FOUND, PLANNED],
  [READ, UNCHANGED],
]);
const ONE = cardOf([[FOUND, PLANNED]]);
const lines = CARD.split('\n');
/** A line of the card in place of which another text is. */
const inPlaceOf = (begin: string, text: string) => {
  const at = lines.findIndex((line) => line.startsWith(begin));
  assert.ok(at >= 0, begin);
  return lines.map((line, i) => (i === at ? text : line)).join('\n');
};

describe('a card that is kept', () => {
  it('names the dumps of each module, as found and as planned, in its order', () => {
    const { file, name, modules } = saved(CARD);
    assert.deepEqual([file, name], ['file:///x', 'x']);
    assert.deepEqual(
      modules.map(({ found, planned }) => [found, planned]),
      [
        [FOUND, PLANNED],
        [READ, UNCHANGED],
      ].map((pair) => pair.map(sha256OfText)),
    );
    const odd = `<small>\`${sha256OfText(FOUND)}\`</small>`;
    assert.deepEqual(saved(odd).modules, [{ found: sha256OfText(FOUND), planned: undefined }]);
    assert.deepEqual(saved('').modules, []);
    assert.deepEqual(saved(sha256OfText(FOUND)).modules, []);
  });

  it('is whole in English, in the language of the person, with any line ends and as it is printed', () => {
    for (const text of [
      CARD,
      cardOf([[FOUND, PLANNED]], german),
      CARD.replaceAll('\n', '\r\n'),
      CARD.replaceAll('\n', '  \n'),
      `\n${CARD}\n\n`,
    ])
      assert.ok(isWhole(text));
    assert.ok(savedCard('x', 'x', CARD, ({ pattern }) => `?${pattern}`).isWhole);
    assert.ok(!savedCard('x', 'x', cardOf([[FOUND, PLANNED]], german), ({ pattern }) => `?${pattern}`).isWhole);
    assert.ok(isWhole(CARD.replace(/^(#+ .*|[A-Z].*)$/gm, '<p>$1</p>')));
  });

  it('is none without any one of its parts, in another order, or with more behind its last word', () => {
    for (const begin of ['# Job card: ', '## Order of work', '## Lines to enter', '## The way back', 'This card says'])
      assert.ok(!isWhole(inPlaceOf(begin, 'x')), begin);
    const digests = lines.findIndex((line) => line.includes('SHA-256'));
    assert.ok(digests >= 0);
    assert.ok(!isWhole(lines.filter((_, at) => at !== digests).join('\n')));
    assert.ok(
      !isWhole(
        inPlaceOf('## Order of work', '## The way back').replace(
          /## The way back(?![\s\S]*## The way back)/,
          '## Order of work',
        ),
      ),
    );
    assert.ok(!isWhole(`${CARD}\nmore\n`));
    assert.ok(!isWhole(`${CARD}\n${CARD.slice(0, 300)}`));
    assert.ok(!isWhole(''));
    assert.ok(!isWhole(lines.at(-2) ?? ''));
  });

  it('is whole as older versions wrote it, with another sentence above the digests', () => {
    const older =
      'SHA-256 of each dump as text in UTF-8, as found and as planned, which is that of its file unless that is in another encoding, holds raw bytes or has its headers beside it:';
    assert.ok(isWhole(inPlaceOf('SHA-256 of the dumps', older)));
    assert.ok(!isWhole(inPlaceOf('SHA-256 of the dumps', older.slice(0, -1))));
    const inGerman = cardOf([[FOUND, PLANNED]], german).replace(
      /^SHA-256 .*$/m,
      'SHA-256 jedes Dumps als Text in UTF-8, wie vorgefunden und wie geplant; es ist das seiner Datei, wenn diese nicht anders kodiert ist, rohe Bytes hält oder ihren Kopf daneben hat:',
    );
    assert.ok(isWhole(inGerman));
  });

  it('is none where a digest was lost', () => {
    assert.ok(!isWhole(CARD.replace(/<small>`[0-9a-f]{64}`<\/small>/, '')));
  });

  it('says that something was open, in English or in the language of the person', () => {
    assert.ok(saved(CARD).isOpen, 'one of its modules is not changed');
    assert.ok(!saved(ONE).isOpen);
    assert.ok(saved(ONE.replace('## Order of work', '## Do not write yet')).isOpen);
    assert.ok(saved(ONE.replace('## Order of work', '## Noch nicht schreiben')).isOpen);
    assert.ok(!saved(ONE.replace('## Order of work', '## Noch nicht schreiben'), ({ pattern }) => pattern).isOpen);
  });
});
