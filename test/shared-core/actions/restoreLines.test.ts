import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { restore } from '../../../shared-core/src/actions/index.js';
import { linesToRestore, soundBackup, takeLines } from '../../../shared-core/src/actions/restore.js';
import { say } from '../../../shared-core/src/base/index.js';
import { textAfter } from '../../../shared-core/src/format/index.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import type { Profile } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf(LINES);
const FOG_OFF = LINES_TEXT.replace('01 10 00 | 11', '00 10 00 | 10').replace('02 27', '02 26');
const sealed = (text: string, profile: Profile = PROFILE) =>
  lines(profile, `@seal ${sealOf(lines(profile, text))}\n${text}`);

const taken = (dump: Dump, backup: Dump, chosen?: readonly (number | string)[]) =>
  restore(loaded(dump, SOUND, { kind: 'read', dump: backup }), chosen);

/** A dump after lines were taken from its backup: its text, what still differs and what is said. */
function restored(...given: Parameters<typeof taken>) {
  const result = taken(...given);
  assert.ok(result.ok, result.ok ? '' : say(result.why));
  const { edits, says, labels, left, remarks, cautions } = result.value;
  return {
    text: textAfter(given[0].rows, edits),
    says: say(says),
    ...{ labels, left },
    remarks: remarks.map((one) => say(one)),
    cautions: cautions.map((one) => say(one)),
  };
}

function refused(...given: Parameters<typeof taken>): string {
  const result = taken(...given);
  return result.ok ? '' : say(result.why);
}

