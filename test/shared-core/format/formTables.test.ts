// What is known of forms, names, groups of digits and characters that is best read as a table.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { rowsBehind } from '../../../shared-core/src/format/behindHeaders.js';
import { bytesOfType, itemsOf, wordItems } from '../../../shared-core/src/format/hexListItems.js';
import { hexViewDoubts } from '../../../shared-core/src/format/hexViewDoubts.js';
import type { RowsInOrder } from '../../../shared-core/src/format/imageForm.js';
import { FORMS } from '../../../shared-core/src/format/index.js';
import { inWords, wordInHeaders } from '../../../shared-core/src/format/inWords.js';
import { confusedWith, meantDigit } from '../../../shared-core/src/format/lookAlike.js';
import type { WrittenForm } from '../../../shared-core/src/format/notation.js';
import {
  DUMP_ENDINGS,
  isDumpName,
  notationOf,
  notationOfDocument,
  notationOfText,
  notationWithHeaders,
  plainForm,
  promisedBy,
  recognise,
  withoutHeadersBeside,
} from '../../../shared-core/src/format/notationOf.js';
import { octalWordsIn } from '../../../shared-core/src/format/octalView.js';
import { tellingLines } from '../../../shared-core/src/format/pairs.js';
import { isTextOfHex, readingsOf } from '../../../shared-core/src/format/readings.js';
import { bytesOf, type RecordRow, type Row } from '../../../shared-core/src/format/row.js';
import { lineEndOf, readRows } from '../../../shared-core/src/format/rows.js';
import { holdsBytes, isHexGroup, whyStray } from '../../../shared-core/src/format/stray.js';
import { whyUnclear } from '../../../shared-core/src/format/whyUnclear.js';
import { WORDS } from '../../../shared-core/src/format/word.js';
import { assertExpected } from '../../support/expected.js';
import { visible } from '../../support/shownRows.js';
import { LINES, TEXTS } from './everyLine.js';

const ALL: readonly WrittenForm[] = FORMS;
const json = (value: unknown) => JSON.stringify(value);

