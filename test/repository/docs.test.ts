import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { describe, it } from 'mocha';
import { filesBelow } from '../support/sources.js';

const PAGES = ['README.md', 'DEVELOPERS.md', ...filesBelow('docs').filter((file) => file.endsWith('.md'))];

/** Of a picture, in bytes: the README's are in the package. */
const MOST_OF_PICTURE = 60_000;

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
      pages.filter((page) => page.endsWith('.md') && page !== 'README.md' && !first.includes(`](${page})`)),
      [],
    );
  });

  const pictures = PAGES.flatMap((page) =>
    [...readFileSync(page, 'utf8').matchAll(/!\[([^\]]*)\]\(([^)]+)\)/g)].map(([, words = '', path = '']) => ({
      words,
      file: normalize(join(dirname(page), path)),
    })),
  );

  it('has pictures in its README and in the first job, each a small WebP with words for those who cannot see it', () => {
    for (const { words, file } of pictures) {
      assert.ok(words.length >= 40, `${file}: ${words}`);
      const bytes = readFileSync(file);
      assert.match(bytes.toString('latin1', 0, 12), /^RIFF.{4}WEBP$/s, file);
      assert.ok(bytes.length <= MOST_OF_PICTURE, `${file}: ${bytes.length} bytes`);
    }
    const shown = (page: string) => [...readFileSync(page, 'utf8').matchAll(/!\[/g)].length;
    assert.equal(shown('README.md'), 1, 'it is part of the extension, which is to be small');
    assert.ok(shown('docs/first-job.md') >= 6);
  });

  it('has pictures that "npm run pictures" makes, and no other', () => {
    const script = readFileSync('scripts/pictures.mjs', 'utf8');
    const made = [...script.matchAll(/keep\('([^']+)'/g)].map(([, file]) => file ?? '');
    const drawn = [...filesBelow('media'), ...filesBelow('docs')].filter((file) => /\.(png|webp)$/.test(file));
    // The icon is drawn by a script of its own.
    const kept = drawn.filter((file) => !file.endsWith('icon.png'));
    assert.deepEqual([...made].sort(), [...new Set(pictures.map(({ file }) => file))].sort());
    assert.deepEqual(kept.sort(), [...made].sort());
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
