// What patterns of the user's own make of lines that fit, that nearly fit and that do not; how they write; which are refused.
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { withFrontSum } from '../../../shared-core/src/format/frontSum.js';
import { isHeadingText } from '../../../shared-core/src/format/headings.js';
import { readRows } from '../../../shared-core/src/format/index.js';
import { inWords } from '../../../shared-core/src/format/inWords.js';
import { compilePattern } from '../../../shared-core/src/format/pattern.js';
import { isShownAs } from '../../../shared-core/src/format/patternCharacters.js';
import { type TotalLine, totalLineOf, withTotalLines } from '../../../shared-core/src/format/totalLines.js';
import { WORDS } from '../../../shared-core/src/format/word.js';
import { assertExpected } from '../../support/expected.js';
import { shownRows } from '../../support/shownRows.js';

const PATTERNS: readonly (readonly [pattern: string, lines: string, headings?: readonly string[]])[] = [
  [
    'R{label} = {data} *{sum}',
    `R7 = 01 02 *FD
  R07 = 0102*FD
R007=0102 *FD
R left-2.b = 01 *FF
R 0x1F = 01 *FF
R7 = 01 02 *FD x
R7 = 01 02 FD
R7 = 01 02 *
R7 =  *FD
R7 = 01 O2 *FD
R7 = O1 OO *FD
R7 = OO Ol *FD
R7 = of file *FD
R7 = face bead *FD
R7 = 01 02 xyz *FD
R7 = 01 02 wxyz *FD
; R7 = 01 02
R7 = 1ff lo *FD
R7 = 01 2 *FD
R7 = 01 02 *F
R7 = 01 | 02 *FD
R7 = 01 | 02 | 03 *FD
R7 = 01 x2 *FD
R7 = 01 02 03 04 xx *FD
R7 = zz zz *FD
R7 = 01 zz zz zz *FD
Rl = 0102*FDx
R= 01 *FF
r7 = 01 02 *FD
R7 : 01 02 *FD
total = 24761
CRC 1A2B3C
added by hand
12 34
FACADE
face
# R7 = 01 02 *FD
; a comment
// a comment
# @vin 0DEM
*
A heading of all
A heading of  all 
Block 7 of the dump
Block 7 of 01 02 03 04
Read with 7
`,
    ['A heading of all', 'Block {skip} of {skip}', 'R{skip}', 'Read with {skip}'],
  ],
  [
    '{label:hex}: {data}',
    `00A0: 01 02
a0:01
A0 : 0102
123456789: 01
00G0: 01
00A0 01
00A0:
00A0: 01 02 # checked
00A0: 01 ; 02
: 01
word: 01 02
`,
  ],
  [
    '{label} {label:hex} {label:hex} {label}: {data}',
    `1 0A 0b 4: 01
4294967295 FFFFFFFF 0 0x1F: 01
4294967296 0 0 0: 01
0x100000000 0 0 0: 01
0x12345678 0 0 0: 01
1 123456789 0 0: 01
1 2 3: 01
a 2 3 4: 01
1 x 3 4: 01
1  2   3 4 :01
`,
  ],
  [
    '{label}-{label:hex} {data:0x,} x {skip} *{sum:$;}',
    `1-0A 0x01,0x02 x y *$01;$02
01-0A 0x01,0x02 x *$01
1-00A 0x01,0x02 x*$01
1-0A 01, 02, x y *$01;
1-0A 0x01,,0x02 x y *$01
1-0A 0x01 x y *$01;;$02
1-0A 0X01,0x2 x y *$1
1-0A 0x 01,a0x02 x y * $01
1-0A $01 x y *0x01
`,
  ],
  [
    '{label};{data:tab}',
    `7;01\t02
7; 01 02
7;01\t2
7;0102
`,
  ],
  [
    '{label};{data:, }',
    `7;01, 02,03
7;0x01,02
7;01,
7;,01
7;01,,02
7;01,02,,
7;01, 2G
`,
  ],
  [
    '{label};{data:"}',
    `7;"01""02"
7;"01" "02
7;01
`,
  ],
  [
    '{label}: {data} {characters}',
    `7: 41 42 43  ABC
7: 41 42 43 ABC
7: 41 42 43    ABC
7: 41 42 43        ABC
7: 41 42 43  ABX
7: 41 42 43  AB
7: 41 42 43 00  ABC
7: 41 42 43 00 01  ABC
7: 41 42 20 20  AB
7: 41 42 20 1F  AB .
7: 41 42 7f 80  AB..
7: 41 42 00  ABx
7: 20 20
7: 20 20  
7: 41 42
7: 41 4  AB
7: 4G 41  .A
7: 41424344  ABCD
7: 41 42 41 42
7: 41 42 30 30 30 30
7: 01 02 03 04  ....
7: 41 42 43 44 45 46 47 48 49 4a 4b 4c 4d 4e 4f 50  ABCDEFGHIJKLMNOP
7: 41 42 43 44 | ABCD
7: 41\t42  AB
`,
  ],
  [
    '{label:hex}: {data:,} [{characters}]',
    `10: 41,42,43 [ABC]
10: 41,42,43 [ ABC ]
10: 41,42,43 [ABX]
10: 41,42,43 [ABC
10: 41,42,43,00,01 [ABC]
10: 00,41,42,43 [ABC]
10: 00,00,41,42,43,44,00,00,00,00 [ABCD]
10: 41 [..]
`,
  ],
  [
    '{skip}|{label}|{sum}|{data}|',
    `x y|7|01|02 03|
|7|01|02|
x|7|01|02 03
x|a b|01|02|
`,
  ],
  [
    '{label}. {data}',
    `1. 01 02
left. 01 02
a.b. 01
1.01
`,
  ],
  [
    'x {skip} y {label} = {data}',
    `x y 7 = 01
x z y 7 = 01
x  y  7 = 01
xy 7 = 01
`,
  ],
];

