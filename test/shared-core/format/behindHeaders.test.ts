import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { apartFromHeaders, withHeaders, withItsHeaders } from '../../../shared-core/src/format/behindHeaders.js';
import { dumpText } from '../../../shared-core/src/format/dumpText.js';
import { hexView } from '../../../shared-core/src/format/hexView.js';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { readRows, splitLines } from '../../../shared-core/src/format/rows.js';

const TEXTS = ['', '00000000: 11\n', '00000000: 11', '00000000: 11\r\n', '00000000: 11\r', '\ufeff00000000: 11\n\n \n'];
const HEADERS = [
  '',
  '@part A\n',
  '@part A',
  '\n\n# note\n@part A\n',
  '\r\n@part A\r\n\r\n',
  '\ufeff@part A\n',
  '\n',
  '\n@part A',
  '\ufeff',
  ' \n\t# a\n \n',
];
const linesOf = (text: string) => splitLines(text).map((line) => line.replace(/[\r\n]+$/, ''));

describe('headers of a form that has no place for them', () => {
  it('stand behind its text, whose rows keep their numbers', () => {
    for (const text of TEXTS)
      for (const headers of HEADERS) assert.ok(withHeaders(headers, text).whole.startsWith(text));
  });

  it('are all that stands there beside the rows of the text: no line more, and no mark of the file with the headers', () => {
    for (const text of TEXTS)
      for (const headers of HEADERS.filter((one) => one.replace('\ufeff', '') !== '')) {
        const own = /(?:^|[\r\n])$/.test(text) ? linesOf(text).slice(0, -1) : linesOf(text);
        const { whole } = withHeaders(headers, text);
        assert.deepEqual(linesOf(whole), [...own, ...linesOf(headers.replace('\ufeff', ''))], JSON.stringify(whole));
      }
    for (const headers of ['', '\ufeff'])
      for (const text of TEXTS) assert.equal(withHeaders(headers, text).whole, text);
  });

  it('leave the line end of the last row as it is, but for one that would become one with theirs', () => {
    for (const text of TEXTS.filter((one) => /[\r\n]$/.test(one)))
      for (const headers of HEADERS) {
        const isOne = text.endsWith('\r') && headers.startsWith('\n');
        assert.equal(withHeaders(headers, text).between, isOne ? '\n' : '');
      }
  });

  it('are read of a form that has no place for them, and of any other as it says itself', () => {
    const view = withItsHeaders(hexView);
    const kinds = readRows('00000000  11  |.|\n@part A\n# a\n', view).map(({ kind }) => kind);
    assert.deepEqual(kinds, ['record', 'header', 'comment', 'blank']);
    assert.equal(view.headers, 'own');
    for (const form of [dumpText, intelHex]) assert.equal(withItsHeaders(form), form);
  });

  it('go back, with the text, to the files that they came from, byte for byte', () => {
    for (const text of TEXTS)
      for (const headers of HEADERS) {
        const joined = withHeaders(headers, text);
        assert.deepEqual(apartFromHeaders(joined.whole, joined), { headers, text }, JSON.stringify({ headers, text }));
      }
  });

  it('are told from a text in which bytes, or lines, have changed', () => {
    for (const text of TEXTS.filter((one) => one !== ''))
      for (const headers of HEADERS) {
        const joined = withHeaders(headers, text);
        const changed = `00000000: 22\n${text.replace('11', '33')}`;
        const whole = `00000000: 22\n${joined.whole.replace('11', '33')}`;
        assert.deepEqual(
          apartFromHeaders(whole, joined),
          { headers, text: changed },
          JSON.stringify({ headers, text }),
        );
      }
  });

  it('take no byte with them where the blank lines that they began with were deleted', () => {
    const joined = withHeaders('\n\n\n# note\n@part A\n', '00000000: 11\n');
    assert.deepEqual(apartFromHeaders(joined.whole.replace('\n\n\n\n', '\n'), joined), {
      headers: '# note\n@part A\n',
      text: '00000000: 11\n',
    });
  });

  it('take in those that were put before the text, or behind all', () => {
    const joined = withHeaders('@part A\n', '00000000: 11');
    assert.deepEqual(apartFromHeaders(`@vin 1\n${joined.whole}@taken 2\n`, joined), {
      headers: '@vin 1\n@part A\n@taken 2\n',
      text: '00000000: 11',
    });
    const none = withHeaders('', '00000000: 11');
    assert.deepEqual(apartFromHeaders('00000000: 11\n@vin 1\n', none), { headers: '@vin 1\n', text: '00000000: 11' });
  });
});
