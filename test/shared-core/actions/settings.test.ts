import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { SumsPlan } from '../../../shared-core/src/actions/setOptions.js';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { say } from '../../../shared-core/src/base/index.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const DUMP = lines(profileOf(LINES), LINES_TEXT);
type Wishes = Parameters<typeof setOptions>[1];
/** What setting options comes to, in words. */
function set(dump: Dump, wishes: Wishes, plan?: SumsPlan): string {
  const result = setOptions(loaded(dump, SOUND), wishes, {}, plan);
  return say(result.ok ? result.value.says : result.why);
}
const FOG_OFF: Wishes = [{ id: 'fog', to: { raw: 0n } }];

describe('options that are set', () => {
  it('are named with what they become and with how many bytes change, or that they are so already', () => {
    assert.match(set(DUMP, FOG_OFF), /^Fog lamps becomes no: \d bytes change.*, all sums kept right$/);
    assert.equal(set(DUMP, [{ id: 'fog', to: { written: 'yes' } }]), 'Fog lamps becomes yes: already set this way');
    const wrong = lines(DUMP.profile, LINES_TEXT.replace('02 27', '02 29'));
    assert.match(set(wrong, FOG_OFF, { totals: 'none' }), /Not all sums are known to be right: .*file sum/);
    const same = lines(profileOf({ ...LINES, totals: [], lineSum: undefined }), LINES_TEXT);
    assert.match(
      set(same, [{ id: 'fog', to: { raw: 1n } }], { totals: 'none' }),
      /^Fog lamps becomes yes: already set this way\. Not all sums are known to be right: /,
    );
  });

  it('that are only a guess are named before they are written, with what speaks for them', () => {
    const guessed = LINES.options.map((option) => ({ ...option, confidence: 'guess', evidence: 'One car only.' }));
    const told = (options: readonly object[], wishes: Wishes) => {
      const result = setOptions(loaded(lines(profileOf({ ...LINES, options }), LINES_TEXT), SOUND), wishes);
      assert.ok(result.ok);
      const { cautions, inShort } = result.value;
      return [...cautions, ...(inShort === undefined ? [] : [inShort])].map((one) => say(one));
    };
    assert.deepEqual(told(guessed, FOG_OFF), [
      'What the profile says of Fog lamps is unconfirmed (guess). One car only.',
      '⚠ Fog lamps: only a guess',
    ]);
    assert.deepEqual(told(LINES.options, FOG_OFF), []);
    // What can hurt people is said too, and both in short.
    const harmful = guessed.map((option) => ({ ...option, hazard: 'lighting' }));
    const [doubt, ...hazard] = told(harmful, FOG_OFF);
    const alone = told(
      LINES.options.map((option) => ({ ...option, hazard: 'lighting' })),
      FOG_OFF,
    );
    assert.match(doubt ?? '', /unconfirmed \(guess\)/);
    assert.ok(alone.length === 2 && hazard.length === 2);
    assert.equal(hazard[0], alone[0]);
    assert.equal(hazard[1], `⚠ Fog lamps: only a guess ${alone[1]}`);
    assert.deepEqual(told(guessed, [{ id: 'fog', to: { raw: 1n } }]), [], 'nothing is written');
  });

  it('are set once each, by ids that the profile has', () => {
    assert.equal(set(DUMP, [...FOG_OFF, ...FOG_OFF]), 'Fog lamps is given twice. Give it one value.');
    assert.equal(set(DUMP, [{ id: 'fogg', to: { raw: 0n } }]), 'The profile has no option "fogg"; is "fog" meant?');
    assert.equal(
      set(DUMP, [{ id: 'something', to: { raw: 0n } }]),
      'The profile has no option "something". It has: fog, key.',
    );
    const none = lines(profileOf({ lines: LINES.lines }), LINES_TEXT);
    assert.equal(set(none, FOG_OFF), 'The profile has no options, and so no "fog".');
  });

  it('are all set or none', () => {
    assert.match(set(DUMP, [...FOG_OFF, { id: 'key', to: { raw: 0n } }]), /concerns the security of the vehicle/);
    assert.match(set(DUMP, [...FOG_OFF, { id: 'fog', to: { raw: 9n } }]), /given twice/);
    assert.match(set(DUMP, [{ id: 'fog', to: { raw: 9n } }]), /does not know what Fog lamps means with the value 9/);
  });
});