const REFUSED = [
  '',
  'text',
  '{label}',
  '{data}',
  '{lable}: {data}',
  '{nothing}: {label} {data}',
  '{label}: {data} {data}',
  '{label}: {data} {sum} {sum}',
  '{label}: {data} {label}',
  '{label}{data}',
  '{label}a{data}',
  '{label}.{data}',
  '{label}. {data}',
  '{label}-{data}',
  '{label} {label}{data}',
  '{label}0 {label}: {data}',
  '{label}: {data}{sum}',
  '{label}: {data} {sum}',
  '{label}: {data}A{sum}',
  '{label}: {data} sum {sum}',
  '{label}: {data:,},{sum}',
  '{label}: {data:,} x{sum:,}',
  '{label}: {data:x}',
  '{label}: {data',
  '{label}: {data} {characters} {skip}',
  '{label}: {data} {characters} {characters}',
  '{label}: {characters}',
  '{label} {label} {label} {label} {label}: {data}',
  '{label} {label} {label} {label}: {data}',
  '{label:hex}{label}: {data}',
  '{label:hex}g{label}: {data}',
  '{skip}{label}: {data}',
  '{skip} {label}: {data}',
  '{label}: {data} {skip}',
  '{label}: {skip}{data}',
  'x {skip} {label} {skip}: {data}',
  '{label}: {data}{characters}',
  '{label}: {data}x{characters}',
];

const TOTALS = [
  'CHECK = {data}',
  'CHECK {skip}: {data}',
  'CHECK = {data} of all',
  'CHECK = {data}; {skip}',
  'CHECK',
  '{data}',
  ' {data} ',
  '{skip}{data}',
  'CHECK {data} {data}',
  'CHECK {label} {data}',
  'CHECK = {data} ok',
  'CHECK = {data}{skip}',
  'CHECK = {data',
  'CHECK {skip}x{data}',
];

const HEADINGS = [
  '',
  ' ',
  'Anything',
  '01 02 03 04',
  'Block {skip}',
  'Block{skip}',
  'B1ock {skip}',
  'face {skip}',
  'facing {skip}',
  '{skip} of all',
  'Block {data}',
  'Block {skip} of {skip}',
  'Block {skip}{skip}',
  'Block {skip}{skip} x',
  ' Block {skip}',
];

const PRINTED = [
  'R{label} = {data} *{sum}',
  '{label:hex}: {data}',
  '{label}-{label:hex}: {data}',
  '{label};{data:0x,}',
  '{label};{data:0x, };{sum:$; }',
  '{label};{data:",}',
  '{label};{data:tab}',
  '{label};{data:tab };{skip}',
  '{label};{data: } {skip} x',
  '{label}: {data} |{characters}|',
];

