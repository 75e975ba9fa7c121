import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { whyReadOtherwise } from '../scoring/draftsRead.js';
import { FAMILY_KINDS, moduleFamily } from '../scoring/moduleFamilies.js';
import { damaged } from '../scoring/written.js';
import { KINDS, writerOf } from '../scoring/writtenTexts.js';
import { numbers } from '../shared-core/learn/dumps.js';

/** More dumps of a family take longer to learn and say nothing more of how they are read. */
const MOST_DUMPS = 2;

describe('laws of drafts: each reads the texts that it was learned from as learning said', function () {
  this.timeout(120_000);
  for (const [i, kind] of KINDS.entries())
    it(`${kind}, two lines damaged`, () => {
      const next = numbers(5000 + i);
      const { text } = damaged(writerOf(kind, next).write(), next);
      assert.equal(whyReadOtherwise([{ name: 'one.txt', text }]), undefined);
    });
  for (const [i, kind] of FAMILY_KINDS.entries())
    it(`${kind}`, () => {
      const family = moduleFamily(kind, numbers(6000 + i));
      const dumps = Math.min(family.dumps, MOST_DUMPS);
      const texts = Array.from({ length: dumps }, (_, dump) => ({ name: `${dump + 1}.txt`, text: family.write() }));
      assert.equal(whyReadOtherwise(texts), undefined);
    });
});
