// A text in a form that nothing describes is told once; a slip here and there is told line by line.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { isFormUnknown } from '../../../shared-core/src/checks/unknownForm.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { IMAGE, image, LINES, profileOf } from '../../support/smallDumps.js';

const NONE = { kind: 'none' } as const;
const READ = '1: 10 20\n';
const SHAPELESS = 'speed of the car\n';
const BROKEN = '2: 10 ZZ\n';
const dumpOf = (text: string, profile = EMPTY_PROFILE) => bindText('a.cfgdump', text, profile);

describe('the form of a text', () => {
  it('is unknown where not one of several lines can be read, with a profile or without', () => {
    for (const profile of [NONE, SOUND]) {
      assert.equal(isFormUnknown({ dump: dumpOf(BROKEN + BROKEN), profile }), true);
      assert.equal(isFormUnknown({ dump: dumpOf(SHAPELESS + BROKEN), profile }), true);
      assert.equal(isFormUnknown({ dump: dumpOf(BROKEN), profile }), false);
      assert.equal(isFormUnknown({ dump: dumpOf(READ + BROKEN + BROKEN), profile }), false);
    }
  });

  it('is unknown without a profile where more lines have no shape of a record than have one', () => {
    const unknown = (text: string, profile: typeof NONE | typeof SOUND = NONE) =>
      isFormUnknown({ dump: dumpOf(text), profile });
    assert.equal(unknown(READ + SHAPELESS.repeat(2)), true);
    assert.equal(unknown(`${READ}3: 10 20\n${SHAPELESS.repeat(2)}`), false);
    assert.equal(unknown(READ + BROKEN + SHAPELESS.repeat(2)), false);
    assert.equal(unknown(READ + BROKEN + SHAPELESS.repeat(3)), true);
    assert.equal(unknown(READ + SHAPELESS.repeat(9), SOUND), false);
  });

  it('is unknown of a text that a pattern is to read and reads no line of', () => {
    const profile = profileOf({ notation: { pattern: '<{label}> {data}' } });
    const dump = (text: string) => bindText('a.txt', text, profile);
    assert.equal(isFormUnknown({ dump: dump('<1> 1\n<2> 2\n'), profile: SOUND }), true);
    assert.equal(isFormUnknown({ dump: dump('<1> 10\n<2> 2\n<3> 3\n'), profile: SOUND }), false);
  });

  it('is never unknown of a memory image, whose records show it', () => {
    const dump = image(profileOf(IMAGE), ':zz', ':yy');
    assert.ok(dump.invalidRows.length >= 2);
    assert.equal(isFormUnknown({ dump, profile: NONE }), false);
  });

  it('is told at the first line that is not read, with what helps; not where the profile cannot be read', () => {
    const text = `@part A-1\n\n${BROKEN}${SHAPELESS}`;
    const told = (profile: Parameters<typeof loaded>[1]) =>
      checkDump(loaded(dumpOf(text, profileOf(LINES)), profile))
        .filter(({ code }) => code === 'form-unknown')
        .map(({ row, start, end, message }) => [row, start, end, message.pattern.split(' ').slice(0, 3).join(' ')]);
    assert.deepEqual(told(NONE), [[2, 0, BROKEN.length - 1, 'This form is']]);
    assert.deepEqual(told(SOUND), [[2, 0, BROKEN.length - 1, 'Not one line']]);
  });
});
