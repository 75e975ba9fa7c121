import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { likelyModuleName } from '../../../shared-core/src/learn/moduleName.js';
import { bindText } from '../../../shared-core/src/model/dump.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/readProfile.js';

const name = (file: string, headers = '') => likelyModuleName(bindText(file, `${headers}1: 00\n`, EMPTY_PROFILE), file);

describe('what a module may be called', () => {
  it('is in the name of the file of its dump', () => {
    assert.equal(name('rear-body.as-found.cfgdump'), 'Rear body');
    assert.equal(name('car-12.cfgdump'), 'Car');
    assert.equal(name('tür_links.cfgdump'), 'Tür links');
    assert.equal(name('2026.cfgdump'), '2026');
    assert.equal(name('.cfgdump'), 'Cfgdump');
  });

  it('is better said by its headers', () => {
    assert.equal(name('a.cfgdump', '@module Rear body\n'), 'Rear body');
    assert.equal(name('seat.cfgdump', '@module 0x06F4\n@part SE-2034-A\n'), 'Seat (SE-2034-A)');
  });
});
