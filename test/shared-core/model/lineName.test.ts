import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { lineHead, lineName } from '../../../shared-core/src/model/lineName.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
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
});
