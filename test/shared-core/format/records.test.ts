import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump, type Problem, shownProblems } from '../../../shared-core/src/checks/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { loaded } from '../../support/loaded.js';

const NONE = { kind: 'none' } as const;
const check = (name: string, text: string) => checkDump(loaded(bindText(name, text, EMPTY_PROFILE), NONE, NONE));

/** Files with their problems below the lines: marks under the place, then the code. */
const CASES: readonly { readonly title: string; readonly name: string; readonly file: string }[] = [
  {
    title: 'digits that are none, or one too few',
    name: 'a.hex',
    file: `
:0b0010006164647265737320676l70a7
                            ^ not-hex
:0100000001F
 ^^^^^^^^^^^ odd-digits
:00000001FF`,
  },
  {
    title: 'a last record that is cut off',
    name: 'a.hex',
    file: `
:0B001000616464726573732067
 ^^^^^^^^^^^^^^^^^^^^^^^^^^ record-length
   ^^^^ end-missing`,
  },
  {
    title: 'a record that is no more than its mark, and one of a type that nobody knows',
    name: 'a.hex',
    file: `
:
 record-length
:0100000601F8
       ^^ record-type
:00000001FF`,
  },
  {
    title: 'a record of S-records that is no more than its mark',
    name: 'a.s19',
    file: `
S1137AF00A0A0D0000000000000000000000000061
S1
  record-length
S9030000FC`,
  },
  {
    title: 'a record of fixed length that is longer',
    name: 'a.hex',
    file: `
:0100000100FE
 ^^ record-length
:00000001FF`,
  },
  {
    title: 'no data, and 255 bytes of them',
    name: 'a.hex',
    file: `\n:00001000F0\n:FF000000${'00'.repeat(255)}01\n:00000001FF`,
  },
  {
    title: 'the last addresses of a segment, of the 8-bit form and of 4 GiB',
    name: 'a.hex',
    file: `
:02FFFF00000000
   ^^^^ address-wrap
:02000004FFFFFC
:02FFFF00000000
   ^^^^ address-wrap
:02000004000AF0
:02FFFF00000000
:00000001FF`,
  },
  {
    title: 'one block twice is one problem; a record inside another is one too',
    name: 'a.hex',
    file: `
:0100000001FE
:0100010001FD
:0100000001FE
   ^^^^ overlap
:0100010001FD
; between
:0100010001FD
   ^^^^ overlap
:00000001FF`,
  },
  {
    title: 'what follows the end is said once',
    name: 'a.hex',
    file: `
:0100000001FE
:00000001FF
:0100020001FC
   ^^^^ data-after-end
:0100030001FB
:00000001FF
   ^^^^ end-repeated`,
  },
  {
    title: 'S-records in a file of Intel HEX, beside comments that are none of them',
    name: 'a.hex',
    file: `
; S1 is where it starts
S9030000FC
^^^^^^^^^^ text-unreadable
:00000001FF`,
  },
  {
    title: 'a file of S-records under the name of Intel HEX: one problem for all its lines',
    name: 'a.hex',
    file: `
S104000001FA
^^^^^^^^^^^^ text-unreadable
S104000101F9
S9030000FC`,
  },
  {
    title: 'a file of Intel HEX under the name of S-records',
    name: 'a.s19',
    file: `
; read on the bench
:0100000001FE
^^^^^^^^^^^^^ text-unreadable
:00000001FF`,
  },
  {
    title: 'text behind a record',
    name: 'a.hex',
    file: `
:0100000001FE ; the first byte
              ^^^^^^^^^^^^^^^^ text-unreadable
:0100010002FC\t
:00000001FF`,
  },
  {
    title: 'another text altogether',
    name: 'a.hex',
    file: `

10 4F 00
^^^^^^^^ text-unreadable
5F 00 00`,
  },
  {
    title: 'an image under the name of dump text',
    name: 'a.cfgdump',
    file: `
# read on the bench
:0100000001FE
^^^^^^^^^^^^^ text-unreadable
:00000001FF`,
  },
  {
    title: 'S-records: a type that is reserved, a look-alike, a short one',
    name: 'a.s19',
    file: `
S4030000FC
 ^ record-type
S1O4000001FA
  ^ not-hex
S104000001
  ^^^^^^^^ record-length
S9030000FC`,
  },
  {
    title: 'S-records: Intel HEX among them, a wrong count, the end of 4 GiB, lower case and blanks',
    name: 'a.s19',
    file: `
:00000001FF
^^^^^^^^^^^ text-unreadable
S307FFFFFFFF0102F9
    ^^^^^^^^ address-wrap
 s104000001fa  
S5030003F9
    ^^^^ record-count
S9030000FC`,
  },
];

/** Marks below a line, with blanks before them alone: `^^^ code`; a code without marks is an empty place at its column. */
function marksOf(line: string): { start: number; end: number; code: string } | undefined {
  const [, before = '', marks = '', code = ''] = /^( *)(\^*) ?([a-z-]+)$/.exec(line) ?? [];
  return code === '' ? undefined : { start: before.length, end: before.length + marks.length, code };
}

describe('records of memory images', () => {
  for (const { title, name, file } of CASES) {
    it(title, () => {
      const lines: string[] = [];
      const wanted: (Pick<Problem, 'row' | 'start' | 'end'> & { readonly code: string })[] = [];
      for (const line of file.slice(1).split('\n')) {
        const marks = marksOf(line);
        if (marks === undefined) lines.push(line);
        else wanted.push({ row: lines.length - 1, ...marks });
      }
      const found = check(name, lines.join('\n')).map(({ row, start, end, code }) => ({ row, start, end, code }));
      assert.deepEqual(found, wanted);
    });
  }

  for (const [name, text] of [
    ['a.hex', ':01000000?1FD\n:00000001FF'],
    ['a.s19', 'S1040000?1FB\nS9030000FC'],
  ] as const)
    it(`names the comment sign of the written form where a character is no digit: ${name}`, () => {
      const found = check(name, text).find(({ code }) => code === 'not-hex');
      assert.match(found === undefined ? '' : say(found.message), /a line of its own that begins with ";"/);
    });

  it('a file full of wrong sums is shown in part, counted in whole', () => {
    const [first, ...others] = shownProblems(check('a.hex', `${':0100000000FE\n'.repeat(3000)}:00000001FF`));
    assert.equal(first?.code, 'more-problems');
    assert.equal(first?.message.parts[0], 3001);
    assert.equal(others.length, 1000);
  });
});

describe('a comment of another form among MOS Technology records', () => {
  it('is told by the sign that begins a comment there, not by a length that it does not have', () => {
    for (const line of ['; @profile a', ';@profile a']) {
      const [found] = check('a.mos', `;04000001020304000E\n${line}\n;0000010001\n`).filter(({ row }) => row === 1);
      assert.match(
        found === undefined ? '' : say(found.message),
        /^";" begins a record here\. A comment or a header has a line of its own that begins with "#"\.$/,
        line,
      );
    }
  });
});
