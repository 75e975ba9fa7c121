import assert from 'node:assert/strict';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { runCommand } from '../support/inProcess.js';
import { OWN_PROFILE, OWN_TOTAL, ownForm } from '../support/ownForm.js';

describe('lines that are not read', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'countersum-'));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  const at = (name: string) => join(folder, name);
  const write = (name: string, text: string) => writeFileSync(at(name), text);
  const check = async () => {
    const { status, text } = await runCommand(['check', at('rear.cfgdump'), '--profile', at('rear.dump-profile.json')]);
    return { status, lines: text.trimEnd().replaceAll(`${folder}/`, '').split('\n') };
  };

  it('are one problem in place of many where nothing describes the form', async () => {
    write('rear.cfgdump', ownForm());
    const { status, text } = await runCommand(['check', at('rear.cfgdump')]);
    assert.equal(status, 2);
    assert.deepEqual(text.trimEnd().replaceAll(`${folder}/`, '').split('\n'), [
      'rear.cfgdump:1:1: error form-unknown: This form is not known yet (41 lines not read). Run "Work Out the Checksum Rule".',
      'rear.cfgdump: it holds no data that can be read, so nothing was checked.',
      'Errors: 1, warnings: 0',
    ]);
  });

  it('keep a check from being good, and are named: a total that the profile does not describe', async () => {
    write('rear.cfgdump', ownForm());
    write('rear.dump-profile.json', JSON.stringify(OWN_PROFILE));
    const { status, lines } = await check();
    assert.equal(status, 1);
    assert.match(lines[0] ?? '', /^rear\.cfgdump:41:1: warning line-not-read: /);
    assert.deepEqual(lines.slice(1), [
      'rear.cfgdump: 40 line sums right, no file sum known, 1 line not read (rows 41).',
      'Errors: 0, warnings: 1',
    ]);
  });

  it('are counted beside what is right', async () => {
    write('rear.cfgdump', ownForm().replace(/^RE-07 = ../m, 'RE-07 = 0G'));
    write('rear.dump-profile.json', JSON.stringify({ ...OWN_PROFILE, totals: [OWN_TOTAL] }));
    const { status, lines } = await check();
    assert.equal(status, 1);
    assert.ok(
      lines.includes('rear.cfgdump: 39 of 40 line sums right, file sum not checked, 1 line not read (rows 7).'),
    );
  });

  it('are none where a comment sign or the profile says what they are', async () => {
    write('rear.cfgdump', `# 12 34\nPage 12 34\n${ownForm()}`);
    const notation = { ...OWN_PROFILE.notation, headings: ['Page {skip}'] };
    write('rear.dump-profile.json', JSON.stringify({ ...OWN_PROFILE, notation, totals: [OWN_TOTAL] }));
    assert.deepEqual(await check(), { status: 0, lines: ['Files checked: 1, all good'] });
  });

  it('are named by what is learned, which finds a total in a line that is unlike the others', async () => {
    write('rear.cfgdump', ownForm());
    const learn = () => runCommand(['learn', at('rear.cfgdump')]);
    const { text, notes } = await learn();
    assert.deepEqual(JSON.parse(text).totals[0].pattern, 'CHECK = {data}');
    assert.doesNotMatch(notes, /not read/);
    write('rear.cfgdump', ownForm({ check: () => 'NOTE = 1234\nRead by unit 0A12\n' }));
    const other = await learn();
    assert.match(other.notes, /^40 line sums right, no file sum known, 2 lines not read\.$/m);
    assert.match(other.notes, /rows 41, 42/);
    assert.equal(readFileSync(at('rear.cfgdump'), 'utf8').split('\n').length, 43);
  });
});
