// What nobody documented, found out as a person does: the checksum rule, and which bit is the option.
import assert from 'node:assert/strict';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { before, beforeEach, describe, it } from 'mocha';
import { ROOT } from '../../../scripts/prepare.mjs';
import { faultsInThemes, pageFrame, SMALL_WINDOWS } from '../axe.mjs';
import { editorForScenes } from '../scenes.mjs';

const FOLDER = 'out/undocumented';
const CARS = 12;
const hex = (byte) => byte.toString(16).toUpperCase().padStart(2, '0');

/** Eight lines of six bytes and a sum over line number and bytes; line 3, byte 2, bit 5 is the heated seats. */
function dump(car) {
  const fitted = car % 2 === 0;
  const lines = Array.from({ length: 8 }, (_, line) => {
    const bytes = Array.from({ length: 6 }, (_, at) => [0, 0x10, 0xff, 0x08, line * 9, 0x20][(line + at * 5) % 6]);
    if (line === 2) bytes[1] = fitted ? 0x20 : 0;
    if (line === 4) bytes[3] = ((car >> 1) * 37 + 11) % 256;
    if (line === 5) bytes[0] = (car >> 1) % 3;
    if (line === 6) bytes[4] = car === 4 ? 0 : fitted ? 5 : 4;
    const sum = bytes.reduce((all, byte) => all + byte, line + 1) % 256;
    return `${line + 1}: ${bytes.map(hex).join(' ')} | ${hex(sum)}\n`;
  });
  return `${fitted ? '@fitted' : '@absent'} heated-seats\n\n${lines.join('')}`;
}

