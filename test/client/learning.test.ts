// Learning, finding and naming options, as a person does it in the editor.
import assert from 'node:assert/strict';
import { afterEach, describe, it } from 'mocha';
import { intelHex } from '../scoring/scoreImage.js';
import { type ClientSession, clientSession, settle, until } from '../support/clientSession.js';
import { Range, window } from '../support/fakeEditor.js';

const LINES = ['01 02 03 | 07', '10 21 00 | 33', '20 00 41 | 64', '33 34 00 | 6B', '05 00 07 | 11', '68 09 00 | 77'];
const TEXT = LINES.map((line, i) => `${i + 1}: ${line}\n`).join('');
const PROFILE = `{
  // measured in March
  "format": 1,
  "lines": { "from": 1, "to": 6, "data": 3, "sum": 1 },
  "lineSum": { "method": "add", "over": ["label", "data"] },
  "options": [
    { "id": "fog", "line": 2, "byte": 2, "bits": "0", "values": { "0": "no", "1": "yes" } }
  ],
  "locked": [{ "line": 1, "bytes": "1-3", "why": "identity" }]
}
`;
const NAMED = `@profile p.dump-profile.json\n${TEXT}`;

describe('learning in the editor', () => {
  let session: ClientSession;
  const shown = (where: string) => session.editor.in(where).join('\n');
  const start = async (files: Readonly<Record<string, string>>) => {
    session = await clientSession(files);
  };
  afterEach(() => session.stop());

  describe('the profile of one dump', () => {
    const learnFirst = async (name = 'car-1.cfgdump') => {
      await session.open(name);
      session.editor.person.pick = () => [];
      await session.run('learn');
      session.editor.panels.at(-1)?.send({ add: 0 });
      await until(() => shown('status bar').includes('Draft '));
      await settle();
    };
    const others = {
      'car-2.cfgdump': TEXT.replace('05 00 07 | 11', '05 01 07 | 12'),
      'car-3.cfgdump': TEXT,
      'strange.cfgdump': '1: 01 02 03 | 99\n',
      'named.cfgdump': `@profile other.dump-profile.json\n${TEXT}`,
      'sealed.cfgdump': `@seal sha256:00\n${TEXT}`,
    };

    it('takes the place of the page that offered it, which stays where the person goes away', async () => {
      await start({ 'car-1.cfgdump': TEXT });
      session.editor.person.write = () => undefined;
      await session.open('car-1.cfgdump');
      await session.run('learn');
      session.editor.panels.at(-1)?.send({ add: 0 });
      await settle();
      assert.equal(shown('page closed'), '');
      session.editor.person.write = (_title, value) => value;
      session.editor.panels.at(-1)?.send({ add: 0 });
      await until(() => shown('page closed') !== '');
      assert.match(shown('page closed'), /^Checksum rule of car-1\.cfgdump$/);
      assert.ok(session.editor.files.has('file:///cars/car-1.dump-profile.json'));
    });

    it('tells in one notice what was left out and which profile there is was named', async () => {
      const profile = PROFILE.replace(/ {2}"locked".*\n/, '');
      await start({ 'car-1.cfgdump': TEXT, 'p.dump-profile.json': profile });
      session.editor.files.set('file:///cars/other.cfgdump', new Uint8Array([0xff, 0xfe, 0x00]));
      await session.open('car-1.cfgdump');
      session.editor.person.pick = ({ items }) => items.slice(0, 1).map(({ label }) => label);
      await session.run('learn');
      assert.match(session.text('car-1.cfgdump'), /^@profile p\.dump-profile\.json$/m);
      const told = [...session.editor.in('notice'), ...session.editor.in('warning')];
      assert.equal(told.length, 1, told.join('\n'));
      assert.match(told[0] ?? '', /^The dump names p\.dump-profile\.json\. .*Left out: .*other\.cfgdump/);
    });

    it('asks what the module is called, which is the title of the profile', async () => {
      await start({ 'car-1.cfgdump': TEXT });
      let asked = '';
      session.editor.person.write = (title, value) => {
        asked = `${title} ${value}`;
        return 'Seat "left" ';
      };
      await learnFirst();
      assert.equal(asked, 'What is the module called? Car');
      assert.equal(JSON.parse(session.text('car-1.dump-profile.json')).title, 'Seat "left"');
      assert.equal(window.visibleTextEditors.length, 1, 'the profile does not open by itself');
      assert.match(window.activeTextEditor?.document.uri.toString() ?? '', /car-1\.cfgdump$/);
    });

    it('offers no name for it where the file has the one that is offered for any', async () => {
      await start({ 'dump.cfgdump': TEXT });
      let asked = '';
      session.editor.person.write = (title, value) => {
        asked = `${title} ${value}`;
        return 'Seat';
      };
      await learnFirst('dump.cfgdump');
      assert.equal(asked, 'What is the module called? ');
    });

    it('is named in the file beside a hex view where one of the raw bytes explains it, and learned there too', async () => {
      const rows = [0x11, 0x2d, 0x47].map((seed) => {
        const data = Array.from({ length: 15 }, (_, i) => (seed * (7 * i + 3)) & 0xff);
        return [...data, data.reduce((sum, byte) => sum + byte, 0) & 0xff];
      });
      const hex = (value: number, width = 2) => value.toString(16).padStart(width, '0');
      const shownAs = (byte: number) => (byte >= 0x20 && byte < 0x7f ? String.fromCharCode(byte) : '.');
      const view = rows
        .map((row, i) => `${hex(16 * i, 8)}: ${row.map((byte) => hex(byte)).join(' ')}  ${row.map(shownAs).join('')}\n`)
        .join('');
      const profile = {
        format: 1,
        lines: { from: 0, to: 32, step: 16, data: 15, sum: 1 },
        lineSum: { method: 'add', over: ['data'] },
      };
      await start({ 'roof.xxd': view, 'roof.dump-profile.json': JSON.stringify(profile) });
      await session.open('roof.xxd');
      session.editor.person.pick = () => ['Name roof.dump-profile.json in the dump'];
      await session.run('learn');
      assert.equal(session.text('roof.xxd.dump-headers'), '@profile roof.dump-profile.json\n');
      assert.match(shown('status bar') + shown('notice'), /roof\.xxd\.dump-headers names roof\.dump-profile\.json\./);
      assert.equal(session.text('roof.xxd'), view);
    });

    it('shows of images what their bytes show, and how likely each is an accident', async () => {
      const image = (car: number) => {
        const bytes = Uint8Array.from({ length: 128 }, (_, i) => (i * 73 + (i >> 3) + 1) & 0xff);
        bytes.set([(car * 77) & 0xff, (car * 131) & 0xff, (car * 29) & 0xff], 0x30);
        const sum = bytes.subarray(0, 0x7e).reduce((all, byte) => all + byte, 0);
        bytes.set([sum >> 8, sum & 0xff], 0x7e);
        return intelHex(bytes);
      };
      const cars = [1, 2, 3, 4, 5].map((car) => [`car-${car}.hex`, image(car)] as const);
      await start(Object.fromEntries(cars));
      await session.open('car-1.hex');
      session.editor.person.pick = ({ items }) => items.map((_, at) => at);
      await session.run('learn');
      const page = session.editor.panels.at(-1)?.html ?? '';
      // What was found is said once, and in which dumps it holds; an image has no lines.
      assert.equal(page.split('16-bit sum, over 0000 to 007D; at address 007E').length, 2);
      assert.match(page, /The rule holds in all 5 dumps: car-1\.hex, car-2\.hex, car-3\.hex, car-4\.hex, car-5\.hex\./);
      assert.match(page, /<th scope="row" class="plain">Written as Intel HEX<\/th>/);
      assert.doesNotMatch(page, /as the form says|Probably damaged|Explained/);
    }).timeout(120_000);

    it('writes nothing where no name is given', async () => {
      await start({ 'car-1.cfgdump': TEXT });
      await session.open('car-1.cfgdump');
      session.editor.person.pick = () => [];
      await session.run('learn');
      for (const answer of [' ', undefined]) {
        session.editor.person.write = () => answer;
        session.editor.panels.at(-1)?.send({ add: 0 });
        await settle();
      }
      assert.equal(session.text('car-1.cfgdump'), TEXT);
      assert.equal(session.editor.files.has('file:///cars/car-1.dump-profile.json'), false);
    });

    it('shows one sum worked out, and in words how sure it is', async () => {
      await start({ 'car-1.cfgdump': TEXT });
      session.editor.person.write = (_, value) => value;
      await learnFirst();
      const page = session.editor.panels[0]?.html ?? '';
      assert.match(page, /<code>01 \+ 01 \+ 02 \+ 03 = 07<\/code>/);
      assert.match(
        page,
        /(?:practically certain|could be chance: 1 in \d+)<br><span class="muted">chance of a wrong rule: (?:less than )?1 in /,
      );
    });

    it('says of one rule no rank, how many different lines it explains, and what comes first; a page made anew takes the place of the old', async () => {
      await start({ 'car-1.cfgdump': TEXT });
      session.editor.person.write = (_, value) => value;
      await learnFirst();
      await session.run('learn');
      const tabs = window.tabGroups.all.flatMap((group) => group.tabs.flatMap(({ label }) => label ?? []));
      assert.deepEqual(tabs, ['Checksum rule of car-1.cfgdump']);
      assert.equal(session.editor.panels.length, 2);
      const page = session.editor.panels.at(-1)?.html ?? '';
      const rules = page.match(/data-add="\d+"/g) ?? [];
      assert.equal(page.includes('>Rank<'), rules.length > 1);
      assert.match(page, /<td data-label="Explained">6 of 6 different lines<\/td>/);
      assert.match(page, /<button data-add="0" aria-label="Make the Profile: rule 1">Make the Profile</);
      assert.doesNotMatch(page, /First bring in/);
    });

    it('says of a rule that leaves many lines neither that another fits as well nor that no line is damaged', async () => {
      const lines = Array.from({ length: 22 }, (_, i) => {
        const data = [17 * i, 91 * i + 5, i * i + 7].map((byte) => byte & 0xff);
        const sum = data.reduce((all, byte) => all + byte, i < 13 ? 0x3c : 0x71 + i * i) & 0xff;
        return `${i + 1}: ${[...data, sum].map((byte) => byte.toString(16).padStart(2, '0')).join(' ')}\n`;
      });
      await start({ 'car-1.cfgdump': lines.join('') });
      await session.open('car-1.cfgdump');
      await session.run('learn');
      const page = session.editor.panels.at(-1)?.html ?? '';
      assert.match(page, /<td data-label="Explained">13 of 22 different lines<\/td>/);
      assert.match(page, /<td data-label="Probably damaged">–<\/td>/);
      assert.match(page, /<td data-label="How sure">undecided<\/td>/);
      assert.doesNotMatch(page, /cannot tell it from the first/);
    });

    it('says that more dumps come first where the rule is not sure', async () => {
      await start({ 'car-1.cfgdump': TEXT.split('\n').slice(0, 4).join('\n') });
      await session.open('car-1.cfgdump');
      await session.run('learn');
      const page = session.editor.panels.at(-1)?.html ?? '';
      assert.match(page, /First bring in more dumps of the same module, then work out the rule again/);
      assert.match(page, /<button class="secondary" data-add="0"/);
    });

    it('goes into all similar dumps in one step, after one question', async () => {
      await start({ 'car-1.cfgdump': TEXT, ...others });
      session.editor.readOnly.add('file:///cars/car-3.cfgdump');
      session.editor.files.set('file:///cars/car-4.cfgdump', new TextEncoder().encode(TEXT));
      session.editor.person.write = (_, value) => value;
      const pressed: string[] = [];
      session.editor.person.notice = (_, [first]) => {
        if (first !== undefined) pressed.push(first);
        return first;
      };
      let detail = '';
      session.editor.person.modal = (_text, said, [write]) => {
        detail = said;
        return write;
      };
      await learnFirst();
      assert.doesNotMatch(
        shown('notice'),
        /draft|Use Profile/,
        'what a notice offers stays there once it is done elsewhere',
      );
      await session.run('useForSimilar');
      await until(() => pressed.length === 1);
      await settle();
      assert.deepEqual(pressed, ['Save Them']);
      assert.match(shown('modal'), /^Add the line "@profile car-1\.dump-profile\.json" to 2 dumps\?$/m);
      assert.match(detail, /^Only this line is added.* No byte of them changes/m);
      assert.match(shown('notice'), /Save them, and car-1\.cfgdump with them, to keep that\.$/m);
      assert.match(detail, /^car-2\.cfgdump, car-4\.cfgdump$/m);
      for (const why of [
        'named.cfgdump stays as it is: it names other',
        'sealed.cfgdump stays',
        'car-3.cfgdump stays as it is: it is read-only',
      ])
        assert.ok(detail.includes(why), `${why} in ${detail}`);
      const saved = (name: string) => new TextDecoder().decode(session.editor.files.get(`file:///cars/${name}`));
      assert.equal(saved('car-2.cfgdump'), `@profile car-1.dump-profile.json\n${others['car-2.cfgdump']}`);
      assert.equal(saved('car-4.cfgdump'), `@profile car-1.dump-profile.json\n${TEXT}`);
      assert.equal(saved('car-1.cfgdump'), `@profile car-1.dump-profile.json\n${TEXT}`, 'the dump at hand too');
      for (const name of ['car-3.cfgdump', 'strange.cfgdump', 'named.cfgdump', 'sealed.cfgdump'] as const)
        assert.equal(session.text(name), others[name]);
    });

    it('goes into similar dumps that came later too, by a command of its own', async () => {
      await start({ 'p.dump-profile.json': PROFILE, 'car-1.cfgdump': NAMED, 'car-2.cfgdump': TEXT });
      await session.open('car-1.cfgdump');
      session.editor.person.modal = (_text, _said, [write]) => write;
      session.editor.person.notice = (_, [save]) => save;
      await session.run('useForSimilar');
      await settle();
      assert.match(session.text('car-2.cfgdump'), /^@profile p\.dump-profile\.json\n/);
    });

    it('goes into none of them where the person does not want it, or one has changed meanwhile', async () => {
      await start({ 'car-1.cfgdump': TEXT, 'car-2.cfgdump': TEXT });
      session.editor.person.write = (_, value) => value;
      session.editor.person.notice = (_, [first]) => first;
      await learnFirst();
      session.editor.person.modal = () => undefined;
      await session.run('useForSimilar');
      assert.equal(session.text('car-2.cfgdump'), TEXT);
      session.editor.person.modal = (_text, _detail, [write]) => {
        session.editor.files.set(
          'file:///cars/car-2.cfgdump',
          new TextEncoder().encode(`# mine\n@profile x.dump-profile.json\n${TEXT}`),
        );
        return write;
      };
      session.editor.files.set('file:///cars/car-3.cfgdump', new TextEncoder().encode(TEXT));
      await session.open('car-3.cfgdump');
      session.editor.person.pick = ({ items }) => [items[0]?.label ?? ''];
      await session.run('learn');
      await session.run('useForSimilar');
      await until(() => shown('warning') !== '');
      assert.match(shown('warning'), /One of the dumps has changed meanwhile/);
      assert.doesNotMatch(session.text('car-2.cfgdump'), /car-1\.dump-profile/);
    });
  });

  describe('two groups of dumps', () => {
    it('are wanted: one dump alone says what to do, why others are not offered, and offers the profile for them', async () => {
      await start({
        ...{ 'a.cfgdump': NAMED, 'b.cfgdump': TEXT, 'p.dump-profile.json': PROFILE },
        // Of another module: nobody meant it.
        ...{ 'a-door.cfgdump': `@profile door.dump-profile.json\n${TEXT}`, 'door.dump-profile.json': PROFILE },
      });
      session.editor.person.notice = (_, buttons) => buttons[0];
      session.editor.person.modal = (_text, _detail, [write]) => write;
      await session.open('a.cfgdump');
      await session.run('findOption');
      await until(() => session.text('b.cfgdump').startsWith('@profile'));
      assert.match(
        shown('warning'),
        /^Only a\.cfgdump can be compared here, as other dumps name no profile: 1\. Two groups of the same module are wanted/,
      );
    });

    it('are chosen from all dumps; one that cannot be compared, and a list without a tick, are told and asked again', async () => {
      await start({
        'a.cfgdump': NAMED,
        'b.cfgdump': NAMED.replace('05 00 07 | 11', '05 01 07 | 12'),
        'c.cfgdump': TEXT,
        'p.dump-profile.json': PROFILE,
      });
      const answers = [['c.cfgdump'], [], ['a.cfgdump', 'b.cfgdump'], ['b.cfgdump'], [], ['a.cfgdump']];
      session.editor.person.pick = () => answers.shift();
      session.editor.person.notice = (_, [again]) => again;
      session.editor.person.write = () => 'mirrors';
      await session.open('a.cfgdump');
      await session.run('findOption');
      await until(() => session.editor.panels.length > 0);
      assert.match(shown('list'), /^Not offered: a tick here does not count\nc\.cfgdump\nIt names no profile\./m);
      assert.deepEqual(session.editor.in('warning'), [
        'c.cfgdump cannot be compared. It names no profile. Name p.dump-profile.json in it, if that is its module.',
        'No dump was ticked. Tick the dumps of the cars that have the equipment.',
        'All dumps were ticked. Leave out those of the cars that do not have the equipment.',
        'No dump was ticked. Tick the dumps of the cars that do not have the equipment.',
      ]);
      assert.match(session.editor.panels[0]?.html ?? '', /line 5, byte 2: 00 to 01, the option/);
    });
  });

  describe('a place that only changes together with another', () => {
    it('goes into the profile alone only where the person says so', async () => {
      await start({
        'a.cfgdump': NAMED,
        'b.cfgdump': NAMED.replace('05 00 07 | 11', '05 34 07 | 45').replace('68 09 00 | 77', '68 09 01 | 78'),
        'p.dump-profile.json': PROFILE,
      });
      const answers = [['b.cfgdump'], ['a.cfgdump'], ['none']];
      session.editor.person.pick = ({ items }) => answers.shift() ?? [items[0]?.label ?? ''];
      session.editor.person.write = (title, value) => (title === 'What is the equipment called?' ? 'mirrors' : value);
      const asked: string[] = [];
      const offered: (readonly string[])[] = [];
      session.editor.person.modal = (text, detail) => {
        asked.push(`${text}\n${detail}`);
        return undefined;
      };
      await session.open('a.cfgdump');
      await session.run('findOption');
      await until(() => session.editor.panels.length > 0);
      assert.match(
        session.editor.panels[0]?.html ?? '',
        /<details open><summary>Places that only vary<\/summary>[\s\S]*line 5, byte 2, bits 5-2<\/th>[\s\S]*class="place alike">or line 6, byte 3, bit 0<\/th>\n<td id="in-0-0"><button class="secondary" data-of="0" data-also="0"[\s\S]*Places after &#34;or&#34; changed together/,
      );
      session.editor.panels[0]?.send({ add: 0 });
      await until(() => asked.length > 0);
      await settle();
      assert.match(
        asked[0] ?? '',
        /^Add this place to the profile by itself: line 5, byte 2, bits 5-2\?\nIn these dumps line 5, byte 2, bits 5-2 never changes without line 6, byte 3, bit 0\. .* may be half of the equipment/,
      );
      assert.equal(session.text('p.dump-profile.json'), PROFILE);
      session.editor.person.modal = (_text, detail, buttons) => {
        asked.push(detail);
        offered.push(buttons);
        return 'Add It Alone';
      };
      session.editor.panels[0]?.send({ add: 0, also: 0 });
      await until(() => session.text('p.dump-profile.json') !== PROFILE);
      // Cancel, which an editor adds, is the one button that does nothing: what is asked next can be left as well.
      assert.deepEqual(offered, [['Add It Alone']]);
      assert.match(asked[1] ?? '', /line 6, byte 3, bit 0 never changes without line 5, byte 2, bits 5-2\./);
      const { options } = JSON.parse(session.text('p.dump-profile.json').replace(/\/\/.*/, ''));
      const { line, byte, bits, values } = options[1];
      assert.deepEqual([line, byte, bits, Object.keys(values)], [6, 3, '0', ['0', '1']]);
    });
  });

  it('dumps to compare may lie in another file, which is brought in first', async () => {
    await start({ 'a.cfgdump': NAMED, 'b.cfgdump': NAMED, 'p.dump-profile.json': PROFILE });
    session.editor.person.pick = ({ title }) =>
      title === 'Which cars have the equipment?' ? ['Another file…'] : undefined;
    await session.open('a.cfgdump');
    await session.run('findOption');
    assert.match(shown('list title'), /^How do you bring in the dump\?$/m);
    assert.deepEqual(session.editor.in('warning'), []);
  });

  it('dumps that name no profile name that of the others, and are in the list then', async () => {
    const unnamed = NAMED.replace(/^@profile.*\n/m, '');
    assert.notEqual(unnamed, NAMED);
    await start({ 'a.cfgdump': NAMED, 'b.cfgdump': NAMED, 'c.cfgdump': unnamed, 'p.dump-profile.json': PROFILE });
    const lists: string[][] = [];
    session.editor.person.pick = ({ title, items }) => {
      if (title !== 'Which cars have the equipment?') return undefined;
      lists.push(items.map(({ label }) => label));
      return lists.length === 1 ? ['c.cfgdump'] : undefined;
    };
    session.editor.person.notice = (_, buttons) => buttons.find((button) => button === 'Use Profile in Similar Dumps');
    session.editor.person.modal = (_, __, buttons) => buttons.find((button) => button === 'Add the Line');
    await session.open('a.cfgdump');
    await session.run('findOption');
    await until(() => lists.length === 2);
    assert.deepEqual(lists[1], ['a.cfgdump', 'b.cfgdump', 'c.cfgdump', 'Another file…']);
    // Not in the second list.
    assert.equal(shown('list').split('Not offered').length, 2);
    assert.match(session.text('c.cfgdump'), /^@profile p\.dump-profile\.json$/m);
  });

  describe('a heading of the module', () => {
    const LINED = ['L1  01 02 03  07', 'L2  10 21 00  33'].join('\n');
    const HEADED = `@profile h.dump-profile.json\nDoor module stock 77 read 2026-11-20\n${LINED}\n`;
    const OWN_FORM = `{
  // measured in March
  "format": 1,
  "notation": { "pattern": "L{label} {data}" },
  "lines": { "from": 1, "to": 2, "data": 3, "sum": 1 },
  "lineSum": { "method": "add", "bits": 8, "over": ["label", "data"] }
}
`;
    const HEADING = 'Door module stock {skip} read {skip}';

    it('goes into the profile, which stays closed and is a button away', async () => {
      await start({ 'h.cfgdump': HEADED, 'h.dump-profile.json': OWN_FORM });
      await session.open('h.cfgdump');
      await session.run('_alwaysHeading', 'file:///cars/h.cfgdump', HEADING, 'file:///cars/h.dump-profile.json');
      await until(() => shown('notice') !== '');
      assert.equal(shown('notice'), `"${HEADING}" is a heading in all dumps of this module now.`);
      const { headings } = JSON.parse(session.text('h.dump-profile.json').replace(/ *\/\/.*\n/, '')).notation;
      assert.deepEqual(headings, [HEADING]);
      assert.match(session.text('h.dump-profile.json'), /\/\/ measured in March/);
      assert.match(window.activeTextEditor?.document.uri.toString() ?? '', /h\.cfgdump$/);
    });

    it('goes into it together with others, as one undo', async () => {
      await start({ 'h.cfgdump': HEADED, 'h.dump-profile.json': OWN_FORM });
      await session.open('h.cfgdump');
      const all = [HEADING, '* Block {skip}'];
      await session.run('_alwaysHeading', 'file:///cars/h.cfgdump', all, 'file:///cars/h.dump-profile.json');
      await until(() => shown('notice') !== '');
      assert.equal(shown('notice'), '2 headings are in the profile now, for all dumps of this module.');
      const { headings } = JSON.parse(session.text('h.dump-profile.json').replace(/ *\/\/.*\n/, '')).notation;
      assert.deepEqual(headings, all);
    });

    it('is refused where the profile has a problem already', async () => {
      await start({
        'h.cfgdump': HEADED,
        'h.dump-profile.json': OWN_FORM.replace('"format": 1', '"format": 1, "x": 1'),
      });
      await session.open('h.cfgdump');
      await session.run('_alwaysHeading', 'file:///cars/h.cfgdump', HEADING, 'file:///cars/h.dump-profile.json');
      await until(() => shown('warning') !== '');
      assert.match(shown('warning'), /^The profile has another problem, which comes first: /);
      assert.equal(session.text('h.dump-profile.json').includes('headings'), false);
    });
  });

  describe('a new option from selected digits', () => {
    const select = async (line: number, from: number, to: number) => {
      await session.open('a.cfgdump');
      const [editor] = window.visibleTextEditors.slice(-1);
      Object.assign(editor?.selection ?? {}, new Range(line, from, line, to));
    };
    const answer = (answers: Readonly<Record<string, string>>) => {
      session.editor.person.write = (title, value) => answers[title] ?? value;
    };

    it('asks name, words and caution, and goes into the profile with its comments kept', async () => {
      await start({ 'a.cfgdump': NAMED, 'p.dump-profile.json': PROFILE });
      const more = ['2 = 13-pin', ''];
      session.editor.person.write = (title) =>
        title === 'What is the option called?'
          ? 'Trailer socket'
          : title === 'What does 4 mean?'
            ? '7-pin'
            : more.shift();
      session.editor.person.pick = ({ title, items }) =>
        title === 'Which bits are the option?' ? [items[0]?.label ?? ''] : ['The lighting'];
      await select(3, 9, 10);
      await session.run('newOption');
      await until(() => session.text('p.dump-profile.json').includes('trailer'));
      assert.equal(
        session.text('p.dump-profile.json'),
        PROFILE.replace(
          '{ "0": "no", "1": "yes" } }\n',
          `{ "0": "no", "1": "yes" } },
    {
      "id": "trailer-socket",
      "title": "Trailer socket",
      "line": 3,
      "byte": 3,
      "bits": "7-4",
      "values": {
        "2": "13-pin",
        "4": "7-pin"
      },
      "hazard": "lighting",
      "confidence": "guess",
      "evidence": "Named by hand in a.cfgdump, which held 4 there when it was named."
    }
`,
        ),
      );
    });

    it('asks what a wrong setting touches until something is ticked: one thing, several, or that it is nothing', async () => {
      await start({ 'a.cfgdump': NAMED, 'p.dump-profile.json': PROFILE });
      answer({
        'What is the option called?': 'Fuel heater',
        'What does 4 mean?': 'fitted',
        'Another value and its words?': '',
      });
      const answers = [
        [],
        ['Nothing that can hurt people', 'Emissions'],
        ['Emissions', 'The safety of people in another way'],
      ];
      const offered: (readonly string[])[] = [];
      session.editor.person.pick = ({ title, many, items }) => {
        if (title === 'Which bits are the option?') return [items[0]?.label ?? ''];
        assert.ok(many);
        offered.push(items.map(({ label }) => label));
        return answers.shift();
      };
      await select(3, 9, 10);
      await session.run('newOption');
      await until(() => session.text('p.dump-profile.json').includes('fuel'));
      const hints = session.editor.in('list hint').slice(-2);
      assert.deepEqual(hints, [
        'Tick what it touches, or that it touches nothing.',
        'Either nothing that can hurt people, or something: not both.',
      ]);
      assert.equal(offered.length, 3);
      assert.equal(offered[0]?.at(-1), 'Nothing that can hurt people');
      assert.ok(
        offered[0]?.every((label) => /^\p{Lu}/u.test(label)),
        offered[0]?.join(),
      );
      const { options } = JSON.parse(session.text('p.dump-profile.json').replace(/\/\/.*/, ''));
      assert.deepEqual(options[1].hazard, ['emissions', 'other']);
    });

    it('stays where what is typed is in no list, and says so', async () => {
      await start({ 'a.cfgdump': NAMED, 'p.dump-profile.json': PROFILE });
      const lists: string[] = [];
      session.editor.person.pick = ({ title }) => {
        lists.push(title);
        return lists.length === 1 ? ['Trailer socket'] : undefined;
      };
      await select(3, 9, 10);
      await session.run('newOption');
      assert.equal(lists[0], 'Which bits are the option?');
      assert.match(lists[1] ?? '', /^Which bits are the option\? Nothing here fits what was typed/);
      const shownThen = session.editor.in('list');
      assert.deepEqual(shownThen.slice(0, 3), ['bits 7-4', 'now 4', 'All that is selected']);
      assert.equal(session.editor.in('list hint')[0], 'Press Enter for all that is selected; its name is asked next');
      assert.match(session.editor.in('list hint').at(-1) ?? '', /^Nothing here fits what was typed/);
    });

    it('of a single bit asks for both values', async () => {
      await start({ 'a.cfgdump': NAMED, 'p.dump-profile.json': PROFILE });
      answer({ 'What is the option called?': 'Chime', 'What does 1 mean?': 'on', 'What does 0 mean?': '' });
      session.editor.person.pick = ({ title, items }) => [
        title === 'Which bits are the option?' ? 'bit 6' : (items.at(-1)?.label ?? ''),
      ];
      await select(3, 9, 10);
      await session.run('newOption');
      await until(() => session.text('p.dump-profile.json').includes('chime'));
      const { options } = JSON.parse(session.text('p.dump-profile.json').replace(/\/\/.*/, ''));
      assert.deepEqual([options[1].bits, options[1].values, options[1].hazard], ['6', { 1: 'on' }, undefined]);
    });

    it('takes no list of values for the words of one, and says what is asked for', async () => {
      await start({ 'a.cfgdump': NAMED, 'p.dump-profile.json': PROFILE });
      session.editor.person.pick = () => ['bit 6'];
      const before = session.text('p.dump-profile.json');
      for (const words of ['1=none, 2=fitted', 'none, 0x2 = fitted']) {
        answer({ 'What is the option called?': 'Chime', 'What does 1 mean?': words });
        await select(3, 9, 10);
        await session.run('newOption');
        assert.equal(
          session.editor.in('verdict').at(-1),
          'Write only what 1 means, without "=". The other values are asked for next.',
        );
      }
      assert.equal(session.text('p.dump-profile.json'), before);
    });

    it('is refused with one sentence in a sum, where it is locked, and over an option', async () => {
      await start({ 'a.cfgdump': NAMED, 'p.dump-profile.json': PROFILE });
      for (const [line, from, to] of [
        [2, 14, 16],
        [1, 3, 5],
        [2, 0, 1],
      ] as const) {
        await select(line, from, to);
        await session.run('newOption');
      }
      session.editor.person.pick = ({ items }) => {
        assert.ok(items.every(({ label }) => label !== 'bit 0' && label !== 'bits 3-0'));
        return undefined;
      };
      await select(2, 7, 8);
      await session.run('newOption');
      assert.deepEqual(session.editor.in('warning'), [
        'These digits are the sum of line 2, which follows from its data. Select data digits.',
        'These digits are locked (identity), so they can be no option.',
        'Select digits of one data line first: one digit, or whole bytes.',
      ]);
      assert.equal(session.text('p.dump-profile.json'), PROFILE);
    });

    const WRONG = PROFILE.replace(
      '"id": "fog", "line": 2, "byte": 2',
      '"id": "fog", "title": "Fog", "line": 3, "byte": 3',
    );
    const chosenBy = (label: string) => {
      const titles: string[] = [];
      session.editor.person.pick = ({ title, items }) => {
        titles.push(title ?? '');
        return items.flatMap((item) => (item.label === label ? item.label : []));
      };
      session.editor.person.modal = (_question, _detail, [accept]) => accept;
      return titles;
    };

    it('says which option has bits of the digit, and widens that one once the person has seen its values', async () => {
      await start({
        'a.cfgdump': NAMED,
        'b.cfgdump': NAMED.replace('20 00 41 | 64', '20 00 43 | 66'),
        'p.dump-profile.json': WRONG,
      });
      const LOST = 'No dump at hand holds no: what that is in these bits nobody knows, and it is left out.';
      const titles = chosenBy('Widen "Fog" to These Digits');
      let asked = '';
      session.editor.person.modal = (_question, detail, [accept]) => {
        asked = detail;
        return accept;
      };
      await select(3, 10, 11);
      await session.run('newOption');
      await until(() => session.text('p.dump-profile.json').includes('"3-0"'));
      assert.equal(titles[0], 'An option has some of these digits already. What is to be done?');
      assert.deepEqual(session.editor.in('list').slice(0, 7), [
        'Bit 0 is the option "Fog" already.',
        'Widen "Fog" to These Digits',
        `It gets bits 3-0, and by the dumps at hand the values 1 = yes, 3 = yes (2). ${LOST}`,
        'Remove "Fog"',
        'It is taken out of the profile, and its digits are free again. Dumps stay as they are.',
        'A new option of the bits that are free',
        'bit 3',
      ]);
      const [option] = JSON.parse(session.text('p.dump-profile.json').replace(/\/\/.*/, '')).options;
      assert.deepEqual([option.bits, option.values], ['3-0', { 1: 'yes', 3: 'yes (2)' }]);
      assert.match(asked, /No dump at hand holds no: what that is in these bits nobody knows/);
    });

    it('or takes it out of the profile, as one undo with all comments kept', async () => {
      await start({ 'a.cfgdump': NAMED, 'p.dump-profile.json': WRONG });
      chosenBy('Remove "Fog"');
      await select(3, 10, 11);
      await session.run('newOption');
      await until(() => !session.text('p.dump-profile.json').includes('fog'));
      assert.equal(session.text('p.dump-profile.json').includes('// measured in March'), true);
      assert.deepEqual(JSON.parse(session.text('p.dump-profile.json').replace(/\/\/.*/, '')).options, []);
    });

    it('is taken out from the view of options too, and stays where the person does not say so', async () => {
      await start({ 'a.cfgdump': NAMED, 'p.dump-profile.json': WRONG });
      await session.open('a.cfgdump');
      await session.run('removeOption', { item: { id: 'fog', title: 'Fog' } });
      assert.equal(session.text('p.dump-profile.json'), WRONG);
      session.editor.person.modal = (_question, _detail, [accept]) => accept;
      await session.run('removeOption', { item: { id: 'fog', title: 'Fog' } });
      await until(() => !session.text('p.dump-profile.json').includes('fog'));
    });

    it('stays where the profile has another problem', async () => {
      const flawed = WRONG.replace('"format": 1', '"format": 1, "x": 1');
      await start({ 'a.cfgdump': NAMED, 'p.dump-profile.json': flawed });
      session.editor.person.modal = (_question, _detail, [accept]) => accept;
      await session.run('_removeOption', 'file:///cars/p.dump-profile.json', 'fog', 'Fog');
      await until(() => shown('warning') !== '');
      assert.match(shown('warning'), /^The profile has another problem, which comes first/);
      assert.equal(session.text('p.dump-profile.json'), flawed);
    });

    describe('of a profile that extends another', () => {
      const VARIANT = '{\n  "format": 1,\n  "extends": "base.dump-profile.json"\n}\n';
      const startVariant = () =>
        start({ 'a.cfgdump': NAMED, 'p.dump-profile.json': VARIANT, 'base.dump-profile.json': WRONG });
      const variant = () => JSON.parse(session.text('p.dump-profile.json'));

      it('goes into the variant', async () => {
        await startVariant();
        answer({ 'What is the option called?': 'Chime', 'What does 1 mean?': 'on', 'What does 0 mean?': '' });
        session.editor.person.pick = ({ title, items }) => [
          title === 'Which bits are the option?' ? 'bit 6' : (items[0]?.label ?? ''),
        ];
        await select(3, 9, 10);
        await session.run('newOption');
        await until(() => session.text('p.dump-profile.json').includes('chime'));
        assert.deepEqual([variant().options.length, variant().options[0].bits], [1, '6']);
        assert.equal(session.text('base.dump-profile.json'), WRONG);
      });

      it('is taken out in the variant alone', async () => {
        await startVariant();
        chosenBy('Remove "Fog"');
        await select(3, 10, 11);
        await session.run('newOption');
        await until(() => session.text('p.dump-profile.json').includes('fog'));
        assert.deepEqual(variant().options, [{ id: 'fog', entry: null }]);
        assert.equal(session.text('base.dump-profile.json'), WRONG);
      });

      it('is not made wider where the other describes it: the person is told which file that is', async () => {
        await startVariant();
        chosenBy('nothing');
        await select(3, 10, 11);
        await session.run('newOption');
        await until(() => session.editor.in('list').length > 0);
        assert.deepEqual(session.editor.in('list').slice(0, 2), [
          'Bit 0 is the option "Fog" already. It is described in base.dump-profile.json, which stays as it is.',
          'Remove "Fog"',
        ]);
      });
    });

    it('without a profile says to learn one first', async () => {
      await start({ 'a.cfgdump': TEXT });
      session.editor.person.notice = (_, [learn]) => learn;
      await select(2, 9, 10);
      await session.run('newOption');
      await settle();
      assert.match(shown('warning'), /names no profile into which the option could go/);
      assert.ok(
        session.editor.executed.some(([id, uri]) => id === 'countersum.learn' && uri === 'file:///cars/a.cfgdump'),
      );
    });
  });
});
