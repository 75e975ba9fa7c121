import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { apartFromHeaders, withHeaders } from '../../../shared-core/src/format/behindHeaders.js';

const TEXTS = ['', '00000000: 11\n', '00000000: 11', '00000000: 11\r\n', '00000000: 11\r', '\ufeff00000000: 11\n\n \n'];
const HEADERS = [
  '',
  '@part A\n',
  '@part A',
  '\n\n# note\n@part A\n',
  '\r\n@part A\r\n\r\n',
  '\ufeff@part A\n',
  '\n',
  ' \n\t# a\n \n',
];

describe('headers of a form that has no place for them', () => {
  it('stand behind its text, whose rows keep their numbers', () => {
    for (const text of TEXTS)
      for (const headers of HEADERS) assert.ok(withHeaders(headers, text).whole.startsWith(text));
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
