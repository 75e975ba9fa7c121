import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { matches } from '../../../shared-core/src/base/wildcards.js';
import {
  isOwnBackup,
  otherIdentity,
  whyBackupUnconfirmed,
  whyNotComparable,
  whyNotThisModule,
} from '../../../shared-core/src/model/identity.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf({ lines: { from: 1, to: 1, data: 1, sum: 0 } });
const withHeaders = (...headers: readonly string[]) =>
  bindText('a.cfgdump', [...headers, '1: 01', ''].join('\n'), PROFILE);

describe('two dumps are of one module', () => {
  const HEADERS = ['vin', 'vehicle', 'part', 'software', 'module'] as const;

  it('unless a header differs that says which vehicle, part, software or module it is', () => {
    const two = { vin: 'cars', vehicle: 'cars', part: 'modules', software: 'software levels', module: 'modules' };
    for (const name of HEADERS) {
      const [one, other] = [withHeaders(`@${name} A1`), withHeaders(`@${name} B2`)];
      assert.deepEqual(otherIdentity(one, other), [name, 'A1', 'B2']);
      assert.equal(otherIdentity(one, withHeaders(`@${name} a1`)), undefined);
      assert.equal(otherIdentity(withHeaders(`@${name} A  1`), withHeaders(`@${name} a\t1`)), undefined);
      assert.equal(otherIdentity(one, withHeaders()), undefined);
      assert.equal(
        say(whyNotComparable(one, other) ?? { pattern: '', parts: [] }),
        `These dumps are of two ${two[name]}: "@${name}" is "A1" before and "B2" now. Comparing them says nothing.`,
      );
      assert.equal(whyNotComparable(one, withHeaders()), undefined);
    }
    assert.equal(
      otherIdentity(withHeaders('@note a', '@taken 2026'), withHeaders('@note b', '@taken 2027')),
      undefined,
    );
  });

  it('unless any of several values of one header differs', () => {
    assert.deepEqual(otherIdentity(withHeaders('@vin A', '@vin B'), withHeaders('@vin A')), ['vin', 'B', 'A']);
    assert.deepEqual(otherIdentity(withHeaders('@vin A'), withHeaders('@vin A', '@vin B')), ['vin', 'A', 'B']);
  });

  it('where the backup says all that the dump says, and neither says two things', () => {
    for (const name of HEADERS) {
      assert.equal(isOwnBackup(withHeaders(`@${name} A`), withHeaders(`@${name} a`)), true);
      assert.equal(isOwnBackup(withHeaders(`@${name} A`), withHeaders()), false);
      assert.equal(isOwnBackup(withHeaders(`@${name} A`), withHeaders(`@${name} B`)), false);
      assert.equal(whyBackupUnconfirmed(withHeaders(`@${name} A`), withHeaders(`@${name} B`)), undefined);
      assert.equal(isOwnBackup(withHeaders(), withHeaders(`@${name} A`)), true);
      assert.match(
        say(whyBackupUnconfirmed(withHeaders(`@${name} A`), withHeaders()) ?? { pattern: '', parts: [] }),
        new RegExp(`^The backup has no "@${name}", and this dump has`),
      );
    }
    assert.equal(isOwnBackup(withHeaders(), withHeaders()), true);
    assert.equal(isOwnBackup(withHeaders('@start 0', '@start 1'), withHeaders()), false);
    assert.equal(isOwnBackup(withHeaders(), withHeaders('@start 0', '@start 1')), false);
  });
});

describe('the module that a profile is for', () => {
  const kind = (appliesTo: object, ...headers: readonly string[]) => {
    const misfit = whyNotThisModule({
      ...withHeaders(...headers),
      profile: profileOf({ lines: { from: 1, to: 1, data: 1 }, appliesTo }),
    });
    return [misfit?.kind, misfit?.at?.row];
  };

  it('fits one of the patterns of each header', () => {
    assert.deepEqual(kind({ part: ['A*', 'B*'] }, '@part B1'), [undefined, undefined]);
    assert.deepEqual(kind({ part: ['A*', 'B*'] }, '@part C1'), ['other', 0]);
    assert.deepEqual(kind({ part: ['A*'] }, '@vin X', '@part A1'), [undefined, undefined]);
    assert.deepEqual(kind({ part: ['A*'], software: ['0*'] }, '@part A1', '@software 11'), ['other', 1]);
    assert.deepEqual(kind({ part: ['A*'] }, '@part A1', '@part B1'), ['other', 1]);
  });

  it('is not known where a header is missing or empty, and is another where what is there contradicts', () => {
    assert.deepEqual(kind({ part: ['A*'] }), ['unconfirmed', undefined]);
    assert.deepEqual(kind({ part: ['A*'] }, '@part'), ['unconfirmed', undefined]);
    assert.deepEqual(kind({ part: ['A*'] }, '@part', '@part A1'), [undefined, undefined]);
    assert.deepEqual(kind({ part: ['A*'], software: ['0*'] }, '@software 11'), ['other', 0]);
  });
});

describe('a pattern for a header', () => {
  /** The same as a regular expression. */
  const expression = (pattern: string) =>
    new RegExp(
      `^${pattern
        .replace(/\s/g, '')
        .toUpperCase()
        .replace(/[*?]|[^*?]/g, (one) =>
          one === '*' ? '[^]*' : one === '?' ? '[^]' : `\\u${one.charCodeAt(0).toString(16).padStart(4, '0')}`,
        )}$`,
    );

  it('has "*" for any text and "?" for one character; letter case and blanks do not count', () => {
    const text = (of: string) => fc.array(fc.constantFrom(...of), { maxLength: 8 }).map((all) => all.join(''));
    fc.assert(
      fc.property(text('aAb *?'), text('aAb *?***'), (value, pattern) => {
        const wanted = expression(pattern).test(value.replace(/\s/g, '').toUpperCase());
        assert.equal(matches(value, pattern), wanted);
      }),
      { numRuns: 3000 },
    );
  });

  for (const [value, pattern, fits] of [
    ['RB-2041-07', 'rb-20?? -*', true],
    ['RB-2041-07', 'RB-20??', false],
    ['', '', true],
    ['', '**', true],
    ['', '?', false],
    ['a', '', false],
    ['aab', '*ab', true],
    ['abab', 'ab*ab', true],
    ['aba', 'ab*ba', false],
    ['a', 'a*', true],
    ['a', 'a?', false],
    ['xa.b', 'x?.b', true],
  ] as const)
    it(`"${pattern}" ${fits ? 'fits' : 'does not fit'} "${value}"`, () => assert.equal(matches(value, pattern), fits));
});
