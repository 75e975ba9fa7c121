import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { CancellationTokenSource } from 'vscode-languageserver-protocol/node';
import { hex } from '../../shared-core/src/base/index.js';
import { addOption, type DraftOption } from '../../shared-core/src/learn/index.js';
import { editedProfile } from '../../shared-core/src/profile/index.js';
import {
  ADD_OPTION,
  FIND_OPTION,
  type FindOptionParams,
  type FindOptionResult,
  LEARN,
  LEARN_FROM,
  type LearnFromResult,
  type LearnParams,
  type LearnResult,
  NEW_OPTION,
  type NewOptionResult,
  OPTION_GROUPS,
  type OptionGroupsResult,
  PLAN_TRIALS,
  type PlanTrialsResult,
  SIMILAR_DUMPS,
  type SimilarDumpsResult,
} from '../../shared-core/src/protocol/learning.js';
import { intelHex } from '../scoring/scoreImage.js';
import { numbers } from '../shared-core/learn/dumps.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const folder = 'file:///cars/';

/** Six lines of three bytes and their sum over line number and bytes. Line 3, byte 2, bit 5 is the equipment. */
function dump(car: number, fitted: boolean, headers = ''): string {
  const lines = Array.from({ length: 6 }, (_, line) => {
    const bytes = [(line * 40 + (car >> 1) * 3) & 0xff, line === 2 && fitted ? 0x20 : 0, (car >> 1) & 1];
    const sum = bytes.reduce((all, byte) => all + byte, line + 1) & 0xff;
    return `${line + 1}: ${[...bytes, sum].map((byte) => hex(byte)).join(' ')}\n`;
  });
  return headers + lines.join('');
}

const names = Array.from({ length: 12 }, (_, car) => `car-${car}.cfgdump`);
const SEATS: FindOptionParams = { uri: `${folder}car-0.cfgdump`, tag: 'seats', with: [], without: [] };

