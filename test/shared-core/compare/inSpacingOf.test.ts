// The side of a comparison that shows the other dump: as its file is, but for the spelling of lines that both have.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { inSpacingOf } from '../../../shared-core/src/compare/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';

const read = (name: string, text: string) => bindText(name, text, EMPTY_PROFILE);

describe('a dump beside another one', () => {
  it('has the headers and remarks of its own file, and none of the other', () => {
    const sealed = '@seal sha256:00\n# as found\n@vehicle 7\n1: 0001 | 01\n2: 0304\n\n';
    const work = '@backup b.cfgdump\n@vehicle 7\n1: 00 02 | 02\n# in work\n2: 03 04\n';
    assert.equal(
      inSpacingOf(read('w.cfgdump', work), read('b.cfgdump', sealed)),
      '@seal sha256:00\n# as found\n@vehicle 7\n1: 00 01 | 01\n2: 03 04\n\n',
    );
  });

  it('shows a line that it has twice, and one that only it has, as they are', () => {
    const other = '1: 0001\n1: 0009\n5: 0A\n';
    assert.equal(
      inSpacingOf(read('w.cfgdump', '1: 00 02\n3: 01\n'), read('b.cfgdump', other)),
      '1: 00 01\n1: 0009\n5: 0A\n',
    );
  });

  it('has of an image too what its own file says around the records', () => {
    const records = [':0400000001020304F2\n', ':0400040005060708DE\n', ':00000001FF\n'];
    const [one = '', two = '', end = ''] = records;
    const sealed = `; as found\n${one}; between\n${two}${end}; @seal sha256:00\n; @vehicle 7\n`;
    const work = `${one.toLowerCase()}${two}; mine\n${end}; @backup b.hex\n`;
    assert.equal(
      inSpacingOf(read('w.hex', work), read('b.hex', sealed)),
      `; as found\n${one.toLowerCase()}; between\n${two}${end}; @seal sha256:00\n; @vehicle 7\n`,
    );
  });
});
