import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { fix } from '../../../shared-core/src/actions/repair.js';
import { restore } from '../../../shared-core/src/actions/restore.js';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { whyOptionInDoubt } from '../../../shared-core/src/checks/optionDoubt.js';
import { compareDumps } from '../../../shared-core/src/compare/compareDumps.js';
import { comparisonInWords } from '../../../shared-core/src/compare/comparisonInWords.js';
import { textOfRows } from '../../../shared-core/src/format/rows.js';
import { type Dump, readOption } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { SETTINGS, settings, withBytes } from '../../support/copies.js';
import { bytesAt } from '../../support/images.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { image, lines, profileOf } from '../../support/smallDumps.js';

const DUMP = settings();

/** A dump in lines of which lines 4 and 5 are copies of 1 and 2. */
const LINES = {
  lines: { from: 1, to: 6, data: 3, sum: 1 },
  lineSum: { method: 'xor', over: ['label', 'data'] },
  copies: [{ name: 'block', lines: '1-2', at: ['4-5'] }],
  totals: [{ name: 'file sum', method: 'add', bits: 16, over: ['data'], label: 'total' }],
  options: [{ id: 'fog', title: 'Fog lamps', line: 2, byte: 1, number: {} }],
};
const TEXT =
  '1: 01 02 03 | 01\n2: 10 20 30 | 02\n3: 00 00 00 | 03\n4: 01 02 03 | 04\n5: 10 20 30 | 05\n6: 00 00 00 | 06\ntotal: 00 CC\n';
const OWN = lines(profileOf(LINES), TEXT);

/** The same as a sealed backup. */
function sealed(dump: Dump): Dump {
  const text = textOfRows(dump.rows);
  return lines(dump.profile, `@seal ${sealOf(dump)}\n${text}`);
}

const changed = (dump: Dump, raw: bigint) => {
  const result = setOptions(loaded(dump, SOUND), [{ id: 'fog', to: { raw } }]);
  assert.ok(result.ok);
  return result.value.after;
};

describe('what is done to a dump with copies', () => {
  it('restores a line with its copy, or all lines', () => {
    const backup = { kind: 'read', dump: sealed(OWN) } as const;
    const now = changed(OWN, 0x77n);
    for (const chosen of [[2], [5], undefined]) {
      const result = restore(loaded(now, SOUND, backup), chosen);
      assert.ok(result.ok, result.ok ? '' : say(result.why));
      assert.equal(textOfRows(result.value.after.rows), TEXT);
    }
  });

  it('goes back to a backup whose copies differ, and to no other such state', () => {
    const torn = lines(OWN.profile, TEXT.replace('5: 10 20 30 | 05', '5: 11 20 30 | 04').replace('00 CC', '00 CD'));
    const now = changed(OWN, 0x77n);
    const own = restore(loaded(now, SOUND, { kind: 'read', dump: sealed(torn) }));
    assert.ok(own.ok, own.ok ? '' : say(own.why));
    assert.equal(textOfRows(own.value.after.rows), textOfRows(torn.rows));
    const other = restore(loaded(now, SOUND, { kind: 'read', dump: torn }));
    assert.ok(!other.ok);
    assert.match(say(other.why), /a copy \("block"\)|do not agree/);
  });

  it('writes no byte of copies of which one is missing', () => {
    const gone = lines(OWN.profile, TEXT.replace(/^5:.*\n/m, ''));
    const result = setOptions(loaded(gone, SOUND), [{ id: 'fog', to: { raw: 1n } }]);
    assert.ok(!result.ok);
    assert.match(say(result.why), /cannot all be read \(Byte 1 of line 5\)/);
  });

  it('relies on no option of copies that differ', () => {
    const torn = withBytes(DUMP, { ...SETTINGS, totals: [] }, { 34: 0 });
    const [option] = torn.profile.options;
    const reading = option && readOption(torn, option);
    assert.ok(reading);
    assert.match(say(whyOptionInDoubt(torn, reading, 'Body') ?? { pattern: '', parts: [] }), /do not agree/);
  });

  it('leaves nothing unexplained in a comparison', () => {
    const words = comparisonInWords(compareDumps(OWN, changed(OWN, 1n))).map((one) => say(one));
    assert.ok(words.includes('Line 5, byte 1: 10 → 01 (copy)'), words.join('\n'));
    assert.equal(words.at(-1), 'Nothing else differs: every changed byte is an option, a copy or a sum.');
  });

  it('corrects sums in all copies, and no other byte', () => {
    const wrong = withBytes(DUMP, SETTINGS, { 24: 0, 40: 0, 56: 0 });
    const result = fix(loaded(wrong, SOUND), { totals: 'keep' });
    assert.ok(result.ok);
    assert.deepEqual(bytesAt(result.value.after), bytesAt(DUMP));
    assert.deepEqual(checkDump(loaded(result.value.after, SOUND)), []);
  });

  it('says where a place of copies is not in the image', () => {
    const half = image(
      profileOf({ ...SETTINGS, addresses: undefined, totals: [], options: [] }),
      ...textOfRows(DUMP.rows)
        .split('\n')
        .filter((_, i) => i !== 3),
    );
    const said = checkDump(loaded(half, SOUND)).filter(({ code }) => code === 'not-checked');
    assert.deepEqual(
      said.map(({ message }) => say(message)),
      ['Address 0030–0039 is not in this dump, so the copy of "settings" there was not checked.'],
    );
  });
});
