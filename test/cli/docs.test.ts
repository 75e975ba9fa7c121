import assert from 'node:assert/strict';
import { chmodSync, cpSync, mkdirSync, readFileSync } from 'node:fs';
import { type ParseError, parse } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { bench, CLI } from '../support/commandLine.js';
import { filesBelow } from '../support/sources.js';

/** The blocks of a page in some language. */
const blocksIn = (page: string, language: string) =>
  [...readFileSync(page, 'utf8').matchAll(new RegExp(`^\`\`\`${language}\\n([^]*?)^\`\`\``, 'gm'))].map(
    ([, block]) => block ?? '',
  );

const PAGES = filesBelow('docs').filter((file) => file.endsWith('.md'));

describe('what the documentation tells people to type', () => {
  const { folder, path, shell, write, call } = bench('empty');

  for (const page of PAGES.filter((one) => blocksIn(one, 'sh').length > 0)) {
    it(`does what it says, in ${page}`, function () {
      this.timeout(60_000);
      cpSync('examples', folder(), { recursive: true });
      // As a program, since other programs call it too.
      mkdirSync(path('.bin'));
      write('.bin/countersum', `#!/bin/sh\nexec '${process.execPath}' '${CLI}' "$@"\n`);
      chmodSync(path('.bin/countersum'), 0o755);
      let place = '.';
      for (const line of blocksIn(page, 'sh').join('').split('\n').filter(Boolean)) {
        const [, command = '', status = '0'] = /^(.*?)(?: +# status (\d))?$/.exec(line) ?? [];
        if (command.startsWith('cd ')) place = command.slice('cd '.length);
        const { stdout, stderr, ...answer } = shell(
          `PATH="$PWD/.bin:$PATH"; cd '${place}' && { ${command.replace(/^cd .*/, 'true')}; }`,
        );
        assert.equal(answer.status, Number(status), `${command}\n${stdout}${stderr}`);
      }
    });
  }

  it('is JSON where it says so', () => {
    for (const block of PAGES.flatMap((page) => blocksIn(page, 'json'))) {
      const errors: ParseError[] = [];
      parse(block, errors);
      assert.deepEqual(errors, [], block);
    }
  });

  it('explains a module by a profile without a problem', () => {
    const profiles = blocksIn('docs/how-to/write-a-profile.md', 'json').filter((block) => block.includes('"format"'));
    assert.equal(profiles.length, 4);
    // One of them extends the first.
    write('rear-body.dump-profile.json', profiles[0] ?? '');
    for (const profile of profiles) {
      write('a.dump-profile.json', profile);
      assert.equal(call('check', 'a.dump-profile.json').status, 0);
    }
  });
});
