import assert from 'node:assert/strict';
import {
  lstatSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { Failure } from '../../server/src/cli/failure.js';
import { readText, writeAllWhole, writeWhole } from '../../server/src/cli/files.js';

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

  it('writes through a link to the file itself, and leaves it as open or closed to others as it was', () => {
    const file = join(folder, 'own.txt');
    writeFileSync(file, 'before', { mode: 0o600 });
    symlinkSync(file, join(folder, 'link.txt'));
    writeWhole(join(folder, 'link.txt'), 'after');
    assert.equal(readFileSync(file, 'utf8'), 'after');
    assert.equal(lstatSync(join(folder, 'link.txt')).isSymbolicLink(), true);
    assert.equal(statSync(file).mode & 0o777, 0o600);
  });

  it('writes nothing where bytes that are no UTF-8 would be lost', () => {
    const file = join(folder, 'latin.cfgdump');
    const bytes = Buffer.from('# K\xe4fer\n1: 00\n', 'latin1');
    writeFileSync(file, bytes);
    assert.throws(() => writeWhole(file, readText(file)), Failure);
    assert.throws(() => writeAllWhole([{ file, before: readText(file), text: readText(file) }]), Failure);
    assert.deepEqual(readFileSync(file), bytes);
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
