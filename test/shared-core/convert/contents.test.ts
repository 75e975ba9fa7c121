// What a dump contains is known whole or not at all: each doubt is named with its row.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { contentsOf } from '../../../shared-core/src/convert/contents.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, type Profile, readProfile } from '../../../shared-core/src/profile/index.js';
import { profileOf } from '../../support/smallDumps.js';

const of = (name: string, text: string, profile: Profile = EMPTY_PROFILE) => contentsOf(bindText(name, text, profile));

const LINES = profileOf({ lines: { from: 1, to: 2, data: 1, sum: 1 }, lineSum: { method: 'add', over: ['data'] } });

// Records and their sums by hand (Intel, Hexadecimal Object File Format, 1988): two's complement of the sum of all bytes.
const DATA = ':020000000102FB';
const OTHER = ':020002000304F5';
const END = ':00000001FF';

describe('the contents of a dump', () => {
  it('are its bytes at their addresses, in the order of the file', () => {
    const bytes = (name: string, text: string) => {
      const result = of(name, text);
      assert.ok(result.ok, result.ok ? '' : say(result.why));
      return result.value.parts.flatMap((part) =>
        part.kind === 'data'
          ? [[part.address, ...part.bytes.store.subarray(part.bytes.from, part.bytes.from + part.bytes.count)]]
          : [],
      );
    };
    assert.deepEqual(bytes('a.hex', `${OTHER}\n${DATA}\n${END}\n`), [
      [2, 3, 4],
      [0, 1, 2],
    ]);
    assert.deepEqual(bytes('a.cfgdump', '0x10: 01 02\n0x12: 03\n0x20: 04\n'), [
      [0x10, 1, 2],
      [0x12, 3],
      [0x20, 4],
    ]);
    assert.deepEqual(bytes('a.cfgdump', '0xFFFFFFFE: 01 02\n'), [[0xfffffffe, 1, 2]]);
  });

  const REFUSED: readonly (readonly [
    what: string,
    row: number,
    says: RegExp,
    name: string,
    text: string,
    profile?: Profile,
  ])[] = [
    ['a row cannot be read', 1, /^Row 2 cannot be read\. Correct it first/, 'a.hex', `${DATA}\n:02000200030\n${END}\n`],
    [
      'a record has a wrong sum',
      1,
      /^The sum of row 2 is wrong\./,
      'a.hex',
      `${DATA}\n${OTHER.replace(/..$/, 'F6')}\n${END}\n`,
    ],
    ['an image has no end', 0, /^Row \d: /, 'a.hex', `${DATA}\n`],
    ['records hold other bytes at one address', 1, /^Row 2: /, 'a.hex', `${DATA}\n:020001000304F6\n${END}\n`],
    [
      'labels are line numbers',
      0,
      /the labels of this dump are line numbers/,
      'a.cfgdump',
      '1: 05 | 05\n2: 06 | 06\n',
      LINES,
    ],
    ['a label is a word', 1, /^Row 2: "total" is not an address/, 'a.cfgdump', '0x0: 01\ntotal: 02\n'],
    [
      'labels overlap as addresses',
      1,
      /^Taken for addresses, the labels of rows 1 and 2 overlap at 0001/,
      'a.cfgdump',
      '0x0: 01 02\n0x1: 03\n',
    ],
    [
      'bytes run over the last address',
      1,
      /^Row 2 runs over the last address, FFFFFFFF/,
      'a.cfgdump',
      '0x0: 01\n0xFFFFFFFF: 01 02\n',
    ],
    ['there are none', 0, /^Row 1: There are no data in this file/, 'a.hex', `${END}\n`],
  ];
  for (const [what, row, says, name, text, profile] of REFUSED)
    it(`are refused where ${what}, with the row`, () => {
      const result = of(name, text, profile);
      assert.ok(!result.ok, 'was not refused');
      assert.match(say(result.why), says);
      assert.equal(result.row, row);
    });

  it('are refused where lines overlap that are far from each other in the file, and where nobody knows what labels are', () => {
    const why = (text: string, profile?: Profile) => {
      const result = of('a.cfgdump', text, profile);
      return result.ok ? 'taken' : say(result.why);
    };
    assert.match(why('0x0: 01 02 03\n0x20: 01\n0x2: 05\n'), /the labels of rows 1 and 3 overlap at 0002/);
    assert.equal(why('0x0: 01 02\n0x20: 01\n0x2: 05\n'), 'taken');
    const { profile } = readProfile(JSON.stringify({ format: 1, addresses: { from: 0, to: 3 }, colour: 1 }));
    assert.match(
      why('0x0: 01 02 03 04\n', profile),
      /^The profile has problems \(1\), so it is not known whether labels are addresses\./,
    );
  });

  it('are refused where a line of hex digits was taken for text', () => {
    const passed = profileOf({ notation: { pattern: '<{label}> {data}' } });
    const result = of('a.txt', '<1> 10 4F\n10 4F\n', passed);
    assert.match(result.ok ? 'taken' : say(result.why), /^Row 2 (?:holds hex digits and is not read|cannot be read)/);
    const left = of('a.txt', '<1> 10 4F\n\ncrc DEADBEEF\n', passed);
    assert.ok(!left.ok);
    assert.deepEqual(
      [left.row, say(left.why)],
      [2, 'Row 3 holds hex digits and is not read. Put # before it if it is a comment.'],
    );
  });

  it('hold what people wrote: comments behind lines and of code, headers, titles and symbols', () => {
    const written = (name: string, text: string) => {
      const result = of(name, text);
      assert.ok(result.ok, result.ok ? '' : say(result.why));
      return result.value.parts.flatMap((part) => {
        if (part.kind === 'comment') return `${part.row}: ${part.text}`;
        if (part.kind === 'header') return `${part.row}: @${part.name} ${part.value}`;
        return part.kind === 'title' ? `${part.row}: ${String.fromCharCode(...part.bytes)}` : [];
      });
    };
    assert.deepEqual(written('a.cfgdump', '# first\n@vehicle car 7\n0x0: 01 # behind\n'), [
      '0: # first',
      '1: @vehicle car 7',
      '2: # behind',
    ]);
    // A signature of two slashes begins a comment in code alone.
    assert.deepEqual(written('a.cfgdump', '0x0: 01 # a // b /* c */\n'), ['0: # a // b /* c */']);
    // S0 with the text "HDR" (Motorola, M68000 Family Programmer's Reference Manual, appendix C).
    assert.deepEqual(written('a.s19', 'S00600004844521B\nS10500000102F7\nS9030000FC\n'), ['0: HDR']);
  });
});
