import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { bindText, cellKey, protectedPlaces } from '../../../shared-core/src/model/index.js';
import { bytesOfPlace, protectedBits, whyProtected } from '../../../shared-core/src/model/protected.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import type { Place } from '../../../shared-core/src/profile/profile.js';
import { dumpOf } from '../../support/demo.js';

const { profile } = readProfile(
  JSON.stringify({
    format: 1,
    lines: { from: 1, to: 3, data: 4, sum: 0 },
    locked: [{ line: 1, bytes: '1-2', why: 'identity' }],
    volatile: [{ line: 2, byte: 4, why: 'counter' }],
    options: [
      { id: 'i', title: 'Immobiliser', line: 3, byte: 1, bits: '7-4', values: { 0: 'no' }, hazard: 'security' },
      { id: 'o', title: 'Other', line: 3, byte: 2, values: { 0: 'no' }, hazard: 'lighting' },
    ],
  }),
);

describe('what no command changes', () => {
  it('is locked bytes, bytes that change by themselves, and the bits of security options', () => {
    assert.deepEqual(
      protectedPlaces(profile).map(({ kind, mask, name }) => [kind, mask, name]),
      [
        ['locked', 0xff, 'identity'],
        ['security', 0xf0, 'Immobiliser'],
        ['volatile', 0xff, 'counter'],
      ],
    );
  });

  it('is there byte by byte, whatever is missing beside it', () => {
    const keys = (text: string) => [...protectedBits(dumpOf(text, profile)).keys()].sort((a, b) => a - b);
    const at = (...cells: readonly (readonly [number, number])[]) => cells.map(([row, byte]) => cellKey({ row, byte }));
    assert.deepEqual(keys('1: 00 00 00 00\n2: 00 00 00 00\n3: 00 00 00 00\n'), at([0, 0], [0, 1], [1, 3], [2, 0]));
    assert.deepEqual(keys('3: 00 00 00 00\n'), at([0, 0]));
    const bits = protectedBits(dumpOf('1: 00 00 00 00\n3: 00 00 00 00\n', profile));
    assert.deepEqual([...bits.values()].sort(), [0xf0, 0xff, 0xff], 'and no bit beside those of the option');
    const image = readProfile(
      JSON.stringify({ format: 1, addresses: { from: 0, to: 9 }, locked: [{ address: 1, bytes: 4 }] }),
    ).profile;
    assert.deepEqual(
      [...protectedBits(bindText('a.hex', ':020000000000FE\n:020004000000FA\n', image)).keys()],
      at([0, 1], [1, 0]),
    );
  });

  it('is named with its reason', () => {
    const none = bindText('a.cfgdump', '', profile);
    const [locked, security, volatile] = protectedPlaces(profile);
    assert.ok(locked && security && volatile);
    assert.match(say(whyProtected(none, locked, 1)), /^Byte 2 of line 1 is locked \(identity\)/);
    assert.match(
      say(whyProtected(none, security, 0)),
      /^Byte 1 of line 3 holds "Immobiliser", which concerns the security/,
    );
    assert.match(say(whyProtected(none, volatile, 0)), /^Byte 4 of line 2 changes by itself in the module \(counter\)/);
    const place: Place = { kind: 'address', address: 0x1f, count: 4 };
    assert.deepEqual(
      [
        bytesOfPlace(place, 0, 1, none),
        bytesOfPlace(place, 1, 3, none),
        bytesOfPlace({ ...place, kind: 'line', line: 7, byte: 2 }, 1, 2, none),
      ].map((one) => say(one)),
      ['Address 001F', 'Address 0020–0022', 'Byte 3–4 of line 7'],
    );
  });
});
