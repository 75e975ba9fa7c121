// Which bytes that no work changes differ between two dumps, and how that is said.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import {
  type GuardedDifference,
  guardedDifferences,
  guardedInWords,
} from '../../../shared-core/src/compare/guarded.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf({
  lines: { from: 1, to: 2, data: 4, sum: 0 },
  options: [{ id: 'key', title: 'Key', line: 2, byte: 2, bits: '7-4', values: { 0: 'off' }, hazard: 'security' }],
  locked: [
    { line: 1, bytes: '1-4', why: 'identity' },
    { line: 2, byte: 4, why: 'level' },
  ],
  volatile: [{ line: 2, byte: 1 }],
});
const text = (one: string, two: string) => `1: ${one}\n2: ${two}\n`;
const OLD = text('01 02 03 04', '05 06 07 08');
const found = (now: string, before = OLD) => guardedDifferences(lines(PROFILE, before), lines(PROFILE, now));
const short = ({ kind, name, from, before, after }: GuardedDifference) =>
  `${kind} ${typeof name === 'object' ? say(name) : name} +${from}: ${before.join()} → ${after.join()}`;

describe('bytes that no work changes', () => {
  it('are none where nothing differs, or only what the work and the module change', () => {
    assert.deepEqual(found(OLD), []);
    // What changes by itself, the other bits of the byte of a security option, and a byte of nothing.
    assert.deepEqual(found(text('01 02 03 04', '99 09 99 08')), []);
  });

  it('are named in runs side by side, each from its first byte, security before locked ones', () => {
    assert.deepEqual(found(text('01 12 13 04', '05 16 07 18')).map(short), [
      'security Key +0: 6 → 22',
      'locked identity +1: 2,3 → 18,19',
      'locked level +0: 8 → 24',
    ]);
    assert.deepEqual(found(text('11 02 13 14', '05 06 07 08')).map(short), [
      'locked identity +0: 1 → 17',
      'locked identity +2: 3,4 → 19,20',
    ]);
  });

  it('differ where one side has no such byte, and not where neither has', () => {
    const gone = '2: 05 06 07 08\n';
    assert.deepEqual(found(gone).map(short), ['locked identity +0: 1,2,3,4 → ,,,']);
    assert.deepEqual(found(OLD, gone).map(short), ['locked identity +0: ,,, → 1,2,3,4']);
    assert.deepEqual(found(gone, gone), []);
    assert.deepEqual(found('1: 01 02 03 04\n').map(short), ['security Key +0: 6 → ', 'locked level +0: 8 → ']);
  });

  it('are those that the profile of the later dump knows', () => {
    const other = profileOf({ lines: { from: 1, to: 2, data: 4, sum: 0 } });
    const now = text('01 12 03 04', '05 06 07 08');
    assert.deepEqual(guardedDifferences(lines(PROFILE, OLD), lines(other, now)), []);
    assert.equal(guardedDifferences(lines(other, OLD), lines(PROFILE, now)).length, 1);
  });

  it('are said with their place, and that nothing of it is to be written', () => {
    assert.deepEqual(
      guardedInWords(found(text('01 12 13 04', '05 16 07 18'))).map((said) => say(said)),
      [
        'Do not write this: Byte 2 of line 2 holds "Key", which concerns the security of the vehicle: 06 → 16',
        'Do not write this: Byte 2–3 of line 1 is locked (identity): 02 03 → 12 13',
        'Do not write this: Byte 4 of line 2 is locked (level): 08 → 18',
      ],
    );
    assert.match(
      guardedInWords(found('1: 01 02 03 04\n'))
        .map((said) => say(said))
        .join(),
      /: 08 → (?:–|-)/,
    );
  });
});
