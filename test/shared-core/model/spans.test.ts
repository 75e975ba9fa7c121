// Which digits of a line are marked for a byte, or for some bits of it: a wrong mark shows a person the wrong byte to change.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { hexView } from '../../../shared-core/src/format/hexView.js';
import { inWords } from '../../../shared-core/src/format/inWords.js';
import { readRows } from '../../../shared-core/src/format/rows.js';
import { bind, bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { byteAtColumn, bytesSpan, cellSpan, labelSpanOf } from '../../../shared-core/src/model/spans.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { profileOf } from '../../support/smallDumps.js';

const LINES = profileOf({ lines: { from: 1, to: 2, data: 3, sum: 1 } });
const dump = bindText('a.cfgdump', '1: A1 B2C3 | 16\n\nwords\n', LINES);
/** The characters of a span. */
const shown = (of: Dump, span: { row: number; start: number; end: number } | undefined) =>
  span && (of.rows[span.row]?.text ?? '').slice(span.start, span.end);

describe('the digits of bytes', () => {
  it('go from the first to the last of them, and are none where the row holds fewer', () => {
    assert.equal(shown(dump, bytesSpan(dump, 0, 0, 1)), 'A1');
    assert.equal(shown(dump, bytesSpan(dump, 0, 1, 2)), 'B2C3');
    assert.equal(shown(dump, bytesSpan(dump, 0, 0, 4)), 'A1 B2C3 | 16');
    assert.deepEqual(
      [bytesSpan(dump, 0, 3, 2), bytesSpan(dump, 0, 0, 0), bytesSpan(dump, 1, 0, 1), bytesSpan(dump, 9, 0, 1)],
      [undefined, undefined, undefined, undefined],
    );
  });

  it('of bits are the one digit that holds them all, else both', () => {
    const digit = (high: number, low: number) => shown(dump, cellSpan(dump, { row: 0, byte: 1 }, { high, low }));
    assert.deepEqual(
      [digit(7, 4), digit(3, 0), digit(4, 4), digit(3, 3), digit(4, 3), digit(7, 0)],
      ['B', '2', 'B', '2', 'B2', 'B2'],
    );
    assert.equal(shown(dump, cellSpan(dump, { row: 0, byte: 1 })), 'B2');
    assert.equal(cellSpan(dump, { row: 0, byte: 4 }, { high: 3, low: 0 }), undefined);
  });

  it('hold the whole of a word whose bytes are written in another order than their addresses', () => {
    const notation = inWords(hexView, '2le');
    const words = bind(readRows('00000000: 0201 0403  ....\n', notation), notation, EMPTY_PROFILE);
    assert.equal(shown(words, bytesSpan(words, 0, 0, 2)), '0201');
    assert.equal(shown(words, bytesSpan(words, 0, 0, 1)), '01');
    assert.equal(shown(words, bytesSpan(words, 0, 1, 2)), '0201 0403');
    assert.equal(shown(words, bytesSpan(words, 0, 0, 4)), '0201 0403');
  });

  it('are those of a column: a cursor right behind a byte is still on it, unless the next one touches it', () => {
    const [record] = dump.rows;
    assert.ok(record?.kind === 'record');
    const text = record.text;
    const at = Array.from(text.slice(0, -1), (_, column) => byteAtColumn(dump, record, column));
    // 1: A1 B2C3 | 16
    assert.deepEqual(at, [undefined, undefined, undefined, 0, 0, 0, 1, 1, 2, 2, 2, undefined, undefined, 3, 3]);
    assert.equal(byteAtColumn(dump, record, 15), 3);
  });
});

describe('the label of a row', () => {
  it('is its number, or all that is in a row without one', () => {
    assert.equal(shown(dump, labelSpanOf(dump, 0)), '1');
    assert.equal(shown(dump, labelSpanOf(dump, 2)), 'words');
    assert.equal(shown(dump, labelSpanOf(dump, 1)), '');
    assert.deepEqual(labelSpanOf(bindText('a.cfgdump', '', EMPTY_PROFILE), 7), { row: 7, start: 0, end: 0 });
  });
});
