// Common practice, no published source: a reading that differs in many places that nobody worked on is of another car.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import {
  readBackPage,
  verdictInWords,
  verificationInWords,
  verifyReadBack,
} from '../../../shared-core/src/jobs/index.js';
import type { DumpBeside } from '../../../shared-core/src/jobs/verify/anotherCar.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { END, IMAGE, IMAGE_RECORDS, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf({
  lines: { from: 1, to: 20, data: 2, sum: 1 },
  lineSum: { method: 'add', over: ['data'] },
  options: [
    { id: 'heater', title: 'Heater', line: 7, byte: 1, values: { 64: 'no', 69: 'yes' } },
    { id: 'lamp', title: 'Lamp', line: 3, byte: 1, values: { 3: 'one', 36: 'two' } },
  ],
});
type Changes = Readonly<Record<number, number>>;
const hex = (value: number) => value.toString(16).toUpperCase().padStart(2, '0');
/** Line n holds n and 50, but for the first bytes that are given. */
const text = (changes: Changes, head = '') =>
  head +
  Array.from({ length: 20 }, (_, i) => {
    const first = changes[i + 1] ?? (i === 6 ? 0x40 : i + 1);
    return `${i + 1}: ${hex(first)} 50 | ${hex((first + 0x50) & 0xff)}\n`;
  }).join('');
const dump = (changes: Changes, head?: string) => lines(PROFILE, text(changes, head));
const VAN = '@vehicle van\n';
const FOUND = dump({}, VAN);
const PLANNED = dump({ 7: 0x45 }, VAN);
const OTHER: Changes = { 3: 0x71, 5: 0x91, 7: 0x45, 9: 0xb2, 11: 0x8f };
const beside = (name: string, changes: Changes, head = ''): DumpBeside => ({ name, dump: dump(changes, head) });
const verify = (changes: Changes, others: readonly DumpBeside[] = [], head = VAN) =>
  verifyReadBack(PLANNED, dump(changes, head), FOUND, () => others);
const doubtOf = (...given: Parameters<typeof verify>) => {
  const { doubt, foreign } = verify(...given);
  return [doubt, foreign].map((said) => (said === undefined ? '' : say(said)));
};
const pageOf = (...given: Parameters<typeof verify>) =>
  readBackPage(
    verify(...given),
    { name: 'plan', dump: PLANNED },
    { name: 'read', dump: dump(given[0], given[2]) },
    (said) => say(said),
  );
const MANY = '4 lines differ that the work does not touch, and nothing is wrong with their sums.';

