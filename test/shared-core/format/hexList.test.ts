import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { convert } from '../../../shared-core/src/convert/index.js';
import { recognise } from '../../../shared-core/src/format/notationOf.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { loaded } from '../../support/loaded.js';

const NONE = { kind: 'none' } as const;

const errorsOf = (text: string) =>
  checkDump(loaded(bindText('a.hexlist', text, EMPTY_PROFILE), NONE, NONE))
    .filter(({ severity }) => severity === 'error')
    .map(({ message }) => message.pattern);

const isGood = (text: string) => assert.deepEqual(errorsOf(text), [], text);
const isWrong = (text: string, why: RegExp) => assert.match(errorsOf(text).join('\n'), why, text);

describe('lists of hex', () => {
  it('hold no numbers without 0x in code, where these are decimal', () => {
    const decimal = /without 0x are decimal/;
    isWrong('unsigned char a[] = { 16, 17, 18 };\n', decimal);
    isWrong('unsigned char a[] = { 0x31, 17 };\n', decimal);
    isWrong('unsigned char a[] = {\n  16, 17,\n  18\n};\n', decimal);
    isWrong('0x31, 32, 33\n', decimal);
    isWrong('16, 17 };\n', decimal);
    for (const text of ['unsigned char a[] = { 0x31, 17 };\n', 'int a[] = {\n 10, 20\n};\n', '0x31, 32\n'])
      assert.equal(recognise('a.txt', text).kind, 'unclear', text);
    isGood('16 17 18 A0\n');
    isGood('const uint8_t a[3] PROGMEM = {\n  0x31, 0x32,\n  0x33\n};\n');
  });

  it('hold no numbers that may be decimal or hex where none shows which', () => {
    const unclear = /may be decimal or hex/;
    for (const text of ['16, 17, 18\n', '16;17;18\n', '10 11 12\n', '31\n', '16, 17,\n18, 99\n']) {
      isWrong(text, unclear);
      assert.equal(recognise('a.txt', text).kind, 'unclear', text);
    }
    for (const text of ['16, 17, 1A\n', '16, 00, 18\n', '16, 17,\n05, 99\n', '31323334\n', '0x16, 0x17\n'])
      isGood(text);
  });

  it('hold no arrays of elements wider than a byte, or of a type that may be', () => {
    for (const type of ['uint16_t', 'const uint32_t', 'short', 'int', 'long', 'unsigned', 'word', 'char *', 'EE'])
      isWrong(`${type} a[] = { 0x31, 0x33 };\n`, /more than one byte each/);
    isWrong('unsigned char a[2][2] = { 0x31, 0x33 };\n', /more than one byte each/);
    for (const type of ['unsigned char', 'static const uint8_t', 'char', 'BYTE', 'u8', 'signed char'])
      isGood(`${type} a[] = { 0x31, 0x33 };\n`);
  });

  it('are wrong where an array is not as long as it says', () => {
    for (const size of ['3', '0x20', '1', '02', '0'])
      isWrong(`unsigned char a[${size}] = {\n  0x31, 0x33\n};\n`, /has the size/);
    for (const size of ['', '2', '0x2', 'SIZE']) isGood(`unsigned char a[${size}] = {\n  0x31, 0x33\n};\n`);
    isWrong('unsigned char a[] = {\n  0x31, 0x33\n};\nunsigned int a_len = 3;\n', /data end at/);
  });
});

describe('comments of code', () => {
  const converted = (name: string, text: string, to: 'dump-text' | 'intel-hex' | 'hex-list') => {
    const done = convert(bindText(name, text, EMPTY_PROFILE), to);
    assert.ok(done.ok);
    return done.value;
  };

  for (const [name, text] of [
    [
      'a.hexlist',
      '/* one */ char a[] = { 0x31, /* two */ // three\n0x33 /* // four */ }; // five 0x99\n/* @8 55 66 */\n',
    ],
    ['a.vmem', '@0 31 /* one */ /* two */ // three\n33 /* // four */ // five 0x99\n/* @8 55 66 */\n'],
  ] as const) {
    it(`in and behind the rows of ${name} are kept, or named where the other form has no place for them`, () => {
      const said = ['one', 'two', 'three', '// four', 'five 0x99', '@8 55 66'];
      const lines = converted(name, text, 'dump-text')
        .text.split('\n')
        .filter((line) => line.startsWith('#'));
      assert.deepEqual(
        lines,
        said.map((one) => `# ${one.replace('// ', '')}`),
      );
      const { lost } = converted(name, text, 'intel-hex');
      assert.deepEqual(
        lost.map(({ parts }) => parts[1]),
        said,
      );
    });
  }

  it('that could be read as a header or a row are written between both marks', () => {
    const { text } = converted('a.vmem', '@0 31\n/* @8 55 66 */\n', 'hex-list');
    assert.equal(text, '0x31,\n/* @8 55 66 */\n');
    assert.deepEqual(errorsOf(text), []);
  });
});

describe('rows of data behind the sign of a comment', () => {
  it('are in doubt: one may be a damaged row', () => {
    const problemsOf = (name: string, text: string) =>
      checkDump(loaded(bindText(name, text, EMPTY_PROFILE), NONE, NONE)).map(({ severity }) => severity);
    for (const row of ['// @4 11 22 33 44', '//@4 11223344', '//11 22 33 44'])
      assert.deepEqual(problemsOf('a.vmem', `@0 31 32 33 34\n${row}\n@8 31 32 33 34\n`), ['error'], row);
    for (const row of ['// @profile p.dump-profile.json', '// 33', '// a note 11 22'])
      assert.ok(!problemsOf('a.vmem', `@0 31 32 33 34\n${row}\n`).includes('error'), row);
    const end = '%0E81F800000100\n';
    assert.deepEqual(problemsOf('a.tekx', `%1561C3100202020202020\n${end}`), []);
    assert.deepEqual(problemsOf('a.tekx', `;1561C3100202020202020\n${end}`).includes('error'), true);
    assert.deepEqual(
      problemsOf('a.tekx', `%1561C3100202020202020\n;156223106202020202020\n${end}`).includes('error'),
      true,
    );
  });
});
