// The extension in German, in an editor that is nothing but a page and speaks German.
import assert from 'node:assert/strict';
import { before, describe, it } from 'mocha';
import { pageFrame } from '../axe.mjs';
import { openWebEditor } from '../driver.mjs';
import { editorForScenes } from '../scenes.mjs';

describe('the editor in German', () => {
  const editor = editorForScenes({ language: 'de' }, openWebEditor);
  before(async () => {
    await editor.openFile('rear-body.cfgdump');
    await editor.marks('error', 2);
  });

  it('maps a dump in German', async () => {
    await editor.runCommand('Countersum: Byte-Übersicht zeigen');
    const map = await pageFrame(editor.page);
    await map.locator('[role=gridcell][aria-label^="Zeile 4, Byte 3: 21, Option"]').waitFor();
    await editor.picture('german byte overview');
    await editor.openFile('rear-body.cfgdump');
  });

  it('says in German what stands in a profile', async () => {
    await editor.openFile('rear-body.dump-profile.json');
    const hover = await editor.hoverAt(5, 5, 'Die Zeilen des Dumps');
    assert.match(hover, /Die Zeilen des Dumps/);
    await editor.picture('german profile');
    await editor.press('Escape');
    await editor.openFile('rear-body.cfgdump');
  });

  it('names commands and repairs in German, and tells what a byte is', async () => {
    const hover = await editor.hoverAt(12, 11, 'Zeile 4, Byte 3');
    assert.match(hover, /^Zeile 4, Byte 3/);
    assert.match(hover, /In der Sicherung/);
    await editor.press('Escape');
    const entries = await editor.lightbulb(27, 9);
    assert.ok(entries.includes('Alle Prüfsummen korrigieren (3 Bytes ändern sich)'), entries.join('; '));
    await editor.picture('german');
    await editor.press('Escape');
    await editor.runCommand('Countersum: Mit Sicherung vergleichen');
    await editor.noticed(/Zeile 4, Byte 3|Trailer socket/);
  });

  for (const [command, heading] of [
    ['Nachrüstung planen', 'Plan: 13-pin trailer socket (demo)'],
    ['Arbeitskarte erstellen', 'Arbeitskarte: 13-pin trailer socket (demo)'],
    ['Fahrzeugakte öffnen', 'Fahrzeugakte: stock no. 2041'],
    ['Profile anzeigen', 'Profile'],
  ]) {
    it(`shows a page in German: ${command}`, async () => {
      await editor.openFile('rear-body.cfgdump');
      await editor.runCommand(`Countersum: ${command}`);
      await editor.shownPage().getByRole('heading', { name: heading }).waitFor();
      await editor.picture(`german - ${command}`);
    });
  }

  it('says in the view of the job what is next, and does it', async () => {
    await editor.openFile('rear-body.cfgdump');
    await editor.openViews('Arbeit');
    const view = editor.page.locator('.pane:has(.pane-header[aria-label^="Arbeit"])');
    const next = view.locator('.monaco-list-row[aria-label^="Alle Prüfsummen korrigieren: Eingabetaste"]');
    await next.waitFor();
    await editor.picture('job german');
    await next.click();
    await view.locator('.monaco-list-row[aria-label^="Arbeitskarte anlegen"]').waitFor();
    await view.locator('.message', { hasText: 'Zu diesen Dumps gibt es noch' }).waitFor();
  });
});
