import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { HEADERS, whyReadOtherwise } from '../scoring/draftsRead.js';
import { scoreDamaged, scoreWritten } from '../scoring/written.js';
import { KINDS, writerOf } from '../scoring/writtenTexts.js';
import { numbers } from '../shared-core/learn/dumps.js';

// One text of each kind, whole and damaged; `npm run score` does many more.
describe('laws of learning how texts are written', function () {
  this.timeout(120_000);
  for (const [i, kind] of KINDS.entries()) {
    it(`${kind}: the draft reads the text and another of its kind, and finds each changed byte`, () => {
      const next = numbers(1000 + i);
      const { outcome, why } = scoreWritten(writerOf(kind, next), next);
      assert.equal(why, '');
      assert.equal(outcome, 'right');
    });

    it(`${kind}: damaged lines are named, nothing wrong is claimed, and each draft reads the text as learning said`, () => {
      const next = numbers(2000 + i);
      const { outcome, why, drafts } = scoreDamaged(writerOf(kind, next), next, HEADERS);
      assert.notEqual(outcome, 'wrong', why);
      assert.equal(whyReadOtherwise(drafts), undefined);
    });
  }
});