describe('a reading that may be of another car', () => {
  it('is told by many lines that differ though the work does not touch them', () => {
    assert.deepEqual(doubtOf(OTHER), [MANY, '']);
    assert.deepEqual(doubtOf({ 3: 0x71, 7: 0x45, 9: 0xb2 }), ['', '']);
    assert.deepEqual(doubtOf({ 3: 0x71, 9: 0xb2, 7: 0x45, 11: 0xff }), [MANY.replace('4', '3'), '']);
  });

  it('not by lines whose own sum is wrong, and not by those that were not written', () => {
    const torn = lines(PROFILE, text(OTHER, VAN).replace(/^((?:3|5|9|11): .. )50/gm, '$151'));
    assert.equal(torn.wrongSums.length, 4);
    const { doubt, foreign } = verifyReadBack(PLANNED, torn, FOUND);
    assert.deepEqual([doubt, foreign], [undefined, undefined]);
    const wide = dump({ 3: 4, 5: 0x91, 7: 0x45, 9: 0xb2, 11: 0x8f }, VAN);
    assert.equal(verifyReadBack(wide, FOUND, FOUND).doubt, undefined);
  });

  it('is told by several bytes of few lines where every sum of the file fits, as none was read wrongly then', () => {
    const profile = profileOf({
      addresses: { from: 0, to: 0x3f },
      totals: [{ name: 'sum', method: 'add', bits: 16, over: [{ from: 0, to: 0x3d }], address: 0x3e }],
      options: [{ id: 'lamp', title: 'Lamp', address: 0x20, values: { 0: 'no', 1: 'yes' } }],
    });
    const image = (lamp: number, other: number, off = 0) => {
      const bytes = Array.from({ length: 62 }, (_, at) => (at === 0x20 ? lamp : at < other ? 0x90 + at : at));
      const sum = bytes.reduce((all, byte) => all + byte, off);
      const all = [...bytes, sum >> 8, sum & 0xff].map(hex);
      const rows = [0, 16, 32, 48].map((row) => `0x${hex(row)}: ${all.slice(row, row + 16).join(' ')}\n`);
      return lines(profile, `${VAN}${rows.join('')}`);
    };
    const doubt = (other: number, off = 0) => verifyReadBack(image(1, 0), image(1, other, off), image(0, 0)).doubt;
    const said = doubt(8);
    assert.equal(said && say(said), '8 bytes differ that the work does not touch, and all sums fit.');
    assert.equal(doubt(4), undefined);
    assert.equal(doubt(8, 1), undefined, 'where a sum does not fit, bytes may have been read wrongly');
  });

  it('is told by another text, such as a serial number, in a file whose sum fits; not where it does not', () => {
    const profile = profileOf({
      addresses: { from: 0, to: 0x1f },
      options: [
        { id: 'serial', title: 'Text at 0x0', address: 0, length: 4, text: 'ascii', confidence: 'guess' },
        { id: 'lamp', title: 'Lamp', address: '0x10', values: { 0: 'no', 1: 'yes' } },
      ],
      totals: [{ name: 'file sum', method: 'add', bits: 8, over: [{ from: 0, to: '0x1E' }], address: '0x1F' }],
    });
    const raw = (serial: string, lamp: number, slip = 0) => {
      const bytes = [...serial].map((letter) => letter.charCodeAt(0)).concat(Array.from({ length: 27 }, () => 0x11));
      bytes[0x10] = lamp;
      const sum = bytes.reduce((all, byte) => all + byte, 0) & 0xff;
      bytes[2] = (bytes[2] ?? 0) ^ slip;
      const row = (from: number) =>
        `0x${hex(from).padStart(4, '0')}: ${[...bytes, sum]
          .slice(from, from + 16)
          .map(hex)
          .join(' ')}\n`;
      return lines(profile, row(0) + row(16));
    };
    const verdict = (read: ReturnType<typeof raw>) => {
      const verification = verifyReadBack(raw('SN12', 1), read, raw('SN12', 0));
      const page = readBackPage(
        verification,
        { name: 'plan', dump: raw('SN12', 1) },
        { name: 'read', dump: read },
        (said) => say(said),
      );
      return { verdict: say(verdictInWords(verification)), page };
    };
    const other = verdict(raw('SN73', 1));
    assert.match(
      other.verdict,
      /^Text at 0x0 is .*SN73.* in what was read and .*SN12.* in the plan, and its sums fit: probably another module\. This is not the read-back of this plan\.$/,
    );
    assert.doesNotMatch(other.page, /volatile|Correct these|its sum fits/);
    const torn = verdict(raw('SN12', 1, 4));
    assert.doesNotMatch(torn.verdict, /another module/);
    assert.match(
      torn.page,
      /Read the module once more and verify that\. Until then write nothing into the module by this page\./,
    );
    assert.doesNotMatch(torn.page, /Correct these|its sum fits/);
  });

  it('is told without a backup too, as nothing says then which lines the work touches', () => {
    const { doubt } = verifyReadBack(PLANNED, dump(OTHER, VAN), undefined);
    assert.equal(doubt && say(doubt), '4 lines differ, and nothing is wrong with their sums.');
  });

  it('is told by a dump beside the plan with the same bytes, or nearly the same', () => {
    const donor = beside('donor.cfgdump', OTHER, '@use comparison\n');
    assert.deepEqual(doubtOf(OTHER, [donor]), [
      'it is byte for byte donor.cfgdump, which is only here to compare with.',
      '',
    ]);
    const near = { ...OTHER, 20: 0x33 };
    assert.deepEqual(doubtOf(near, [beside('far.cfgdump', { 15: 2 }, '@use comparison\n'), donor]), [
      'it is nearly donor.cfgdump, which is only here to compare with: 1 byte differs, and 5 bytes from the plan.',
      '',
    ]);
    // Only one line besides the work, and yet the file of another car.
    const small: Changes = { 7: 0x45, 9: 0xb2 };
    assert.deepEqual(doubtOf(small, [beside('blue.cfgdump', small, '@vehicle blue\n')]), [
      '',
      'What was read is byte for byte blue.cfgdump, which is of another car ("@vehicle" is "van" in the plan and "blue" there).',
    ]);
  });

  it('is not told by a dump of which not every byte was compared: that is no copy, however alike the rest is', () => {
    const small: Changes = { 7: 0x45, 9: 0xb2 };
    const whole = text(small, '@vehicle blue\n');
    const [last] = /^20: .*\n/m.exec(whole) ?? [];
    assert.ok(last);
    const foreignTo = (other: string, read = text(small, VAN)) =>
      verifyReadBack(PLANNED, lines(PROFILE, read), FOUND, () => [
        { name: 'blue.cfgdump', dump: lines(PROFILE, other) },
      ]).foreign;
    assert.ok(foreignTo(whole));
    for (const [other, read] of [
      [whole.replace(last, '')],
      [whole, text(small, VAN).replace(last, '')],
      [whole.replace(last, '20: 14 5\n')],
      [`${whole}21: 15 50 | 65\n`],
      [`${whole}${last}`],
    ] as const)
      assert.equal(foreignTo(other, read), undefined, other);
    // Of a record whose address cannot be read either, nobody knows what it says of any byte.
    const [first, second, third] = IMAGE_RECORDS;
    const memory = (head: string, ...records: readonly string[]) =>
      bindText(
        'a.hex',
        `; @vehicle ${head}\n${records.join('\n')}\n${END}\n`,
        profileOf({ addresses: IMAGE.addresses }),
      );
    const [planned, other] = [
      first.replace('A1', 'A0').replace('D5', 'D6'),
      second.replace('10', '11').replace('D8', 'D7'),
    ];
    const foreignImage = (...more: readonly string[]) =>
      verifyReadBack(
        memory('van', planned, second, third),
        memory('van', planned, other, third),
        memory('van', first, second, third),
        () => [{ name: 'blue.hex', dump: memory('blue', planned, other, third, ...more) }],
      ).foreign;
    assert.ok(foreignImage());
    assert.equal(foreignImage(':0x'), undefined);
  });

  it('is not told by dumps of the same car, by ones that name none, and not where it is what was planned', () => {
    const small: Changes = { 7: 0x45, 9: 0xb2 };
    for (const head of [VAN, '']) assert.deepEqual(doubtOf(small, [beside('x.cfgdump', small, head)]), ['', '']);
    const same = verify({ 7: 0x45 }, [beside('blue.cfgdump', { 7: 0x45 }, '@vehicle blue\n')]);
    assert.deepEqual([same.matches, same.foreign, same.doubt], [true, undefined, undefined]);
    // A module that was not written holds what it held, and a donor may have held the same.
    assert.deepEqual(doubtOf({}, [beside('donor.cfgdump', {}, '@use comparison\n')]), ['', '']);
  });

  it('is said before all else, and no cause is named that would hold only in this car', () => {
    const [first, ...rest] = verificationInWords(verify(OTHER)).map((said) => say(said));
    assert.equal(
      first,
      `What was read is NOT what was planned, and may be of another car or module: ${MANY} Make sure of that first.`,
    );
    assert.equal(say(verdictInWords(verify(OTHER))), first);
    assert.equal(rest.filter((one) => one.endsWith('Perhaps of another car or module.')).length, 4);
    const page = pageOf(OTHER);
    assert.doesNotMatch(`${rest.join()}${page}`, /volatile" in the profile|by itself|replaced the value|Correct these/);
    assert.match(page, /Write nothing into the module by this page/);
    assert.doesNotMatch(page, /line 3, 5, 9, 11\./);
  });

  it('else may have changed a little by itself, which is no word about options', () => {
    const causes = (changes: Changes) => verify(changes).lines.map(({ cause }) => say(cause));
    assert.deepEqual(causes({ 7: 0x45, 9: 0xb2 }), [
      'The work does not touch it: the module changed it by itself, or another one was read. If it differs at every reading of this module, it belongs under "volatile" in the profile.',
    ]);
    assert.deepEqual(causes({ 7: 0x45, 3: 0x24 }), [
      'Lamp is "two", not "one"; its sum fits. The work does not touch it: the module or somebody set it meanwhile, or another module was read. Read the module once more.',
    ]);
    assert.match(pageOf({ 7: 0x45, 9: 0xb2 }), /Make sure that it was read from this module\. Then correct these/);
  });
});
