import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { describe, it } from 'mocha';
import { filesBelow } from '../support/sources.js';

/** Text that is only true on one machine. Put together here, so that this file does not hold it. */
const FOREIGN: readonly (readonly [what: string, pattern: RegExp])[] = [
  ['this working folder', literally(process.cwd())],
  ['a home folder', literally(homedir() === '/' ? process.cwd() : `${homedir()}/`)],
  ['a folder of a machine', /(?<![\w.:/~-])\/(?:work|root|home|Users|tmp)\/[\w.-]+\//],
  ['a package registry', /registry\.(?:npmjs|yarnpkg)|npm\.pkg\.|artifactory|verdaccio|\/api\/npm\//i],
  ['an address in the lock file', /"resolved": "https?:/],
];

function literally(text: string): RegExp {
  return new RegExp(text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'));
}

const isPicture = (path: string) => /\.(png|webp|jpg|ico|vsix)$/.test(path);
const self = 'test/repository/tree.test.ts';

describe('the tree', () => {
  for (const [what, pattern] of FOREIGN) {
    it(`names nowhere ${what}`, () => {
      const found = filesBelow('.')
        .filter((path) => !isPicture(path) && path !== self)
        .filter((path) => pattern.test(readFileSync(path, 'utf8')));
      assert.deepEqual(found, []);
    });
  }

  it('skips no test and singles none out', () => {
    const found = filesBelow('test')
      .filter((path) => path.endsWith('.ts') && path !== self)
      .filter((path) => /\b(?:it|describe)\.(?:only|skip)\b|\bthis\.skip\(/.test(readFileSync(path, 'utf8')));
    assert.deepEqual(found, []);
  });
});