describe('lines that go back to the backup', () => {
  it('are all that differ, whatever differs: bytes, lines that are missing, too many, or cannot be read', () => {
    for (const [text, labels] of [
      [FOG_OFF, [2, 'total']],
      [LINES_TEXT, []],
      [LINES_TEXT.replace(/^3:.*\n/m, ''), [3]],
      [LINES_TEXT.replace('3: 00', '3: 0x'), [3]],
      [LINES_TEXT.replace('3: 00', '3: 00 00'), [3]],
      [LINES_TEXT.replace(/^1:.*\n/m, ''), [1]],
    ] as const) {
      const dump = lines(PROFILE, text);
      const all = restored(dump, sealed(LINES_TEXT));
      assert.deepEqual(all, {
        text: LINES_TEXT,
        says: `Lines restored: ${labels.length}`,
        ...{ labels, left: [], remarks: [], cautions: [] },
      });
      assert.deepEqual(linesToRestore(dump, sealed(LINES_TEXT)), labels);
    }
  });

  it('are emptied where the backup does not have them', () => {
    const open = profileOf({ options: LINES.options });
    const [text, more] = ['1: 01 02\n2: 10 00\n', '1: 01 02\n2: 10 00\n7: 05\n'];
    const all = restored(lines(open, more), sealed(text, open));
    assert.deepEqual([all.text, all.labels, all.left], [`${text}\n`, [7], []]);
    const chosen = restored(lines(open, more.replace('01 02', '01 03')), sealed(text, open), [1]);
    assert.deepEqual([chosen.text, chosen.labels, chosen.left], [more, [1], [7]]);
  });

  it('are chosen ones alone, with the file sum balanced or left as wrong as it was', () => {
    const kept = profileOf({ ...LINES, totals: LINES.totals.map((total) => ({ ...total, keep: true })) });
    const dump = lines(
      kept,
      LINES_TEXT.replace('01 10 00 | 11', '00 10 00 | 10').replace('3: 00 00 00 | 00', '3: 00 00 01 | 01'),
    );
    const one = restored(dump, sealed(LINES_TEXT, kept), [2]);
    assert.deepEqual([one.text, one.left], [LINES_TEXT, []]);
    const wrong = lines(PROFILE, FOG_OFF.replace('02 26', '03 00'));
    const left = restored(wrong, sealed(LINES_TEXT), [2]);
    assert.deepEqual([left.text, left.left], [LINES_TEXT.replace('02 27', '03 00'), ['total']]);
  });

  it('leave the sum of any other line as it is, which may tell of a damaged byte', () => {
    const kept = profileOf({
      ...LINES,
      totals: LINES.totals.map((total) => ({ ...total, keep: true })),
      balance: [{ line: 3, byte: 3 }],
    });
    const damaged = LINES_TEXT.replace('A1 B2 C3 | 16', 'A1 B2 C3 | 17');
    const alike = restored(
      lines(kept, damaged.replace('01 10 00 | 11', '00 10 01 | 11')),
      sealed(LINES_TEXT, kept),
      [2],
    );
    assert.deepEqual([alike.text, alike.left], [damaged, [1]]);
    // The file sum, 022C, is kept by the balance place, which is counted from the backup: 5 more than nothing.
    const work = damaged
      .replace('01 10 00 | 11', '00 10 00 | 10')
      .replace('3: 00 00 00 | 00', '3: 00 00 06 | 06')
      .replace('02 27', '02 2C');
    const one = restored(lines(kept, work), sealed(LINES_TEXT, kept), [2]);
    const wanted = damaged.replace('3: 00 00 00 | 00', '3: 00 00 05 | 05').replace('02 27', '02 2C');
    assert.deepEqual([one.text, one.left], [wanted, [1, 3, 'total']]);
  });

  it('balance no file sum where a line is put in: what would make it wrong is refused', () => {
    const [total] = LINES.totals;
    const { over: _, ...rest } = total as (typeof LINES.totals)[number];
    const two = profileOf({
      ...LINES,
      totals: [{ ...rest, lines: '1-2', keep: true }],
      balance: [{ line: 2, byte: 3 }],
    });
    const found = LINES_TEXT;
    const dump = lines(two, FOG_OFF.replace(/^3:.*\n/m, ''));
    assert.equal(restored(dump, sealed(found, two)).text, found);
    assert.match(
      refused(dump, sealed(found, two), [2, 3]),
      /^The file sum is right and would be wrong after this change/,
    );
  });

  it('keep one file sum where another was wrong before', () => {
    const [total] = LINES.totals;
    const { over: _, ...rest } = total as (typeof LINES.totals)[number];
    const two = profileOf({
      ...LINES,
      totals: [
        { ...rest, name: 'first sum', label: 'first', lines: '1-1' },
        { ...rest, lines: '2-3', keep: true },
      ],
    });
    const text = (line: string, last: string, first: string, sum: string) =>
      `1: A1 B2 C3 | 16\n2: ${line}\n3: 00 00 ${last}\nfirst: ${first}\ntotal: ${sum}\n`;
    const found = text('01 10 00 | 11', '00 | 00', '02 16', '00 11');
    const work = lines(two, text('00 10 00 | 10', '04 | 04', '02 17', '00 14'));
    const one = restored(work, sealed(found, two), [2]);
    assert.equal(one.text, text('01 10 00 | 11', '03 | 03', '02 16', '00 14'));
  });

  it('are not said again to be of a module that a person has confirmed', () => {
    const unconfirmed = profileOf({ ...LINES, appliesTo: { part: ['A*'] } });
    const dump = lines(unconfirmed, FOG_OFF);
    const backup = { kind: 'read', dump: sealed(LINES_TEXT, unconfirmed) } as const;
    const result = restore(loaded(dump, SOUND, backup), undefined, { unconfirmed: true });
    assert.ok(result.ok);
    assert.deepEqual(result.value.remarks, []);
  });

  it('leave what else cannot be read, which is said', () => {
    const open = profileOf({ ...LINES, totals: [] });
    const [long, found] = [FOG_OFF.replace('3: 00', '3: 00 00'), LINES_TEXT].map((text) =>
      text.replace(/^total.*\n/m, ''),
    );
    const one = restored(lines(open, long ?? ''), sealed(found ?? '', open), [2]);
    assert.deepEqual([one.left, one.remarks], [[3], ['Not whole: line 3 is too long or too short (1 in all).']]);
  });

  it('that cannot be restored one by one are named', () => {
    const twice = lines(PROFILE, `${FOG_OFF}2: 01 10 00 | 11\n`);
    assert.match(
      refused(twice, sealed(LINES_TEXT), [2]),
      /^These lines cannot be restored one by one: 2\. Correct them by hand\.$/,
    );
  });

  it('take the file sum with them, which is not restored by itself where it is right', () => {
    const dump = lines(PROFILE, FOG_OFF);
    assert.equal(
      refused(dump, sealed(LINES_TEXT), ['total']),
      'Line total holds a sum, which goes with the lines that it covers: restore these.',
    );
    assert.equal(
      restored(lines(PROFILE, LINES_TEXT.replace('02 27', '02 28')), sealed(LINES_TEXT), ['total']).left.length,
      0,
    );
  });

  it('come with what the options touch that change, before it is written', () => {
    const bright = profileOf({ ...LINES, options: [{ ...LINES.options[0], hazard: 'lighting' }, LINES.options[1]] });
    const { cautions } = restored(lines(bright, `@vin A\n${FOG_OFF}`), sealed(LINES_TEXT, bright));
    assert.match(cautions[0] ?? '', /^The backup has no "@vin", and this dump has/);
    assert.match(cautions[1] ?? '', /^Fog lamps: ⚠ Affects the lighting/);
    assert.equal(cautions.length, 2);
  });

  it('come with what they break, in a dump and its vehicle', () => {
    const needing = profileOf({
      ...LINES,
      options: [
        ...LINES.options,
        {
          id: 'beam',
          title: 'Beam',
          line: 3,
          byte: 1,
          values: { 0: 'no', 1: 'yes' },
          needs: [{ option: 'fog', in: [0] }],
        },
      ],
    });
    const work = FOG_OFF.replace('3: 00 00 00 | 00', '3: 01 00 00 | 01').replace('02 26', '02 27');
    const one = restored(lines(needing, work), sealed(LINES_TEXT, needing), [2]);
    assert.deepEqual(one.cautions, ['Beam "yes" needs Fog lamps at "no"; it is "yes".']);
  });

  it('are those of a backup that is sound and of this module', () => {
    const dump = lines(PROFILE, FOG_OFF);
    const backup = (text: string) => {
      const result = soundBackup(loaded(dump, SOUND, { kind: 'read', dump: lines(PROFILE, text) }));
      return result.ok ? '' : say(result.why);
    };
    assert.equal(backup(LINES_TEXT), '');
    assert.match(backup(LINES_TEXT.replace('| 11', '| 12')), /not sound/);
    const none = soundBackup(loaded(dump, SOUND));
    assert.match(none.ok ? '' : say(none.why), /This dump names no backup/);
    assert.match(refused(dump, lines(PROFILE, LINES_TEXT.replace('| 11', '| 12'))), /not sound/);
    assert.match(refused(sealed(FOG_OFF), sealed(LINES_TEXT)), /sealed backup and stays as it is/);
  });
});

