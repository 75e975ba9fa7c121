// A notice shows about three lines: what has no room is behind a button, never cut off.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { fitting, inform } from '../../client/src/ui.js';
import { fake, reset } from '../support/fakeEditor.js';

describe('a notice', () => {
  const FIRST = 'The backup cannot be read: it is of another car.';
  const LONG =
    'Name the dump that was found in this module, or correct the header that is wrong in it, and run this again.';

  it('shows a message that has room as it is', () => {
    assert.deepEqual(fitting(FIRST), { head: FIRST, rest: '' });
    assert.deepEqual(fitting(''), { head: '', rest: '' });
    const words = 'a '.repeat(200).trim();
    assert.deepEqual(fitting(words), { head: words, rest: '' });
  });

  it('has a button where it is longer than a line, as an editor shows one line only of a notice without', async () => {
    reset();
    const offered: (readonly string[])[] = [];
    fake.person.notice = (_, buttons) => {
      offered.push(buttons);
      return undefined;
    };
    const said = 'The draft is door.dump-profile.json, and the dump names it. Save the dump to keep that.';
    await inform('Saved.');
    await inform(said);
    await inform(said, 'openProfile');
    assert.deepEqual(offered, [[], ['OK'], ['Open Profile']]);
  });

  it('shows whole sentences, and keeps those that have no room for its button', () => {
    assert.deepEqual(fitting(`${FIRST} ${LONG} ${LONG}`), { head: `${FIRST} ${LONG}`, rest: LONG });
    assert.deepEqual(fitting(`${LONG} ${LONG} "${LONG}"`), { head: LONG, rest: `${LONG} "${LONG}"` });
  });

  it('takes no sentence apart at a number, a name of a file or a word in small letters', () => {
    const one = `Line 4 of rear-body.cfgdump holds 0.5 V, e.g. as found; see row 12. ${'x'.repeat(150)}`;
    assert.equal(fitting(one).head, one);
  });
});
