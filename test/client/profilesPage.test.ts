// The page of profiles: what it shows, where it leads, and what it says where there is nothing.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, describe, it } from 'mocha';
import { readMessage, shownRows } from '../../client/src/pages/liveTable.js';
import { profilesTable } from '../../client/src/pages/profilesPage.js';
import type { ProfileEntry } from '../../shared-core/src/protocol/profiles.js';
import { type ClientSession, clientSession, settle } from '../support/clientSession.js';

const LIBRARY = Object.fromEntries(
  ['', 'samples/'].flatMap((folder) =>
    readdirSync(`examples/library/${folder}`, { withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map(({ name }) => [`${folder}${name}`, readFileSync(`examples/library/${folder}${name}`, 'utf8')] as const),
  ),
);

describe('the page of profiles', () => {
  let session: ClientSession;
  afterEach(() => session.stop());
  const opened = async (files: Record<string, string>) => {
    session = await clientSession(files);
    await session.run('showProfiles');
    const [panel] = session.editor.panels;
    assert.ok(panel);
    return panel;
  };
  const lastTold = () => JSON.parse(session.editor.in('page message').at(-1) ?? '{}');

  it('lists them, finds one by the words of an option, leads to it, and tests its samples', async () => {
    const panel = await opened(LIBRARY);
    assert.equal(panel.title, 'Profiles');
    const rows = [...panel.html.matchAll(/data-press="file\.(\d+)">([^<]*)/g)];
    assert.equal(rows.length, 6);
    const test = /data-press="(test\.(\d+))"/.exec(panel.html);
    panel.send({ press: test?.[1] });
    await settle();
    await settle();
    assert.match(lastTold().told, / fits; set and set back: /);
    const option = /data-press="(option\.\d+\.\d+)">([^<]*)/.exec(panel.html);
    panel.send({ words: option?.[2], column: null, down: false });
    await settle();
    assert.ok(lastTold().order.length >= 1);
    assert.deepEqual(lastTold().unfold.length > 0, true);
    panel.send({ press: option?.[1] });
    await settle();
    assert.ok((session.cursor()?.line ?? 0) > 0);
  });

  it('counts on how many modules an option was seen, beside how sure it is', async () => {
    const seen = [
      { date: '2026-03-02', how: 'set-and-tried', vehicle: '3F' },
      { date: '2026-04-09', how: 'set-and-tried', vehicle: '4D' },
      { how: 'told' },
    ];
    const options = [
      { id: 'a', title: 'Lamp', line: 1, byte: 1, number: {}, seen },
      { id: 'b', title: 'Buzzer', line: 1, byte: 2, number: {}, confidence: 'guess' },
    ];
    const lines = { from: 1, to: 1, data: 4, sum: 0 };
    const { html } = await opened({ 'p.dump-profile.json': JSON.stringify({ format: 1, lines, options }) });
    assert.match(html, />Lamp<\/button> <span class="muted">confirmed · seen: 3<\/span>/);
    assert.match(html, />Buzzer<\/button> <span class="muted">a guess<\/span>/);
    assert.match(html, /options seen on modules: 1</);
  });

  it('a torn profile is a row with what is wrong, which leads to its file', async () => {
    const panel = await opened({ 'torn.dump-profile.json': '{ "format": 1, "lines"' });
    assert.match(panel.html, /data-press="problem\.0\.0">[^<]+/);
    panel.send({ press: 'problem.0.0' });
    await settle();
    assert.equal(session.cursor()?.line, 0);
  });

  it('says what to do where there is no profile', async () => {
    const panel = await opened({ 'a.cfgdump': '1: 00\n' });
    assert.match(panel.html, /There is no profile in these folders yet\. Open a dump/);
    assert.match(panel.html, /Name Folders with Profiles/);
  });
});

it('Two thousand profiles are searched and sorted, and the first of those found shown', () => {
  const at = { uri: 'file:///a', start: 0 };
  const profiles = Array.from({ length: 2000 }, (_, i): ProfileEntry => {
    const options = Array.from({ length: 20 }, (_, o) => ({
      ...{ title: `Option ${o} of ${i}`, confidence: null, seen: 0, words: `o${o} no yes`, at },
    }));
    const [name, title] = [`p${i}.dump-profile.json`, `Module ${i % 40}`];
    return {
      uri: `file:///${name}`,
      name,
      title,
      part: [`PA-${i}`],
      software: [],
      bases: [],
      options,
      samples: 1,
      problems: [],
    };
  });
  const table = profilesTable({ profiles, unlisted: [], hasFolder: true });
  const told = readMessage({ words: 'Yes pa-1234 module', column: 0, down: true });
  assert.ok(told && 'look' in told);
  const all = readMessage({ words: 'module', column: 0, down: true });
  assert.ok(all && 'look' in all);
  assert.deepEqual(shownRows(table, told.look).order, [1234]);
  assert.equal(shownRows(table, all.look).order.length, 300);
});
