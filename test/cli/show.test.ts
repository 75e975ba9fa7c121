// Dumps in words on the command line, and changes of them as git shows them.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const REAR = 'rear-body.cfgdump';
const SEALED = 'rear-body.as-found.cfgdump';

describe('a dump in words on the command line', () => {
  const { call, read, shell, write } = bench();

  it('is the text of one file, of several under their names', () => {
    const { status, stdout } = call('show', REAR);
    assert.equal(status, 0);
    assert.match(stdout, /^Rear body module \(demo\)\nVehicle: stock no\. 2041\n[\s\S]*\n {2}Trailer socket: 13-pin\n/);
    assert.match(
      call('show', REAR, SEALED).stdout,
      /^== rear-body\.cfgdump\nRear body[\s\S]*\n\n== rear-body\.as-found\.cfgdump\nRear body/,
    );
  });

  it('is JSON for scripts', () => {
    const { files } = JSON.parse(call('show', '--json', REAR).stdout);
    const [{ file, module, vin, options, problems, sha256 }] = files;
    assert.deepEqual([file, module, vin], [REAR, 'Rear body module (demo)', '0DEM0T4X5TA020418']);
    assert.deepEqual(options[0], {
      id: 'trailer-socket',
      title: 'Trailer socket',
      group: 'Towing',
      value: '13-pin',
      confidence: 'confirmed',
    });
    assert.deepEqual(
      problems.map(({ code }: { code: string }) => code),
      ['line-sum', 'total-sum'],
    );
    assert.match(sha256, /^[0-9a-f]{64}$/);
  });

  it('is the same in another form, and by another name', () => {
    write(
      'copy.cfgdump',
      read(REAR)
        .replace(/^@backup.*\n/m, '')
        .replace(/^@profile.*\n/m, ''),
    );
    const profile = ['--profile', 'rear-body.dump-profile.json'];
    assert.equal(call('show', 'copy.cfgdump', ...profile).stdout, call('show', REAR, ...profile).stdout);
  });

  it('is refused where nothing can be read', () => {
    write('empty.cfgdump', '');
    for (const names of [['empty.cfgdump'], ['missing.cfgdump'], ['missing.cfgdump', 'empty.cfgdump']]) {
      const { status, stdout, stderr } = call('show', ...names);
      assert.deepEqual([status, stdout], [2, ''], stderr);
    }
  });

  it('is that of all that can be read, and names the others', () => {
    write('empty.cfgdump', '');
    const { status, stdout, stderr } = call('show', 'missing.cfgdump', REAR, 'empty.cfgdump', SEALED);
    assert.equal(status, 2);
    assert.equal(stdout, call('show', REAR, SEALED).stdout);
    assert.match(stderr, /^(?:countersum: )?missing\.cfgdump cannot be read: .*$/m);
    assert.match(stderr, /^(?:countersum: )?empty\.cfgdump: .*$/m);
    const { files } = JSON.parse(call('show', '--json', REAR, 'missing.cfgdump').stdout);
    assert.deepEqual(
      files.map(({ file }: { file: string }) => file),
      [REAR, 'missing.cfgdump'],
    );
    assert.match(files[1].unread, /^missing\.cfgdump cannot be read: /);
  });

  describe('is what git shows, by the line of the manual', () => {
    const [, textconv = ''] = /textconv '(.*)'$/m.exec(readFileSync('docs/how-to/read-in-words.md', 'utf8')) ?? [];
    const inGit = (work: string) => {
      assert.match(textconv, /^countersum show /);
      const { status, stdout, stderr } = shell(`
        set -e
        printf '#!/bin/sh\\nexec "%s" "%s" "$@"\\n' "$1" "$2" > ../countersum-$$ && chmod +x ../countersum-$$
        trap 'rm ../countersum-$$' EXIT
        export GIT_CONFIG_GLOBAL=/dev/null
        git init -q
        echo 'rear-body*.cfgdump diff=rear-body' > .gitattributes
        git config diff.rear-body.textconv "../countersum-$$"' ${textconv.replace('countersum ', '')}'
        ${work}`);
      assert.equal(status, 0, stderr);
      return stdout;
    };
    const commit = `git add .
      git -c user.name=a -c user.email=a@example.org commit -qm first`;
    const changedIn = (stdout: string) => stdout.split('\n').filter((line) => /^[-+](?![-+])/.test(line));

    it('of a change, and of nothing else', () => {
      const stdout = inGit(`${commit}
        sed -i 's/^ 4: 08 03/ 4: 08 13/' ${REAR}
        git --no-pager diff --unified=0`);
      const changed = changedIn(stdout);
      assert.ok(changed.includes('-  4: 08 03 ·· 7F 00 FF') && changed.includes('+  4: 08 13 ·· 7F 00 FF'), stdout);
      assert.ok(changed.some((line) => line.startsWith('+SHA-256 of all data: ')));
      assert.doesNotMatch(stdout, /backup|profile/);
    });

    it('of a change of a comment: nothing that is said in words', () => {
      assert.deepEqual(changedIn(inGit(`${commit}\n echo '# read again' >> ${REAR}\n git --no-pager diff`)), []);
    });

    it('beside dumps that cannot be read, each with the reason and its lines, and without a profile', () => {
      const stdout = inGit(`printf 'no\\033 line\\n' > rear-body.torn.cfgdump
        ${commit}
        sed -i 's/^ 4: 08 03/ 4: 08 13/' ${REAR}
        printf 'now\\033 none\\n' > rear-body.torn.cfgdump
        rm rear-body.dump-profile.json
        git --no-pager diff -- '*.cfgdump'`);
      assert.match(stdout, /^\+ {2}4: 08 13 /m);
      assert.match(stdout, /^-no\^\[ line$/m);
      assert.match(stdout, /^\+now\^\[ none$/m);
      assert.match(stdout, /^ countersum: - cannot be read: /m);
    });
  });
});
