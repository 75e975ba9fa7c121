import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { HEADERS, whyReadOtherwise } from '../scoring/draftsRead.js';
import { scoreFamily } from '../scoring/families.js';
import { IMAGE_KINDS, imageFamily } from '../scoring/imageFamilies.js';
import { FAMILY_KINDS, moduleFamily } from '../scoring/moduleFamilies.js';
import { scoreImage } from '../scoring/scoreImage.js';
import { numbers } from '../shared-core/learn/dumps.js';

// One family of each kind; `npm run score` does many more, and prints how often what is stated with a chance is wrong.
describe('laws of learning from families of dumps', function () {
  this.timeout(120_000);
  for (const [i, kind] of FAMILY_KINDS.entries())
    it(`${kind}: nothing wrong is taken for known, and each draft reads the texts as learning said`, () => {
      const next = numbers(3000 + i);
      const { outcome, why, drafts } = scoreFamily(moduleFamily(kind, next), next, HEADERS);
      assert.notEqual(outcome, 'wrong', why);
      assert.equal(whyReadOtherwise(drafts), undefined);
    });
  // The sums of these lines, each right by itself, make up a file sum at the end of the last line that is none.
  for (const beginning of [986, 987])
    it(`counts where its line begins, beginning ${beginning}: no file sum is made of the sums of lines`, () => {
      const next = numbers(beginning);
      const { outcome, why } = scoreFamily(moduleFamily('counts where its line begins', next), next);
      assert.notEqual(outcome, 'wrong', why);
    });
  for (const [i, kind] of IMAGE_KINDS.entries())
    it(`${kind}: nothing wrong is taken for known`, () => {
      const { outcome, why } = scoreImage(imageFamily(kind, numbers(4000 + i)));
      assert.notEqual(outcome, 'wrong', why);
    });
});
