import assert from 'node:assert/strict';
import { getNodeValue, parseTree } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { merged } from '../../shared-core/src/profile/mergePatch.js';

/** RFC 7396 (JSON Merge Patch), appendix A: original, patch, result. */
const EXAMPLES: readonly (readonly [original: string, patch: string, result: string])[] = [
  ['{"a":"b"}', '{"a":"c"}', '{"a":"c"}'],
  ['{"a":"b"}', '{"b":"c"}', '{"a":"b","b":"c"}'],
  ['{"a":"b"}', '{"a":null}', '{}'],
  ['{"a":"b","b":"c"}', '{"a":null}', '{"b":"c"}'],
  ['{"a":["b"]}', '{"a":"c"}', '{"a":"c"}'],
  ['{"a":"c"}', '{"a":["b"]}', '{"a":["b"]}'],
  ['{"a":{"b":"c"}}', '{"a":{"b":"d","c":null}}', '{"a":{"b":"d"}}'],
  ['{"a":[{"b":"c"}]}', '{"a":[1]}', '{"a":[1]}'],
  ['["a","b"]', '["c","d"]', '["c","d"]'],
  ['{"a":"b"}', '["c"]', '["c"]'],
  ['{"a":"foo"}', 'null', 'null'],
  ['{"a":"foo"}', '"bar"', '"bar"'],
  ['{"e":null}', '{"a":1}', '{"e":null,"a":1}'],
  ['[1,2]', '{"a":"b","c":null}', '{"a":"b"}'],
  ['{}', '{"a":{"bb":{"ccc":null}}}', '{"a":{"bb":{}}}'],
];

/** RFC 7396, section 3. */
const DOCUMENT: readonly [string, string, string] = [
  '{"title":"Goodbye!","author":{"givenName":"John","familyName":"Doe"},"tags":["example","sample"],"content":"This will be unchanged"}',
  '{"title":"Hello!","phoneNumber":"+01-123-456-7890","author":{"familyName":null},"tags":["example"]}',
  '{"title":"Hello!","author":{"givenName":"John"},"tags":["example"],"content":"This will be unchanged","phoneNumber":"+01-123-456-7890"}',
];

describe('JSON Merge Patch', () => {
  for (const [original, patch, result] of [...EXAMPLES, DOCUMENT])
    it(`${original} with ${patch}`, () => {
      const [target, over] = [parseTree(original), parseTree(patch)];
      assert.ok(target && over);
      assert.equal(JSON.stringify(getNodeValue(merged(target, over))), result);
    });
});
