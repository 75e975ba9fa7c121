// A retrofit over two modules as it looks: shown as planned, made in one step, and refused where a dump has changed.
import assert from 'node:assert/strict';
import { appendFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, afterEach, before, beforeEach, describe, it } from 'mocha';
import { openEditor } from '../driver.mjs';

describe('a retrofit on the screen', () => {
  let editor;
  before(async () => {
    editor = await openEditor();
  });
  after(() => editor?.close());
  afterEach(function () {
    return this.currentTest.state === 'failed' ? editor.picture(`failed - ${this.currentTest.title}`) : undefined;
  });
  beforeEach(async () => {
    await editor.begin();
    await editor.openFile('trailer-socket.retrofit.json');
    await editor.runCommand('Countersum: Plan Retrofit');
    await editor.shownPage().getByText('Plan: 13-pin trailer socket').first().waitFor();
  });

  it('is shown as planned, and set in all modules in one step', async () => {
    await editor.picture('retrofit plan');
    await editor.answer('Set as Planned');
    await editor.openFile('cluster.cfgdump');
    await editor.line(' 3: FF44 0800 1210 3800 | 50');
    await editor.openFile('rear-body.cfgdump');
    await editor.line('17: 10 00 FF 00  FF 3C | 55');
    await editor.marks('error', 0);
  });

  it('is refused in all modules where a dump has changed on the disk since', async () => {
    appendFileSync(join(editor.folder, 'rear-body.cfgdump'), '# changed elsewhere\n');
    await editor.answer('Set as Planned');
    const said = await editor.notices();
    assert.match(said.join('\n'), /rear-body\.cfgdump has changed since/);
    await editor.openFile('cluster.cfgdump');
    await editor.line(' 3: FF44 0800 0210 3800 | 60');
  });
});
