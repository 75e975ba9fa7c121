import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { verdictInWords, verificationInWords, verifyReadBack } from '../../../shared-core/src/jobs/index.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { image, lines, profileOf, UNSAID } from '../../support/smallDumps.js';

const SUMMED = {
  lines: { from: 1, to: 2, data: 4, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['data'] },
};
const TOTAL = { name: 'file sum', label: 'total', method: 'add', bits: 16, over: ['data'] };
const PLAN = '1: 10 22 33 44 | A9\n2: 01 02 03 04 | 0A\n';
const said = (planned: Dump, read: Dump, found?: Dump) => {
  const verification = verifyReadBack(planned, read, found);
  const { matches, isProof } = verification;
  return { matches, isProof, words: verificationInWords(verification).map((one) => say(one)) };
};

describe('a read-back by a profile', () => {
  const volatile = [{ line: 1, bytes: '2' }];
  const forParts = profileOf({ ...SUMMED, volatile, appliesTo: { part: ['ZZ*'] } });
  const later = PLAN.replace('10 22 33 44 | A9', '10 23 33 44 | AA');

  it('for another module is proved by nothing, whatever that profile calls volatile', () => {
    for (const head of ['@part A1\n', '']) {
      const { matches, isProof, words } = said(lines(forParts, head + PLAN), lines(forParts, head + later));
      assert.deepEqual([matches, isProof], [false, false]);
      assert.match(words[0] ?? '', /^What was read is NOT what was planned\. Other than planned: line 1\./);
      assert.match(words.join('\n'), /^The profile is for .* Nothing is proved by it\.$/m);
    }
  });

  it('for another module may hold the same bytes, which is said and proves nothing more', () => {
    const dump = lines(forParts, `@part A1\n${PLAN}`);
    const { isProof, words } = said(dump, dump);
    assert.equal(isProof, false);
    assert.match(words[0] ?? '', /^Both hold the same bytes, but this proves nothing more: The profile is for another/);
  });

  it('may lack the header by which the plan is known, where each byte is as planned', () => {
    const plan = lines(forParts, `@part ZZ1\n${PLAN}`);
    assert.equal(said(plan, lines(forParts, PLAN)).matches, true);
    assert.equal(said(plan, lines(forParts, `@part ZZ1\n${later}`)).matches, true);
    const unknown = said(plan, lines(forParts, later));
    assert.deepEqual([unknown.matches, unknown.isProof], [false, false]);
  });

  it('that leaves nothing to compare is not what was planned', () => {
    const all = profileOf({ ...SUMMED, volatile: [1, 2].map((line) => ({ line, bytes: '1-4' })) });
    const { matches, isProof, words } = said(
      lines(all, PLAN),
      lines(all, '1: 00 00 00 00 | 00\n2: FF FF FF FF | FC\n'),
    );
    assert.deepEqual([matches, isProof], [false, false]);
    assert.match(words[0] ?? '', /^This cannot be verified: Every byte of data changes by itself/);
    assert.equal(said(lines(all, PLAN), lines(all, PLAN)).matches, true);
  });

  it('without any profile says that nobody can tell whether something is missing', () => {
    const bare = lines(profileOf({}), PLAN);
    assert.equal(said(bare, bare).words.filter((one) => !UNSAID.includes(one)).length, 1);
  });
});