describe('an undocumented dump on the screen', () => {
  before(() => {
    rmSync(join(ROOT, FOLDER), { recursive: true, force: true });
    mkdirSync(join(ROOT, FOLDER), { recursive: true });
    for (let car = 1; car <= CARS; car++) writeFileSync(join(ROOT, FOLDER, `car-${car}.cfgdump`), dump(car));
  });
  const editor = editorForScenes({ from: FOLDER, height: 1000 });
  beforeEach(async () => {
    await editor.begin();
    await editor.openFile('car-1.cfgdump');
    await editor.marks('info', 1);
  });

  const shown = async (heading) => {
    const frame = await pageFrame(editor.page);
    await frame.locator('h1', { hasText: heading }).waitFor();
    return frame;
  };

  /** Waits for a question, so that no key goes to the one before it. */
  const asked = (title, limit) =>
    editor.page.locator('.quick-input-widget .quick-input-title', { hasText: title }).waitFor(limit);

  /** Opens the profile from the notice that says what is in it: it does not open by itself. */
  const openProfile = async (said) => {
    await editor.noticed(said);
    assert.equal(await editor.page.locator('.tab[data-resource-name="seats.dump-profile.json"]').count(), 0);
    await editor.answer('Open Profile', said);
    await editor.page.waitForSelector('.tab.active[data-resource-name="seats.dump-profile.json"]');
  };

  /**
   * Adds the first place of the page to a profile, its name, words and caution as they are offered. A page that gets the
   * keys late takes them from the questions, which go then: then it is begun again.
   */
  const addPlace = async () => {
    const button = (await shown('Where "heated-seats" is set')).locator('button[data-add="0"]');
    const begin = async () => {
      await editor.press('Escape');
      await button.press('Enter');
    };
    const answerQuestions = async (limit) => {
      for (const title of ['What is the option called?', 'What does 1 mean?', 'What does 0 mean?']) {
        await asked(title, limit);
        await editor.press('Enter');
      }
      await asked('What does a wrong setting touch?', limit);
    };
    await editor.untilDone(begin, answerQuestions, 12_000);
    await tickNothing();
  };

  /** That a wrong setting hurts nobody is ticked: an Enter alone does not say so. */
  const tickNothing = async () => {
    await asked('What does a wrong setting touch?');
    await editor.press('Enter');
    await editor.page.waitForSelector('.quick-input-widget input[placeholder^="Tick what it touches"]');
    await editor.page.locator('.quick-input-list .monaco-list-row[aria-label*="Nothing that can hurt people"]').click();
    await editor.press('Enter');
  };

  it('is offered to be learned; the rule becomes its profile', async () => {
    assert.deepEqual(await editor.lightbulb(1, 1), ['Work out the checksum rule']);
    await editor.choose('Work out the checksum rule');
    await editor.page.waitForSelector('.quick-input-list .monaco-list-row[aria-label*="car-10"]');
    await editor.picture('learn - which dumps');
    await editor.press('Enter');
    const page = await shown('Checksum rule of car-1.cfgdump');
    assert.match(await page.locator('tbody tr').first().textContent(), /8-bit sum, over line number, data/);
    await page.locator('.worked h2').first().waitFor();
    assert.match(await page.locator('.worked code').first().textContent(), /^01 \+ .* = .*[0-9A-F]{2}$/);
    await editor.picture('learn');
    assert.deepEqual(await faultsInThemes(editor, 'learn'), []);
    await (await shown('Checksum rule of car-1.cfgdump')).locator('button[data-add="0"]').press('Enter');
    await editor.page.waitForSelector('.quick-input-widget input');
    await editor.picture('learn - name of the module');
    await editor.press('Enter');
    await editor.page.getByText('Draft car-1.dump-profile.json. Save the dump').first().waitFor();
    await editor.openFile('car-1.cfgdump');
    await editor.line('@profile car-1.dump-profile.json');
    await editor.marks('info', 0);
    await editor.marks('error', 0);
    // Of the next dump it is known already.
    await editor.openFile('car-2.cfgdump');
    await editor.marks('info', 1);
    await editor.lightbulb(1, 1);
    await editor.choose('Work out the checksum rule');
    await editor.page.waitForSelector('.quick-input-list .monaco-list-row[aria-label^="Name car-1.dump-profile.json"]');
    await editor.press('Enter');
    await editor.line('@profile car-1.dump-profile.json');
    await editor.marks('info', 0);
  });

  it('shows which place is the option, and adds it to a profile', async () => {
    await editor.runAsking('Countersum: Find an Option');
    await editor.pick('heated-seats');
    const page = await shown('Where "heated-seats" is set');
    assert.match(await page.locator('tbody tr').first().textContent(), /line 3, byte 2, bit 5/);
    await editor.picture('option');
    await page.locator('.map td[tabindex="0"]').focus();
    await editor.press('ArrowRight');
    await editor.press('ArrowDown');
    await editor.press('ArrowDown');
    const here = await page.evaluate(() => document.activeElement?.getAttribute('aria-label'));
    assert.match(here, /^line 3, byte 2: fits all dumps; could be chance: 1 in \d+; q = /);
    assert.deepEqual(await faultsInThemes(editor, 'option'), []);
    // In a narrow window, and where letters are twice as large, no cell and no button is out of sight at the right, and
    // values are below each other whatever buttons a row has.
    for (const [name, size] of Object.entries({ usual: { width: 1280, height: 1000 }, ...SMALL_WINDOWS })) {
      await editor.page.setViewportSize(size);
      await editor.eventually(async () => {
        const columns = await page.evaluate(() =>
          ['With', 'Without'].map((label) =>
            [...document.querySelectorAll(`.stacked td[data-label="${label}"]`)]
              .filter((cell) => cell.checkVisibility())
              .map((cell) => Math.round(cell.getBoundingClientRect().left)),
          ),
        );
        for (const lefts of columns) assert.deepEqual([lefts.length, new Set(lefts).size], [2, 1], `${name}: ${lefts}`);
        const outside = await page.evaluate(() =>
          [...document.querySelectorAll('.stacked th[scope=row], .stacked td, button')]
            .filter((one) => one.getBoundingClientRect().right > document.documentElement.clientWidth)
            .map((one) => one.textContent),
        );
        assert.deepEqual(outside, [], name);
      });
      await editor.picture(`option ${name}`);
    }
    await editor.page.setViewportSize({ width: 1280, height: 1000 });
    await addPlace();
    await asked('What is the module called?');
    await editor.press('Enter');
    await editor.page.getByText('Draft car-1.dump-profile.json').first().waitFor();
    await page.getByText('In the profile: "heated-seats"').waitFor();
    const profile = JSON.parse(readFileSync(join(editor.folder, 'car-1.dump-profile.json'), 'utf8'));
    assert.deepEqual(
      profile.options.map(({ id, line, byte, bits }) => ({ id, line, byte, bits })),
      [{ id: 'heated-seats', line: 3, byte: 2, bits: '5' }],
    );
  });

  it('adds a place to the profile that the dumps name, in place', async () => {
    const lines = { from: 1, to: 8, data: 6, sum: 1 };
    const profile = { format: 1, lines, lineSum: { method: 'add', over: ['label', 'data'] } };
    const text = `// measured in March\n${JSON.stringify(profile, null, 2)}\n`;
    writeFileSync(join(editor.folder, 'seats.dump-profile.json'), text);
    for (let car = 2; car <= CARS; car++) {
      writeFileSync(join(editor.folder, `car-${car}.cfgdump`), `@profile seats.dump-profile.json\n${dump(car)}`);
    }
    await editor.openFile('car-3.cfgdump');
    await editor.marks('info', 0);
    await editor.runAsking('Countersum: Find an Option');
    await editor.pick('heated-seats');
    await addPlace();
    await openProfile('The option "heated-seats" is in the profile');
    await editor.line('// measured in March');
    await editor.line('      "id": "heated-seats",');
    await editor.picture('option in the profile');
  });

  it('names selected digits as an option, without JSON to write', async () => {
    const lines = { from: 1, to: 8, data: 6, sum: 1 };
    const profile = { format: 1, lines, lineSum: { method: 'add', over: ['label', 'data'] } };
    writeFileSync(join(editor.folder, 'seats.dump-profile.json'), `${JSON.stringify(profile, null, 2)}\n`);
    writeFileSync(join(editor.folder, 'car-5.cfgdump'), `@profile seats.dump-profile.json\n${dump(5)}`);
    await editor.openFile('car-5.cfgdump');
    await editor.marks('info', 0);
    await editor.goTo(6, 4);
    await editor.press('Shift+ArrowRight');
    await editor.runAsking('Countersum: Name Selected Digits');
    await asked('Which bits are the option?');
    await editor.picture('option from digits - which bits');
    await editor.press('Enter');
    await asked('What is the option called?');
    await editor.type('Mirrors');
    await editor.press('Enter');
    await editor.page.locator('.quick-input-widget .quick-input-title', { hasText: /What does . mean/ }).waitFor();
    await editor.type('heated');
    await editor.press('Enter');
    await asked('Another value and its words?');
    await editor.press('Enter');
    await asked('What does a wrong setting touch?');
    await editor.picture('option from digits - caution');
    await tickNothing();
    await openProfile('The option "Mirrors" is in the profile');
    await editor.line('      "id": "mirrors",');
  });

  it('plans trials where that is not enough', async () => {
    await editor.runAsking('Countersum: Find an Option');
    await editor.pick('heated-seats');
    await (await shown('Where "heated-seats" is set')).locator('button[data-trials]').press('Enter');
    await editor.page.waitForSelector('.tab.active[aria-label*="Trials: heated-seats"]');
    await editor.shownPage().getByText('line 3, byte 2, bit 5 from 0 to 1').first().waitFor();
    await editor.picture('trials');
  });
});
