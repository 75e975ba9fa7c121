import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';

describe('a sentence within another', () => {
  const why = phrase('It is no dump. Say so by {0}.', 'a.bin');

  it('has one stop at its end, its own or that of the other', () => {
    assert.equal(say(phrase('{0}: {1}. Correct it.', 'b', why)), 'b: It is no dump. Say so by a.bin. Correct it.');
    assert.equal(say(phrase('{0}: {1}.', 'b', phrase('it is gone'))), 'b: it is gone.');
    assert.equal(say(phrase('{0}.', phrase('{0}', phrase('Gone.')))), 'Gone.');
    assert.equal(say(phrase('{0} {1}', why, why)), 'It is no dump. Say so by a.bin. It is no dump. Say so by a.bin.');
  });

  it('is not what a name is, which stays as it is written', () => {
    assert.equal(say(phrase('Profile of {0}.', 'Example Inc.')), 'Profile of Example Inc..');
  });
});
