// A notice shows about three lines: what has no room is behind a button, never cut off.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { fitting, inform, tellDone } from '../../client/src/ui.js';
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

describe('what is said in the status bar', () => {
  const told = (...said: Parameters<typeof tellDone>) => {
    reset();
    tellDone(...said);
    return fake.in('status bar').at(-1)?.replace('$(check) ', '') ?? '';
  };
  const SET = 'Parking tone volume becomes 50 %: 5 bytes change, all sums kept right';

  it('is whole where it has room', () => {
    assert.equal(told('Lines restored: 2'), 'Lines restored: 2');
    assert.equal(told('Lines restored: 2', 'Saved: door.cfgdump.'), 'Lines restored: 2. Saved: door.cfgdump.');
    assert.equal(told('', 'Saved: door.cfgdump.'), 'Saved: door.cfgdump.');
  });

  it('loses its details first, then the name of the file; what became of it and of the dump stays', () => {
    assert.equal(told(SET), SET, 'there is room for it');
    assert.equal(told(SET, 'Saved: door.cfgdump.'), 'Parking tone volume becomes 50 %. Saved: door.cfgdump.');
    assert.equal(
      told('Footwell tell-tale becomes shown while a door is open: 3 bytes change', 'Saved: car1-gateway.cfgdump.'),
      'Footwell tell-tale becomes shown while a door is open. Saved.',
    );
    assert.equal(
      told('Draft roof-console.dump-profile.json, named in the dump.', 'Saved: roof-console.cfgdump.'),
      'Draft roof-console.dump-profile.json, named in the dump. Saved.',
    );
  });

  it('is cut itself only where no words are left to leave out', () => {
    const long = told(`The name of an option ${'x'.repeat(80)}`, 'Still unsaved: door.cfgdump.');
    assert.match(long, /^The name of an option x+… Still unsaved\.$/);
    assert.ok(long.length <= 80);
    assert.match(
      told(`An option ${'x'.repeat(80)}`, 'door.cfgdump could not be saved.'),
      /x… door\.cfgdump could not be saved\.$/,
    );
  });
});
