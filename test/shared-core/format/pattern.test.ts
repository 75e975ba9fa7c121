import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hexBytes, say } from '../../../shared-core/src/base/index.js';
import { bytesOf, type Notation, readRows, textOfRows } from '../../../shared-core/src/format/index.js';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { byteStore } from '../../../shared-core/src/format/notation.js';
import { compilePattern } from '../../../shared-core/src/format/pattern.js';
import { sRecord } from '../../../shared-core/src/format/sRecord.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { digitsOf } from '../../support/images.js';

function notation(pattern: string, otherwise: 'keep' | 'report' = 'keep'): Notation {
  const compiled = compilePattern(pattern, otherwise);
  assert.ok(compiled.ok, compiled.ok ? '' : say(compiled.why));
  return compiled.value;
}

const readLine = (form: Notation, line: string) => form.readRow(line, byteStore(line.length));

/** Under each line: `l` below its label, `d` below the digits of its bytes, `^` below what is wrong. */
const CASES: readonly { readonly pattern: string; readonly lines: string }[] = [
  {
    pattern: '[{label:hex}] {data} ;{sum}',
    lines: `
[00A0] 10 4f 00 ;5F
 llll  dd dd dd  dd
  [ 1f]104f00; 5F
    ll dddddd  dd
[00A0] 10 4f 00 5F
^^^^^^^^^^^^^^^^^^
[00A0] 1O 4f 00 ;5F
 llll   ^
[00A0] 10 4f 0 ;5F
 llll        ^
[128] 00 BAxCA ;5F
^^^^^^^^^^^^^^^^^^
[00A0] 10 4f ;5F # checked
^^^^^^^^^^^^^^^^^^^^^^^^^^
[00G0] 10 4f ;5F
^^^^^^^^^^^^^^^^
Added 02 FF by hand
Checksum: 1A2B`,
  },
  {
    pattern: 'Line {label} {skip}: {data}',
    lines: `
Line 12 (lamps): 01 02
     ll          dd dd
Line   rear-left  lamps, 2nd :0102
       lllllllll              dddd
Line 12: 01 02
^^^^^^^^^^^^^^
Lines 12 x: 01 02
^^^^^^^^^^^^^^^^^`,
  },
  {
    pattern: '{sum}|{data}<{label}>',
    lines: `
5F | 10 4F <7>
dd   dd dd  l
5F | 10 4F <7> x
^^^^^^^^^^^^^^^^`,
  },
  {
    pattern: '{label:hex};{data:;}',
    lines: `
0A;10;4F;00
ll dd dd dd
0A; 10; 4F;00;
ll  dd  dd dd
0A;10;;4F
ll   ^^
0A;10;4;4F
ll    ^`,
  },
  {
    pattern: '{label}={data:0x,}',
    lines: `
7=0x10,0x4F
l   dd   dd
7=0x10, 4F
l   dd  dd
7=0x10,,0x4F
l     ^^`,
  },
  {
    pattern: '"{label}",{data:",}',
    lines: `
"7","10","4F"
 l   dd   dd
"7", "10" ,"4f"
 l    dd    dd
"7","10",,"4F"
 l      ^^
"7","10","4"
 l        ^`,
  },
  {
    pattern: '{label}: {data} |{characters}|',
    lines: `
7: 41 42 00 7C |AB.||
l  dd dd dd dd
7: 41 42 00 5F |AB.|
l  dd dd dd dd
7: 41 42 00 |AB
^^^^^^^^^^^^^^^`,
  },
  {
    pattern: '{label}: {data} {characters}',
    lines: `
7: 41 42 30 31  AB01
l  dd dd dd dd
7: 41 42 30 31 AB 0
^^^^^^^^^^^^^^^^^^^
7: 20 41 20  A
l  dd dd dd`,
  },
  {
    pattern: '{label}/{label:hex}: {data}',
    lines: `
3/0A: 10 4F
llll  dd dd
 0x3 / fF : 104F
 llllllll   dddd
3/1G: 10 4F
^^^^^^^^^^^
3-0A: 10 4F
^^^^^^^^^^^
4294967296/1: 10 4F
^^^^^^^^^^^^^^^^^^^
total saved 3/12`,
  },
  {
    pattern: '{label} {data}',
    lines: `
7 10 4F
l dd dd
7	104F
l dddd
total saved on Monday
7`,
  },
];

