import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { Change } from '../../../shared-core/src/actions/index.js';
import { balanceAt, balancePlaces, fix, fixOnSave, placeToBalance } from '../../../shared-core/src/actions/repair.js';
import type { SumsPlan } from '../../../shared-core/src/actions/setOptions.js';
import { type Result, say } from '../../../shared-core/src/base/index.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { textAfter } from '../../../shared-core/src/format/index.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const KEPT = { ...LINES, totals: LINES.totals.map((total) => ({ ...total, keep: true })) };
const dumpOf = (text: string, json: object = LINES) => lines(profileOf(json), text);
const WRONG_LINE = LINES_TEXT.replace('| 11', '| 12');
const WRONG_TOTAL = LINES_TEXT.replace('02 27', '02 28');

const outcome = (dump: Dump, result: Result<Change>) =>
  result.ok ? [say(result.value.says), textAfter(dump.rows, result.value.edits)] : [say(result.why), ''];
const fixed = (dump: Dump, plan: SumsPlan = { totals: 'rewrite' }) => outcome(dump, fix(loaded(dump, SOUND), plan));

describe('sums that are made right', () => {
  it('are all of them, and it is said how many bytes change, or that all are right', () => {
    for (const text of [WRONG_LINE, WRONG_TOTAL])
      assert.deepEqual(fixed(dumpOf(text)), ['All checksums corrected: 1 byte changes', LINES_TEXT]);
    assert.deepEqual(fixed(dumpOf(LINES_TEXT)), ['All sums are right, nothing to change.', LINES_TEXT]);
  });

  it('are said not to be known where some cannot be told, whether or not a byte changes', () => {
    const twice = (text: string) => dumpOf(`${text}3: 00 00 00 | 00\n`, { ...LINES, totals: [] });
    assert.match(
      fixed(twice(WRONG_LINE))[0] ?? '',
      /^1 byte changes\. Not all sums are known to be right: Not whole: line 3 is in it twice/,
    );
    assert.match(
      fixed(twice(LINES_TEXT))[0] ?? '',
      /^Nothing to change, and yet not all sums are known to be right: Not whole: line 3/,
    );
  });

  it('of a save are those of lines and of the file where they are not kept; nothing balances', () => {
    const saved = (dump: Dump) => outcome(dump, fixOnSave(loaded(dump, SOUND)));
    const says = 'Line sums corrected, and file sums that are not kept';
    assert.deepEqual(saved(dumpOf(WRONG_TOTAL)), [says, LINES_TEXT]);
    assert.deepEqual(saved(dumpOf(WRONG_LINE)), [says, LINES_TEXT]);
    assert.deepEqual(saved(dumpOf(WRONG_TOTAL, KEPT)), [says, WRONG_TOTAL]);
    const guessed = { ...LINES, totals: LINES.totals.map((total) => ({ ...total, confidence: 'guess' })) };
    assert.deepEqual(saved(dumpOf(WRONG_TOTAL, guessed)), [says, WRONG_TOTAL], 'nobody reads a caution on saving');
    const covering = { ...KEPT, totals: [{ ...KEPT.totals[0], over: ['data', 'sums'] }] };
    const right = WRONG_LINE.replace('02 27', '02 4F');
    assert.deepEqual(saved(dumpOf(right, covering)), [
      'The file sum is right and covers sums that would change. Correct all checksums together, not these alone.',
      '',
    ]);
  });
});

describe('a place to balance with', () => {
  const placed = (dump: Dump, written: string) => {
    const place = placeToBalance(dump, written);
    return place.ok ? place.value : say(place.why);
  };

  it('is a line of data by its label', () => {
    const dump = dumpOf(`# a\n${LINES_TEXT}`);
    assert.deepEqual(placed(dump, '2'), { row: 2 });
    for (const none of ['4', 'total', '', 'x'])
      assert.equal(placed(dump, none), `There is no line ${none} to balance with.`);
  });

  it('of an image is one address or a range of them, in hex', () => {
    const dump = image(profileOf(IMAGE), ...IMAGE_RECORDS, END);
    assert.deepEqual(placed(dump, '14'), { from: 0x14, to: 0x14 });
    assert.deepEqual(placed(dump, '14..17'), { from: 0x14, to: 0x17 });
    for (const none of ['17..14', 'here', ''])
      assert.equal(placed(dump, none), 'Addresses are written in hex: 1F0 for one, 1F0..1FF for a range.');
  });
});

describe('the lines that can bring a file sum right', () => {
  const places = (dump: Dump) => {
    const found = finish(balancePlaces(loaded(dump, SOUND)));
    return found.ok
      ? found.value.map(({ title, detail, change }) => [say(title), change !== undefined, say(detail)] as const)
      : say(found.why);
  };

  it('come first, each with what changes and how sure that is; then those that cannot, with the reason', () => {
    const found = places(dumpOf(WRONG_TOTAL));
    assert.ok(typeof found !== 'string');
    assert.deepEqual(
      found.map(([title, can]) => [title, can]),
      [
        ['Line 2', true],
        ['Line 3', true],
        ['Line 1', false],
      ],
    );
    // Both are one way by one byte, which tells neither from the other.
    assert.match(found[0]?.[2] ?? '', /^byte \d from .. to ..$/);
    assert.match(found[2]?.[2] ?? '', /\./);
  });

  it('say how sure each is where not all of them are as sure', () => {
    const locked = { ...LINES, locked: [...LINES.locked, { line: 3, bytes: '1-2', why: 'fixed' }] };
    const found = places(dumpOf(WRONG_TOTAL, locked));
    assert.ok(typeof found !== 'string');
    const able = found.filter(([, can]) => can).map(([, , detail]) => detail);
    assert.ok(able.length > 0 && able.every((detail) => detail.includes(' – balanced by ')), able.join('\n'));
  });

  it('are not looked for where all file sums are right, or nothing may be written', () => {
    assert.equal(places(dumpOf(LINES_TEXT)), 'All file sums that can be checked are right.');
    const seal = `@seal ${sealOf(dumpOf(WRONG_TOTAL))}\n`;
    assert.match(String(places(dumpOf(seal + WRONG_TOTAL))), /sealed backup and stays as it is/);
  });

  it('are no more than anybody reads through', () => {
    const to = 502;
    const profile = profileOf({
      lines: { from: 1, to, data: 1, sum: 0 },
      totals: [{ name: 'sum', method: 'add', bits: 8, over: ['data'], label: 'total' }],
    });
    const text = Array.from({ length: to }, (_, i) => `${i + 1}: 00\n`).join('');
    const found = places(lines(profile, `${text}total: 01\n`));
    assert.equal(found.length, 500);
  });

  it('of an image are addresses that a person names', () => {
    const [first, second, third] = IMAGE_RECORDS;
    const profile = profileOf(IMAGE);
    const dump = image(profile, first, ':0400140010000001D7', third, END);
    const balanced = finish(balanceAt(loaded(dump, SOUND), { from: 0x17, to: 0x17 }));
    assert.deepEqual(outcome(dump, balanced)[1], [first, second, third, END, ''].join('\n'));
    const right = image(profile, ...IMAGE_RECORDS, END);
    assert.deepEqual(outcome(right, finish(balanceAt(loaded(right, SOUND), { from: 0x17, to: 0x17 }))), [
      'All file sums that can be checked are right.',
      '',
    ]);
    const locked = finish(balanceAt(loaded(dump, SOUND), { from: 0x10, to: 0x10 }));
    assert.equal(locked.ok, false);
  });
});
