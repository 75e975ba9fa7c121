// What buttons say is read whole: they are short in every language, and so are those of one notice together.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { BUTTONS } from '../../client/src/buttons.js';
import { inShort } from '../../client/src/views/inShort.js';
import { ACTIONS } from '../../client/src/views/jobItems.js';
import { sourcesBelow } from '../support/sources.js';

/** Characters of a label that an editor shows whole, in a notice as in a side bar of the width that it opens with. */
const MOST = 28;

const german = JSON.parse(readFileSync('l10n/bundle.l10n.de.json', 'utf8')) as Record<string, string>;
const inBoth = (label: string) => [label, german[label] ?? ''];

describe('what a button says', () => {
  for (const [where, labels] of [
    ['a notice or question', BUTTONS],
    ['the job view', ACTIONS],
  ] as const)
    it(`is short enough to be whole in ${where}`, () => {
      const all = Object.values(labels).flatMap((label) => inBoth(label()));
      assert.ok(all.length > 0);
      assert.deepEqual(
        all.filter((label) => label === '' || label.length > MOST),
        [],
      );
    });

  it('is short where the server asks, too', () => {
    const asked = sourcesBelow('server/src').find(({ path }) => path.endsWith('offerPlans.ts'));
    const titles = /TITLES = \{(.*)\}/.exec(asked?.text ?? '')?.[1] ?? '';
    const all = [...titles.matchAll(/phrase\('([^']+)'\)/g)].flatMap(([, label = '']) => inBoth(label));
    assert.equal(all.length, 4);
    for (const label of all) assert.ok(label !== '' && label.length <= MOST, label);
  });

  it('is short enough for a view that is empty', () => {
    for (const file of ['package.nls.json', 'package.nls.de.json']) {
      const texts = Object.entries(JSON.parse(readFileSync(file, 'utf8')) as Record<string, string>);
      const labels = texts.flatMap(([key, text]) =>
        key.startsWith('welcome.')
          ? [...text.matchAll(/^\[([^\]]+)\]\(command:/gm)].map(([, label = '']) => label)
          : [],
      );
      assert.ok(labels.length > 0);
      // A button of its own line has the whole width.
      assert.deepEqual(
        labels.filter((label) => label.length > MOST + 4),
        [],
      );
    }
  });

  it('is behind a first sentence that is whole above the list of steps, whichever file it names', () => {
    const sources = sourcesBelow('shared-core/src/jobs/steps');
    const all = sources.flatMap(({ text }) =>
      [...text.matchAll(/open\(\s*phrase\(\s*'([^']+)'/g)].flatMap(([, says = '']) => inBoth(says)),
    );
    assert.ok(all.length > 20);
    for (const pattern of all) {
      // What begins with another sentence is shown by that one.
      const says = pattern.replace(/^\{0\} (?=[A-Z])/, '').replace(/\{\d\}/g, 'roof-console.cfgdump');
      const [sentence = ''] = /^.+?[.!?](?=\s|$)|^.+$/.exec(says) ?? [];
      assert.ok(sentence !== '' && inShort(says).startsWith(sentence), inShort(says));
    }
  });

  it('is not needed where a backup was made: what it says is on one line in both languages', () => {
    for (const says of inBoth('Backup sealed: keep a second copy elsewhere.'))
      assert.ok(says !== '' && says.length <= 50, says);
  });

  it('is from the one list: no notice has a button of its own', () => {
    const own = sourcesBelow('client/src').flatMap(({ path, text }) =>
      /show(?:Information|Warning|Error)Message/.test(text) ? path : [],
    );
    assert.deepEqual(own, ['client/src/ui.ts']);
  });
});
