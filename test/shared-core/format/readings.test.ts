import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { isTextOfHex, looksLikeDump, readingsOf } from '../../../shared-core/src/format/readings.js';

describe('a text whose name says nothing', () => {
  const read = (text: string) => {
    const { isCertain, readings } = readingsOf(text);
    return { isCertain, ways: readings.map(({ form, sample }) => `${form.id} ${sample}`) };
  };

  for (const [what, text, way] of [
    ['Intel HEX', ':0400000001020304F2\n:00000001FF\n', 'intel-hex 0000: 01 02 03 04'],
    ['S-records behind a title', 'S00600004844521B\nS107010001020304ED\nS9030000FC\n', 's-record 0100: 01 02 03 04'],
    ['dump text', '@part A-1\n# note\n1: 01 02\n2: 03 04 05 06 07 08 09 0A 0B\n3: 05 06\n', 'dump-text 1: 01 02'],
    ['dump text by address', '0x0000: 01 02\n0x0002: 03 04\n0x0004: 05 06\n', 'dump-text 0: 01 02'],
  ] as const)
    it(`is ${what} for sure`, () => assert.deepEqual(read(text), { isCertain: true, ways: [way] }));

  it('is what it may be where that is not sure, each with its first record', () => {
    const { isCertain, ways } = read('00112233\n44556677\n');
    assert.equal(isCertain, false);
    assert.ok(ways.length > 1, ways.join('\n'));
  });

  it('may hold bytes in a form that nobody has described', () => {
    for (const text of [
      'Climate unit\nL01  00 00  2C 00  =2D\nL02  00 1F 94 00  =A5\nL03  6A 69 FF 00  =98\nEND 35C2\n',
      '<1> 0x00, 0x2C, 0xA5, 0x98\n<2> 0x10, 0x2C, 0xA5, 0x98\n<3> 0x20, 0x2C, 0xA5, 0x98\n',
      'A1=002CA598*7\nA2=102CA598*8\nA3=202CA598*9\n',
      'A1 - 002C A598 1122 3344 !\nA2 - 002C A598 1122 3344 !\nA3 - 002C A598 1122 3344 !\n',
    ])
      assert.ok(looksLikeDump(text), text);
  });

  it('is in a form of its own where one line of many looks like a record', () => {
    const text = [
      'Panel, read on the bench',
      ...[1, 2, 3, 4].map((i) => `K0${i}: 00 FF 2C 0${i} A5 98 11 22 = 0${i}`),
      'ALL: 46E5',
      '',
    ].join('\n');
    assert.deepEqual(read(text), { isCertain: false, ways: [] });
    assert.ok(looksLikeDump(text));
    // No form reads it, and it is a text all the same, whatever its name says.
    assert.ok(isTextOfHex(text));
    // As many that are read as are not may be a dump that was damaged.
    const ways = ['1: 00 01 02 03', '2: 00 01 02 03', '3: 00 xx 02 03', '4: 00 01 02 0'].join('\n');
    assert.deepEqual(read(ways).ways, ['dump-text 1: 00 01 02 03']);
  });

  it('is no dump where it is prose, a list, or settings', () => {
    for (const text of [
      '',
      'Dear reader,\nthis is no dump.\n',
      'a: be\nb: ad\n',
      '- 12: ab\n- 13: cd\n',
      'name: ace\nport: 80\nsize: 12\n',
      '10:00 to 11:30\n12:00 to 13:00\n14:00 to 15:00\n',
      '1: 00\n2: 01\n3: 02\n4: 03\n',
    ])
      assert.deepEqual([read(text).isCertain, looksLikeDump(text)], [false, false], text);
  });
});
