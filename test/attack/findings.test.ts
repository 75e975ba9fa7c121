import assert from 'node:assert/strict';
import { after, before, beforeEach, describe, it } from 'mocha';
import { FAMILY } from '../support/family.js';
import { type Folder, makeFolder } from '../support/folder.js';
import { runCommand } from '../support/inProcess.js';

/** What the attack found, each as one small case. */
describe('found by the attack', () => {
  let folder: Folder;
  before(() => {
    folder = makeFolder();
  });
  beforeEach(() => folder.clear());
  after(() => folder.remove());

  it('restoring says so where text stays in the dump that is no record', async () => {
    const { relay } = FAMILY;
    const torn = relay.work.replace(/^(<02> )./m, '$1é');
    folder.write(
      new Map([
        [relay.workFile, torn],
        [relay.backupFile, relay.backup],
        [
          relay.profileFile,
          JSON.stringify({
            ...relay.profile,
            notation: { pattern: '<{label:hex}> {data} = {sum} ;{skip}', otherwise: 'report' },
          }),
        ],
      ]),
    );
    const ran = await runCommand(['restore', folder.of(relay.workFile), '--write']);
    const row = torn.split('\n').findIndex((line) => line.includes('é'));
    assert.match(ran.text, new RegExp(`row ${row + 1} cannot be read`));
    assert.doesNotMatch(ran.text, /every byte is as in the backup/);
    assert.equal(ran.status, 1);
  });
});
