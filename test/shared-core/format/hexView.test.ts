import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { convert } from '../../../shared-core/src/convert/index.js';
import { changeDump } from '../../../shared-core/src/model/gate.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { bytesAt } from '../../support/images.js';
import { loaded } from '../../support/loaded.js';

const NONE = { kind: 'none' } as const;

const errorsOf = (text: string, name = 'a.xxd') =>
  checkDump(loaded(bindText(name, text, EMPTY_PROFILE), NONE, NONE))
    .filter(({ severity }) => severity === 'error')
    .map(({ message }) => message.pattern);

const isGood = (text: string, name?: string) => assert.deepEqual(errorsOf(text, name), [], text);
const isWrong = (text: string, why: RegExp, name?: string) =>
  assert.ok(
    errorsOf(text, name).some((pattern) => why.test(pattern)),
    `${text}${errorsOf(text, name)}`,
  );

const BLANKS = '00 00 00 00 00 00 00 00 00 00 00 00 00 00 00 00';

describe('hex views', () => {
  it('with words of several bytes are read only where the characters show their order, or each word is the same backwards', () => {
    const order = /order nobody can tell.*xxd -g1/;
    for (const name of ['a.xxd', 'a.txt']) {
      isWrong('00000000: 00000001 ff00ff01  ........\n', order, name);
      isWrong('00000000: 0001 ff00  ....\n', order, name);
      isWrong('00000000: 0000 0000  ....\n00000004: 0001 0000  ....\n', order, name);
      // The same characters backwards show nothing.
      isWrong('00000000: 0100 4141 0001  ..AA..\n', order, name);
      isGood('00000000: 0001 3100  ..1.\n', name);
      isGood('00000000: 0001 ff00  ....\n00000004: 4142 0000  AB..\n', name);
      isGood('00000000: 0000 ffff 4141  ....AA\n', name);
      isGood('00000000: 00 01 ff 00  ....\n', name);
    }
  });

  it('are never written into where the order of their words is not shown, or would not be', () => {
    const write = (text: string, byte: number, value: number) =>
      changeDump(bindText('a.xxd', text, EMPTY_PROFILE), { writes: [{ row: 0, byte, value, reason: 'option' }] });
    assert.equal(write('00000000: 0001 0000  ....\n', 2, 0x31).ok, false);
    assert.equal(write('00000000: 0000 0000  ....\n', 1, 1).ok, false);
    assert.equal(write('00000000: 0031 0000  .1..\n', 1, 1).ok, false);
    assert.equal(write('00000000: 0031 0000  .1..\n', 2, 1).ok, true);
    assert.equal(write('00000000: 00 00 00 00  ....\n', 1, 1).ok, true);
  });

  it('without a colon are read only where their addresses are hex for sure', () => {
    const octal = /octal or decimal.*od -A x/;
    isWrong(`0000000 ${BLANKS}\n*\n0000400\n`, octal, 'a.hexdump');
    isWrong(`0000000 ${BLANKS}\n*\n0000400\n`, octal, 'a.txt');
    isWrong(`00000000 ${BLANKS}\n*\n00000400\n`, octal, 'a.txt');
    isGood(`000000 ${BLANKS}\n*\n000400\n`, 'a.txt');
    isGood(`0000000 ${BLANKS}\n0000010 ${BLANKS}\n*\n0000400\n`, 'a.txt');
    isWrong(`0000000 ${BLANKS}\n0000020 ${BLANKS}\n*\n0000400\n`, /decimal or octal number/, 'a.hexdump');
    isWrong(`0000000 ${BLANKS}\n0000016 ${BLANKS}\n*\n0000256\n`, /decimal or octal number/, 'a.hexdump');
  });

  it('leave nothing out by "*" but copies of a whole row', () => {
    const unclear = /not clear which rows/;
    const short = '00000000  01 02 03 04                                       |....|\n';
    isWrong(`${short}*\n00000020\n`, unclear, 'a.hexdump');
    isWrong(`00000000: ${BLANKS}  ................\n00000010: 00 00  ..\n*\n00000020: 00 00  ..\n`, unclear);
    isGood(`00000000: ${BLANKS}  ................\n*\n00000040: 00 00  ..\n`);
  });

  it('that are cut off inside a row are never good', () => {
    const text = '00000000: 31 32 33 34 35 36 37 38  12345678\n00000008: 31 32 33 34 35 36 37 38  12345678\n';
    isGood(text);
    const second = text.indexOf('\n') + 1;
    for (let length = second + 1; length < text.length - 1; length++)
      assert.notDeepEqual(errorsOf(text.slice(0, length)), [], text.slice(0, length));
    isWrong('00000000: 31 32 33 34  1234\n00000004\n', /another way/);
    isWrong('00000000: 31 32 33 34  1234\n00000004  35 36 37 38  |5678|\n00000008\n', /another way/);
    // Editors take blanks at the ends of lines away; what is cut off looks the same, but is shorter.
    isGood('00000000: 31 32 33 34  1234\n00000004: 20 20 20 20\n');
    isWrong('00000000: 31 32 33 34  1234\n00000004: 20 20\n', /no characters/);
  });

  it('have no gaps, rise, and have full rows before the last one', () => {
    isWrong('00000000: 31 32  12\n00000004: 33 34  34\n', /leave nothing out/);
    isWrong('00000002: 31 32  12\n00000000: 33 34  34\n', /leave nothing out/);
    isWrong('00000000: 31 32 33 34  1234\n00000004: 35  5\n00000005: 36 37 38 39  6789\n', /others have/);
    isGood('00000010: 31 32 33 34  1234\n00000014: 35  5\n');
    isGood('00000011: 31 32 33  123\n00000014: 35 36 37 38  5678\n');
  });

  it('hold no comments, as programs that read them would take their digits for data', () => {
    for (const line of ['# 31 32', '; note', '// note', '# @profile a', 'note'])
      isWrong(`00000000: 31 32  12\n${line}\n`, /has no comments/);
    isGood('\n00000000: 31 32  12\n\n');
  });

  it('are not written of data with gaps, and show the order of their bytes', () => {
    const to = (text: string) => convert(bindText('a.cfgdump', text, EMPTY_PROFILE), 'hex-view');
    assert.equal(to('0x10: 01\n0x12: 02\n').ok, false);
    const written = to('0x11: 01 02 03\n0x14: 04\n');
    assert.ok(written.ok);
    isGood(written.value.text);
    assert.deepEqual(
      [...bytesAt(bindText('a.xxd', written.value.text, EMPTY_PROFILE)).entries()],
      [1, 2, 3, 4].map((byte) => [0x10 + byte, byte]),
    );
  });
});