describe('an option in rows of a hex view that are left out', () => {
  const zeros = `${'00 '.repeat(8)} ${'00 '.repeat(8)} |${'.'.repeat(16)}|`;
  const view = `00000000  ${zeros}\n*\n00000020  ${zeros}\n00000030\n`;
  const setIn = (address: string) =>
    set(
      bindText(
        'a.hexdump',
        view,
        profileOf({ addresses: { from: 0, to: 0x2f }, options: [{ id: 'it', title: 'It', address, number: {} }] }),
      ),
      [{ id: 'it', to: { raw: 1n } }],
    );

  it('is refused since "*" leaves its row out, and no other reason is given', () => {
    for (const address of ['0x10', '0x00'])
      assert.match(setIn(address), /^The bytes of row \d are also those of the rows that "\*" leaves out, .* first\.$/);
    assert.match(setIn('0x20'), /^It becomes 1: 1 byte changes/);
  });
});

describe('a file sum that nobody can tell', () => {
  const CANNOT = /^The file sum cannot be kept: a line it covers is missing, stands twice or cannot be read/;

  it('stops the option that it covers from being set, unless sums are left as they are', () => {
    const torn = lines(DUMP.profile, LINES_TEXT.replace('3: 00', '3: 0x'));
    assert.match(set(torn, FOG_OFF), CANNOT);
    assert.match(set(torn, FOG_OFF, { totals: 'rewrite' }), CANNOT);
    assert.match(set(torn, FOG_OFF, { totals: 'none' }), /^Fog lamps becomes no: /);
    const gone = lines(DUMP.profile, LINES_TEXT.replace(/^total.*\n/m, ''));
    assert.match(set(gone, FOG_OFF), /^The file sum cannot be kept: the place where it is stored is missing/);
  });

  it('is no matter of an option in a line that it does not cover', () => {
    const [total] = LINES.totals;
    const { over: _, ...rest } = total as (typeof LINES.totals)[number];
    const of = (range: string) => profileOf({ ...LINES, totals: [{ ...rest, lines: range }] });
    const torn = LINES_TEXT.replace('3: 00', '3: 0x');
    assert.match(set(lines(of('3-3'), torn), FOG_OFF), /^Fog lamps becomes no: /);
    assert.match(set(lines(of('2-3'), torn), FOG_OFF), CANNOT);
    const missing = LINES_TEXT.replace(/^3:.*\n/m, '');
    assert.match(set(lines(of('1-3'), missing), FOG_OFF), CANNOT);
    const four = profileOf({ ...LINES, lines: { ...LINES.lines, to: 4 }, totals: [{ ...rest, lines: '3-4' }] });
    assert.match(
      set(lines(four, missing.replace('total', '4: 00 00 00 | 00\ntotal')), FOG_OFF),
      /^Fog lamps becomes no: /,
    );
  });

  it('is no matter where it covers nothing at all', () => {
    const nothing = profileOf({
      totals: [{ name: 'empty sum', method: 'crc', model: 'CRC-8/ROHC', lines: '5-6' }],
      options: [LINES.options[0] as object],
    });
    assert.match(set(lines(nothing, '2: 01\ntotal: FF\n'), FOG_OFF), /^Fog lamps becomes no: /);
  });

  it('stops all options where it covers one of them', () => {
    const [fog] = LINES.options;
    const [total] = LINES.totals;
    const { over: _, ...rest } = total as (typeof LINES.totals)[number];
    const both = profileOf({
      ...LINES,
      totals: [{ ...rest, lines: '2-2' }],
      options: [fog, { ...fog, id: 'beam', title: 'Beam', line: 3 }],
    });
    const torn = lines(both, LINES_TEXT.replace(/^total.*\n/m, ''));
    for (const wishes of [
      [...FOG_OFF, { id: 'beam', to: { raw: 1n } }],
      [{ id: 'beam', to: { raw: 1n } }, ...FOG_OFF],
    ] as const)
      assert.match(set(torn, wishes), /^The file sum cannot be kept/);
    assert.match(set(torn, [{ id: 'beam', to: { raw: 1n } }]), /^Beam becomes yes/);
  });

  it('over addresses that are not all there may cover any byte', () => {
    const profile = profileOf({
      addresses: { from: 0x10, to: 0x1b },
      totals: [{ name: 'file sum', method: 'add', bits: 16, over: [{ from: 0x14, to: 0x19 }], address: 0x1a }],
      options: [{ id: 'fog', title: 'Fog lamps', address: 0x10, values: { 0: 'no', 161: 'yes' } }],
    });
    const [first, second, third] = IMAGE_RECORDS;
    assert.match(
      set(image(profile, first, second, third, END), FOG_OFF, { totals: 'rewrite' }),
      /^Fog lamps becomes no/,
    );
    assert.match(set(image(profile, first, third, END), FOG_OFF), CANNOT);
  });
});