describe('patterns of the user', () => {
  for (const { pattern, lines } of CASES) {
    it(`"${pattern}" finds label and bytes where they stand`, () => {
      const form = notation(pattern);
      const all = lines.slice(1).split('\n');
      all.forEach((line, i) => {
        if (/^[ ld^]+$/.test(line) && /[ld^]/.test(line)) return;
        const next = all[i + 1] ?? '';
        const wanted = /^[ ld^]+$/.test(next) ? next : '';
        const row = readLine(form, `${line}\r\n`);
        const marks = Array.from(line, () => ' ');
        const span = form.labelSpan(row);
        if (span !== undefined) marks.fill('l', span.start, span.end);
        if (row.kind === 'record') for (const place of form.digitPlaces(row)) marks[place] = 'd';
        for (const { start, end } of row.problems) marks.fill('^', start, end);
        assert.equal(marks.join('').trimEnd(), wanted, line);
        assert.equal(row.kind, wanted === '' ? 'comment' : wanted.includes('^') ? 'broken' : 'record', line);
      });
    });
  }

  const refused: readonly [string, RegExp][] = [
    ['', /no fields/],
    ['plain text', /no fields/],
    ['{label}', /lacks "\{data\}"/],
    ['{data}', /lacks "\{label\}"/],
    ['{label}: {dat}', /"dat" is no field.*data/],
    ['{label}{data}', /Nothing between "\{label\}" and "\{data\}"/],
    ['{label}: {data} {sum}', /Nothing between "\{data\}" and "\{sum\}".*leave "\{sum\}" out/],
    ['{label}: {data}{skip}', /Nothing between/],
    ['{label}: {data} End', /After "\{data\}" comes "E"/],
    ['{label:hex}Bytes {data}', /After "\{label:hex\}" comes "B"/],
    ['{label}.{data}', /After "\{label\}" comes "\."/],
    ['{label}: {data} / {label:hex}', /"\{label\}" stands in this pattern twice/],
    ['{label}-{skip}-{label}: {data}', /"\{label\}" stands in this pattern twice.*side by side/],
    ['{label}.{label}.{label}.{label}.{label}: {data}', /4 numbers at most/],
    ['{label}{label}: {data}', /Nothing between "\{label\}" and "\{label\}"/],
    ['{label:hex}-{label:hex}B {data}', /After "\{label:hex\}" comes "B"/],
  ];
  for (const [pattern, why] of refused) {
    it(`"${pattern}" is refused with the reason`, () => {
      const compiled = compilePattern(pattern, 'keep');
      assert.ok(!compiled.ok);
      assert.match(say(compiled.why), why);
    });
  }

  it('a refused pattern is a problem of the profile, at the pattern', () => {
    const source = '{ "format": 1, "notation": { "pattern": "{label}{data}" } }';
    const { profile, problems } = readProfile(source);
    assert.equal(profile.notation, undefined);
    assert.deepEqual(
      problems.map(({ span }) => source.slice(span.start, span.end)),
      ['"{label}{data}"'],
    );
  });

  it('lines that do not fit are kept, or reported where the profile says so; headers and comments never are', () => {
    const text = '@part 12\n# note\n\n; other\n7: 01\n';
    const kinds = (form: Notation) => readRows(text, form).map(({ kind }) => kind);
    assert.deepEqual(kinds(notation('{label}: {data}')), ['header', 'comment', 'blank', 'comment', 'record', 'blank']);
    assert.deepEqual(kinds(notation('{label}: {data}', 'report'))[3], 'broken');
  });

  const forms = ['{label}: {data} | {sum}', '<{label:hex}> {skip} = {data};', '{sum} / {data} @ {label}'].map(
    (pattern) => notation(pattern),
  );
  const ofSeveral = ['{label}.{label:hex}: {data} | {sum}', '{data}<{label:hex} / {label} - {label}> {sum}'].map(
    (pattern, i) => ({ form: notation(pattern), numbers: i + 2 }),
  );

  it('what a pattern prints it reads back', () => {
    const bytes = fc.uint8Array({ minLength: 1, maxLength: 9 });
    fc.assert(
      fc.property(fc.constantFrom(...forms), fc.nat(0xffffff), bytes, bytes, (form, label, data, sum) => {
        const row = readLine(form, form.print({ label, type: undefined, data, sum }));
        assert.ok(row.kind === 'record');
        assert.equal(row.label, label);
        assert.equal(hexBytes(bytesOf(row)), hexBytes([...data, ...sum]));
      }),
    );
  });

  it('what a pattern prints of a label of several numbers it reads back', () => {
    const bytes = fc.uint8Array({ minLength: 1, maxLength: 9 });
    const number = fc.oneof(fc.nat(40), fc.nat(0xffffffff));
    const numbers = fc.tuple(number, number, number);
    fc.assert(
      fc.property(fc.constantFrom(...ofSeveral), numbers, bytes, bytes, ({ form, numbers: count }, all, data, sum) => {
        const label = all.slice(0, count).join('-');
        const row = readLine(form, form.print({ label, type: undefined, data, sum }));
        assert.ok(row.kind === 'record');
        assert.equal(row.label, label);
        assert.equal(hexBytes(bytesOf(row)), hexBytes([...data, ...sum]));
      }),
    );
  });

  it('several numbers are one label, in decimal joined by "-", however they are written', () => {
    const cases: readonly [pattern: string, line: string, label: string][] = [
      ['{label:hex}-{label:hex}: {data}', '3-0A: 01', '3-10'],
      ['{label:hex}/{label:hex}/{label:hex} {data}', '6F4/03/12 01', '1780-3-18'],
      ['{label}.{label} = {data}', '01.005 = 01', '1-5'],
      ['B{label} L{label:hex} X{label}.{label} > {data}', 'B0 L0a X0x10.7 > 01', '0-10-16-7'],
    ];
    for (const [pattern, line, label] of cases) {
      const form = notation(pattern);
      const row = readLine(form, line);
      assert.ok(row.kind === 'record', line);
      assert.equal(row.label, label);
      const again = readLine(form, form.print({ label, type: undefined, data: bytesOf(row), sum: new Uint8Array() }));
      assert.ok(again.kind === 'record');
      assert.equal(again.label, label);
    }
  });

  it('numbers are printed as wide as those of the lines that begin with a zero', () => {
    const cases: readonly [pattern: string, lines: string, label: number | string, printed: string][] = [
      ['{label}.{label:hex}: {data}', '3.07: 01\n12.08: 01', '4-11', '4.0B: 01'],
      ['{label}.{label}: {data}', '03.007: 01', '4-11', '04.011: 01'],
      ['{label}.{label:hex}: {data}', '10.A: 01\n10.B: 01\n', '9-12', '9.C: 01'],
      ['<{label:hex}> {data}', '<01> 01\n<02> 01', 10, '<0A> 01'],
      ['{label}: {data}', '007: 01\ntotal: 01', 8, '008: 01'],
      ['{label}: {data}', '7: 01\n0B-x: 02', 8, '8: 01'],
      ['{label}: {data}', '7: 01', 'total', 'total: 01'],
      ['<{label:hex}> {data}', '', 10, '<000A> 01'],
    ];
    for (const [pattern, text, label, printed] of cases) {
      const form = notation(pattern);
      const widths = form.labelWidths?.(readRows(text, form));
      const record = { label, type: undefined, data: Uint8Array.of(1), sum: new Uint8Array() };
      assert.equal(form.print(record, widths), printed);
    }
  });

  it('a label of one field that holds "-" or "." is the name of a record, as written', () => {
    for (const name of ['RE-01', '03-0A', '1.5']) {
      const row = readLine(notation('{label}: {data}'), `${name}: 01 02`);
      assert.equal(row.kind === 'record' && row.label, name);
    }
  });

  it('rows hold any text without loss, and digits stand where they say', () => {
    const part = fc.constantFrom(
      '1',
      'A4',
      ':',
      ' ',
      '|',
      '<',
      '>',
      '=',
      ';',
      '/',
      '@',
      'O',
      '\n',
      '\r\n',
      'é',
      '\0',
      '@a b',
    );
    const text = fc.oneof(
      fc.string(),
      fc.array(part, { maxLength: 40 }).map((parts) => parts.join('')),
    );
    fc.assert(
      fc.property(fc.constantFrom(...forms, ...ofSeveral.map(({ form }) => form)), text, (form, written) => {
        const rows = readRows(written, form);
        assert.equal(textOfRows(rows), written);
        for (const row of rows) {
          if (row.kind === 'record') assert.equal(digitsOf(row, form), hexBytes(bytesOf(row)));
        }
      }),
    );
  });

  it('long lines that nearly fit are read to their end', () => {
    // Anything that tried a second way would take hours over these.
    const long = 400_000;
    const form = notation('{label} {skip} x y {skip} x z {data} q');
    for (const unit of [' ', 'x ', 'x  y', 'x y x ', 'a', '.', ':', '= ', '#', ' #', ';', '|'])
      assert.equal(readLine(form, `1 ${unit.repeat(long)}x\n`).kind, 'comment', unit);
    for (const unit of ['.', ':', ' #', '*', ' ']) {
      for (const image of [intelHex, sRecord])
        assert.equal(image.readRow(`x${unit.repeat(long)}x\n`, byteStore(0)).kind, 'broken', unit);
    }
  });
});

