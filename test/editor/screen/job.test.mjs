// The whole job by the view that leads through it: from a text that is pasted to a read-back that is verified. Nothing is
// done but what an entry of the view offers, and what it then asks.
import assert from 'node:assert/strict';
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { before, describe, it } from 'mocha';
import { ROOT } from '../../../scripts/prepare.mjs';
import { editorForScenes } from '../scenes.mjs';

const FOLDER = 'out/job-vehicle';
const demo = (name) => readFileSync(join(ROOT, 'examples/trailer-socket', name), 'utf8');
/** The lines alone, as a programmer shows them. */
const linesOf = (text) => text.replace(/^(?:[#@].*|)\n/gm, '');
const READ = linesOf(demo('rear-body.as-found.cfgdump'));
const VIEW = '.pane:has(.pane-header[aria-label^="Job"])';

/** What a person does in the view, and waits for. */
function handsOn(editor) {
  const row = (spoken) => editor.page.locator(`${VIEW} .monaco-list-row[aria-label^="${spoken}"]`).first();
  return {
    row,
    /** Presses an entry of the view by the mouse, once it is there. */
    take: async (entry) => {
      await row(`${entry}: press Enter`).waitFor();
      await row(`${entry}: press Enter`).click();
      await editor.page.mouse.move(900, 300);
    },
    isDone: (step) => row(`${step}, done`).waitFor(),
    asked: (title) => editor.page.waitForSelector(`.quick-input-title:has-text("${title}")`),
  };
}

describe('the job by its view alone', () => {
  before(() => {
    rmSync(join(ROOT, FOLDER), { recursive: true, force: true });
    mkdirSync(join(ROOT, FOLDER), { recursive: true });
    writeFileSync(join(ROOT, FOLDER, 'rear-body.dump-profile.json'), demo('rear-body.dump-profile.json'));
  });
  const editor = editorForScenes({ from: FOLDER });

  const { row, take, isDone, asked } = handsOn(editor);
  const answerWith = async (title, text) => {
    await asked(title);
    await editor.page.keyboard.insertText(text);
    await editor.press('Enter');
  };
  /** Pastes into a file, as from another program, once its text has the keys. */
  const paste = async (name, text) => {
    await editor.page.waitForSelector(`.editor-instance .monaco-editor.focused[data-uri$="/${name}"]`);
    await editor.page.evaluate((copied) => navigator.clipboard.writeText(copied), text);
    await editor.press('Control+V');
  };
  const kept = (ending) => readdirSync(editor.folder).filter((name) => name.endsWith(ending));

  it('begins with an empty view that says how, and a text that is pasted', async () => {
    await editor.page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
    await editor.openViews('Job');
    const begin = editor.page.locator(`${VIEW} .welcome-view .monaco-button`, { hasText: 'Bring In a Dump' });
    await begin.waitFor();
    await editor.picture('job 1 begin');
    await editor.untilSeen(() => begin.click(), '.quick-input-title:has-text("How do you bring in the dump?")');
    await editor.press('Enter');
    await asked('What is the dump for?');
    await editor.press('Enter');
    await answerWith('Which vehicle', 'stock no. 7');
    await answerWith('Which module', 'rear body');
    await asked('When was it read?');
    await editor.press('Enter');
    await row('Open the File rear-body.cfgdump').waitFor();
    await editor.picture('job 2 paste');
    await paste('rear-body.cfgdump', READ);
    await editor.line(' 4: 08 03 01 7F  00 FF | 88');
    await take('Save the File rear-body.cfgdump');
    await isDone('Dump brought in');
  });

  it('goes on to a profile and a sealed backup', async () => {
    await take('Name the Profile…');
    await editor.page.waitForSelector(
      '.quick-input-list .monaco-list-row[aria-label^="Name rear-body.dump-profile.json"]',
    );
    await editor.press('Enter');
    await isDone('Sums understood');
    await editor.picture('job 3 backup');
    await take('Make a Backup');
    await isDone('Backup sealed');
  });

  it('to an option, set in words, and a card', async () => {
    await take('Set an Option and Save…');
    await asked('Which option');
    await editor.pick('Trailer socket');
    await asked('now: none');
    await editor.pick('13-pin');
    assert.match(await editor.confirm('Write It'), /Affects the lighting/);
    await editor.picture('job 4 set');
    await isDone('Option set');
    await isDone('Everything right');
    await take('Make and Keep the Job Card');
    await isDone('Job card made');
    assert.equal(kept('.job-card.md').length, 1);
    await editor.picture('job 5 card');
  });

  it('to what was read back: what is not as planned is shown, and what was read then verifies it', async () => {
    const planned = readFileSync(join(editor.folder, 'rear-body.cfgdump'), 'utf8');
    const bringBack = async (text, name) => {
      await take('Bring In the Read-back…');
      await asked('How do you bring in what was read back?');
      await editor.press('Enter');
      await asked('When was it read?');
      await editor.press('Enter');
      await editor.page.waitForSelector(`.tab.active[data-resource-name="${name}"]`);
      await row(`Open the File ${name}`).waitFor();
      await paste(name, text);
      await take(`Save the File ${name}`);
    };
    // One line was forgotten.
    const forgotten = linesOf(planned).replace(/^ 4:.*$/m, ' 4: 08 03 01 7F  00 FF | 88');
    await bringBack(forgotten, 'rear-body.read-back.cfgdump');
    await take('Verify the Read-back');
    await editor.shownPage().getByText('Not written: it still holds what it held before.').waitFor();
    // The page of the card stays where it is.
    await editor.page.locator('.tab[aria-label*="job-card.md"]').waitFor();
    await editor.picture('job 6 not written');
    await new Promise((resolve) => setTimeout(resolve, 1100));
    await bringBack(linesOf(planned), 'rear-body.read-back-2.cfgdump');
    await isDone('Read-back verified');
  });

  it('and to the record of the vehicle, by the keyboard', async () => {
    await editor.focusOn('Job');
    // The list holds what is in sight only.
    await editor.untilSeen(
      () => editor.press('End'),
      `${VIEW} .monaco-list-row.focused[aria-label^="Open the Vehicle Record"]`,
    );
    await row('Recorded, done').waitFor();
    await editor.picture('job 7 end');
    await editor.press('Enter');
    await editor.shownPage().getByRole('heading', { name: 'Vehicle record: stock no. 7' }).waitFor();
    await editor.picture('job 8 record');
  });

  it('reads well where the side bar is narrow', async () => {
    await editor.page.setViewportSize({ width: 800, height: 700 });
    const edge = async () => {
      const { x, width } = await editor.page.locator('.part.sidebar').boundingBox();
      return x + width;
    };
    await editor.eventually(async () => {
      await editor.page.mouse.move(await edge(), 400);
      await editor.page.mouse.down();
      await editor.page.mouse.move(230, 400, { steps: 5 });
      await editor.page.mouse.up();
      assert.ok((await edge()) < 300, 'the side bar is narrow');
    });
    await editor.picture('job 9 narrow');
    // What is next stands above the list in full, however narrow it is.
    const said = editor.page.locator(`${VIEW} .message`);
    await editor.eventually(async () => {
      assert.match(await said.textContent(), /Rear body module \(demo\): all steps are done\./);
      const width = await said.evaluate((box) => box.scrollWidth - box.clientWidth);
      assert.equal(width, 0);
    });
  });
});

describe('the job of raw bytes by its view alone', () => {
  const MEMORY = 'out/job-memory';
  /** 64 bytes with an option at address 18 and a sum at the end. */
  const bytesWith = (socket) => {
    const data = Array.from({ length: 62 }, (_, i) => (i === 18 ? socket : (i * 37 + 0x80) & 0xff));
    const sum = data.reduce((all, byte) => all + byte, 0) & 0xffff;
    return Buffer.from([...data, sum >> 8, sum & 0xff]);
  };
  before(() => {
    for (const name of [MEMORY, 'out/job-reader']) {
      rmSync(join(ROOT, name), { recursive: true, force: true });
      mkdirSync(join(ROOT, name), { recursive: true });
    }
    writeFileSync(join(ROOT, MEMORY, 'seat.bin'), bytesWith(0));
    writeFileSync(
      join(ROOT, MEMORY, 'seat.dump-profile.json'),
      JSON.stringify({
        format: 1,
        title: 'Seat memory',
        addresses: { from: 0, to: 63 },
        totals: [{ name: 'memory sum', method: 'add', bits: 16, over: [{ from: 0, to: 61 }], address: 62 }],
        options: [{ id: 'heater', title: 'Seat heater', address: 18, values: { 0: 'none', 26: 'fitted' } }],
      }),
    );
  });
  const editor = editorForScenes({ from: MEMORY });
  const { row, take, isDone, asked } = handsOn(editor);
  const onDisk = (name) => readFileSync(join(editor.folder, name));

  it('begins with the binary that is opened, which is said what it is', async () => {
    const binary = editor.page.locator('.explorer-folders-view .monaco-list-row', { hasText: 'seat.bin' }).first();
    await editor.untilSeen(() => binary.click(), '.tab.active[data-resource-name="seat.bin"]');
    await editor.runCommand('Countersum: Open as Dump Text');
    await editor.openViews('Job');
    await take('Name Vehicle and Time…');
    await asked('Which vehicle');
    await editor.page.keyboard.insertText('stock no. 7');
    await editor.press('Enter');
    await asked('When was it read');
    await editor.press('Enter');
    await isDone('Dump brought in');
    await editor.picture('job memory 1 named');
    assert.match(onDisk('seat.bin.dump-headers').toString(), /^@vehicle stock no\. 7\n@taken /m);
    assert.deepEqual(onDisk('seat.bin'), bytesWith(0));
  });

  it('goes on to a profile, a sealed backup and an option, all of it saved as raw bytes', async () => {
    await take('Name the Profile…');
    await editor.page.waitForSelector('.quick-input-list .monaco-list-row[aria-label^="Name seat.dump-profile.json"]');
    await editor.press('Enter');
    await isDone('Sums understood');
    await take('Make a Backup');
    await isDone('Backup sealed');
    await take('Set an Option and Save…');
    await asked('Which option');
    await editor.pick('Seat heater');
    await asked('now: none');
    await editor.pick('fitted');
    await isDone('Everything right');
    await editor.saved();
    assert.deepEqual(onDisk('seat.bin'), bytesWith(26));
    await editor.picture('job memory 2 set');
    await take('Make and Keep the Job Card');
    await isDone('Job card made');
  });

  /** Brings in a file of the programmer's folder as the read-back, read when it was written. */
  const bringRead = async (name, bytes) => {
    const read = join(ROOT, 'out/job-reader', name);
    writeFileSync(read, bytes);
    await new Promise((resolve) => setTimeout(resolve, 1100));
    await take('Bring In the Read-back…');
    await asked('How do you bring in what was read back?');
    await editor.pick('Choose a file');
    await asked('Which file was read back?');
    // Once it lists the folder that it begins at, it no longer writes over what is typed.
    await editor.page.waitForSelector('.quick-input-list .monaco-list-row[aria-label^="seat.bin"]');
    await editor.press('Control+A');
    await editor.page.keyboard.insertText(read);
    // The dialog looks into the folder first, and an Enter before that is lost.
    await editor.page.waitForSelector(`.quick-input-list .monaco-list-row[aria-label^="${name}"]`);
    await editor.page.locator('.quick-input-action .monaco-button', { hasText: 'OK' }).click();
    await asked('When was it read?');
    await editor.press('Enter');
  };

  it('asks about the reading of another car, and takes it out again so that it counts no more', async () => {
    const other = bytesWith(26);
    for (let at = 0; at < 8; at++) other[at] = 0x90 + at;
    other.writeUInt16BE(
      other.subarray(0, 62).reduce((sum, byte) => sum + byte, 0),
      62,
    );
    await bringRead('seat-other.bin', other);
    assert.match(await editor.confirm('Cancel'), /Is seat-other\.bin of this vehicle\?/);
    const isThere = () => readdirSync(editor.folder).some((name) => name.startsWith('seat-other'));
    await editor.eventually(() => assert.ok(!isThere()));
    // It may be drawn once more before all is told: gone is what does not come back.
    for (let [quiet, tries] = [0, 0]; quiet < 10; tries++) {
      assert.ok(tries < 150, 'what was taken out is still in the view');
      quiet = (await editor.page.locator(VIEW).textContent()).includes('seat-other') ? 0 : quiet + 1;
      await new Promise((resolve) => setTimeout(resolve, 200));
    }
    await row('Bring In the Read-back…: press Enter').waitFor();
    await editor.picture('job memory 3 another car');
  });

  it('to what was read back, which is a binary too', async () => {
    await bringRead('seat-read.bin', bytesWith(26));
    await isDone('Read-back verified');
    await editor.focusOn('Job');
    await editor.untilDone(
      () => editor.press('End'),
      (limit) => row('Recorded, done').waitFor(limit),
    );
    await editor.saved();
    await editor.picture('job memory 3 verified');
    assert.deepEqual(onDisk('seat-read.bin'), bytesWith(26));
    // A step with something left to do is open already; what is out of sight in a low view comes by the keys.
    await editor.walkTo('Job', 'Verify the Read-back');
    await editor.press('Enter');
    await editor.shownPage().getByText('What was read is what was planned').first().waitFor();
  });
});
