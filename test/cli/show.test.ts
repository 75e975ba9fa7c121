// Dumps in words on the command line, and changes of them as git shows them.
import assert from 'node:assert/strict';
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

  it('is what git shows of a change', () => {
    const { status, stdout, stderr } = shell(`
      set -e
      printf '#!/bin/sh\\nexec "%s" "%s" "$@"\\n' "$1" "$2" > ../countersum-$$ && chmod +x ../countersum-$$
      trap 'rm ../countersum-$$' EXIT
      export GIT_CONFIG_GLOBAL=/dev/null
      git init -q
      echo 'rear-body*.cfgdump diff=rear-body' > .gitattributes
      git config diff.rear-body.textconv "../countersum-$$ show --profile rear-body.dump-profile.json"
      git add .
      git -c user.name=a -c user.email=a@example.org commit -qm first
      sed -i 's/^ 4: 08 03/ 4: 08 13/' ${REAR}
      git --no-pager diff --unified=0`);
    assert.equal(status, 0, stderr);
    const changed = stdout.split('\n').filter((line) => /^[-+](?![-+])/.test(line));
    assert.ok(changed.includes('-  4: 08 03 ·· 7F 00 FF') && changed.includes('+  4: 08 13 ·· 7F 00 FF'), stdout);
    assert.ok(changed.some((line) => line.startsWith('+SHA-256 of all data: ')));
    assert.doesNotMatch(stdout, /backup/);
  });
});
