// What a retrofit asks of a module, by its profile and its dump.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkRetrofit } from '../../../shared-core/src/jobs/checkRetrofit.js';
import { contradictionOf, notAsAsked } from '../../../shared-core/src/jobs/fitting.js';
import { readRetrofit } from '../../../shared-core/src/jobs/readRetrofit.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const DOORS = { id: 'doors', title: 'Doors', line: 3, byte: 1, bits: '2-0', flags: { 0: 'left', 1: 'right' } };
const PROFILE = profileOf({ ...LINES, options: [...LINES.options, DOORS] });
const DUMP = lines(PROFILE, LINES_TEXT);
const textOf = (set: object, profile = 'p.dump-profile.json') =>
  JSON.stringify({ format: 1, title: 'T', changes: [{ profile, set }] });
const retrofitOf = (set: object, profile?: string) => {
  const { retrofit, problems } = readRetrofit(textOf(set, profile));
  assert.deepEqual(problems, []);
  assert.ok(retrofit);
  return retrofit;
};
const changeOf = (set: object) => {
  const [change] = retrofitOf(set).changes;
  assert.ok(change);
  return change;
};

describe('a retrofit', () => {
  const problems = (set: object, profile?: string) => {
    const text = textOf(set, profile);
    const found = checkRetrofit(retrofitOf(set, profile), (path) =>
      path === 'p.dump-profile.json' ? PROFILE : undefined,
    );
    return found.map(({ span, message }) => [text.slice(span.start, span.end), say(message)]);
  };

  it('asks for what the profiles know, and each problem is where it is written', () => {
    assert.deepEqual(problems({ fog: 'no', doors: 'left' }), []);
    for (const [set, at, words] of [
      [{ fgo: 'no' }, /fgo/, /^The profile has no option "fgo"; "fog" is probably meant\.$/],
      [{ tachograph: 'no' }, /tachograph/, /^The profile has no option "tachograph"\.$/],
      [{ fog: 'maybe' }, /maybe/, /maybe/],
      [{ key: 'off' }, /key/, /Immobiliser|security/],
    ] as const) {
      const [[where, said] = ['', ''], ...more] = problems(set);
      assert.deepEqual(more, []);
      assert.match(where ?? '', at);
      assert.match(said ?? '', words);
    }
    assert.equal(problems({ fgo: 'no', fog: 'maybe' }).length, 2);
  });

  it('names profiles that can be read', () => {
    const [[, said] = []] = problems({ fog: 'no' }, 'q.dump-profile.json');
    assert.match(said ?? '', /^There is no profile "q\.dump-profile\.json" beside this retrofit/);
  });

  it('is followed by a dump that holds all that it asks for; flags without words stay as they are', () => {
    const unlike = (set: object, text = LINES_TEXT) =>
      notAsAsked(changeOf(set), { name: 'd', dump: lines(PROFILE, text) }).map((one) => say(one));
    assert.deepEqual(unlike({ fog: 'yes' }), []);
    assert.deepEqual(unlike({ fog: 'no' }), ['d: Fog lamps is to be no, but is yes.']);
    assert.deepEqual(unlike({ fog: 'yes', doors: 'left' }, LINES_TEXT.replace('3: 00', '3: 05')), []);
    assert.equal(unlike({ doors: 'left' }, LINES_TEXT.replace('3: 00', '3: 04')).length, 1);
    assert.deepEqual(unlike({ fog: 'yes' }, LINES_TEXT.replace(/2: .*\n/, '')), [
      'd: Fog lamps is to be yes, but is –.',
    ]);
    assert.match(unlike({ fgo: 'yes' }).join(), /"fog" is probably meant/);
  });

  it('contradicts another one that asks for another value of the same option, and only then', () => {
    const told = (...sets: readonly object[]) => {
      const said = contradictionOf(
        DUMP,
        sets.map((set, i) => ({ name: `r${i}`, change: changeOf(set) })),
      );
      return said === undefined ? '' : say(said);
    };
    assert.equal(told({ fog: 'yes' }), '');
    assert.equal(told({ fog: 'yes' }, { fog: 'yes', doors: 'left' }), '');
    assert.equal(told({ fog: 'yes' }, { doors: 'left' }), '');
    assert.equal(told({ fog: 'yes' }, { fog: 'maybe' }), '');
    assert.match(
      told({ doors: 'left' }, { fog: 'no' }, { fog: 'yes' }),
      /^Fog lamps is to be no by r1 and yes by r2\./,
    );
  });
});
