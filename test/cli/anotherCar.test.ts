// What was read back may be the dump of another car that lies in the same folder: that is said before any cause.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const DUMP = 'rear-body.cfgdump';
const BACK = 'back.cfgdump';

describe('verify', () => {
  const { call, read, write } = bench();
  /** What was read of the donor: three lines hold something else, and their sums fit. */
  const donorText = () =>
    read(DUMP)
      .replace(/^@(?:backup|vehicle|vin).*\n/gm, '')
      .replace('10: 00 6E 21 20  5D C4 | D4', '10: 00 6F 21 20  5D C4 | D5');

  it('says that a read-back is a donor dump of the folder, on the command line and in JSON', () => {
    write('donor.cfgdump', `@use comparison\n${donorText()}`);
    write(BACK, donorText());
    const { status, stdout } = call('verify', DUMP, BACK);
    assert.equal(status, 1);
    const [first, ...rest] = stdout.split('\n');
    assert.equal(
      first,
      'What was read is NOT what was planned, and may be of another car or module: it is byte for byte donor.cfgdump, which is only here to compare with. Make sure of that first.',
    );
    assert.doesNotMatch(rest.join('\n'), /by itself|"volatile"/);
    const { doubt, foreign } = JSON.parse(call('verify', DUMP, BACK, '--json').stdout);
    assert.equal(foreign, null);
    assert.match(doubt, /^it is byte for byte donor\.cfgdump/);
    write('donor.cfgdump', `@vehicle stock no. 9\n${donorText()}`);
    const named = call('verify', DUMP, BACK);
    assert.match(named.stdout, /^What was read is byte for byte donor\.cfgdump, which is of another car \("@vehicle"/);
    assert.match(named.stdout, /This is not the read-back of this plan\./);
  });

  it('looks in its folder alone, and finds nothing wrong with a read-back that is the plan', () => {
    write('donor.cfgdump', `@use comparison\n${read(DUMP).replace(/^@(?:backup|vehicle|vin).*\n/gm, '')}`);
    write(BACK, read(DUMP).replace(/^@backup.*/m, '@taken 2026-03-02T11:02:00Z'));
    assert.doesNotMatch(call('verify', DUMP, BACK).stdout, /another car|donor/);
  });
});