describe('every line by a pattern', () => {
  const compiled = (pattern: string, otherwise: 'keep' | 'report', headings: readonly string[] = []) => {
    const found = compilePattern(pattern, otherwise, headings);
    return found.ok ? found.value : say(found.why);
  };

  it('is read as is expected', () => {
    const texts = PATTERNS.flatMap(([pattern, lines, headings]) =>
      (['keep', 'report'] as const).flatMap((otherwise) => {
        const form = compiled(pattern, otherwise, headings);
        if (typeof form === 'string') return `${pattern}: ${form}\n`;
        // What is reported of lines that do not fit is the same for all patterns.
        if (otherwise === 'report' && headings === undefined) return [];
        const widths = form.labelWidths?.(readRows(lines, form)) ?? [];
        return `${pattern}, others ${otherwise}, ${form.numbers ?? 'no'} numbers, ${form.inWords === undefined ? 'no' : 'any'} words, as wide as ${widths.join(', ')}\n${shownRows(lines, form)}`;
      }),
    );
    assertExpected('lines/patterns.txt', texts.join('\n'));
  });

  it('is printed as is expected', () => {
    const texts = PRINTED.flatMap((pattern) => {
      const form = compiled(pattern, 'keep');
      if (typeof form === 'string') return `${pattern}: ${form}\n`;
      return [7, 0x1a2b, 'left', '3-26'].flatMap((label) =>
        [undefined, [1], [3, 3]].map((widths) => {
          const record = { label, type: undefined, data: Uint8Array.of(0x41, 0x20, 0xff), sum: Uint8Array.of(0x5a) };
          return `${pattern}, ${label} as wide as ${widths?.join(', ') ?? '-'}: ${form.print(record, widths)}\n`;
        }),
      );
    });
    assertExpected('written/patterns.txt', texts.join(''));
  });

  it('is refused, or not, with the reason that is expected', () => {
    const whole = REFUSED.map((pattern) => {
      const form = compiled(pattern, 'keep');
      return `${pattern}: ${typeof form === 'string' ? form : 'is read'}\n`;
    });
    const totals = TOTALS.map((pattern) => {
      const found = totalLineOf(pattern, 'total');
      return `total ${pattern}: ${found.ok ? 'is read' : say(found.why)}\n`;
    });
    const headings = HEADINGS.map((text) => `heading ${text}: ${isHeadingText(text)}\n`);
    assertExpected('lines/patternsRefused.txt', [...whole, ...totals, ...headings].join(''));
  });

  it('may be a total, have its sum before the data, or hold words, as is expected', () => {
    const plain = compiled('{label}: {data}', 'keep');
    const shown = compiled('{label:hex}: {data} {characters}', 'keep');
    const others = compiled('R{label} = {data}', 'report');
    if (typeof plain === 'string' || typeof shown === 'string' || typeof others === 'string') throw new Error();
    const totals = ['CHECK {skip}: {data}', 'SUM = {data} *'].flatMap((pattern): readonly TotalLine[] => {
      const found = totalLineOf(pattern, pattern.slice(0, 3));
      return found.ok ? [found.value] : [];
    });
    const lines = `7: 01 02
CHECK all: 01 02
  CHECK all: 1 02
CHECK all 01 02
CHECK all: 01 x2
CHECK: 01 02
SUM = 01 02 *
SUM = 01 02
SUM = 0102 * x
CHECKED: 01
CHE: 01
SUM = zz 02 *
SUM =  01 0z * 
`;
    const withTotals = withTotalLines(plain, totals);
    const sums = lines.replaceAll('7:', 'R7 =');
    const front = withFrontSum(plain, (label) => (label === 7 ? 2 : label === 6 ? 1 : 0));
    const frontShown = withFrontSum(shown, (label) => (label === 7 ? 2 : 0));
    const record = { label: 7, type: undefined, data: Uint8Array.of(1, 2), sum: Uint8Array.of(9, 8) };
    const texts = [
      `${[withTotals, front].map(({ id, blanks }) => `${id} ${blanks}`).join(', ')}\n`,
      shownRows(lines, withTotals),
      shownRows(sums, withTotalLines(others, totals)),
      shownRows(lines, inWords(withTotalLines(shown, totals), '2le')),
      shownRows('7: 09 08 01 02 03\n8: 01 02\n7: 09 08\n7: 09\n7: 0G\n6: 09 01 02\n6: 09\n', front),
      shownRows('7: 41 42 43 44 45  ABCDE\n7: 41 42 43 44 45  CDE\n8: 41 42  AB\n', frontShown),
      `${[withTotals, front].flatMap((form) => ['CHE', 'SUM', 7].map((label) => form.print({ ...record, label }))).join('\n')}\n`,
      `${front.print({ ...record, sum: Uint8Array.of() })}\n`,
      ...WORDS.map((word) =>
        shownRows(
          '00: 4142 4344 ABCD\n04: 4241 4443 ABCD\n08: 41 42 43 44 ABCD\n0C: 41424344 DCBA\n10: 44434241 ABCD\n15: 41 42 AB\n16: 41 42 43 ABC\n',
          inWords(shown, word),
        ),
      ),
    ];
    assertExpected('lines/patternsAround.txt', texts.join('\n'));
  });

  it('shows each byte by its character, or by one that stands for none', () => {
    const shown = ['', ' ', '.', 'A', '~', 'é', '5', '\u007f'].map((character) =>
      [0x00, 0x1f, 0x20, 0x21, 0x35, 0x41, 0x7e, 0x7f, 0xe9]
        .filter((byte) => isShownAs(byte, character))
        .map((byte) => byte.toString(16)),
    );
    assertExpected('lines/shownAs.txt', `${shown.map((bytes) => bytes.join(' ')).join('\n')}\n`);
  });
});
