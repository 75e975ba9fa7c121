// What may be noted in a profile as seen in a module: it is believed by everybody who reads the profile later.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { newlySeen, seenInCar } from '../../../shared-core/src/jobs/verify/seenInCar.js';
import { verifyReadBack } from '../../../shared-core/src/jobs/verify/verify.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const HEAD = '@part RB-1\n@software 0311\n';
const OFF = LINES_TEXT.replace('01 10 00 | 11', '00 10 00 | 10').replace('02 27', '02 26');
const NOW = '2026-03-03T12:00:00Z';
const NOTE = { now: NOW, by: ' A. N. Other ' };

interface Case {
  readonly json?: object;
  readonly plan?: string;
  readonly read?: string;
  readonly taken?: string;
  readonly backup?: 'sealed' | 'none' | 'gone';
}

/** What is noted where fog lamps were off in the backup, and are on in the plan and in what was read back. */
function noted({
  json = {},
  plan = LINES_TEXT,
  read = LINES_TEXT,
  taken = '2026-03-02',
  backup = 'sealed',
}: Case = {}) {
  const profile = profileOf({ ...LINES, ...json });
  const dump = lines(profile, `${HEAD}@backup b\n${plan}`);
  const unsealed = lines(profile, `${HEAD}@taken 2026-03-01\n${OFF}`);
  const found = lines(profile, `@seal ${sealOf(unsealed)}\n${HEAD}@taken 2026-03-01\n${OFF}`);
  const back = lines(profile, `${HEAD}@taken ${taken}\n${read}`);
  const statuses = {
    sealed: { kind: 'read', dump: found },
    none: { kind: 'none' },
    gone: { kind: 'unreadable', why: phrase('gone') },
  } as const;
  const files = { file: 'file:///a', name: 'a', profileFile: 'file:///p', backupFile: undefined };
  const planned = { ...loaded(dump, SOUND, statuses[backup]), ...files };
  const verification = verifyReadBack(dump, back, found);
  const text = JSON.stringify({ format: 1, ...LINES, ...json });
  const result = seenInCar(
    planned,
    { name: 'r', dump: back, verification },
    { file: 'file:///p', text, bases: undefined },
    NOTE,
  );
  return result.ok ? result.value : say(result.why);
}

describe('an option that was set in a module and came back', () => {
  const OBSERVED = { part: 'RB-1', software: '0311', date: '2026-03-02', how: 'set-and-tried', by: 'A. N. Other' };

  it('is noted with the module, the day and who did it', () => {
    assert.deepEqual(noted(), [
      {
        file: 'file:///p',
        titles: ['Fog lamps'],
        wish: { kind: 'seen', seen: [{ id: 'fog', observation: OBSERVED }] },
      },
    ]);
  });

  it('is noted with a mark of the vehicle, the same for one vehicle, of which the VIN says more than its name', () => {
    const markOf = (head: string) => {
      const dump = lines(profileOf(LINES), `${HEAD}${head}${LINES_TEXT}`);
      return newlySeen(dump, dump, dump).observation.vehicle;
    };
    const mark = markOf('@vin 0DEM0T4X0TA020417\n');
    assert.match(mark ?? '', /^[0-9A-F]{2}$/);
    assert.equal(markOf('@vin 0dem0t4x0 ta020417\n@vehicle van\n'), mark);
    assert.notEqual(markOf('@vin 0DEM0T4X0TA020418\n'), mark);
    assert.match(markOf('@vehicle van\n') ?? '', /^[0-9A-F]{2}$/);
    assert.equal(markOf(''), undefined);
  });

  it('is not noted again for the same module and day', () => {
    const seen = (more: object) => ({
      options: [{ ...LINES.options[0], seen: [{ part: 'RB-1', software: '0311', how: 'set-and-tried', ...more }] }],
    });
    assert.deepEqual(noted({ json: seen({ date: '2026-03-02' }) }), []);
    assert.deepEqual(noted({ json: seen({}) }), []);
    for (const other of [{ date: '2026-03-01' }, { part: 'RB-2' }, { how: 'told' }])
      assert.equal(noted({ json: seen(other) }).length, 1, JSON.stringify(other));
  });

  it('is not noted where anything is in doubt, and it is said what', () => {
    const slip = LINES_TEXT.replace('00 00 00 | 00', '01 00 00 | 01').replace('02 27', '02 28');
    for (const [given, words] of [
      [{ read: slip }, /^What was read is not shown to be what was planned\.$/],
      [{ read: OFF }, /^What was read is not shown to be what was planned\.$/],
      [{ backup: 'none' }, /^This dump names no backup/],
      [{ backup: 'gone' }, /^gone$/],
      [{ taken: '2026-02-28' }, /^r is dated before the backup/],
      [{ taken: '2026-03-09' }, /in the future/],
      [{ taken: 'soon' }, /no day and time/],
    ] as const)
      assert.match(String(noted(given)), words, JSON.stringify(given));
    // The same was written and read, and it is wrong in both.
    const wrong = LINES_TEXT.replace('02 27', '02 28');
    assert.match(String(noted({ plan: wrong, read: wrong })), /file sum/);
    // Beside the option, a byte was written that nothing explains: what was tried is both together.
    const beside = LINES_TEXT.replace('01 10 00 | 11', '01 10 05 | 16').replace('02 27', '02 2C');
    assert.equal(noted({ plan: beside, read: beside }), 'a: nothing in the profile explains the change of line 2.');
  });

  it('is none that the work has not set', () => {
    const dump = lines(profileOf(LINES), `${HEAD}${LINES_TEXT}`);
    assert.deepEqual(newlySeen(dump, dump, dump).options, []);
    const { observation } = newlySeen(dump, dump, lines(profileOf(LINES), LINES_TEXT), '  ');
    // What a reading does not say of its module, the plan says.
    assert.deepEqual(observation, {
      part: 'RB-1',
      software: '0311',
      date: undefined,
      how: 'set-and-tried',
      by: undefined,
    });
  });
});
