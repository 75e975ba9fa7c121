// What the program of the module knows is what it wrote itself: every line but ours, as it was.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { done, say } from '../../../shared-core/src/base/index.js';
import { asReading, textToLoad } from '../../../shared-core/src/jobs/index.js';
import { toLoadName } from '../../../shared-core/src/model/index.js';
import { FOUND, inputOf, PLANNED, PROFILE, WRONG } from '../../support/jobFolder.js';

describe('the text to load into a module', () => {
  const textOf = async (text: string) => {
    const files = { ...PROFILE, 'rear-body.as-found.cfgdump': FOUND, 'rear-body.cfgdump': text };
    const { dumps } = await inputOf(files);
    const own = dumps.find(({ name }) => name === 'rear-body.cfgdump');
    assert.ok(own);
    const made = textToLoad(own.loaded);
    return made.ok ? made.value : `refused: ${say(made.why)}`;
  };

  it('is the dump without our headers and the blank lines below them, with all else as it is', async () => {
    const headers = PLANNED.match(/^@.*\n/gm)?.join('') ?? '';
    const lines = PLANNED.replace(/^(?:[#@].*)?\n/gm, '');
    assert.equal(await textOf(`${headers}\n${lines}`), lines);
    const noted = `${headers}\n# Module of the trade\n\n${lines}`;
    assert.equal(await textOf(noted), `# Module of the trade\n\n${lines}`);
    assert.equal(await textOf(`# First\n${headers}\n${lines}`), `# First\n\n${lines}`);
    const windows = noted.replaceAll('\n', '\r\n');
    assert.equal(await textOf(windows), noted.slice(headers.length + 1).replaceAll('\n', '\r\n'));
  });

  it('is refused where the check finds anything, and where the dump is only to compare with', async () => {
    assert.match(await textOf(WRONG), /^refused: rear-body\.cfgdump is not to be loaded yet: Line 4: its sum is 88/);
    assert.match(await textOf(`@use comparison\n${PLANNED}`), /^refused: This dump is only here to compare with/);
    assert.match(await textOf(PLANNED.replace(/^10:.*\n/m, '')), /^refused: /);
    assert.match(await textOf(PLANNED.replace(/^[@].*\n/gm, '')), /^refused: /);
  });

  it('is no reading by its name, whatever was made of it', async () => {
    const { dumps } = await inputOf({ ...PROFILE, 'rear-body.as-found.cfgdump': FOUND, 'rear-body.cfgdump': PLANNED });
    const dump = dumps.find(({ name }) => name === 'rear-body.cfgdump')?.loaded.dump;
    assert.ok(dump);
    assert.equal(toLoadName('rear-body.cfgdump'), 'rear-body.to-load.txt');
    const why = (name: string) => {
      const read = asReading(name, done(dump), dump.profile);
      return read.ok ? '' : say(read.why);
    };
    for (const name of [
      toLoadName('rear-body.cfgdump'),
      'rear-body.to-load.cfgdump',
      'rear-body.to-load-2.cfgdump',
      'Rear-Body.TO-LOAD (1).txt',
    ])
      assert.match(
        why(name),
        /is named as a file to load, so it shows what is to be written and not what was read/,
        name,
      );
    for (const name of ['rear-body.cfgdump', 'rear-body.to-loader.cfgdump', 'to-load.cfgdump'])
      assert.equal(why(name), '', name);
  });
});
