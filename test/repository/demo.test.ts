import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { filesBelow } from '../support/sources.js';

describe('the demo', () => {
  it('opens as a copy of all files in the examples but the library of profiles, which is for the command line', () => {
    const [, list = ''] =
      readFileSync('client/src/commands/openDemo.ts', 'utf8').match(/const DEMO = \[([^\]]*)\]/) ?? [];
    const named = [...list.matchAll(/'([^']+)'/g)].map(([, name]) => name);
    assert.deepEqual(
      named.sort(),
      filesBelow('examples')
        .map((file) => file.slice('examples/'.length))
        .filter((file) => !file.startsWith('library/'))
        .sort(),
    );
  });
});
