import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { describe, it } from 'mocha';
import { filesBelow } from '../support/sources.js';

const PAGES = ['README.md', 'DEVELOPERS.md', ...filesBelow('docs').filter((file) => file.endsWith('.md'))];

describe('the documentation', () => {
  it('has in its reference what the sources declare: else run "npm run docs" and commit', () => {
    const { status, stderr } = spawnSync(process.execPath, ['scripts/docs.mjs', '--check'], { encoding: 'utf8' });
    assert.equal(status, 0, stderr);
  });

  it('has a README that one reads to its end', () => {
    assert.ok(readFileSync('README.md', 'utf8').split('\n').length <= 150);
  });

  it('leads to each of its pages from its first one', () => {
    const first = readFileSync('docs/README.md', 'utf8');
    const pages = filesBelow('docs').map((file) => file.slice('docs/'.length));
    assert.deepEqual(
      pages.filter((page) => page !== 'README.md' && !first.includes(`](${page})`)),
      [],
    );
  });

  for (const page of PAGES) {
    it(`has only links that lead somewhere, in ${page}`, () => {
      const text = readFileSync(page, 'utf8');
      const links = [...text.matchAll(/\]\(([^)#]+)(#[^)]*)?\)/g)].map(([, link]) => link ?? '');
      const broken = links.filter((link) => !existsSync(normalize(join(dirname(page), link))));
      assert.deepEqual(broken, []);
    });
  }
});
