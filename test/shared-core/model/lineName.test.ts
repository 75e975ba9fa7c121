import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { bindText, byteOfCopy, calledLine, lineCalled } from '../../../shared-core/src/model/index.js';
import { lineHead, lineName } from '../../../shared-core/src/model/lineName.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { NAMED, NAMED_TEXT, namedProfile } from '../../support/namedLines.js';
import { BY_PATTERN_TEXT, patternProfile } from '../../support/severalNumbers.js';
import { END, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

describe('what a line of a dump is called', () => {
  it('is its number, in a table headed "Line"', () => {
    const dump = lines(profileOf(LINES), LINES_TEXT);
    assert.equal(say(lineName(dump, 2)), 'Line 2');
    assert.equal(say(lineHead(dump)), 'Line');
  });

  it('is the address of a record of an image, in a table headed "Address"', () => {
    const dump = image(EMPTY_PROFILE, ...IMAGE_RECORDS, END);
    assert.equal(say(lineName(dump, '0010')), 'Address 0010');
    assert.equal(say(lineHead(dump)), 'Address');
  });

  const named = (text: string) => lines(namedProfile, text);
  const without = (text: string, line: string) => text.replace(new RegExp(`^${line}.*\n`, 'm'), '');

  it('is what is before its bytes, also of a line that cannot be read', () => {
    const dump = named(NAMED_TEXT.replace('r0A  01', 'r0A  0Z'));
    assert.deepEqual(dump.rows.map((_, row) => lineCalled(dump, row)).slice(0, 12), [
      'r08',
      'r09',
      'r0A',
      'r0B',
      'r0C',
      'r0D',
      'r0E',
      'r0F',
      'r10',
      'r11',
      'r12',
      'CHK',
    ]);
    const several = lines(patternProfile, BY_PATTERN_TEXT.replace('B1/0A: 01', 'B1/0A: 0Z'));
    assert.deepEqual(several.rows.map((_, row) => lineCalled(several, row)).slice(0, 6), [
      'B1/09',
      'B1/0A',
      'B1/0B',
      'B2/01',
      'B2/02',
      'B10/00',
    ]);
  });

  it('is what the others show where it is not there: in hex, of several numbers', () => {
    assert.equal(calledLine(named(without(NAMED_TEXT, 'r0A')), 10), 'r0A');
    assert.equal(calledLine(named(without(NAMED_TEXT, 'CHK')), 'total'), 'CHK');
    assert.equal(calledLine(lines(patternProfile, without(BY_PATTERN_TEXT, 'B1/0A')), '1-10'), 'B1/0A');
  });

  it('is an address as it is written in dump text', () => {
    const dump = bindText('a.cfgdump', '0x0000: 01 02\n0x0310: 03 04\n32: 05 06\n', EMPTY_PROFILE);
    assert.deepEqual(dump.rows.map((_, row) => lineCalled(dump, row)).slice(0, 3), ['0x0000', '0x0310', '32']);
  });

  it('is the same where bytes of copies are named', () => {
    const copied = profileOf({ ...NAMED, copies: [{ name: 'twin', lines: '9-10', at: ['15-16'], as: 'same' }] });
    const dump = lines(copied, NAMED_TEXT);
    const [copies] = dump.profile.copies;
    assert.ok(copies);
    assert.equal(say(byteOfCopy(dump, copies, 1, 3)), 'Byte 2 of line r10');
    assert.equal(say(byteOfCopy(dump, copies, 0, 0, 4)), 'Lines r09 to r0A');
  });
});
