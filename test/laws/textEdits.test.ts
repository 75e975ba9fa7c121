import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { editLine } from '../../shared-core/src/base/index.js';

/** Edits of one line that do not overlap, first to last; where a stretch is replaced something may be put in as well. */
const lineAndEdits = fc
  .tuple(
    fc.string({ maxLength: 12 }),
    fc.array(fc.tuple(fc.nat(3), fc.nat(3), fc.string({ maxLength: 3 })), { maxLength: 6 }),
  )
  .map(([line, parts]) => {
    let at = 0;
    const edits = parts.flatMap(([gap, count, text]) => {
      const start = Math.min(line.length, at + gap);
      at = Math.min(line.length, start + count);
      return [{ row: 0, start, end: at, text }];
    });
    return { line, edits };
  });

describe('laws of edits inside a line', () => {
  // What a list of edits means is said by the Language Server Protocol, "Text Edit[]"; its own library is the judge.
  it('end in the text that the library of the protocol makes of them, in whatever order replacements are given', () => {
    fc.assert(
      fc.property(lineAndEdits, fc.boolean(), ({ line, edits }, replacementsFirst) => {
        const wanted = TextDocument.applyEdits(
          TextDocument.create('file:///line', 'text', 0, line),
          edits.map(({ start, end, text }) => ({
            range: { start: { line: 0, character: start }, end: { line: 0, character: end } },
            newText: text,
          })),
        );
        const replaced = edits.filter(({ start, end }) => start < end);
        const inserted = edits.filter(({ start, end }) => start === end);
        const given = replacementsFirst ? [...replaced, ...inserted] : [...inserted, ...replaced];
        assert.equal(editLine(line, given), wanted);
        assert.equal(editLine(line, edits), wanted);
      }),
    );
  });
});
