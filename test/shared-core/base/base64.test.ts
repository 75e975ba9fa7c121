import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { base64Of, bytesOfBase64 } from '../../../shared-core/src/base/base64.js';

describe('bytes in base64', () => {
  it('are as the platform writes them, and come back', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 5000 }), (bytes) => {
        const text = base64Of(bytes);
        assert.equal(text, Buffer.from(bytes).toString('base64'));
        assert.deepEqual(bytesOfBase64(text), Uint8Array.from(bytes));
      }),
    );
  });
});
