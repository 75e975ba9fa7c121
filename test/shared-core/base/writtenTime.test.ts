// When a dump was read, as people write it and as it is kept.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import {
  asKept,
  dayFirst,
  localMoment,
  localTime,
  saysSeconds,
  zoneAt,
} from '../../../shared-core/src/base/writtenTime.js';

describe('a time that a person writes', () => {
  it('is taken with the year or the day first, by the clock of this computer', () => {
    const moment = new Date(2026, 10, 27, 9, 12);
    for (const text of ['2026-11-27 09:12', '2026-11-27T9:12', '27.11.2026 9:12', ' 27.11.2026, 09:12:00 '])
      assert.deepEqual(localMoment(text), moment, text);
    assert.deepEqual(localMoment(localTime(moment)), moment);
    assert.deepEqual(localMoment(dayFirst(moment)), moment);
  });

  it('is kept as it is written, to the minute or to the second, and no second is made up', () => {
    const moment = new Date(Date.UTC(2026, 10, 27, 9, 12, 30, 250));
    assert.equal(asKept(moment, true), '2026-11-27T09:12:30Z');
    assert.equal(asKept(moment, false), '2026-11-27T09:12Z');
    assert.deepEqual([localTime(moment), localTime(moment, true), dayFirst(moment)].map(saysSeconds), [
      false,
      true,
      false,
    ]);
  });

  it('is none where there is no such day or hour, or where nobody can tell day from month', () => {
    for (const text of [
      '31.11.2026 9:12',
      '2026-02-29 09:12',
      '2026-11-27 24:00',
      '27/11/2026 9:12',
      '9:12',
      '0026-11-27 9:12',
      'soon',
      '',
    ])
      assert.equal(localMoment(text), undefined, text);
  });

  it('comes with the zone of the clock', () => {
    const at = (minutes: number) => zoneAt(Object.assign(new Date(0), { getTimezoneOffset: () => minutes }));
    assert.deepEqual([0, -60, 210].map(at), ['UTC', 'UTC+1', 'UTC-3:30']);
  });
});
