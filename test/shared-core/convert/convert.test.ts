// What goes along into another form, what is named as lost, and which files say the same when they are read in one pass.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { contentsOf } from '../../../shared-core/src/convert/contents.js';
import { contentsOfPass, contentsOfRaw, isContent } from '../../../shared-core/src/convert/contentsScan.js';
import { type ConvertTarget, conversionOf, inSingleBytes } from '../../../shared-core/src/convert/convert.js';
import { convert } from '../../../shared-core/src/convert/index.js';
import { dumpText } from '../../../shared-core/src/format/dumpText.js';
import { FORM_IDS, formOf, readRows } from '../../../shared-core/src/format/index.js';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import type { Notation } from '../../../shared-core/src/format/notation.js';
import { rawRows } from '../../../shared-core/src/format/rawBytes.js';
import { sRecord } from '../../../shared-core/src/format/sRecord.js';
import { tektronixExtended } from '../../../shared-core/src/format/tektronix.js';
import { verilog } from '../../../shared-core/src/format/verilog.js';
import { bind, bindText } from '../../../shared-core/src/model/index.js';
import { printRecord } from '../../../shared-core/src/model/lineSum.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { scanInSteps } from '../../../shared-core/src/scan/imageScan.js';
import { profileOf } from '../../support/smallDumps.js';

const record = (notation: Notation, label: number, type: number, ...bytes: number[]) =>
  printRecord(notation, label, type, Uint8Array.from(bytes));
const DATA = record(intelHex, 0, 0, 1, 2);
const END = ':00000001FF';
const S_TITLE = record(sRecord, 0, 0, 0x41);
const S_DATA = record(sRecord, 0, 1, 1, 2);
const startAt = (...address: number[]) => record(intelHex, 0, 5, ...address);

/** The text in another form and what is said to be lost; the reason where it is refused. */
function converted(name: string, text: string, target: ConvertTarget, width?: number) {
  const result = convert(bindText(name, text, EMPTY_PROFILE), target, width);
  return result.ok
    ? { text: result.value.text, lost: result.value.lost.map((one) => say(one)) }
    : { why: say(result.why) };
}

