import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { patternInWords } from '../../../shared-core/src/learn/patternInWords.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { profileOf } from '../../support/smallDumps.js';

describe('a pattern in words', () => {
  const ADD = { method: 'add', bits: 8, over: ['data'] };
  const wordsOf = (pattern: string, lines: unknown, text: string) => {
    const profile = profileOf({ notation: { pattern }, lines, lineSum: ADD });
    return say(patternInWords(pattern, bindText('a.txt', text, profile)));
  };

  it('names the parts of a line, with the bytes where all lines have as many', () => {
    const lines = { from: 1, to: 2, data: 3, sum: 1 };
    const pattern = '{label:hex}> {data} = {sum}';
    const words = 'line number in hex, data (bytes: 3), sum (bytes: 1)';
    assert.equal(wordsOf(pattern, lines, '1> 01 02 03 = 06\n2> 00 00 01 = 01\n'), words);
    assert.equal(wordsOf('{label:hex}> {data}', lines, '1> 01 02 03 06\n2> 00 00 01 01\n'), words);
  });

  it('tells the numbers of a label apart', () => {
    assert.equal(
      wordsOf(
        'B{label}/R{label:hex}: {data}',
        [{ from: '1-1', to: '1-2', data: 3, sum: 1 }],
        'B1/R1: 01 02 03 06\nB1/R2: 00 00 01 01\n',
      ),
      'number 1 of the label, number 2 of the label in hex, data (bytes: 3), sum (bytes: 1)',
    );
  });

  it('counts no bytes where lines differ', () => {
    const lines = [
      { from: 1, to: 1, data: 3, sum: 1 },
      { from: 2, to: 2, data: 2, sum: 1 },
    ];
    assert.equal(
      wordsOf('{label}> {data} = {sum}; {skip}', lines, '1> 01 02 03 = 06; x\n2> 00 01 = 01; x\n'),
      'line number or name, data bytes, sum (bytes: 1), text that does not count',
    );
  });
});