describe('learning in the editor', () => {
  let session: ServerSession;
  const send = <T>(method: string, params: object) => session.connection.sendRequest(method, params) as Promise<T>;
  beforeEach(async () => {
    session = await serverSession(FULL_CLIENT, { commands: true });
    names.forEach((name, car) => {
      const fitted = car % 2 === 0;
      session.files.set(folder + name, dump(car, fitted, `${fitted ? '@fitted' : '@absent'} seats\n`));
    });
  });
  afterEach(() => session.close());

  const openFirst = async () => {
    await session.open(SEATS.uri, String(session.files.get(SEATS.uri)));
  };

  it('a dump without a profile is offered to be learned', async () => {
    await openFirst();
    const [problem] = await session.diagnostics(SEATS.uri);
    assert.equal(problem?.code, 'no-profile');
    assert.match(String(problem?.message), /Work Out the Checksum Rule/);
    const actions = await session.actions(SEATS.uri, 0, 0);
    assert.deepEqual(
      actions.map(({ command }) => [command?.command, command?.arguments]),
      [['countersum.learn', [SEATS.uri]]],
    );
  });

  it('an empty file, and a client without our commands, are not', async () => {
    await session.open(`${folder}empty.cfgdump`, '\n');
    assert.deepEqual(await session.actions(`${folder}empty.cfgdump`, 0, 0), []);
    const plain = await serverSession();
    await plain.open(SEATS.uri, dump(0, true));
    assert.deepEqual(await plain.actions(SEATS.uri, 0, 0), []);
    plain.close();
  });

  it('names other dumps without a profile, and whether they are of the same shape', async () => {
    session.files.set(`${folder}known.cfgdump`, `@profile a.dump-profile.json\n${dump(1, true)}`);
    session.files.set(`${folder}short.cfgdump`, dump(1, true).split('\n').slice(0, 3).join('\n'));
    const { dumps: found } = await send<LearnFromResult>(LEARN_FROM, { uri: SEATS.uri });
    assert.deepEqual(
      found.map(({ name, alike }) => `${name} ${alike}`).sort(),
      [...names.slice(1).map((name) => `${name} true`), 'short.cfgdump false'].sort(),
    );
  });

  it('names profiles of the workspace by which everything is right, and no others', async () => {
    await openFirst();
    const lines = { from: 1, to: 6, data: 3, sum: 1 };
    const profile = { format: 1, lines, lineSum: { method: 'add', over: ['label', 'data'] } };
    const put = (name: string, value: object) =>
      session.files.set(`${folder}${name}.dump-profile.json`, JSON.stringify(value));
    put('right', profile);
    put('short', { ...profile, lines: { ...lines, to: 5 } });
    put('other', { ...profile, lineSum: { method: 'xor', over: ['data'] } });
    put('without-sums', { format: 1, lines: { ...lines, data: 4, sum: 0 } });
    session.files.set(`${folder}torn.dump-profile.json`, '{');
    const { profiles, naming } = await send<LearnFromResult>(LEARN_FROM, { uri: SEATS.uri });
    assert.deepEqual(profiles, [{ path: 'right.dump-profile.json', title: '' }]);
    assert.deepEqual(naming, { line: 0, column: 0, before: '@profile ', after: '\n', version: 1 });
  });

  it('names no profile of an image of which addresses are missing, and its sum with them', async () => {
    const uri = `${folder}part.hex`;
    await session.open(uri, ':0400000001020304F2\n:00000001FF\n');
    const over = [{ from: 0, to: 29 }];
    const profile = {
      format: 1,
      addresses: { from: 0, to: 31 },
      totals: [{ method: 'add', bits: 16, over, address: 30 }],
    };
    session.files.set(`${folder}image.dump-profile.json`, JSON.stringify(profile));
    const { profiles } = await send<LearnFromResult>(LEARN_FROM, { uri });
    assert.deepEqual(profiles, []);
    session.files.set(`${folder}flawed.dump-profile.json`, JSON.stringify({ ...profile, colour: 'red' }));
    const whole = `:20000000${'00'.repeat(32)}E0\n:00000001FF\n`;
    session.files.set(`${folder}whole.hex`, whole);
    const fitting = await send<LearnFromResult>(LEARN_FROM, { uri: `${folder}whole.hex` });
    assert.deepEqual(fitting.profiles, [{ path: 'image.dump-profile.json', title: '' }]);
  });

  it('gives a profile that explains the dump, and where to name it', async () => {
    await openFirst();
    const params: LearnParams = { uri: SEATS.uri, others: names.slice(1, 4).map((name) => folder + name) };
    const { rules, naming, name, title } = await send<LearnResult>(LEARN, params);
    assert.equal(name, 'car-0.cfgdump');
    assert.deepEqual(naming, { line: 0, column: 0, before: '@profile ', after: '\n', version: 1 });
    const [best] = rules;
    assert.ok(best);
    assert.equal(best.lineSum, '8-bit sum, over line number, data');
    assert.match(best.odds, /^(?:practically certain|could be chance: 1 in \d+)$/);
    assert.match(best.chance, /^(?:\d|less than)/);
    assert.deepEqual(best.worked, {
      of: 'Line 3, line number: 03; data: 50 20 00; its sum as written: 73',
      steps: '03 + 50 + 20 + 00 = 73',
      hint: null,
    });
    assert.equal(title, 'Car');
    const { title: named, note } = JSON.parse(best.profile);
    assert.deepEqual([named, note], ['Car', 'Draft, learned from dumps']);
    // Lines that are alike count once.
    assert.deepEqual([best.lines, best.linesExplained, best.damaged, best.form], [14, 14, [], 'dump text']);
    session.files.set(`${folder}new.dump-profile.json`, best.profile);
    await session.open(`${folder}again.cfgdump`, `@profile new.dump-profile.json\n${dump(3, false)}`);
    assert.deepEqual(await session.diagnostics(`${folder}again.cfgdump`), []);
  });

  it('counts and names the dumps that it learned from, and none that was left out', async () => {
    await openFirst();
    const other = (text: string) => text.replace(/^(\d): /gm, 'row $1 = ');
    session.files.set(`${folder}other.cfgdump`, other(dump(3, false)));
    session.files.set(`${folder}short.cfgdump`, dump(1, true).split('\n').slice(0, 3).join('\n'));
    const others = ['other.cfgdump', 'short.cfgdump', ...names.slice(1, 4)].map((name) => folder + name);
    const { remarks } = await send<LearnResult>(LEARN, { uri: SEATS.uri, others });
    assert.deepEqual(remarks.slice(0, 3), [
      'The rule holds in all 4 dumps: car-0.cfgdump, car-1.cfgdump, car-2.cfgdump, car-3.cfgdump.',
      'Written in another way, and left out: other.cfgdump.',
      '1 dump has other lines than the 4 that were learned from, and was left out: short.cfgdump.',
    ]);
    const alone = await send<LearnResult>(LEARN, { uri: SEATS.uri, others: others.slice(0, 1) });
    assert.equal(alone.remarks[0], 'Written in another way, and left out: other.cfgdump.');
  });

  it('names the form that the file is in, also where its rows are the lines, and works a sum out', async () => {
    const rows = Array.from({ length: 12 }, (_, row) => {
      const data = Array.from({ length: 15 }, (_, i) => (row * row * 31 + i * 57 + row * i * 13) & 0xff);
      return [...data, data.reduce((all, byte) => all ^ byte, 0)];
    });
    const digits = (bytes: readonly number[]) => bytes.map((byte) => byte.toString(16).padStart(2, '0')).join(' ');
    const view = rows.map((bytes, row) => `${(row * 16).toString(16).padStart(8, '0')}  ${digits(bytes)}\n`).join('');
    session.files.set(`${folder}view.txt`, view);
    const { rules } = await send<LearnResult>(LEARN, { uri: `${folder}view.txt`, others: [] });
    assert.equal(rules[0]?.form, 'a hex view');
    assert.match(rules[0]?.worked?.steps ?? '', /^[0-9A-F]{2}(?: xor [0-9A-F]{2}){14} = [0-9A-F]{2}$/);
  });

  it('names no place for a profile where the dump has one', async () => {
    session.files.set(`${folder}known.cfgdump`, `@profile a.dump-profile.json\n${dump(1, true)}`);
    const { naming } = await send<LearnResult>(LEARN, { uri: `${folder}known.cfgdump`, others: [] });
    assert.equal(naming, null);
  });

  it('finds the option by headers, with the sums learned, and gives a draft with it', async () => {
    const { tags, dumps } = await send<OptionGroupsResult>(OPTION_GROUPS, { uri: SEATS.uri });
    assert.deepEqual(tags, [{ tag: 'seats', fitted: 6, absent: 6 }]);
    assert.equal(dumps.length, 12);
    const found = await send<FindOptionResult>(FIND_OPTION, SEATS);
    assert.deepEqual(found.sizes, [6, 6]);
    const [best] = found.candidates;
    assert.ok(best?.found);
    assert.equal(best.place, 'line 3, byte 2, bit 5');
    assert.deepEqual(best.values, [['1'], ['0']]);
    const cell = found.map.rows.find(({ label }) => label === '3')?.cells.find(({ byte }) => byte === 2);
    assert.match(best.odds, /^fits all dumps; could be chance: 1 in \d+$/);
    assert.deepEqual(cell, {
      byte: 2,
      q: best.q,
      odds: best.odds,
      short: best.odds.replace(/.*: /, ''),
      level: 3,
      fits: true,
    });
    assert.deepEqual(
      found.map.rows[0]?.cells.find(({ byte }) => byte === 2),
      { byte: 2, q: null, odds: null, short: null, level: 0, fits: false },
    );
    assert.equal(found.map.columns, 3);
    assert.ok(found.profile !== null && 'draft' in found.profile);
    const option = { ...(best.option as DraftOption), id: 'seats', title: 'Seats' };
    const draft = editedProfile(found.profile.draft, addOption(found.profile.draft, option));
    session.files.set(`${folder}new.dump-profile.json`, draft);
    await session.open(`${folder}again.cfgdump`, `@profile new.dump-profile.json\n${dump(3, true)}`);
    assert.deepEqual(await session.diagnostics(`${folder}again.cfgdump`), []);
    const hover = await session.hover(`${folder}again.cfgdump`, 3, 7);
    assert.match(JSON.stringify(hover), /Seats/);
  });

  it('tells places that fit all dumps from bytes that only vary, where there are too few to be sure', async () => {
    for (const uri of [...session.files.keys()].filter((one) => /car-(?:[346-9]|1\d)\.cfgdump$/.test(one)))
      session.files.delete(uri);
    const { sizes, candidates, map, next, remarks } = await send<FindOptionResult>(FIND_OPTION, SEATS);
    assert.deepEqual(sizes, [2, 2]);
    const [best, ...others] = candidates;
    assert.deepEqual([best?.place, best?.found, best?.fits], ['line 3, byte 2, bit 5', false, true]);
    assert.match(best?.odds ?? '', /^fits all dumps$/);
    assert.ok(others.length > 0 && others.every(({ fits, odds }) => !fits && odds === 'only varies'));
    const cells = map.rows.flatMap(({ label, cells }) =>
      cells.map((cell) => ({ ...cell, at: `${label}.${cell.byte}` })),
    );
    const said = (at: string) => cells.filter((cell) => cell.at === at).map(({ short, fits }) => [short, fits]);
    assert.deepEqual([said('3.2'), said('3.1')], [[['fits all', true]], [['varies', false]]]);
    // No person chooses cars by their bits.
    assert.doesNotMatch([next, ...remarks].join('\n'), /bit \d/);
  });

  it('gives places that change together the values of the chosen dumps, whatever the one in front holds', async () => {
    const uris = (...cars: readonly number[]) => cars.map((car) => `${folder}car-${car}.cfgdump`);
    // It has the equipment, and the last bit of each line as those without it; it is the last of all dumps.
    const uri = `${folder}own.cfgdump`;
    session.files.set(uri, dump(0, true));
    await session.open(uri, dump(0, true));
    const chosen = { uri, tag: 'seats', with: uris(2, 6), without: uris(1, 5) };
    const { candidates } = await send<FindOptionResult>(FIND_OPTION, chosen);
    const places = candidates.flatMap((one) => [one, ...one.sameAs]);
    const seats = places.filter(({ place }) => /^line 3, byte 2, bit 5$|byte 3, bit 0$/.test(place));
    assert.equal(seats.length, 7);
    for (const { values, option } of seats) {
      assert.deepEqual(values, [['1'], ['0']]);
      assert.deepEqual(option.values, { 0: 'not fitted', 1: 'fitted' });
    }
  });

  it('says where an option is by what the dump calls its lines', async () => {
    const uri = `${folder}own.dump-profile.json`;
    const lines = { from: 1, to: 6, data: 3, sum: 1 };
    const notation = { pattern: 'R{label} {data}' };
    session.files.set(
      uri,
      JSON.stringify({ format: 1, notation, lines, lineSum: { method: 'add', over: ['label', 'data'] } }),
    );
    names.forEach((name, car) => {
      const text = dump(car, car % 2 === 0).replace(/^(\d): /gm, 'R0$1 ');
      const headers = `@profile own.dump-profile.json\n${car % 2 === 0 ? '@fitted' : '@absent'} seats\n`;
      session.files.set(folder + name, headers + text);
    });
    await openFirst();
    const { candidates, map } = await send<FindOptionResult>(FIND_OPTION, SEATS);
    assert.equal(candidates[0]?.place, 'line R03, byte 2, bit 5');
    assert.equal(candidates[0]?.option.line, 3);
    assert.deepEqual(
      map.rows.map(({ label }) => label),
      ['R01', 'R02', 'R03', 'R04', 'R05', 'R06'],
    );
    assert.match((await send<PlanTrialsResult>(PLAN_TRIALS, SEATS)).page, /line R03, byte 2, bit 5/);
  });

  it('names the dumps that a profile explains as well, and which of them stay as they are', async () => {
    const lines = { from: 1, to: 6, data: 3, sum: 1 };
    const profile = { format: 1, lines, lineSum: { method: 'add', over: ['label', 'data'] } };
    const uri = `${folder}seats.dump-profile.json`;
    session.files.set(uri, JSON.stringify({ ...profile, appliesTo: { part: ['SE-*'] } }));
    const set = (name: string, text: string) => session.files.set(folder + name, text);
    for (const name of names) set(name, `@part SE-1\n${session.files.get(folder + name)}`);
    const own = dump(3, true, '@part SE-1\n');
    set('named.cfgdump', `@profile other.dump-profile.json\n${own}`);
    set('sealed.cfgdump', `@seal sha256:00\n${own}`);
    set('door.cfgdump', dump(3, true, '@part DO-1\n'));
    set('wrong.cfgdump', own.replace(/.(?=\n$)/, 'x'));
    set('below/deep.cfgdump', own);
    await session.open(`${folder}car-1.cfgdump`, String(session.files.get(`${folder}car-1.cfgdump`)));
    const found = await send<SimilarDumpsResult>(SIMILAR_DUMPS, { uri: SEATS.uri, profile: uri });
    assert.deepEqual(
      found.dumps.map(({ name }) => name),
      ['below/deep.cfgdump', ...names.slice(1)].sort(),
    );
    const at = { line: 0, column: 0, before: '@profile ', after: '\n' };
    const [deep, first] = ['below/deep.cfgdump', 'car-1.cfgdump'].map((one) =>
      found.dumps.find(({ name }) => name === one),
    );
    assert.deepEqual([deep?.path, deep?.naming], ['../seats.dump-profile.json', { ...at, version: null }]);
    assert.deepEqual([first?.path, first?.naming], ['seats.dump-profile.json', { ...at, version: 1 }]);
    assert.deepEqual(found.left, [
      'door.cfgdump stays as it is: The profile is for another module: "@part" is "DO-1" here, and the profile is for SE-*.',
      'named.cfgdump stays as it is: it names other.dump-profile.json already.',
      'sealed.cfgdump stays as it is: it is sealed.',
    ]);
    assert.ok(
      'refused' in (await send<object>(SIMILAR_DUMPS, { uri: SEATS.uri, profile: `${folder}gone.dump-profile.json` })),
    );
  });

  it('says of each dump of the folder that is not compared why', async () => {
    const profile = { format: 1, lines: { from: 1, to: 6, data: 3, sum: 1 } };
    session.files.set(`${folder}seats.dump-profile.json`, JSON.stringify(profile));
    session.files.set(`${folder}door.dump-profile.json`, JSON.stringify(profile));
    const name = (car: string, as: string) =>
      session.files.set(folder + car, `@profile ${as}.dump-profile.json\n${session.files.get(folder + car)}`);
    name('car-0.cfgdump', 'seats');
    name('car-1.cfgdump', 'seats');
    name('car-2.cfgdump', 'door');
    const groups = await send<OptionGroupsResult>(OPTION_GROUPS, { uri: SEATS.uri });
    assert.deepEqual(
      groups.dumps.map(({ name: one }) => one),
      ['car-0.cfgdump', 'car-1.cfgdump'],
    );
    assert.equal(groups.profile, `${folder}seats.dump-profile.json`);
    const why = (car: string) => groups.others.find(({ name: one }) => one === car)?.why;
    assert.equal(groups.others.length, 10);
    assert.equal(why('car-2.cfgdump'), 'It names another profile, door.dump-profile.json: it is of another module.');
    assert.equal(
      why('car-3.cfgdump'),
      'It names no profile. Name seats.dump-profile.json in it, if that is its module.',
    );
    const { remarks } = await send<FindOptionResult>(FIND_OPTION, SEATS);
    assert.match(remarks.join('\n'), /Not compared: car-10\.cfgdump\. It names no profile/);
    assert.match(remarks.join('\n'), /Not compared for such reasons: 5 more dumps\./);
    const other = await send<OptionGroupsResult>(OPTION_GROUPS, { uri: `${folder}car-3.cfgdump` });
    assert.equal(other.profile, null);
    assert.equal(
      other.others.find(({ name: one }) => one === 'car-2.cfgdump')?.why,
      'It names the profile door.dump-profile.json, and the dump that is asked about names none.',
    );
  });

  it('tells a dump without a profile that the profile does not explain, or is not for, from one that may name it', async () => {
    const profile = {
      ...{ format: 1, appliesTo: { part: ['SE-*'] }, lines: { from: 1, to: 6, data: 3, sum: 1 } },
      lineSum: { method: 'add', over: ['label', 'data'] },
    };
    session.files.set(`${folder}seats.dump-profile.json`, JSON.stringify(profile));
    session.files.set(SEATS.uri, dump(0, true, '@profile seats.dump-profile.json\n@part SE-1\n'));
    session.files.set(`${folder}car-1.cfgdump`, dump(1, false, '@part SE-2\n').replace('1: 00', '1: 01'));
    session.files.set(`${folder}car-2.cfgdump`, dump(2, true, '@part DO-1\n'));
    session.files.set(`${folder}car-3.cfgdump`, dump(3, true, '@part SE-3\n'));
    const { others } = await send<OptionGroupsResult>(OPTION_GROUPS, { uri: SEATS.uri });
    const of = (car: string) => others.flatMap(({ name, why, isUnnamed }) => (name === car ? [why, isUnnamed] : []));
    assert.deepEqual(of('car-1.cfgdump'), [
      'It names no profile, and seats.dump-profile.json does not explain it: it is of another module, or lines of it are damaged.',
      false,
    ]);
    assert.deepEqual(of('car-2.cfgdump'), [
      'It names no profile, and seats.dump-profile.json is not for it: The profile is for another module: "@part" is "DO-1" here, and the profile is for SE-*.',
      false,
    ]);
    assert.deepEqual(of('car-3.cfgdump'), [
      'It names no profile. Name seats.dump-profile.json in it, if that is its module.',
      true,
    ]);
  });

  it('leaves the sealed backup of a dump that is listed out of the list', async () => {
    const headers = '@seal sha256:00\n';
    session.files.set(`${folder}car-0.as-found.cfgdump`, dump(0, true, `@fitted seats\n${headers}`));
    session.files.set(SEATS.uri, dump(0, true, '@backup car-0.as-found.cfgdump\n@fitted seats\n'));
    session.files.set(`${folder}alone.cfgdump`, dump(2, true, headers));
    await openFirst();
    const { dumps } = await send<OptionGroupsResult>(OPTION_GROUPS, { uri: SEATS.uri });
    const listed = dumps.map(({ name }) => name);
    assert.ok(!listed.includes('car-0.as-found.cfgdump'), listed.join());
    assert.ok(listed.includes('alone.cfgdump') && listed.includes('car-0.cfgdump'));
    assert.deepEqual((await send<FindOptionResult>(FIND_OPTION, SEATS)).sizes, [6, 6]);
  });

  it('says what of selected digits can be an option, and into which profile it goes', async () => {
    const lines = { from: 1, to: 6, data: 3, sum: 1 };
    session.files.set(
      `${folder}seats.dump-profile.json`,
      JSON.stringify({ format: 1, lines, lineSum: { method: 'add', over: ['label', 'data'] } }),
    );
    const uri = `${folder}here.cfgdump`;
    await session.open(uri, `@profile seats.dump-profile.json\n${dump(0, true)}`);
    const at = (line: number, start: number, end: number, endLine = line) =>
      send<NewOptionResult & { refused?: string }>(NEW_OPTION, {
        uri,
        selection: { start: { line, character: start }, end: { line: endLine, character: end } },
      });
    const { profile, fields, hazards } = await at(3, 6, 7);
    assert.equal(profile, `${folder}seats.dump-profile.json`);
    assert.deepEqual(
      fields.map(({ words, now }) => `${words}: ${now}`),
      ['bits 7-4: 2', 'bit 7: 0', 'bit 6: 0', 'bit 5: 1', 'bit 4: 0'],
    );
    assert.equal(fields[3]?.option.evidence, 'Named by hand in here.cfgdump, which held 1 there when it was named.');
    assert.deepEqual(hazards[0], { id: 'braking', words: 'The brakes' });
    assert.match(String((await at(3, 12, 14)).refused), /^These digits are the sum of line 3/);
    assert.match(String((await at(3, 6, 3, 4)).refused), /^Select digits of one data line first/);
    await session.open(`${folder}bare.cfgdump`, dump(0, true));
    const bare = { start: { line: 2, character: 6 }, end: { line: 2, character: 7 } };
    assert.equal(
      (await send<NewOptionResult>(NEW_OPTION, { uri: `${folder}bare.cfgdump`, selection: bare })).profile,
      null,
    );
    await session.open(`${folder}lost.cfgdump`, `@profile gone.dump-profile.json\n${dump(0, true)}`);
    const lost = await send<{ refused: string }>(NEW_OPTION, { uri: `${folder}lost.cfgdump`, selection: bare });
    assert.match(lost.refused, /^The profile cannot be read/);
  });

  it('finds the option by choice, and reads one dump each as before and after', async () => {
    const [first = '', second = ''] = names.map((name) => folder + name);
    const found = await send<FindOptionResult>(FIND_OPTION, { ...SEATS, with: [first], without: [second] });
    assert.deepEqual(found.sizes, [1, 1]);
    assert.deepEqual(found.pair, ['line 3, byte 2: 00 to 20, the option']);
  });

  it('takes the backup in place of a dump whose bytes are planned, and says so', async () => {
    const uri = folder + names[1];
    session.files.set(`${folder}.kept/found.cfgdump`, session.files.get(uri) ?? '');
    await session.open(uri, `@absent seats\n@backup .kept/found.cfgdump\n${dump(1, true)}`);
    for (const asked of [SEATS.uri, uri]) {
      const { candidates, remarks, sizes } = await send<FindOptionResult>(FIND_OPTION, { ...SEATS, uri: asked });
      assert.deepEqual([candidates[0]?.place, candidates[0]?.exceptions], ['line 3, byte 2, bit 5', []]);
      assert.deepEqual(sizes, [6, 6]);
      assert.ok(
        remarks.includes('car-1.cfgdump: It was changed since its backup. The backup is compared in its place.'),
        remarks.join('\n'),
      );
    }
  });

  it('names the profile that explains the dumps, to be edited in place', async () => {
    const { rules } = await send<LearnResult>(LEARN, { uri: SEATS.uri, others: [] });
    session.files.set(`${folder}seats.dump-profile.json`, rules[0]?.profile ?? '');
    for (const name of names) {
      const text = session.files.get(folder + name) ?? '';
      session.files.set(folder + name, `@profile seats.dump-profile.json\n${text}`);
    }
    const { profile, naming, remarks } = await send<FindOptionResult>(FIND_OPTION, SEATS);
    assert.deepEqual(profile, { uri: `${folder}seats.dump-profile.json` });
    assert.deepEqual([naming, remarks], [null, []]);
  });

  it('says where a header goes of the version that was searched, however the dump moves on meanwhile', async () => {
    const image = (car: number) => {
      const records = Array.from({ length: 60 }, (_, i) => {
        const data = Array.from(
          { length: 16 },
          (_, at) => (Math.imul(i * 16 + at + car * 7919, 0x9e3779b1) >>> 13) & 0xff,
        );
        const bytes = [16, i >> 4, (i << 4) & 0xff, 0, ...data];
        return `:${[...bytes, -bytes.reduce((all, byte) => all + byte, 0) & 0xff].map((byte) => hex(byte)).join('')}\n`;
      });
      return `; ${car % 2 === 0 ? '@fitted' : '@absent'} seats\n${records.join('')}:00000001FF\n`;
    };
    for (let car = 1; car < 4; car++) session.files.set(`${folder}image-${car}.hex`, image(car));
    const uri = `${folder}image-0.hex`;
    await session.open(uri, image(0));
    const search = send<FindOptionResult>(FIND_OPTION, { ...SEATS, uri });
    for (let line = 0; line < 3; line++) {
      await session.diagnostics(uri);
      await session.change(uri, 0, 0, 0, '; one line more\n');
    }
    const { naming } = await search;
    // The text of version 1 has 62 rows, and each version one more; the header goes behind the last.
    assert.equal(naming?.line, 62 + ((naming?.version ?? 0) - 1));
  }).timeout(120_000);

  it('tells of images what their bytes show, each once, with how likely it is an accident', async () => {
    const image = (car: number) => {
      const bytes = Uint8Array.from({ length: 256 }, (_, i) => (i * 73 + (i >> 3) + 1) & 0xff);
      bytes.set([(car * 77) & 0xff, (car * 131) & 0xff, (car * 29) & 0xff], 0x30);
      bytes.fill(0xff, 0x90, 0xc0);
      const sum = bytes.subarray(0, 0x7e).reduce((all, byte) => all + byte, 0);
      bytes.set([sum >> 8, sum & 0xff], 0x7e);
      return intelHex(bytes);
    };
    const others = [1, 2, 3, 4].map((car) => `${folder}image-${car}.hex`);
    for (const [i, other] of others.entries()) session.files.set(other, image(i + 1));
    const uri = `${folder}image-0.hex`;
    await session.open(uri, image(7));
    const { findings, rules } = await send<LearnResult>(LEARN, { uri, others });
    assert.ok(findings?.some(({ what }) => what === 'filler FF from 0090 to 00BF'));
    assert.ok(!findings?.some(({ what }) => /sum/.test(what)), 'the only sum is said with the rule');
    assert.equal(rules[0]?.total, '16-bit sum, over 0000 to 007D; at address 007E');
    assert.equal(rules[0]?.odds, 'practically certain');
  }).timeout(120_000);

  it('ends a search in images that is taken back', async () => {
    const noise = numbers(3);
    const image = () => intelHex(Uint8Array.from({ length: 8192 }, () => noise(256)));
    const others = [1, 2, 3].map((car) => `${folder}noise-${car}.hex`);
    for (const other of others) session.files.set(other, image());
    const uri = `${folder}noise-0.hex`;
    await session.open(uri, image());
    const source = new CancellationTokenSource();
    const search = session.connection.sendRequest(LEARN, { uri, others }, source.token);
    await new Promise((resolve) => setTimeout(resolve, 50));
    source.cancel();
    await assert.rejects(search, /[Cc]ancel/);
  });

  it('plans trials on a dump', async () => {
    const { title, page } = await send<PlanTrialsResult>(PLAN_TRIALS, { ...SEATS, uri: `${folder}car-1.cfgdump` });
    assert.equal(title, 'Trials: seats');
    assert.match(page, /Trial 1: line 3, byte 2, bit 5 from 0 to 1/);
  });

  it('says what contradicts itself', async () => {
    session.files.set(`${folder}torn.cfgdump`, dump(1, true, '@fitted seats\n@absent seats\n'));
    const { remarks } = await send<FindOptionResult>(FIND_OPTION, SEATS);
    assert.match(remarks.join('\n'), /torn\.cfgdump says both/);
  });

  it('puts no option into what is no profile', async () => {
    const option: DraftOption = {
      id: 'tow',
      title: 'Tow bar',
      line: 1,
      byte: 2,
      values: { 0: 'no' },
      confidence: 'guess',
      evidence: '',
    };
    const refused = 'The profile is no JSON object, so nothing can be added to it.';
    assert.deepEqual(await send(ADD_OPTION, { profile: '[]', option }), { refused });
  });

  it('answers others while it searches, and can be cancelled', async () => {
    await openFirst();
    // Random bytes follow no rule, so that every one is tried.
    const noise = Array.from({ length: 200 }, (_, i) => {
      const bytes = Array.from({ length: 12 }, (_, at) => hex((Math.imul(i * 13 + at + 7, 0x9e3779b1) >>> 13) & 0xff));
      return `${i + 1}: ${bytes.join(' ')}\n`;
    }).join('');
    session.files.set(`${folder}noise.cfgdump`, noise);
    const cancel = new CancellationTokenSource();
    const params: LearnParams = { uri: `${folder}noise.cfgdump`, others: [] };
    let done = false;
    const search = session.connection.sendRequest(LEARN, params, cancel.token).finally(() => {
      done = true;
    });
    const rejected = assert.rejects(search, /Cancelled/);
    for (let i = 0; i < 3; i++) {
      await session.change(SEATS.uri, 1, 0, 0, ' ');
      const problems = await session.diagnostics(SEATS.uri);
      assert.equal(problems[0]?.code, 'no-profile');
    }
    assert.equal(done, false);
    cancel.cancel();
    await rejected;
  });
});