describe('what a pattern says beside its fields', () => {
  it('characters beside bytes change with them, those of a sum are not there', () => {
    const form = notation('{label}: {data} |{characters}|');
    const row = readLine(form, '7: 41 42 00 83 |AB.|');
    assert.equal(row.kind, 'record');
    const place = row.kind === 'record' ? form.characters?.(row) : undefined;
    assert.deepEqual(
      [0, 1, 2, 3].map((byte) => place?.(byte)),
      [16, 17, 18, undefined],
    );
  });

  it('characters that go against their bytes are in doubt', () => {
    const row = readLine(notation('{label}: {data} |{characters}|'), '7: 41 42 00 |AC.|');
    assert.equal(row.kind === 'record' && row.inDoubt, true);
    assert.deepEqual(
      row.problems.map(({ start, end }) => [start, end]),
      [[13, 16]],
    );
  });

  it('a line is printed with its separators and characters', () => {
    const record = { label: 10, type: undefined, data: Uint8Array.of(0x41, 0), sum: Uint8Array.of(0x41) };
    assert.equal(notation('{label};{data:;}').print(record), '10;41;00;41');
    assert.equal(notation('{label} = {data:0x, }').print(record), '10 = 0x41, 0x00, 0x41');
    assert.equal(notation('"{label}", {data:", }').print(record), '"10", "41", "00", "41"');
    assert.equal(notation('{label}\t{data:tab}').print(record), '10\t41\t00\t41');
    assert.equal(notation('{label}: {data} |{characters}|').print(record), '10: 41 00 41 |A.A|');
  });

  const headed = (headings: readonly string[]) => {
    const compiled = compilePattern('{label:hex} {data}', 'keep', headings);
    assert.ok(compiled.ok);
    return (line: string) => readLine(compiled.value, line).kind;
  };

  it('a heading is no line of data, were it written like one', () => {
    assert.equal(headed([])('00 01 02 03 04'), 'record');
    assert.equal(headed(['00 01  02 03 04'])(' 00 01 02 03 04'), 'comment');
    assert.equal(headed(['00 01 02 03 04'])('00 01 02 03 05'), 'record');
  });

  it('a heading with {skip} has no four bytes in a row', () => {
    const kind = headed(['Printed {skip}']);
    assert.equal(kind('Printed 2026-03-04 12:44:10'), 'comment');
    assert.equal(kind('Printed 11 22 33 44'), 'broken');
    assert.equal(headed([])('Printed 2026-03-04 12:44:10'), 'broken');
  });
});
