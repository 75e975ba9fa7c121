import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { readIsoTime } from '../../../shared-core/src/base/isoTime.js';

describe('a time', () => {
  it('is read as ISO 8601 writes it', () => {
    for (const [written, time] of [
      ['2026-03-02T09:14:00Z', Date.UTC(2026, 2, 2, 9, 14)],
      ['2026-03-02T09:14:00.5Z', Date.UTC(2026, 2, 2, 9, 14, 0, 500)],
      ['2026-03-02 09:14', Date.UTC(2026, 2, 2, 9, 14)],
      ['2026-03-02T09:14+02:00', Date.UTC(2026, 2, 2, 7, 14)],
      ['2026-03-02T00:14-0130', Date.UTC(2026, 2, 2, 1, 44)],
      ['2028-02-29', Date.UTC(2028, 1, 29)],
      ['2026-03', Date.UTC(2026, 2, 1)],
    ] as const)
      assert.equal(readIsoTime(written), time, written);
  });

  it('is not known where there is no such day or hour, or it is written otherwise', () => {
    for (const written of [
      '2026-02-31T25:00:00Z',
      '2026-02-31',
      '2026-02-29 10:00',
      '2026-13-01',
      '2026-00-10',
      '2026-01-00',
      '2026-01-01T24:00Z',
      '2026-01-01T10:60Z',
      '2026-01-01T10:00+15:00',
      'yesterday',
      '02.03.2026 11:02',
      '2026',
      '',
    ])
      assert.equal(readIsoTime(written), undefined, written);
  });
});