describe('tables of written forms', () => {
  it('what is known of each form', () => {
    const texts = ALL.map((form) => {
      const { image } = form;
      const { title, ...rest } = form;
      const known = Object.entries({ ...rest, ...image, title: say(title) }).flatMap(([name, value]) =>
        typeof value === 'function' || name === 'image' ? [] : [`    ${name}: ${json(value)}\n`],
      );
      const records = [0, 0xffff, 0x10000, 0xffffff, 0x1000000, 0xffffffff].map((at) => image?.dataRecord(at));
      const ends = [[], [0], [1], [2], [1, 3], [6]].map((types) => image?.end?.typeFor(types));
      const starts = readRows(LINES[form.id as keyof typeof LINES], form).flatMap((row) => {
        const start = row.kind === 'record' ? image?.startIn(row) : undefined;
        return start === undefined ? [] : [`${visible(row.text)} ${start}`];
      });
      const of = (name: string, given: readonly unknown[]) =>
        `    ${name}: ${given.map((one) => json(one)).join(' ')}\n`;
      return [`${form.id}\n`, ...known, of('records', records), of('ends', ends), of('starts', starts)].join('');
    });
    assertExpected('tables/forms.txt', texts.join('\n'));
  });

  it('base records of Intel HEX, also such as cannot be read', () => {
    const [, intel] = ALL;
    assert.ok(intel?.image);
    const { baseOf, firstBase } = intel.image;
    const rowOf = (text: string) => readRows(text, intel)[0] as RecordRow;
    const linear = baseOf(4, rowOf(':020000040800F2'), firstBase);
    assert.deepEqual(
      [firstBase, linear, baseOf(2, rowOf(':020000021000EC'), firstBase), baseOf(2, undefined, linear)],
      [
        { base: 0, room: 0x10000, limit: '64 KiB' },
        { base: 0x8000000, room: 0xf8000000, limit: '4 GiB' },
        { base: 0x10000, room: 0x10000, limit: '64 KiB' },
        { base: 0x8000000, room: 0x10000, limit: '64 KiB' },
      ],
    );
    assert.deepEqual(baseOf(4, undefined, linear), linear);
  });

  it('in one pass there is a doubt wherever all rows together show one, and seldom elsewhere', () => {
    const shown: string[] = [];
    for (const form of ALL)
      for (const text of TEXTS[form.id as keyof typeof TEXTS] ?? []) {
        const { inOrder } = form.image ?? {};
        if (inOrder === undefined) continue;
        const rows = readRows(text, form);
        const [byRow, alike] = [passed(inOrder(), rows, form, false), passed(inOrder(), rows, form, true)];
        const doubts = form.image?.doubts?.(rows) ?? [];
        const isSound = rows.every(({ kind, problems }) => kind !== 'broken' && problems.length === 0);
        if (isSound && doubts.length > 0) assert.notEqual(byRow, 'sure', text);
        assert.ok(alike !== 'sure' || byRow === 'sure', text);
        shown.push(`${visible(text).replaceAll('␊', '␊\n')}    ${byRow}; rows alike at once: ${alike}\n`);
      }
    assertExpected('tables/inOnePass.txt', shown.join('\n'));
  });

  it('rows of a hex view that are alike are taken at once where their order is known', () => {
    const [view] = ALL.filter(({ id }) => id === 'hex-view');
    const order = view?.image?.inOrder;
    assert.ok(view && order);
    const outcome = (first: string, label: number, ...bytes: readonly number[]) => {
      const looks = order();
      const isTaken = readRows(first, view).map((row) => looks.takes(row));
      const store = Uint8Array.of(9, ...bytes, 9);
      return [isTaken.every(Boolean), looks.takesAlike(label, store, 1, bytes.length), looks.isSure()];
    };
    const words = '00000000: 0102 0304  ....\n';
    const shownWords = '00000000: 3132 3334  1234\n';
    const pairs = '00000000: 31 32 33 34  1234\n';
    assert.deepEqual(outcome(pairs, 4, 1, 2, 3, 4), [true, true, true]);
    assert.deepEqual(outcome(pairs, 5, 1, 2, 3, 4), [true, false, true]);
    assert.deepEqual(outcome(pairs, 4, 1, 2, 3), [true, false, true]);
    assert.deepEqual(outcome('', 0, 1, 2, 3), [true, false, true]);
    assert.deepEqual(outcome(words, 4, 1, 2, 3, 4), [true, false, false]);
    assert.deepEqual(outcome(words, 4, 7, 7, 7, 7), [true, true, false]);
    assert.deepEqual(outcome(words, 4, 7, 7, 7, 8), [true, false, false]);
    assert.deepEqual(outcome(words, 4, 7, 8, 7, 7), [true, false, false]);
    assert.deepEqual(outcome(shownWords, 4, 1, 2, 3, 4), [true, true, true]);
    assert.deepEqual(outcome(`${pairs}00000004: 31  1\n`, 5, 1, 2, 3, 4), [true, false, true]);
    const od = '0000000 31 32 33 34\n';
    assert.deepEqual(outcome(od, 4, 1, 2, 3, 4), [true, true, false]);
    assert.deepEqual(outcome('0000007 31 32 33 34\n', 11, 1, 2, 3, 4), [true, true, true]);
    assert.deepEqual(outcome(`${od}0000004\n`, 4, 1, 2, 3, 4), [true, false, false]);
    assert.deepEqual(hexViewDoubts(readRows('', view)), []);
  });

  it('numbers of a list that are alike are taken at once, hex for sure by a digit that no decimal number has', () => {
    const [list] = ALL.filter(({ id }) => id === 'hex-list');
    const order = list?.image?.inOrder;
    assert.ok(list && order);
    const isSure = (first: string, ...bytes: readonly number[]) => {
      const looks = order();
      const isTaken = readRows(first, list).every((row) => looks.takes(row));
      return isTaken && looks.takesAlike(0, Uint8Array.of(0xff, ...bytes, 0xff), 1, bytes.length) && looks.isSure();
    };
    for (const [byte, sure] of [
      [0x0f, true],
      [0x10, false],
      [0x19, false],
      [0x1a, true],
      [0x99, false],
      [0x9f, true],
      [0xa0, true],
    ] as const)
      assert.equal(isSure('31, 32\n', 0x31, byte), sure, String(byte));
    assert.equal(isSure('0x31, 0x32\n', 0x31, 0x32), true);
    assert.equal(isSure('unsigned char a[2] = {\n', 0x31, 0x32), true);
    assert.equal(isSure('unsigned char a[3] = {\n', 0x31, 0x32), false);
    assert.equal(isSure('unsigned char a[3] = {\n0x31,\n', 0x31, 0x32), true);
    assert.equal(isSure('0x31,\nunsigned char a[2] = {\n', 0x31, 0x32), true);
    assert.equal(isSure('0x31,\nunsigned char a[3] = {\n', 0x31, 0x32), false);
  });

  it('the form of a file by its name and its text', () => {
    const texts: Readonly<Record<string, string>> = {
      intel: ':03001000010203E7\n:00000001FF\n',
      headers: '@vin 0DEM\n00000000: 31 32  12\n',
      beside: '00000000: 31 32  12\n@vin 0DEM\n',
      words: '3132 3334\n',
      numbers: '0x3132, 0x3334\n',
      view: '0000000 3132 3334\n0000004\n',
      octal: '0000000 030462 031464\n0000004\n',
      marked: '\ufeff:03001000010203E7\n',
      prose: 'nothing\n',
      titxt: '@F000\n31 40\n',
    };
    const names = [
      '',
      'a',
      'a.hex',
      'A.HEX',
      'a.b.S19',
      'a.hexlist',
      'a.xxd',
      'a.vmem',
      'a.cfgdump',
      'hex',
      'a.hex.txt',
    ];
    const shown = Object.entries(texts).flatMap(([what, text]) =>
      names.map((name) => {
        const found = recognise(name, text);
        const ways = found.kind === 'form' ? [found.form] : found.forms;
        const is = ways.map(({ id, word }) => [id, ...(word ? [word] : [])].join(' ')).join(', ');
        const plain = found.kind === 'unclear' ? `, plain ${plainForm(found.forms)?.id ?? '-'}` : '';
        const left = withoutHeadersBeside(name, text) === text ? 'whole' : 'in part';
        const document = ['', 'intel-hex', 'cfgdump', 'hex-view'].map((one) => notationOfDocument(one, name, text).id);
        return `${what} as "${name}": ${found.kind} ${is}${plain}; ${notationOf(name, text).id}, with headers ${notationWithHeaders(name, text).headers}, ${left}; in an editor ${document.join(' ')}\n`;
      }),
    );
    const by = names.map((name) => `${name}: ${promisedBy(name)?.id ?? '-'}, ${isDumpName(name)}\n`);
    const sure = Object.entries(texts).map(([what, text]) => `${what}: ${notationOfText(text)?.id ?? '-'}\n`);
    const why = Object.values(texts).flatMap((text) => {
      const found = recognise('', text);
      return found.kind === 'form' ? [] : [`${visible(text)}: ${say(whyUnclear(found.forms, text))}\n`];
    });
    assertExpected('tables/names.txt', [...shown, ...by, ...sure, ...why, `${DUMP_ENDINGS.join(' ')}\n`].join(''));
  });

  it('octal words', () => {
    const shown = [
      '0000000 030462 031464\n0000004\n',
      '0000000 177777\n*\n0000020\n',
      '0000000 000001\n  *  \n000020 \n',
      '0000000 277777\n',
      '0000000 000008\n',
      '0000000 000001\nx\n',
      '0000000\n',
      '0000000 3132\n',
      '',
      `${Array.from({ length: 1500 }, (_, i) => `${(16 * i).toString(8).padStart(7, '0')} 000001\n`).join('')}x\n`,
      `x\n${Array.from({ length: 1500 }, (_, i) => `${(16 * i).toString(8).padStart(7, '0')} 000001\n`).join('')}`,
    ].map((text) => octalWordsIn(text)?.join(' ') ?? '-');
    assert.deepEqual(shown, ['50 49 52 51', '255 255', '1 0', '-', '-', '-', '-', '-', '-', '-', '-']);
  });

  it('the lines that tell how a text is written: of a long one its first and its last whole ones', () => {
    const line = (i: number) => `${String(i).padStart(7, '0')}\n`;
    const text = (count: number) => Array.from({ length: count }, (_, i) => line(i)).join('');
    const counts = (of: string) => {
      const { head, tail } = tellingLines(of);
      return [head.length, tail.length, head.at(-1), tail[0]];
    };
    // 16,384 and 1,024 characters: 2,048 lines and 128 of them.
    assert.deepEqual(counts(text(2176)), [2176, 0, '0002175', undefined]);
    assert.deepEqual(counts(text(2177)), [2048, 127, '0002047', '0002050']);
    assert.deepEqual(counts(`x${text(2177)}`), [2047, 127, '0002046', '0002050']);
    assert.deepEqual(tellingLines('\ufeffa\r\n ; b\r#c\n//d\n\n /e\n'), { head: ['a', ' /e'], tail: [] });
  });

  it('what a text may be, with its first bytes', () => {
    const shown = [
      '1: 01 02\n2: 03 04\n',
      '1: 01 02\n2: 03 04\n3: 05 06\n',
      '1: 01 02\n2: 03 04\n3: 05\n',
      '1: 01 02\n2: 03 04\n3: 05 06\nx\n',
      '1: 01 02 03 04 05 06 07 08\n2: 01 02\n3: 01 02\n',
      '1: 01 02 03 04 05 06 07 08 09\n2: 01 02\n3: 01 02\n',
      'left: 01 02\nright: 01 02\nrear: 01 02\n',
      ':0800000001020304050607080ED\n:00000001FF\n',
      ':080000000102030405060708D4\n:00000001FF\n',
      ':09000000010203040506070809CA\n:00000001FF\n',
      ':00000000\n:00000001FF\n',
      ':0000000000\n:0100000001FE\n:00000001FF\n',
      '@F000\n31 40\n',
      '3132 3334\n',
      '@vin 0DEM\n',
      'nothing\n',
    ].map((text) => {
      const { isCertain, readings } = readingsOf(text);
      const ways = readings.map(({ form, sample }) => `${form.id} ${form.word ?? ''} ${sample}`);
      return `${visible(text)} ${isCertain ? 'is' : 'may be'} ${ways.join('; ')}${isTextOfHex(text) ? '' : ', no hex'}\n`;
    });
    assertExpected('tables/readings.txt', shown.join(''));
  });

  it('a header far behind does not make a text one of hex', () => {
    assert.equal(isTextOfHex(`${'x\n'.repeat(33_000)}@vin 0DEM\n`), false);
  });

  it('groups that are bytes, lines that hold them, and lines that are no comment', () => {
    const groups =
      '00 0 000 0000 00000 000000 0x 0x00 0X00 face FACE facade 1 12345 1234x 12345x7 12345x78 1234xx78 zz 0123456x 012345xx 0123xxxx';
    const lines = `
added 02 by hand|added 02 FF by hand|FACADE|FACADED|ABCDEF|ABCDE|face|face bed|of all|0x31|x31|31h|31 hh|total 24761|total 2476|part 24761
lrc 12345|12|12 34|1 2|12 34 of|12 34 of all|left: 12 34|a left: 12 34|a left: 12|a left: 12 zz|a: b: 12 34|Checksum: 1A2B|Checksum 1A2B3C
sum 0123456789ABCDEF0|sum 0123456789ABCDEF01|s 1A2B|sum 2: 1A2B|5 sum 1A2B|12.34.|[12] <34>|(12) {34}|"12" '34'|0x12,0x34;|* |**|***x|10\\0 4F
face be ad|fa ce be ad|fa ce zz|q1 zz 1A2B3C4D|zz 1A2B3C4D|FACADE xyz|12 face # 34 56 78 90 12|one two 12 34|one 12 34|one 1234 5678|1234|123|12:34|12=34|........12 34|12 34 zz zz|12 34 5z zz
`
      .trim()
      .split(/[|\n]/);
    const shown = [
      ...groups.split(' ').map((group) => `${group}: ${isHexGroup(group) ? 'bytes' : '-'}\n`),
      ...lines.map((line) => {
        const text = line.replace('\\0', '\0');
        const why = whyStray(text, '#');
        return `${visible(text)}: ${holdsBytes(text) ? 'holds bytes' : '-'}, ${why === undefined ? 'may be left alone' : say(why)}\n`;
      }),
      `nothing: ${holdsBytes('')} ${holdsBytes(' - ')}\n`,
    ];
    assertExpected('tables/groups.txt', shown.join(''));
  });

  it('characters that are taken for digits, and digits for each other', () => {
    const codes = [
      ...Array.from({ length: 0x100 }, (_, code) => code),
      ...Array.from({ length: 0x100 }, (_, i) => 0x380 + i),
    ];
    const meant = codes.flatMap((code) => {
      const digit = meantDigit(String.fromCharCode(code));
      return digit === undefined ? [] : [`${code.toString(16)}: ${digit}\n`];
    });
    const confused = [...'0123456789ABCDEF'].map((digit) => `${digit}: ${confusedWith(digit).join(' ')}\n`);
    assertExpected('tables/lookAlikes.txt', [...meant, ...confused].join(''));
  });

  it('items of a list, the words they may be, and the types of arrays', () => {
    const types =
      'char ;unsigned char ;uchar ;byte ;uint8_t ;int8 ;u8 ;s8 ;short ;ushort ;int16_t ;u16 ;long ;ulong ;uint32_t ;s32 ;dword ;int ;uint ;word ;unsigned ;signed ;float ;double ;long long ;unsigned long  long ;int64_t ;u64 ;char * ;thing ;const static uint8_t ;INT ;xint ;'.split(
        ';',
      );
    const items =
      '31 32;31 32 33 34;31 32 33;3132 3334;3132 33;3132;313233;31323334;3132333435363738;31323334 35363738;0x3132;0x31 0x32;0x31323334;0x313233;3132 0x3334;31 3132';
    const shown = [
      ...types.map((type) => `${type}: ${bytesOfType(type).join(' ')}\n`),
      ...items
        .split(';')
        .map((text) => `${text}: ${WORDS.map((word) => wordItems(itemsOf(text), word) ?? '-').join(' ')}\n`),
    ];
    assertExpected('tables/lists.txt', shown.join(''));
  });

  it('words that headers say, and words in words', () => {
    const [dumpText] = ALL;
    assert.ok(dumpText);
    const said = (text: string) => wordInHeaders(readRows(text, dumpText));
    assert.deepEqual(['@word 2le\n', '@vin 4be\n@word 4be\n', '@vin 2le\n', '@word 3le\n', ''].map(said), [
      '2le',
      '4be',
      undefined,
      undefined,
      undefined,
    ]);
    const turned = inWords(dumpText, '2le');
    assert.deepEqual(
      [turned.word, inWords(turned, '4be').word, inWords(dumpText, undefined)],
      ['2le', '2le', dumpText],
    );
  });

  it('a "*" stands for 16 MiB at most', () => {
    const [view] = ALL.filter(({ id }) => id === 'hex-view');
    assert.ok(view);
    const kinds = ['1000010', '1000020'].map((end) => {
      const [, repeated] = readRows(`000000 01 02 03 04 05 06 07 08 09 0a 0b 0c 0d 0e 0f 10\n*\n${end}\n`, view);
      return repeated?.kind;
    });
    assert.deepEqual(kinds, ['record', 'broken']);
  });

  it('headers beside a text stand behind it', () => {
    assert.deepEqual([rowsBehind(''), rowsBehind('\ufeff@vin x').map(({ kind }) => kind)], [[], ['blank', 'header']]);
  });

  it('a long text is known by its first and its last lines', () => {
    const last = ['x\n', '@F000 01\n'];
    const long = (line: string, end: string) => `${line.repeat(Math.ceil(20_000 / line.length))}${end}`;
    const known = (text: string) => {
      const found = recognise('', text);
      return found.kind === 'form' ? found.form.id : found.forms.map(({ id }) => id).join(' ');
    };
    const rows = Array.from({ length: 1500 }, (_, i) => `${(2 * i).toString(16).padStart(8, '0')}: 31 32  12\n`).join(
      '',
    );
    assert.deepEqual(
      [
        ...['', ...last].map((end) => known(long('0x31, 0x32\n', end))),
        ...['', ...last].map((end) => known(`${rows}${end}`)),
        ...['', 'q\n', ...last].map((end) => known(`@F000\n${long('31 40\n', end)}`)),
        ...['', ...last].map((end) => known(long('@0 3132\n', end))),
      ],
      [
        ...['hex-list', 'dump-text', 'dump-text'],
        ...['hex-view', 'dump-text', 'dump-text'],
        ...['ti-txt verilog', 'ti-txt', 'dump-text', 'verilog'],
        ...['verilog', 'dump-text', 'dump-text'],
      ],
    );
  });

  it('the line end of a text is that of its first line', () => {
    const [dumpText] = ALL;
    assert.ok(dumpText);
    const ends = ['a\r\nb\n', 'a\rb\n', 'a\nb\r\n', 'a', ''].map((text) => lineEndOf(readRows(text, dumpText)));
    assert.deepEqual([ends, lineEndOf([])], [['\r\n', '\r', '\n', '\n', '\n'], '\n']);
  });
});

/** How rows fare that are looked at one after the other; with `atOnce` such as are alike but for label and bytes. */
function passed(looks: RowsInOrder, rows: readonly Row[], form: WrittenForm, atOnce: boolean): string {
  for (const [i, row] of rows.entries()) {
    const before = rows[i - 1];
    const isTaken =
      atOnce && row.kind === 'record' && before?.kind === 'record' && isAlike(row, before, form)
        ? looks.takesAlike(Number(row.label), bytesOf(row), 0, row.count)
        : looks.takes(row);
    if (!isTaken) return `asks for all rows at ${i}`;
  }
  return looks.isSure() ? 'sure' : 'not sure';
}

function isAlike(row: RecordRow, before: RecordRow, form: WrittenForm): boolean {
  const places = (of: RecordRow) => json([form.digitPlaces(of), form.labelSpan(of)]);
  return (
    row.count > 0 &&
    row.type === before.type &&
    row.text.length === before.text.length &&
    places(row) === places(before) &&
    row.text.includes('0x') === before.text.includes('0x')
  );
}
