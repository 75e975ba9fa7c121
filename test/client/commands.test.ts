// Every command of the extension, run on the demo in a played editor.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import type { BackupResult } from '../../shared-core/src/protocol/backup.js';
import { type ClientSession, clientSession, settle, until } from '../support/clientSession.js';
import { Range, Uri, workspace } from '../support/fakeEditor.js';
import { filesBelow } from '../support/sources.js';

const DUMP = 'rear-body.cfgdump';
const FOUND = 'rear-body.as-found.cfgdump';
const FILES = Object.fromEntries(
  readdirSync('examples/trailer-socket').map((name) => [name, readFileSync(`examples/trailer-socket/${name}`, 'utf8')]),
);
const IMAGE = ':0400000001020304F2\n:00000001FF\n';

/** Tables of pages that neither become blocks nor are in a box of their own where the window is narrow: they would be cut. */
function cutTables(pages: readonly { readonly html: string }[]): readonly string[] {
  const tables = pages.flatMap(({ html }) => [...html.matchAll(/(?:<div class="wide"[^>]*>)?<table[^>]*>/g)]);
  return tables.map(([table]) => table).filter((table) => !/^<div|class="stacked"/.test(table));
}

describe('commands', () => {
  let session: ClientSession;
  let shown: (where: string) => string;
  beforeEach(async () => {
    session = await clientSession({ ...FILES, 'small.hex': IMAGE });
    shown = (where) => session.editor.in(where).join('\n');
  });
  afterEach(() => {
    assert.deepEqual(cutTables(session.editor.panels), []);
    return session.stop();
  });

  describe('on a dump', () => {
    beforeEach(() => session.open(DUMP, 11, 10));

    it('compare it with its backup, side by side and in words', async () => {
      await session.run('compareWithBackup');
      assert.equal(shown('diff title'), 'rear-body.as-found.cfgdump ↔ rear-body.cfgdump');
      assert.match(shown('notice'), /Trailer socket: none → 13-pin/);
    });

    it('compare it with another dump, which the changes are then about', async () => {
      session.editor.person.pick = () => ['Another file…'];
      session.editor.person.file = () => 'file:///cars/rear-body.read-back.cfgdump';
      await session.run('compareWith');
      assert.equal(shown('diff title'), 'rear-body.read-back.cfgdump ↔ rear-body.cfgdump');
      assert.match(shown('countersum.changes description'), /against rear-body.read-back.cfgdump/);
    });

    it('show the whole comparison at once where it is short, and as a page where it is long', async () => {
      session.editor.person.notice = (_, buttons) => buttons[0];
      session.editor.person.pick = () => ['rear-body.read-back.cfgdump'];
      await session.run('compareWith');
      // What is left out are the single bytes, and how many they are is said.
      assert.match(
        shown('notice'),
        /^Changed bytes: \d+, of which the module changes 1 by itself · The file sum is wrong before/,
      );
      assert.doesNotMatch(shown('notice'), /Line 4, byte/);
      await until(() => shown('modal') !== '');
      assert.equal(shown('modal'), 'What changed');
      assert.match(shown('modal detail'), /^Line 4, byte 7: A8 → 88 \(line sum\)\n(?:.*\n)+.*$/);
      const before = shown('modal detail').split('\n').length;
      const document = workspace.textDocuments.find(({ uri }) => uri.path.endsWith(`/${DUMP}`));
      const newText = session.text(DUMP).replace(/^( ?(?:[5-9]|1[0-6])): .. ../gm, '$1: EE EE');
      document?.change([{ range: new Range(0, 0, document.lineCount, 0), newText }]);
      await session.run('compareWith');
      await until(() => shown('markdown') !== '');
      const [head, ...lines] = shown('markdown')
        .trimEnd()
        .split('\n')
        .filter((line) => line !== '');
      assert.equal(head, '# What changed');
      assert.ok(lines.length > 20 && before <= 20, `${lines.length}`);
    });

    it('make all its sums right', async () => {
      await session.run('correctChecksums');
      assert.match(session.text(DUMP), /^17: 10 00 FF 00 {2}FF 3C \| 55$/m);
      await session.run('correctChecksums');
      assert.equal(shown('notice'), 'All sums of this dump are right.');
    });

    it('rebalance it with a line of one’s choice', async () => {
      let first = '';
      session.editor.person.pick = ({ items }) => {
        first = items[0]?.label ?? '';
        return [first];
      };
      const before = session.text(DUMP);
      await session.run('rebalance');
      assert.match(first, /^Line \d+$/);
      assert.notEqual(session.text(DUMP), before);
    });

    it('restore chosen lines from the backup, or all', async () => {
      session.editor.person.pick = ({ items }) => items.map(({ label }) => label);
      session.editor.person.modal = (_text, _detail, buttons) => buttons.at(-1);
      await session.run('restoreFromBackup');
      assert.match(session.text(DUMP), /^ 4: 08 03 01 7F {2}00 FF \| 88$/m);
      assert.match(shown('modal detail'), /Affects the lighting/);
      assert.match(shown('notice'), /Every byte is as in the backup again/);
    });

    it('convert it to another form', async () => {
      session.editor.person.pick = ({ items }) => items.map(({ label }) => label).filter((label) => /HEX/.test(label));
      await session.run('convert');
      assert.match(shown('warning') + shown('notice'), /./);
    });

    it('make a job card, kept in the folder where one wants it', async () => {
      session.editor.person.notice = (_, buttons) => buttons[0];
      session.editor.person.pick = ({ items }) => [items[0]?.label ?? ''];
      await session.run('jobCard');
      await settle();
      assert.match(shown('markdown'), /^# Job card/m);
      const card = [...session.editor.files.keys()].find((uri) => uri.endsWith('.job-card.md'));
      assert.ok(card);
      // In a tab of its own, which no page that comes after it takes.
      const opened = session.editor.executed.filter(([id]) => id === 'vscode.openWith');
      assert.deepEqual(
        opened.map(([, uri, view]) => `${uri} ${view}`),
        [`${card} vscode.markdown.preview.editor`],
      );
    });

    it('keep a job card for printing', async () => {
      session.editor.person.notice = (_, buttons) => buttons[1];
      session.editor.person.pick = ({ items }) => [items[0]?.label ?? ''];
      await session.run('jobCard');
      await settle();
      const printed = [...session.editor.files].find(([uri]) => uri.endsWith('.job-card.html'));
      assert.match(new TextDecoder().decode(printed?.[1]), /^<!doctype html>\n<html lang="en">/);
    });

    it('verify what was read back', async () => {
      session.editor.person.pick = () => ['rear-body.read-back.cfgdump'];
      await session.run('verifyReadBack');
      assert.match(shown('markdown'), /^# Read-back/m);
      assert.match(shown('warning'), /./);
    });

    it('note in the profile what came back as it was planned, and by whom, as often as that is new', async () => {
      const profile = () => session.text('rear-body.dump-profile.json');
      await session.run('correctChecksums');
      const back = session.text(DUMP).replace(/^@backup.*/m, '@taken 2026-03-04');
      session.editor.files.set('file:///cars/rear-body.back.cfgdump', new TextEncoder().encode(back));
      session.editor.person.pick = ({ title }) =>
        title.startsWith('Was it tried') ? ['It was tried in the car and works'] : ['rear-body.back.cfgdump'];
      session.editor.person.notice = (_, buttons) => buttons.find((one) => one.startsWith('Note'));
      session.editor.person.write = () => 'Ada';
      await session.run('verifyReadBack');
      await until(() => profile().includes('set-and-tried'));
      const noted =
        '{ "part": "RB-2041-07", "software": "0311", "date": "2026-03-04", "how": "set-and-tried", "vehicle": "BA", "by": "Ada" }';
      assert.ok(profile().includes(noted));
      await session.run('verifyReadBack');
      await settle();
      assert.equal(profile().split('set-and-tried').length, 2);
    });

    it('note nothing where the plan is another one by the time the note is asked for', async () => {
      await session.run('correctChecksums');
      const back = session.text(DUMP).replace(/^@backup.*/m, '@taken 2026-03-04');
      session.editor.files.set('file:///cars/rear-body.back.cfgdump', new TextEncoder().encode(back));
      session.editor.person.pick = ({ title }) =>
        title.startsWith('Was it tried') ? ['It was tried in the car and works'] : ['rear-body.back.cfgdump'];
      session.editor.person.write = () => 'Ada';
      let isOffered = false;
      session.editor.person.notice = (_, buttons) => {
        const note = buttons.find((one) => one.startsWith('Note'));
        if (note !== undefined) {
          isOffered = true;
          session.type(DUMP, session.text(DUMP).replace(/^ 4: .*/m, ' 4: 08 03 01 7F  00 FF | 88'));
        }
        return note;
      };
      await session.run('verifyReadBack');
      await settle();
      await settle();
      assert.ok(isOffered);
      assert.doesNotMatch(session.text('rear-body.dump-profile.json'), /set-and-tried/);
    });

    it('choose among the dumps that can be listed, and say what cannot', async () => {
      session.editor.files.set('file:///cars/closed/other.cfgdump', new Uint8Array());
      session.editor.closedFolders.add('file:///cars/closed');
      session.editor.person.pick = ({ items }) => {
        assert.ok(items.some(({ label }) => label === 'rear-body.read-back.cfgdump'));
        return undefined;
      };
      await session.run('verifyReadBack');
      assert.match(shown('list hint'), /closed cannot be listed: not allowed/);
      assert.equal(shown('warning'), '');
      session.editor.person.pick = () => ['rear-body.read-back.cfgdump'];
      await session.run('verifyReadBack');
    });

    it('compare three ways; a place leads into the text', async () => {
      session.editor.person.pick = ({ title }) => [
        title.startsWith('Compare') ? 'Three ways…' : 'rear-body.read-back.cfgdump',
      ];
      await session.run('compareWith');
      const [panel] = session.editor.panels;
      assert.equal(panel?.title, 'Three ways: rear-body.cfgdump');
      assert.match(panel?.html ?? '', /<button class="place" data-index="0">Trailer socket<\/button>/);
      panel?.send(0);
      await settle();
    });

    it('compare many dumps in one table; it is searched and sorted, and a value leads into its dump', async () => {
      session.editor.person.pick = ({ items }) =>
        items.map(({ label }) => label).filter((name) => /^rear-body/.test(name));
      await session.run('compareMany');
      const [panel] = session.editor.panels;
      assert.equal(panel?.title, '3 Dumps Compared');
      assert.match(panel?.html ?? '', /<button class="place" data-press="0.0">none<\/button>/);
      const [other] = /data-press="\d+\.1"/.exec(panel?.html ?? '') ?? [];
      assert.ok(other);
      const titles = [...(panel?.html ?? '').matchAll(/<th scope="row">([^<]*)/g)].map(([, title]) => title);
      const rows = async (words: string, column: number | null, down: boolean) => {
        panel?.send({ words, column, down });
        await settle();
        const answer: { order: number[]; says: string } = JSON.parse(session.editor.in('page message').at(-1) ?? '');
        return { titles: answer.order.map((number) => titles[number]), says: answer.says };
      };
      const all = (await rows('', null, false)).titles;
      assert.deepEqual((await rows('13-PIN trailer', null, false)).titles, ['Trailer socket']);
      assert.match((await rows('no such thing', null, false)).says, /^Nothing here has all of these words/);
      assert.deepEqual((await rows('', 0, true)).titles, [...all].reverse());
      panel?.send({ press: '0.1' });
      await settle();
      assert.equal(session.cursor()?.line, 11);
      panel?.send('nothing that a page says');
    });

    it('compare many dumps, those that are left aside with the reason for each, and lead to them', async () => {
      const uris = [DUMP, FOUND, 'cluster.cfgdump'].map((name) => Uri.parse(`file:///cars/${name}`));
      await session.run('compareMany', uris[0], uris);
      const [panel] = session.editor.panels;
      const aside = /<table class="aside">([\s\S]*?)<\/table>/.exec(panel?.html ?? '')?.[1] ?? '';
      assert.match(aside, /<caption>Left aside: 1<\/caption>/);
      const rows = [...aside.matchAll(/data-press="(file\.\d+)">([^<]*)<\/button><\/th><td>([^<]+)</g)];
      assert.deepEqual(
        rows.map(([, , name]) => name),
        ['cluster.cfgdump'],
      );
      assert.match(rows[0]?.[3] ?? '', /\.$/);
      panel?.send({ press: rows[0]?.[1] });
      await settle();
      assert.deepEqual(session.editor.executed.at(-1)?.map(String), ['vscode.open', 'file:///cars/cluster.cfgdump']);
    });

    it('compare many dumps that are selected in the explorer, and ask for two at least', async () => {
      const [one, two] = [DUMP, FOUND].map((name) => Uri.parse(`file:///cars/${name}`));
      await session.run('compareMany', one, [one, two]);
      assert.equal(session.editor.panels[0]?.title, '2 Dumps Compared');
      session.editor.person.pick = () => [DUMP];
      await session.run('compareMany', one, [one]);
      assert.match(shown('notice'), /Choose two dumps or more/);
    });

    it('open the record of its folder', async () => {
      await session.run('vehicleRecord');
      assert.match(shown('markdown'), /^# Vehicle record/m);
    });

    it('open a job card by its link in that record, and no other file', async () => {
      const card = 'rear body (2).job-card.md';
      session.editor.files.set(`file:///cars/${card}`, new TextEncoder().encode('# Another\n'));
      session.editor.files.set('file:///cars/car.job-card.md', new TextEncoder().encode('# The card\n'));
      session.editor.files.set('file:///cars/below/secret.md', new TextEncoder().encode('# Secret\n'));
      await session.run('vehicleRecord');
      const [, link = ''] = /^- \[rear body \\?\(2\\?\)[^\]]*\]\((.*)\)$/m.exec(shown('markdown')) ?? [];
      assert.equal(link, './rear%20body%20%282%29.job-card.md');
      const opened = async (path: string) =>
        session.editor.providers
          .get('countersum-page')
          ?.provideTextDocumentContent(Uri.parse(`countersum-page:${path}`));
      assert.equal(await opened('/cars/car.job-card.md'), '# The card\n');
      for (const other of ['/cars/below/secret.md', '/cars/rear-body.cfgdump', '/etc/x.md'])
        assert.equal(await opened(other), '', other);
    });

    it('show the dump in words', async () => {
      await session.run('showInWords');
      assert.match(
        shown('markdown'),
        /^# Rear body module .demo.*\n[\s\S]*\| Trailer socket \| \*\*13-pin\*\* \| Line 4, byte 3, bits 7 to 4 \|/m,
      );
    });

    it('share a copy in a new folder, all files or none', async () => {
      session.editor.person.file = () => 'file:///shared';
      session.editor.person.write = () => '';
      await session.run('shareCopy');
      const inFolder = (name: string) => session.editor.files.get(`file:///shared/${name}`);
      assert.match(
        new TextDecoder().decode(inFolder('copies-to-share/rear-body.cfgdump')),
        /^@vin 0XXX0X0X8XX000001$/m,
      );
      assert.ok(inFolder('copies-to-share/rear-body.as-found.cfgdump'));
      assert.ok(inFolder('copies-to-share/rear-body.dump-profile.json'));
      assert.match(shown('markdown'), /^# Copies to share/m);
      await session.run('shareCopy');
      assert.ok(inFolder('copies-to-share-2/rear-body.cfgdump'));
      assert.match(shown('notice'), /3 files are in .*copies-to-share-2\./);
      const before = [...session.editor.files.keys()];
      session.editor.readOnly.add('file:///shared/.copies-to-share-3.part/rear-body.dump-profile.json');
      await session.run('shareCopy').catch((error: Error) => session.editor.show('error', error.message));
      assert.notDeepEqual(session.editor.in('error'), []);
      assert.deepEqual([...session.editor.files.keys()], before);
    });

    it('share no copy into the folder that is open, where it would count as a dump of a vehicle', async () => {
      session.editor.person.file = () => 'file:///cars/inside';
      session.editor.person.write = () => '';
      const before = [...session.editor.files.keys()];
      await session.run('shareCopy');
      assert.match(shown('warning'), /copies would count as dumps of a vehicle\. Choose one outside of it/);
      assert.deepEqual([...session.editor.files.keys()], before);
    });

    it('share a copy without the VIN that was found in it, which is offered to be hidden', async () => {
      session.type(DUMP, '# of WXX0A1B2C3D400011, read on 20.11.2026\n');
      session.editor.person.file = () => 'file:///shared';
      const offered: string[] = [];
      session.editor.person.write = (_title, value) => {
        offered.push(value);
        return `${value}, ZZTOP 99`;
      };
      await session.run('shareCopy');
      assert.deepEqual(offered, ['WXX0A1B2C3D400011']);
      const prompt = session.editor.in('prompt').at(-1) ?? '';
      assert.equal(prompt, 'Leave it empty to hide nothing more; the page that follows says what to look at.');
      assert.match(shown('markdown'), /Row \d+: "20\\?\.11\\?\.2026" may be a date/);
      assert.match(shown('markdown'), /^- "ZZTOP 99" was found in none of the copies$/m);
      assert.doesNotMatch(shown('markdown'), /400011" was found/);
      const copy = new TextDecoder().decode(
        session.editor.files.get('file:///shared/copies-to-share/rear-body.cfgdump'),
      );
      assert.doesNotMatch(copy, /A1B2C3D4/);
    });

    it('set an option, found by the cursor', async () => {
      let active: string | undefined;
      session.editor.person.pick = (asked) => {
        active ??= asked.active[0]?.label;
        return asked.title.startsWith('Which') ? ['Everyday helpers'] : ['rear wiper in reverse'];
      };
      await session.run('setOption');
      assert.equal(active, 'Trailer socket');
      assert.match(session.text(DUMP), /^ 9: 00 00 10 10 {2}20 A1/m);
    });

    it('show an option of the view in the text', async () => {
      const tree = session.editor.trees.get('countersum.options');
      await until(() => (tree?.provider.getChildren() ?? []).length > 0);
      const [group] = tree?.provider.getChildren() ?? [];
      const [, node] = tree?.provider.getChildren(group) ?? [];
      await session.run('showOption', node);
      assert.deepEqual(session.cursor(), { line: 11, character: 11 });
    });

    it('show the byte overview', async () => {
      await session.run('showByteOverview');
      await session.run('showByteOverview');
      assert.deepEqual(
        session.editor.panels.map(({ viewType }) => viewType),
        ['countersum.byteOverview'],
      );
      session.editor.panels[0]?.send({ says: 'ready' });
      session.editor.panels[0]?.send({ says: 'lines', from: 0, count: 20 });
      session.editor.panels[0]?.send({ says: 'byte', at: 3, byte: 2 });
      session.editor.panels[0]?.send({ says: 'go', at: 3, byte: 2 });
      await settle();
      assert.match(shown('page message'), /"says":"lines"/);
      assert.match(shown('page message'), /Trailer socket/);
    });

    it('step through the changes, forth and back, and to one of the view', async () => {
      await session.run('nextChange');
      await session.run('previousChange');
      assert.match(shown('status bar'), /Line 4 · Byte 3: 01 → 21 · Trailer socket/);
      const place = { start: { line: 11, character: 10 }, end: { line: 11, character: 12 }, head: ' 4: ' };
      await session.run('_showChange', place, Uri.parse(`file:///cars/${DUMP}`));
      assert.equal(session.cursor()?.line, 11);
    });

    it('take a line from the backup', async () => {
      session.editor.person.modal = (_text, _detail, buttons) => buttons.at(-1);
      await session.run('takeLine');
      assert.match(session.text(DUMP), /^ 4: 08 03 01 7F {2}00 FF \| 88$/m);
      assert.match(shown('status bar'), /Line 4 taken over/);
    });

    it('plan a retrofit over all modules, and set it in one step', async () => {
      await session.run('correctChecksums');
      session.editor.person.notice = (_, buttons) => buttons[0];
      session.editor.person.modal = (_text, _detail, buttons) => buttons.at(-1);
      await session.run('planRetrofit');
      await settle();
      assert.match(shown('markdown'), /13-pin trailer socket/);
    });

    it('write a retrofit of what is set in all modules of the vehicle, where there is none to plan', async () => {
      for (const uri of [...session.editor.files.keys()])
        if (uri.endsWith('.retrofit.json')) session.editor.files.delete(uri);
      session.editor.person.notice = (_, buttons) => buttons.find((one) => one === 'Write One…');
      session.editor.person.write = () => 'Socket';
      const cluster = (FILES['cluster.cfgdump'] ?? '')
        .replace('0007 20F7 0010 7F10 | 36', '0001 20F7 0010 7F10 | 3C')
        .replace('0210 3800 | 60', '1210 3800 | 50')
        .replace('total: 0A BB', 'total: FA BA');
      session.editor.files.set('file:///cars/cluster.cfgdump', new TextEncoder().encode(cluster));
      await session.run('planRetrofit');
      const written = session.editor.files.get('file:///cars/socket.retrofit.json');
      const retrofit = JSON.parse(new TextDecoder().decode(written));
      assert.equal(retrofit.title, 'Socket');
      assert.deepEqual(retrofit.changes, [
        { profile: 'rear-body.dump-profile.json', set: { 'trailer-socket': '13-pin' } },
        { profile: 'cluster.dump-profile.json', set: { 'trailer-lamp': 'shown' } },
      ]);
      assert.match(shown('markdown'), /Socket/);
    });
  });

  it('make a backup: a sealed copy that the dump then names, and never over another file', async () => {
    const text = (FILES[FOUND] ?? '').replace(/^@seal.*\n/m, '');
    session.editor.files.set('file:///cars/fresh.cfgdump', new TextEncoder().encode(text));
    session.editor.files.set('file:///cars/fresh.backup.cfgdump', new TextEncoder().encode('something else'));
    await session.open('fresh.cfgdump');
    await session.run('makeBackup');
    assert.match(session.text('fresh.cfgdump'), /^@backup fresh\.backup-2\.cfgdump$/m);
    assert.match(session.text('fresh.backup-2.cfgdump'), /^@seal sha256:[0-9a-f]{64}$/m);
    assert.equal(session.text('fresh.backup.cfgdump'), 'something else');
  });

  it('make no backup where nobody can tell which names are free', async () => {
    const text = (FILES[FOUND] ?? '').replace(/^@seal.*\n/m, '');
    session.editor.files.set('file:///cars/fresh.cfgdump', new TextEncoder().encode(text));
    await session.open('fresh.cfgdump');
    const answer = await session.connection.sendRequest('countersum/backup', { uri: 'file:///cars/fresh.cfgdump' });
    session.instead.set('countersum/backup', () => {
      session.editor.brokenDisk = true;
      return answer;
    });
    const before = session.editor.files.size;
    await session.run('makeBackup');
    assert.equal(session.editor.files.size, before);
    assert.match(shown('warning'), /All names for a backup are taken/);
  });

  it('name no backup that is not read back as it was sealed, and leave it where it is', async () => {
    const text = (FILES[FOUND] ?? '').replace(/^@seal.*\n/m, '');
    session.editor.files.set('file:///cars/fresh.cfgdump', new TextEncoder().encode(text));
    await session.open('fresh.cfgdump');
    const answer = await session.connection.sendRequest<BackupResult>('countersum/backup', {
      uri: 'file:///cars/fresh.cfgdump',
    });
    const torn = answer.text.slice(0, answer.text.trimEnd().lastIndexOf('\n') + 1);
    session.instead.set('countersum/backup', () => ({ ...answer, text: torn }));
    await session.run('makeBackup');
    assert.match(shown('warning'), /^fresh\.backup\.cfgdump was written and is not read back as it was sealed/);
    assert.equal(session.text('fresh.backup.cfgdump'), torn);
    assert.doesNotMatch(session.text('fresh.cfgdump'), /@backup/);
    assert.doesNotMatch(shown('status bar'), /sealed/);
  });

  it('work out the checksum rule of a dump, and make a rule its profile', async () => {
    const text = (FILES['rear-body.as-found.cfgdump'] ?? '').replace(/^@.*\n/gm, '');
    session.editor.files.clear();
    session.editor.files.set('file:///cars/unknown.cfgdump', new TextEncoder().encode(text));
    await session.open('unknown.cfgdump');
    session.editor.person.pick = () => [];
    session.editor.person.write = (_, value) => value;
    await session.run('learn');
    const [panel] = session.editor.panels;
    assert.equal(panel?.title, 'Checksum rule of unknown.cfgdump');
    assert.match(panel?.html ?? '', /<button class="secondary" data-add="0"/);
    panel?.send({ add: 0 });
    await settle();
    assert.match(session.text('unknown.cfgdump'), /^@profile unknown\.dump-profile\.json$/m);
    assert.match(session.text('unknown.dump-profile.json'), /"format": 1/);
  });

  it('make the backups that a plan is in want of, and tell of them in one notice', async () => {
    for (const name of ['cluster', 'rear-body']) {
      const found = FILES[`${name}.as-found.cfgdump`] ?? '';
      session.editor.files.delete(`file:///cars/${name}.as-found.cfgdump`);
      session.editor.files.set(
        `file:///cars/${name}.cfgdump`,
        new TextEncoder().encode(found.replace(/^@(?:seal|backup).*\n/gm, '')),
      );
    }
    session.editor.files.delete('file:///cars/rear-body.read-back.cfgdump');
    session.editor.person.notice = (_, buttons) => buttons.find((button) => button === 'Make a Backup');
    await session.run('planRetrofit');
    await until(() => /Backup sealed/.test(shown('notice')));
    await settle();
    assert.deepEqual(
      session.editor.in('notice').filter((text) => text.startsWith('Backup sealed')),
      ['Backup sealed: keep a second copy elsewhere.'],
    );
    assert.match(shown('status bar'), /Backup sealed: cluster\.backup\.cfgdump, rear-body\.backup\.cfgdump/);
  });

  it('find an option, put it into a profile and plan trials', async () => {
    session.editor.files.clear();
    for (let car = 1; car <= 12; car++) session.editor.files.set(`file:///cars/car-${car}.cfgdump`, car12(car));
    await session.open('car-1.cfgdump');
    session.editor.person.pick = ({ items }) => [items[0]?.label ?? ''];
    session.editor.person.write = (_, value) => value;
    await session.run('findOption');
    const [panel] = session.editor.panels;
    assert.match(panel?.html ?? '', /line 3, byte 2, bit 5/);
    panel?.send({ add: 0 });
    const offered: string[] = [];
    session.editor.person.notice = (_, buttons) => {
      offered.push(...buttons);
      return undefined;
    };
    panel?.send({ trials: true });
    await until(() => shown('markdown') !== '');
    await until(() => offered.includes('Make a Backup'));
    assert.match(session.text('car-1.dump-profile.json'), /"heated-seats"/);
    assert.match(shown('markdown'), /heated-seats/);
    // Pressed again, it shows the plan that is there, and asks nothing anew.
    const pages = () => session.editor.executed.filter(([id]) => id === 'markdown.showPreview').length;
    const [before, asked] = [pages(), offered.length];
    panel?.send({ trials: true });
    await until(() => pages() > before);
    await settle();
    assert.deepEqual([pages(), offered.length], [before + 1, asked]);
    assert.equal(session.editor.in('notice').filter((text) => text === 'The trials are planned.').length, 1);
  });

  /** The page of the same search once all dumps name the profile that the first place went into. */
  const foundAgain = async (): Promise<string> => {
    for (let car = 2; car <= 12; car++)
      session.editor.files.set(
        `file:///cars/car-${car}.cfgdump`,
        Buffer.concat([Buffer.from('@profile car-1.dump-profile.json\n'), car12(car)]),
      );
    await session.run('findOption');
    return session.editor.panels.at(-1)?.html ?? '';
  };

  it('say of a found place that it is in the profile, and have one button that stands out', async () => {
    session.editor.files.clear();
    for (let car = 1; car <= 12; car++) session.editor.files.set(`file:///cars/car-${car}.cfgdump`, car12(car));
    session.editor.person.pick = ({ title, items }) => [
      items.at(title === 'What does a wrong setting touch?' ? -1 : 0)?.label ?? '',
    ];
    const called = ['Warm seats', 'Seats'];
    session.editor.person.write = (title, value) => (title === 'What is the option called?' ? called.shift() : value);
    await session.open('car-1.cfgdump');
    await session.run('findOption');
    const [panel] = session.editor.panels;
    const primary = (html = '') => [...html.matchAll(/<button (?!class="secondary")([^>]*)/g)].map(([, what]) => what);
    assert.match(primary(panel?.html).join('; '), /^data-add="0" aria-label="[^"]*"$/);
    assert.match(panel?.html ?? '', /@media \(max-width: 62em\)/);
    panel?.send({ add: 0 });
    await until(() => shown('page message') !== '');
    assert.deepEqual(JSON.parse(shown('page message')), { cell: [0], says: 'In the profile: "Warm seats"' });
    // The next one goes into the profile that the first one made, not into a second draft.
    panel?.send({ add: 0 });
    await until(() => session.editor.in('page message').length > 1 || shown('warning') !== '');
    assert.equal([...session.editor.files.keys()].filter((uri) => uri.endsWith('.dump-profile.json')).length, 1);
    await settle();
    const again = await foundAgain();
    assert.match(
      again,
      /<div>In the profile: &#34;Warm seats&#34;<\/div><button class="secondary" data-add="0" aria-label="Write Anew: /,
    );
    assert.match(primary(again).join('; '), /^data-trials$/);
  });

  it('say of a whole digit that went into the profile what the profile holds, in the row of the bit that was found', async () => {
    session.editor.files.clear();
    for (let car = 1; car <= 12; car++) session.editor.files.set(`file:///cars/car-${car}.cfgdump`, car12(car));
    session.editor.person.pick = ({ title, items }) => [
      items.at(title === 'What does a wrong setting touch?' ? -1 : 0)?.label ?? '',
    ];
    session.editor.person.write = (_, value) => value;
    await session.open('car-1.cfgdump');
    await session.run('findOption');
    const [panel] = session.editor.panels;
    assert.match(panel?.html ?? '', /<h1>Where &#34;heated-seats&#34; is set<\/h1>/);
    assert.match(
      panel?.html ?? '',
      /p says how often chance alone [^<]* bit 0 is the lowest, bit 7 the highest\.<\/p>/,
    );
    assert.match(
      panel?.html ?? '',
      /class="place">line 3, byte 2, bit 5<[\s\S]*data-digit="0"[^>]*>Add the Whole Digit: 2 or 0</,
    );
    panel?.send({ digit: 0 });
    await until(() => shown('page message') !== '');
    const told = JSON.parse(shown('page message'));
    assert.deepEqual(told.row, { place: 'line 3, byte 2, bits 7-4', values: ['2', '0'] });
    const again = await foundAgain();
    assert.match(
      again,
      /class="place">line 3, byte 2, bits 7-4<\/th>\n<td id="in-0"><div>In the profile: [\s\S]*?data-digit="0"[\s\S]*?With"><code>2<\/code><\/td>\n<td data-label="Without"><code>0</,
    );
  });

  it('put a found option into a profile that is there, in the place of the one by its name only where that is wanted', async () => {
    const cars = Array.from({ length: 12 }, (_, i) => [`car-${i + 1}.cfgdump`, new TextDecoder().decode(car12(i + 1))]);
    const add = async () => {
      session.editor.person.pick = ({ title, items }) => [
        items.at(title === 'What does a wrong setting touch?' ? -1 : 0)?.label ?? '',
      ];
      session.editor.person.write = (_, value) => value;
      await session.open('car-1.cfgdump');
      await session.run('findOption');
      session.editor.panels.at(-1)?.send({ add: 0 });
      await settle();
    };
    const profileOf = () => session.text('car-1.dump-profile.json');
    session.stop();
    session = await clientSession(Object.fromEntries(cars));
    await add();
    const profile = profileOf();
    session.stop();
    const explained = cars.map(([name, text]) => [name, `@profile car-1.dump-profile.json\n${text}`]);
    session = await clientSession({ ...Object.fromEntries(explained), 'car-1.dump-profile.json': profile });
    await add();
    assert.match(shown('modal'), /The profile has an option "heated-seats" already/);
    assert.equal(profileOf(), profile);
    await session.open('car-1.dump-profile.json');
    session.type('car-1.dump-profile.json', '// mine\n');
    session.editor.person.modal = (_text, _detail, [replace]) => replace;
    await add();
    assert.equal(profileOf(), `// mine\n${profile}`);
    session.editor.person.modal = (_text, _detail, [replace]) => {
      session.type('car-1.dump-profile.json', '// typed meanwhile\n');
      return replace;
    };
    await add();
    assert.match(shown('warning'), /The profile has changed meanwhile/);
    assert.equal(profileOf(), `// typed meanwhile\n// mine\n${profile}`);
  });

  it('open the read-only view of an image, and read a file as what it is', async () => {
    await session.open('small.hex');
    await session.run('openImageView', { path: '/cars/small.hex' });
    assert.deepEqual(session.editor.executed.at(-1)?.[0], 'vscode.openWith');
    await session.run('_readAs', 'file:///cars/small.hex', 's-record');
    assert.equal(session.languageOf('small.hex'), 's-record');
  });

  it('lead to the first problem of a profile, and say where it cannot be opened', async () => {
    const profile = 'rear-body.dump-profile.json';
    const offset = (FILES[profile] ?? '').indexOf('"lines"');
    await session.run('_openProfile', `file:///cars/${DUMP}`, `file:///cars/${profile}`, offset);
    assert.deepEqual(session.cursor(), { line: 4, character: 2 });
    await session.run('_openProfile', `file:///cars/${DUMP}`, 'file:///cars/gone.dump-profile.json', 0);
    await session.run('_openProfile', `file:///cars/${DUMP}`, null, null);
    assert.equal(session.editor.in('warning').length, 2);
  });

  it('open a copy of the demo', async () => {
    const shipped = filesBelow('examples').filter((file) => !file.startsWith('examples/library/'));
    for (const file of shipped)
      session.editor.files.set(`file:///extension/${file}`, new Uint8Array(readFileSync(file)));
    session.editor.person.pick = ({ items }) => [items[0]?.label ?? ''];
    await session.run('openDemo');
    const copied = [...session.editor.files.keys()].filter((uri) => uri.startsWith('file:///kept/demo/'));
    assert.equal(copied.length, shipped.length);
    assert.ok(copied.includes('file:///kept/demo/trailer-socket/rear-body.cfgdump'));
  });

  it('say what to open first where there is no dump', async () => {
    for (const id of ['makeBackup', 'convert', 'jobCard', 'setOption', 'takeLine', 'nextChange', 'learn', 'rebalance'])
      await session.run(id);
    assert.equal(session.editor.in('notice').length, 8);
    assert.ok(session.editor.in('notice').every((text) => text.startsWith('Open ')));
  });
});

/** One of twelve dumps, of which those with an even number have line 3, byte 2, bit 5 set. */
function car12(car: number): Uint8Array {
  const fitted = car % 2 === 0;
  const lines = Array.from({ length: 8 }, (_, line) => {
    const bytes = Array.from({ length: 6 }, (_, at) => [0, 0x10, 0xff, 0x08, line * 9, 0x20][(line + at * 5) % 6] ?? 0);
    if (line === 2) bytes[1] = fitted ? 0x20 : 0;
    if (line === 4) bytes[3] = ((car >> 1) * 37 + 11) % 256;
    if (line === 5) bytes[0] = (car >> 1) % 3;
    const sum = bytes.reduce((all, byte) => all + byte, line + 1) % 256;
    const hex = (byte: number) => byte.toString(16).toUpperCase().padStart(2, '0');
    return `${line + 1}: ${bytes.map(hex).join(' ')} | ${hex(sum)}\n`;
  });
  return new TextEncoder().encode(`${fitted ? '@fitted' : '@absent'} heated-seats\n\n${lines.join('')}`);
}