describe('records of an image that go back to the backup', () => {
  const profile = profileOf({ ...IMAGE, totals: [] });
  const [first, second, third] = IMAGE_RECORDS;
  const work = ':0400140011000000D7';
  const backup = image(profile, ...IMAGE_RECORDS, END, `; @seal ${sealOf(image(profile, ...IMAGE_RECORDS, END))}`);
  const text = (...records: readonly string[]) => `${records.join('\n')}\n`;

  it('are all that differ, or chosen ones by their address', () => {
    const last = ':0400180000012702BA';
    const dump = image(profile, first, work, last, END);
    const all = restored(dump, backup);
    assert.deepEqual([all.text, all.left], [text(first, second, third, END), []]);
    assert.equal(all.labels.length, 2);
    const one = restored(dump, backup, all.labels.slice(0, 1));
    assert.deepEqual([one.text, one.left], [text(first, second, last, END), all.labels.slice(1)]);
  });

  it('are written anew where they cannot be read, all or chosen ones', () => {
    const bare = profileOf({ addresses: IMAGE.addresses });
    const found = image(bare, ...IMAGE_RECORDS, END);
    for (const torn of [second.replace('10', '1O'), `${second.slice(0, -1)}x`]) {
      const dump = image(bare, first, torn, third, END);
      for (const chosen of [undefined, ['0014\u20130017'], ['0014']]) {
        const all = restored(dump, found, chosen);
        assert.deepEqual([all.text, all.left], [text(first, second, third, END), []]);
      }
    }
    const two = image(bare, `${first.slice(0, -1)}x`, `${second.slice(0, -1)}x`, third, END);
    assert.equal(restored(two, found).text, text(first, second, third, END));
    const one = restored(two, found, ['0014']);
    assert.deepEqual([one.text, one.left], [text(`${first.slice(0, -1)}x`, second, third, END), ['0010\u20130013']]);
    const other = image(bare, work, `${third.slice(0, -1)}x`, first, END);
    assert.equal(restored(other, found, ['0014']).text, text(second, `${third.slice(0, -1)}x`, first, END));
  });

  it('leave another start address, which is said', () => {
    const [start, other] = [':0400000500000000F7', ':0400000500000001F6'];
    const found = image(profile, ...IMAGE_RECORDS, start, END);
    const dump = image(profile, first, work, third, other, END);
    const lines = takeLines(loaded(dump, SOUND), found, undefined);
    assert.ok(lines.ok);
    assert.equal(textAfter(dump.rows, lines.value.edits), text(first, second, third, other, END));
    assert.deepEqual(
      lines.value.remarks.map((one) => say(one)),
      ['The start address still differs: correct its record by hand.'],
    );
  });

  it('are not those of which not even the address is known, which are counted', () => {
    const dump = image(profile, first, work, third, ':zz', END);
    const all = restored(dump, backup);
    assert.equal(all.text, text(first, second, third, ':zz', END));
    assert.deepEqual(all.remarks, ['Records that cannot be read, and so were not compared: 1.']);
  });
});
