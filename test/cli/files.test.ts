import assert from 'node:assert/strict';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { writeAllWhole } from '../../server/src/cli/files.js';

describe('writing several files', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'countersum-'));
    writeFileSync(join(folder, 'a'), 'one');
    writeFileSync(join(folder, 'b'), 'two');
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  const rewrite = (name: string, before: string) => ({ file: join(folder, name), before, text: `${before}, new` });
  const held = () => readdirSync(folder).map((name) => [name, readFileSync(join(folder, name), 'utf8')]);
  const UNTOUCHED = [
    ['a', 'one'],
    ['b', 'two'],
  ];

  it('writes all of them, and leaves nothing else behind', () => {
    writeAllWhole([rewrite('a', 'one'), rewrite('b', 'two')]);
    assert.deepEqual(held(), [
      ['a', 'one, new'],
      ['b', 'two, new'],
    ]);
  });

  it('writes none where one was changed since it was read', () => {
    assert.throws(() => writeAllWhole([rewrite('a', 'one'), rewrite('b', 'zwei')]), /./);
    assert.deepEqual(held(), UNTOUCHED);
  });

  it('writes none where one cannot be written', () => {
    assert.throws(() => writeAllWhole([rewrite('a', 'one'), rewrite(join('nowhere', 'c'), 'three')]), /./);
    assert.deepEqual(held(), UNTOUCHED);
  });
});