describe('a place that changes by itself', () => {
  const profile = profileOf({ ...SUMMED, volatile: [{ line: 1, bytes: '2' }], totals: [TOTAL] });
  const found = lines(profile, `${PLAN}total: 00 B3\n`);
  const work = lines(profile, `${PLAN.replace('10 22 33 44 | A9', '10 23 33 44 | AA')}total: 00 B4\n`);

  it('was not written where the work changes it and it is read as it was before', () => {
    const { matches, words } = said(work, found, found);
    assert.equal(matches, false);
    assert.match(words.join('\n'), /line 1.*\n.*Not written: it still holds what it held before/i);
    assert.equal(said(work, work, found).matches, true);
  });

  it('makes a file sum wrong that does not follow it, which is said', () => {
    const plan = lines(profile, `${PLAN}total: 00 B3\n`);
    const read = (total: string) =>
      lines(profile, `${PLAN.replace('10 22 33 44 | A9', '10 23 33 44 | AA')}total: ${total}\n`);
    assert.equal(said(plan, read('00 B4')).matches, true);
    const { matches, isProof, words } = said(plan, read('00 B3'));
    assert.deepEqual([matches, isProof], [false, true]);
    assert.equal(
      words[0],
      'What was read is NOT what was planned: The file sum is wrong in what was read: it is 00B3, its bytes make 00B4.',
    );
  });

  it('makes the sum of its line wrong where that does not follow it', () => {
    const read = lines(profile, `${PLAN.replace('10 22 33', '10 23 33')}total: 00 B4\n`);
    const { matches, words } = said(found, read);
    assert.equal(matches, false);
    assert.match(words.join('\n'), /Only places differ that change by themselves, but its sum is wrong/);
  });

  it('is followed by a file sum wherever that is stored', () => {
    const inLine = profileOf({
      ...SUMMED,
      volatile: [{ line: 1, bytes: '2' }],
      totals: [{ name: 's', line: 2, byte: 4, method: 'add', bits: 8, over: ['data'], lines: '1-1' }],
    });
    const of = (one: string, two: string) => lines(inLine, `1: ${one}\n2: ${two}\n`);
    const plan = of('10 22 33 44 | A9', '01 02 03 A9 | AF');
    assert.equal(said(plan, of('10 23 33 44 | AA', '01 02 03 AA | B0')).matches, true);
    assert.equal(said(plan, of('10 23 33 44 | AA', '01 02 03 A9 | AF')).matches, false);
    assert.equal(said(plan, of('10 22 33 44 | A9', '01 02 03 AA | B0')).matches, false);
  });

  it('of an image is followed by the sum at its address', () => {
    const pi = profileOf({
      addresses: { from: '0x100', to: '0x107' },
      totals: [{ name: 's', address: '0x107', method: 'add', bits: 8, over: [{ from: '0x100', to: '0x106' }] }],
      volatile: [{ address: '0x101' }],
    });
    const of = (record: string) => image(pi, record, ':00000001FF');
    const plan = of(':08010000010203040506071CBF');
    assert.equal(said(plan, of(':080100000109030405060723B1')).matches, true);
    const { matches, words } = said(plan, of(':08010000010903040506071CB8'));
    assert.equal(matches, false);
    assert.match(words[0] ?? '', /The s is wrong in what was read: it is 1C, its bytes make 23\./);
  });
});

describe('a line of an image with a wrong sum', () => {
  it('is not said to hold what was planned for itself', () => {
    const bare = profileOf({ addresses: { from: '0x100', to: '0x107' } });
    const verification = verifyReadBack(
      image(bare, ':08010000010203040506071CBF', ':00000001FF'),
      image(bare, ':08010000010203040506071C00', ':00000001FF'),
      undefined,
    );
    const [line] = verification.lines;
    assert.doesNotMatch(line === undefined ? '' : say(line.cause), /entered in the wrong/);
  });

  it('that holds what another place is to hold names it by its address in hex', () => {
    const bare = profileOf({ addresses: { from: '0x100', to: '0x107' } });
    const of = (...records: readonly string[]) => image(bare, ...records, ':00000001FF');
    const plan = of(':0401000001020304F1', ':040104001112131 4AD'.replace(' ', ''));
    const read = of(':0401000011121314B1', ':040104001112131 4AD'.replace(' ', ''));
    const verification = verifyReadBack(plan, read, undefined);
    const [line] = verification.lines;
    assert.equal(
      line && say(line.cause),
      'It has the bytes planned for address 0104: they were entered in the wrong place.',
    );
    assert.match(say(verdictInWords(verification)), /line 0100/);
  });
});

describe('sums that are wrong in the plan and in what was read', () => {
  it('are said even where both agree byte for byte', () => {
    const profile = profileOf({ ...SUMMED, totals: [TOTAL] });
    const dump = lines(profile, `${PLAN.replace('| A9', '| A8')}total: 00 B4\n`);
    const { matches, words } = said(dump, dump);
    assert.equal(matches, true);
    assert.deepEqual(words, [
      'What was read is what was planned, byte for byte.',
      'The file sum is wrong, as in the plan: it is 00B4, its bytes make 00B3.',
      'Line sums are wrong, as in the plan: 1, the first in line 1.',
      ...UNSAID,
    ]);
  });
});
