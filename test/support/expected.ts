import assert from 'node:assert/strict';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';

/**
 * Holds a text against a file of test/expected. With COUNTERSUM_REWRITE=1 the file is written anew instead: then look at
 * what changed in it before you keep it.
 */
export function assertExpected(name: string, text: string): void {
  const file = `test/expected/${name}`;
  const { COUNTERSUM_REWRITE: rewrite } = process.env;
  if (rewrite === '1') {
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, text);
  }
  assert.equal(text, readFileSync(file, 'utf8'));
}