describe('what goes along into another form', () => {
  const LOST: readonly (readonly [
    what: string,
    name: string,
    text: string,
    target: ConvertTarget,
    lost: readonly string[],
  ])[] = [
    [
      'the title of S-records',
      'a.s19',
      `${S_TITLE}\n${S_DATA}\n${record(sRecord, 0, 9)}\n`,
      'intel-hex',
      ['Row 1: the text of the S0 record'],
    ],
    [
      'the title of S-records, to a form with comments',
      'a.s19',
      `${S_TITLE}\n${S_DATA}\n${record(sRecord, 0, 9)}\n`,
      'dump-text',
      [],
    ],
    ['a start address that other forms hold', 'a.hex', `${DATA}\n${startAt(0, 0, 0, 2)}\n${END}\n`, 's-record', []],
    [
      'a start address 0, which is as none in S-records',
      'a.hex',
      `${DATA}\n${startAt(0, 0, 0, 0)}\n${END}\n`,
      's-record',
      ['Row 2: the start address 0, which S-records cannot tell from none'],
    ],
    [
      'a start address 0, to a form that says it',
      'a.hex',
      `${DATA}\n${startAt(0, 0, 0, 0)}\n${END}\n`,
      'dump-text',
      [],
    ],
    [
      'a start address, to a form without any',
      'a.hex',
      `${DATA}\n${startAt(0, 0, 0x12, 0x34)}\n${END}\n`,
      'ti-txt',
      ['Row 2: the start address 1234'],
    ],
    [
      'a start address that a later one replaces',
      'a.hex',
      `${DATA}\n${startAt(0, 0, 0, 1)}\n${startAt(0, 0, 0, 2)}\n${END}\n`,
      's-record',
      ['Row 2: a start address that a later row replaces'],
    ],
    [
      'a comment',
      'a.cfgdump',
      '0x0: 01 02 # a note\n#   other  \n',
      'intel-hex',
      ['Row 1: the comment "# a note"', 'Row 2: the comment "#   other"'],
    ],
    ['headers', 'a.cfgdump', '@vin 0DEM0T4X5TA020418\n@note\n0x0: 01 02\n', 'intel-hex', []],
    [
      'a seal, which is that of the dump as it was',
      'a.cfgdump',
      '@seal 00\n0x0: 01 02\n',
      'intel-hex',
      ['Row 1: the header "@seal 00"'],
    ],
    ['a comment, to a form that has them', 'a.cfgdump', '# a note\n0x0: 01 02\n', 'verilog', []],
  ];
  for (const [what, name, text, target, lost] of LOST)
    it(`names what is lost: ${what}`, () => {
      assert.deepEqual(converted(name, text, target).lost, lost);
    });

  it('keeps headers where the form has a place for them, without blanks behind them, and no seal in any form', () => {
    const text = '@vin 0DEM0T4X5TA020418\n@note\n@seal 00\n@start 0x1\n0x0: 01 02\n';
    for (const target of FORM_IDS.filter((id) => id !== 'dump-text')) {
      const { text: made = '', lost = [] } = converted('a.cfgdump', text, target);
      assert.ok(lost.includes('Row 3: the header "@seal 00"'), target);
      assert.ok(!made.includes('seal'), target);
      assert.doesNotMatch(made, /@note +$/m, target);
      assert.ok(!lost.some((one) => one.includes('@note ')), target);
      assert.ok(!lost.some((one) => /^The header "@(?:seal|start)/.test(one)), target);
      assert.ok(
        made.includes('@vin 0DEM0T4X5TA020418') || lost.includes('The header "@vin 0DEM0T4X5TA020418"'),
        target,
      );
    }
  });

  it('names all that is lost, the start address too', () => {
    const text = '@start 0x1234\n0x0: 01 02 # a note\n';
    assert.deepEqual(converted('a.cfgdump', text, 'ti-txt').lost, [
      'Row 2: the comment "# a note"',
      'Row 1: the start address 1234',
    ]);
  });

  it('starts where it started, also where that is above all data and takes wider addresses', () => {
    for (const [start, last] of [
      ['0xFFFF', /^S903FFFFFE$/m],
      ['0x10000', /^S804010000FA$/m],
      ['0xFFFFFF', /^S804FFFFFFFE$/m],
      ['0x1000000', /^S70501000000F9$/m],
    ] as const)
      assert.match(converted('a.cfgdump', `@start ${start}\n0x0: 01\n`, 's-record').text ?? '', last, start);
  });

  it('is in single bytes where the profile says words, and no header says otherwise where that would be read so', () => {
    const words = profileOf({ word: { bytes: 2, order: 'little' }, addresses: { from: 0, to: 3 } });
    const dump = bindText('a.cfgdump', '@profile a.dump-profile.json\n0x0: 01 02 03 04\n', words);
    const lost = (target: ConvertTarget) => {
      const result = convert(dump, target);
      assert.ok(result.ok, result.ok ? '' : say(result.why));
      return result.value.lost.map((one) => say(one).split(',')[0]);
    };
    const said = 'Row 1: the header "@profile a.dump-profile.json"';
    assert.deepEqual(
      FORM_IDS.filter((id) => id !== 'dump-text' && lost(id).includes(said)),
      FORM_IDS.filter((id) => id !== 'dump-text' && formOf(id)?.inWords !== undefined),
    );
  });

  it('is refused where a form has no such addresses, naming the first row that has', () => {
    const far = (address: string) => converted('a.cfgdump', `0x0: 01\n${address}: 01 02\n`, 'mos-tech').why;
    assert.match(far('0xFFFF') ?? '', /^Row 2: .* has no addresses above FFFF; here are data up to 10000\.$/);
    assert.equal(far('0xFFFE'), undefined);
    assert.match(
      converted('a.cfgdump', '0x0: 01\n0x2: 02\n', 'hex-list').why ?? '',
      /^Row 2: .* begin at 0 and have no gaps; here they go on at 0002\.$/,
    );
    assert.match(converted('a.cfgdump', '0x1: 01\n', 'hex-list').why ?? '', /^Row 1: .* here they go on at 0001\.$/);
    assert.equal(converted('a.cfgdump', '0x0: 01\n0x1: 02\n', 'hex-list').why, undefined);
    assert.match(
      converted('a.cfgdump', '0x10: 01\n0x12: 02\n', 'hex-view').why ?? '',
      /^Row 2: .* holds only data without gaps; here they go on at 0012\.$/,
    );
    assert.equal(converted('a.cfgdump', '0x10: 01\n0x11: 02\n', 'hex-view').why, undefined);
    assert.match(
      converted('a.hex', `${DATA}\n${END}\n`, 'intel-hex').why ?? '',
      /^This file is written in that form already/,
    );
  });

  it('has lines as wide as was asked for, of one byte at least and 250 at most', () => {
    const bytes = (count: number) => `0x0: ${'00 '.repeat(count).trim()}\n`;
    const widths = (width: number | undefined, count: number) =>
      (converted('a.cfgdump', bytes(count), 's-record', width).text ?? '')
        .split('\n')
        .filter((line) => line.startsWith('S1'))
        .map((line) => Number.parseInt(line.slice(2, 4), 16) - 3);
    assert.deepEqual(widths(undefined, 20), [16, 4]);
    assert.deepEqual(widths(8, 20), [8, 8, 4]);
    assert.deepEqual(widths(0, 2), [1, 1]);
    assert.deepEqual(widths(7.9, 8), [7, 1]);
    assert.deepEqual(widths(999, 251), [250, 1]);
  });

  it('names no words that single bytes are not in any more: the header goes, and a profile of words where the form would read by it', () => {
    const dump = bindText('a.cfgdump', '@word 2le\n@profile a.dump-profile.json\n@vin 1\n0x0: 01 02\n', EMPTY_PROFILE);
    const contents = contentsOf(dump);
    assert.ok(contents.ok);
    const kept = (knowsWords: boolean, profile: '2le' | undefined) => {
      const result = inSingleBytes(contents.value, knowsWords, profile);
      assert.ok(result.ok);
      const { contents: held, lost } = result.value;
      return [
        held.parts.flatMap((part) => (part.kind === 'header' ? part.name : [])),
        lost.map((one) => say(one).split(',')[0]),
      ];
    };
    assert.deepEqual(kept(true, '2le'), [['vin'], ['Row 2: the header "@profile a.dump-profile.json"']]);
    assert.deepEqual(kept(false, '2le'), [['profile', 'vin'], []]);
    assert.deepEqual(kept(true, undefined), [['profile', 'vin'], []]);
  });

  it('is written anew in single bytes in the form that it has, where it is in words', () => {
    const contents = () => contentsOf(bindText('a.cfgdump', '0x0: 01 02\n', EMPTY_PROFILE));
    assert.ok(conversionOf('hex-view', contents, 'hex-view', 16, { source: '2le' }).ok);
    assert.ok(!conversionOf('hex-view', contents, 'hex-view').ok);
  });
});

/** A block of symbols; its sum as in the tables of forms. */
const SYMBOLS = '%0A3821ab!Z';

describe('what a file holds', () => {
  const inOnePass = (notation: Notation, text: string) => {
    const file = {
      chunks: () => [Buffer.from(text)],
      notation,
      decode: (bytes: Uint8Array) => Buffer.from(bytes).toString('utf8'),
    };
    const scanned = finish(scanInSteps(file, undefined, isContent(notation)));
    assert.ok(!('asks' in scanned));
    return contentsOfPass(file, scanned.pass, EMPTY_PROFILE);
  };
  const inWords = (contents: ReturnType<typeof contentsOf> | undefined) => {
    assert.ok(contents);
    if (!contents.ok) return say(contents.why);
    const { parts, ...rest } = contents.value;
    // Runs that go on alike may be cut otherwise.
    const bytes = parts.flatMap((part) =>
      part.kind === 'data'
        ? Array.from(
            { length: part.bytes.count },
            (_, i) => `${part.address + i}: ${part.bytes.store[part.bytes.from + i]}`,
          )
        : [],
    );
    return { ...rest, bytes, others: parts.filter(({ kind }) => kind !== 'data') };
  };
  const S_END = record(sRecord, 0x1234, 9);
  it('has symbols among what was written for people, which no other form has a place for but as a comment', () => {
    const rows = [SYMBOLS, record(tektronixExtended, 0, 6, 1, 2), record(tektronixExtended, 0, 8), ''];
    const contents = contentsOf(bind(readRows(rows.join('\n'), tektronixExtended), tektronixExtended, EMPTY_PROFILE));
    assert.ok(contents.ok, contents.ok ? '' : say(contents.why));
    assert.deepEqual(
      contents.value.parts.filter(({ kind }) => kind !== 'data'),
      [{ kind: 'comment', row: 0, text: SYMBOLS }],
    );
  });

  const FILES: readonly (readonly [what: string, notation: Notation, rows: readonly string[]])[] = [
    ['a start address, comments and headers', intelHex, ['# a', '@vin 1', DATA, '', startAt(0, 0, 0, 2), END, '# b']],
    [
      'a title and the end that says where it starts',
      sRecord,
      [S_TITLE, S_DATA, '# c', record(sRecord, 2, 1, 3), S_END],
    ],
    ['two starts', intelHex, [startAt(0, 0, 0, 1), DATA, startAt(0, 0, 0, 2), END]],
    ['no start', sRecord, [S_DATA, record(sRecord, 0, 9)]],
    ['comments of code', verilog, ['// a', '@0', '01 02 /* b */ 03', '// c']],
    ['a wrong sum', intelHex, [DATA, ':020002000304F6', END]],
    ['no data', intelHex, [END]],
    ['a row that cannot be read', intelHex, [DATA, ':02', END]],
  ];
  for (const [what, notation, rows] of FILES)
    for (const lineEnd of ['\n', '\r\n', '\r'])
      it(`is the same in one pass: ${what}, ${JSON.stringify(lineEnd)}`, () => {
        const text = [...rows, ''].join(lineEnd);
        const whole = contentsOf(bind(readRows(text, notation), notation, EMPTY_PROFILE));
        assert.deepEqual(inWords(inOnePass(notation, text)), inWords(whole));
        if (whole.ok) assert.equal(whole.value.lineEnd, lineEnd);
      });

  it('is the same of raw bytes without their lines: bytes from the offset on, headers above them, and the start', () => {
    const RAW: readonly (readonly [bytes: number, offset: number, headers: string])[] = [
      [20, 0, ''],
      [3, 0x100, '@vin 1\r\n# a\r\n'],
      [3, 5, '@start 0x10\n@vin 1\n'],
      [16, 0, '@start 0xFFFFFFFF\n'],
      [0, 0, '@vin 1\n'],
    ];
    for (const [count, offset, headers] of RAW) {
      const raw = { bytes: Uint8Array.from({ length: count }, (_, i) => i + 1), offset, headers };
      const whole = bind(rawRows(raw), dumpText, EMPTY_PROFILE);
      assert.deepEqual(inWords(contentsOfRaw(raw, whole)), inWords(contentsOf(whole)), headers);
    }
    // A line of data among the headers is of the file as well: only all rows together tell.
    const mixed = { bytes: Uint8Array.of(1), offset: 0, headers: '0x10: 01\n' };
    assert.equal(contentsOfRaw(mixed, bind(rawRows(mixed), dumpText, EMPTY_PROFILE)), undefined);
    const inLines = profileOf({ lines: { from: 1, to: 2, data: 2, sum: 0 } });
    const raw = { bytes: Uint8Array.of(1), offset: 0, headers: '' };
    assert.match(String(inWords(contentsOfRaw(raw, bind(rawRows(raw), dumpText, inLines)))), /line numbers/);
  });
});
