import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { readProfile, say, totalsInOrder } from '../../shared-core/src/index.js';
import { demoFile } from '../support/demo.js';

const KEYS = [
  ...['format', 'module', 'lines', 'addresses', 'lineSum', 'totals', 'balance', 'options', 'locked', 'volatile'],
  ...['from', 'to', 'data', 'sum', 'method', 'bits', 'over', 'order', 'line', 'byte', 'bytes', 'address', 'label'],
  ...[
    'id',
    'values',
    'number',
    'text',
    'flags',
    'needs',
    'excludes',
    'option',
    'in',
    'start',
    'model',
    'width',
    'poly',
  ],
  ...['notation', 'pattern', '__proto__', 'constructor', ''],
];

const WORDS = [
  'add',
  'xor',
  'crc',
  'fletcher',
  'adler',
  'sums',
  'data',
  '7-4',
  '1-3',
  '0xFF',
  '99999999999',
  'CRC-8/SMBUS',
];

/** JSON made of a profile's keys and words, put together at random. */
const { value: profileLike } = fc.letrec<{ value: unknown }>((tie) => ({
  value: fc.oneof(
    { depthSize: 'medium', withCrossShrink: true },
    fc.constantFrom<unknown>(0, 1, 2, 8, 16, -1, 1.5, 1e300, true, null, ...WORDS),
    fc.array(tie('value'), { maxLength: 4 }),
    fc
      .uniqueArray(fc.tuple(fc.constantFrom(...KEYS), tie('value')), { maxLength: 8, selector: ([key]) => key })
      .map((members) => Object.fromEntries(members)),
  ),
}));

/** Reads, and holds what comes back to what every reading promises. */
function holds(text: string): void {
  const { profile, problems } = readProfile(text);
  for (const { span, message } of problems) {
    assert.ok(span.start >= 0 && span.start < span.end, `${JSON.stringify(span)} in ${text}`);
    assert.ok(span.end <= Math.max(1, text.length), `${JSON.stringify(span)} in ${text}`);
    assert.doesNotMatch(say(message), /undefined|NaN|\[object|\{\d\}/);
  }
  assert.deepEqual(totalsInOrder(profile.totals), { ordered: profile.totals, circles: [] });
}

describe('the reader of profiles, by law', () => {
  it('takes any text', () => {
    fc.assert(fc.property(fc.string({ unit: 'grapheme', maxLength: 200 }), holds));
  });

  it('takes any JSON', () => {
    fc.assert(fc.property(fc.json(), holds));
  });

  it('takes anything made of the keys of a profile', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.constantFrom(...KEYS), profileLike), (members) =>
        holds(JSON.stringify({ format: 1, ...members })),
      ),
      { numRuns: 500 },
    );
  });

  it('takes the demo profile with any stretch cut out', () => {
    const whole = demoFile('rear-body.dump-profile.json');
    fc.assert(
      fc.property(fc.nat(whole.length), fc.nat(60), (at, count) => holds(whole.slice(0, at) + whole.slice(at + count))),
    );
  });

  it('takes brackets nested as deeply as a file can hold', () => {
    for (const text of ['['.repeat(200_000), '{"format":'.repeat(100_000), `{ "options": ${'['.repeat(100_000)}`])
      holds(text);
  });
});
