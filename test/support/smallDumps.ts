import assert from 'node:assert/strict';
import { bindText, type Dump } from '../../shared-core/src/model/index.js';
import { type Profile, readProfile } from '../../shared-core/src/profile/index.js';

/** A profile that must be without problems. */
export function profileOf(json: object): Profile {
  const { profile, problems } = readProfile(JSON.stringify({ format: 1, ...json }));
  assert.deepEqual(problems, []);
  return profile;
}

/** Three lines with sums of their own and a sum over all of them, an option, an immobiliser, a lock and a balance place. */
export const LINES = {
  lines: { from: 1, to: 3, data: 3, sum: 1 },
  lineSum: { method: 'add', over: ['data'] },
  totals: [{ name: 'file sum', method: 'add', bits: 16, over: ['data'], label: 'total' }],
  options: [
    { id: 'fog', title: 'Fog lamps', line: 2, byte: 1, bits: '3-0', values: { 0: 'no', 1: 'yes' } },
    {
      id: 'key',
      title: 'Immobiliser',
      line: 2,
      byte: 2,
      bits: '7-4',
      values: { 0: 'off', 1: 'on' },
      hazard: 'security',
    },
  ],
  locked: [{ line: 1, bytes: '1-3', why: 'identity' }],
  balance: [{ line: 3, byte: 3 }],
};

export const LINES_TEXT = '1: A1 B2 C3 | 16\n2: 01 10 00 | 11\n3: 00 00 00 | 00\ntotal: 02 27\n';

/** The same as an image of two records, with its sum in little-endian order behind the data. */
export const IMAGE = {
  addresses: { from: 0x10, to: 0x1b },
  totals: [
    {
      name: 'image sum',
      method: 'add',
      bits: 16,
      order: 'little',
      over: [{ from: 0x10, to: 0x19 }],
      address: 0x1a,
    },
  ],
  options: [
    { id: 'fog', title: 'Fog lamps', address: 0x13, bits: '3-0', values: { 0: 'no', 1: 'yes' } },
    { id: 'key', title: 'Immobiliser', address: 0x14, bits: '7-4', values: { 0: 'off', 1: 'on' }, hazard: 'security' },
  ],
  locked: [{ address: 0x10, bytes: 3, why: 'identity' }],
};

/** Its records of four bytes each, without an end record: A1 B2 C3 01, 10 00 00 00, 00 00 27 02. */
export const IMAGE_RECORDS = [':04001000A1B2C301D5', ':0400140010000000D8', ':0400180000002702BB'] as const;

export const END = ':00000001FF';

export function image(profile: Profile, ...records: readonly string[]): Dump {
  return bindText('a.hex', `${records.join('\n')}\n`, profile);
}

export function lines(profile: Profile, text: string): Dump {
  return bindText('a.cfgdump', text, profile);
}

/** What a read-back of such a text leaves open, as it has no headers. */
export const UNSAID = [
  'What was read does not say when it was read, so it may be from before the work.',
  'What was read does not say of which vehicle it is.',
];
