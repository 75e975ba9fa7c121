import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump, type LoadedDump } from '../../../shared-core/src/checks/index.js';
import { changeDump } from '../../../shared-core/src/model/gate.js';
import { whyNotThisModule } from '../../../shared-core/src/model/identity.js';
import { whyNotWritable } from '../../../shared-core/src/model/index.js';
import { createWorkspace, type LoadHow } from '../../../shared-core/src/workspace/index.js';
import { type MemoryFile, memoryHost } from '../../support/memoryHost.js';

const DUMP = 'file:///car/a.cfgdump';
const PROFILE = 'file:///car/p.dump-profile.json';
const BACKUP = 'file:///car/old.cfgdump';

const profile = (more: object = {}) =>
  JSON.stringify({
    format: 1,
    lines: { from: 1, to: 2, data: 2, sum: 1 },
    lineSum: { method: 'add', over: ['data'] },
    ...more,
  });
const LINES = '1: 01 02 03\n2: 03 04 07\n';
const HEADED = `@profile p.dump-profile.json\n@backup old.cfgdump\n${LINES}`;

type Files = Readonly<Record<string, MemoryFile>>;

/** A dump, a profile and a backup, with other files or in place of some of them. */
const hostOf = (files: Files, same: readonly string[][] = []) =>
  memoryHost(new Map(Object.entries({ [DUMP]: HEADED, [PROFILE]: profile(), [BACKUP]: LINES, ...files })), same);

async function load(files: Files = {}, how: LoadHow = {}, same: readonly string[][] = []): Promise<LoadedDump> {
  const host = hostOf(files, same);
  const loaded = await createWorkspace(host).load(DUMP, how);
  assert.equal(host.left(), 0);
  assert.ok(loaded.ok, loaded.ok ? '' : say(loaded.why));
  return loaded.value;
}

async function refused(files: Files, how: LoadHow = {}): Promise<string> {
  const host = hostOf(files);
  const loaded = await createWorkspace(host).load(DUMP, how);
  assert.equal(host.left(), 0);
  return loaded.ok ? 'loaded' : say(loaded.why);
}

const profileSays = ({ profile: status }: LoadedDump) => (status.kind === 'unreadable' ? say(status.why) : status.kind);
const backupSays = ({ backup }: LoadedDump) => (backup.kind === 'unreadable' ? say(backup.why) : backup.kind);
const codes = (loaded: LoadedDump) => checkDump(loaded).map(({ code }) => code);
const named = (header: string) => ({ [DUMP]: `${header}\n${LINES}` });

describe('a dump is loaded', () => {
  it('with its profile and its backup, the backup by the same profile', async () => {
    const { name, dump, profileFile, backupFile, ...loaded } = await load();
    assert.deepEqual([name, profileFile, backupFile], ['a.cfgdump', PROFILE, BACKUP]);
    assert.deepEqual(
      [profileSays({ name, dump, profileFile, backupFile, ...loaded }), loaded.backup.kind],
      ['read', 'read'],
    );
    assert.equal(loaded.backup.kind === 'read' && loaded.backup.dump.profile, dump.profile);
  });

  it('with nothing where it names nothing', async () => {
    const loaded = await load(named(''));
    assert.deepEqual([profileSays(loaded), backupSays(loaded), loaded.profileFile], ['none', 'none', undefined]);
  });

  it('with every file opened once', async () => {
    const host = hostOf({});
    await createWorkspace(host).load(DUMP);
    assert.deepEqual(host.opened.sort(), [DUMP, BACKUP, PROFILE].sort());
  });

  it('not at all where it cannot be read, with the reason', async () => {
    assert.equal(await refused({ [DUMP]: { fails: 'EACCES' } }), 'a.cfgdump cannot be read: not allowed');
    assert.equal(await refused({ [DUMP]: { fails: 'ELOOP' } }), 'a.cfgdump cannot be read: its links lead in a circle');
    assert.equal(await refused({ [DUMP]: { special: 'device' } }), 'a.cfgdump cannot be read: it is no regular file');
    assert.equal(
      await refused({ [DUMP]: { changing: HEADED } }),
      'a.cfgdump cannot be read: it was changed while it was read',
    );
  });

  it('from a pipe where a person names one, but not where a header does', async () => {
    assert.equal(await refused({ [DUMP]: { special: 'pipe' } }), 'loaded');
    assert.match(profileSays(await load({ [PROFILE]: { special: 'pipe' } })), /no regular file/);
    assert.match(backupSays(await load({ [BACKUP]: { special: 'pipe' } })), /no regular file/);
  });
});

describe('a profile or backup that cannot be read', () => {
  const PLACES = [
    ['gone.json', 'no such file'],
    ['../car', 'it is a folder'],
    ['//host/share/p.json', 'another computer'],
    ['\\\\host\\share\\p.json', 'another computer'],
    ['/\\host\\p.json', 'another computer'],
    ['\\\\?\\C:\\p.json', 'another computer'],
    ['file://host/share/p.json', 'another computer'],
    ['FILE://host/p.json', 'another computer'],
    ['file:////host/p.json', 'another computer'],
    ['file:///%5C%5Chost%5Cp.json', 'another computer'],
    ['https://host/p.json', 'another computer'],
    ['vscode-remote://host/p.json', 'another computer'],
    ['data:application/json,1', 'another computer'],
    ['untitled:p.json', 'another computer'],
    ['c:p.json', 'begins "c:/"'],
  ] as const;

  it('is no missing one: it says what is wrong, and nothing is opened outside the own file system', async () => {
    for (const [path, reason] of PLACES) {
      const host = hostOf({ [DUMP]: `@profile ${path}\n@backup ${path}\n${LINES}` });
      const loaded = await createWorkspace(host).load(DUMP);
      assert.ok(loaded.ok);
      assert.ok(profileSays(loaded.value).includes(reason), `${path}: ${profileSays(loaded.value)}`);
      assert.ok(backupSays(loaded.value).includes(reason), `${path}: ${backupSays(loaded.value)}`);
      assert.ok(
        codes(loaded.value).includes('profile-unreadable') && codes(loaded.value).includes('backup-unreadable'),
      );
      if (reason === 'another computer') assert.deepEqual(host.opened, [DUMP]);
    }
  });

  it('in any way lets nothing be written', async () => {
    for (const { dump } of [
      await load(named('@profile gone.json')),
      await load({ [PROFILE]: '{ "format": 1,' }),
      await load({ [PROFILE]: { fails: 'EACCES' } }),
      await load({ [PROFILE]: profile({ lockd: [] }) }),
      await load(named('@profile p.dump-profile.json\n@profile q.dump-profile.json')),
      await load(named('@profile a.cfgdump')),
    ])
      assert.notEqual(whyNotWritable(dump), undefined);
  });

  it('may be named by an absolute path or an address of the same file system, with either slash', async () => {
    for (const path of ['/car/p.dump-profile.json', '..\\car\\p.dump-profile.json', PROFILE])
      assert.equal(profileSays(await load(named(`@profile ${path}`))), 'read', path);
  });

  it('is said by its reason', async () => {
    const circle = await load({ [PROFILE]: { fails: 'ELOOP' } });
    assert.match(profileSays(circle), /its links lead in a circle/);
    assert.equal(circle.dump.profile.flaw?.count, 1, 'one problem is told');
    assert.match(profileSays(await load({ [PROFILE]: { fails: 'EACCES' } })), /not allowed/);
    assert.match(backupSays(await load({ [BACKUP]: { changing: LINES } })), /changed while it was read/);
    const large = ' '.repeat(51 * 1024 * 1024);
    assert.match(profileSays(await load({ [PROFILE]: large })), /larger than 50 MB/);
    assert.match(backupSays(await load({ [BACKUP]: large })), /larger than 50 MB/);
  });

  it('is one where a dump names two', async () => {
    const two = await load(named('@profile p.dump-profile.json\n@profile q.dump-profile.json\n@backup a\n@backup b'));
    assert.match(profileSays(two), /several profiles: p\.dump-profile\.json, q\.dump-profile\.json/);
    assert.match(backupSays(two), /several backups: a, b/);
    const same = await load(named('@profile p.dump-profile.json\n@profile p.dump-profile.json'));
    assert.equal(profileSays(same), 'read');
  });

  it('is one where the dump is not saved yet', async () => {
    const uri = 'untitled:Untitled-1';
    const loaded = await createWorkspace(hostOf({ [uri]: HEADED })).load(uri);
    assert.ok(loaded.ok);
    assert.match(profileSays(loaded.value), /not saved yet/);
    assert.match(backupSays(loaded.value), /not saved yet/);
  });
});

describe('a dump that names itself', () => {
  it('has no profile and no backup by that', async () => {
    const loaded = await load(named('@profile a.cfgdump\n@backup ./a.cfgdump'));
    assert.match(profileSays(loaded), /this dump itself/);
    assert.equal(backupSays(loaded), 'itself');
  });

  it('is found out behind a link', async () => {
    assert.equal(backupSays(await load({ [BACKUP]: HEADED }, {}, [[DUMP, BACKUP]])), 'itself');
  });
});

describe('a profile that a person gives', () => {
  const GIVEN = 'file:///library/given.dump-profile.json';
  const LOCKED = [{ line: 1, bytes: '1-2', why: 'identity' }];
  const SECURITY = { id: 'k', title: 'Keys', line: 2, byte: 1, bits: '3-2', values: { 0: 'no' }, hazard: 'security' };
  const own = { [PROFILE]: profile({ locked: LOCKED, options: [SECURITY] }) };
  const by = (given: MemoryFile, files: Files = own) => refused({ ...files, [GIVEN]: given }, { profile: GIVEN });

  it('explains the dump in place of its own where it protects the same bits', async () => {
    const more = [
      { line: 1, byte: 1 },
      { line: 1, byte: 2 },
      { line: 2, byte: 2 },
    ];
    assert.equal(await by(profile({ locked: more, options: [SECURITY] })), 'loaded');
    assert.equal(await by(profile({ locked: [...LOCKED, { line: 2, byte: 1 }] })), 'loaded');
    const loaded = await load(
      { ...own, [GIVEN]: profile({ locked: LOCKED, options: [SECURITY], title: 'mine' }) },
      { profile: GIVEN },
    );
    assert.deepEqual([loaded.dump.profile.title, loaded.profileFile], ['mine', GIVEN]);
    assert.equal(whyNotWritable(loaded.dump), undefined);
  });

  it('is refused where it lifts a lock or a security bit', async () => {
    assert.match(await by(profile()), /leaves byte 1 of line 1 open, .*\("identity"\)/);
    assert.match(await by(profile({ locked: [{ line: 1, byte: 1 }], options: [SECURITY] })), /byte 2 of line 1/);
    assert.match(await by(profile({ locked: LOCKED })), /byte 1 of line 2 open, .*\("Keys"\)/);
    assert.match(await by(profile({ locked: LOCKED, options: [{ ...SECURITY, bits: '3' }] })), /byte 1 of line 2/);
    assert.match(
      await by(profile({ locked: LOCKED, options: [{ ...SECURITY, hazard: 'lighting' }] })),
      /byte 1 of line 2/,
    );
  });

  it('is refused where it says of bytes that they change by themselves, and the own one does not', async () => {
    const volatile = [{ line: 2, byte: 2 }];
    const keeps = { locked: LOCKED, options: [SECURITY] };
    assert.match(await by(profile({ ...keeps, volatile })), /says that byte 2 of line 2 changes by itself/);
    assert.equal(await by(profile({ ...keeps, volatile }), { [PROFILE]: profile({ ...keeps, volatile }) }), 'loaded');
    assert.equal(await by(profile(keeps), { [PROFILE]: profile({ ...keeps, volatile }) }), 'loaded');
  });

  it('keeps what the own one demands of a change: hazards, conditions and the module that it is for', async () => {
    const b = { id: 'b', title: 'Pump', line: 2, byte: 2, number: {} };
    const n = { id: 'n', line: 1, byte: 2, number: {} };
    const keeps = { locked: LOCKED, options: [SECURITY, b, n] };
    const needs = { ...b, needs: [{ option: 'n', in: [1] }] };
    const excludes = { ...b, excludes: [{ option: 'n', in: [1] }] };
    const hazard = { ...b, hazard: 'braking' };
    for (const demanding of [needs, excludes, hazard]) {
      const owned = { [PROFILE]: profile({ ...keeps, options: [SECURITY, demanding, n] }) };
      assert.match(await by(profile(keeps), owned), /does not say of "Pump" what the dump's own profile says/);
      assert.match(await by(profile({ ...keeps, options: [SECURITY] }), owned), /"Pump"/);
      assert.equal(await by(profile({ ...keeps, options: [SECURITY, demanding, n], title: 'x' }), owned), 'loaded');
    }
    const elsewhere = { ...n, bits: '3-0' };
    const asking = { [PROFILE]: profile({ ...keeps, options: [SECURITY, needs, n] }) };
    assert.match(await by(profile({ ...keeps, options: [SECURITY, needs, elsewhere] }), asking), /"Pump"/);
    const loaded = await load(
      { ...own, [PROFILE]: profile({ ...keeps, appliesTo: { part: ['X*'] } }), [GIVEN]: profile(keeps) },
      { profile: GIVEN },
    );
    assert.notEqual(whyNotThisModule(loaded.dump), undefined);
  });

  it('is refused where it takes the header that names the own one for something else', async () => {
    assert.match(
      await by(profile({ notation: 'intel-hex', lines: undefined, lineSum: undefined })),
      /byte 1 of line 1 open/,
    );
  });

  it('that is the one which the dump names is no other one, however its address is written', async () => {
    for (const given of [PROFILE, PROFILE.replace('car', '%63ar')])
      assert.equal((await load(own, { profile: given })).own, undefined);
    assert.equal((await load({ ...own, ...named(''), [GIVEN]: profile() }, { profile: GIVEN })).own, undefined);
  });

  it('is refused where it reads the text so that the locks are elsewhere', async () => {
    const shifted = { notation: { pattern: '{label}: {skip} {data}' }, locked: LOCKED, options: [SECURITY] };
    assert.match(await by(profile(shifted)), /leaves byte 1 of line 1 open/);
  });

  it('changes no place and makes no sum wrong that the own one keeps', async () => {
    const sums = { totals: [{ name: 'own sum', method: 'add', bits: 8, over: ['data'], label: 'total' }] };
    const text = '@profile p.dump-profile.json\n1: 00 01\n2: 02 03\ntotal: 06\n';
    const form = { lines: { from: 1, to: 2, data: 2, sum: 0 }, lineSum: undefined };
    const change = async (files: Files, value: number) => {
      const { dump, own: byOwn } = await load({ ...files, [DUMP]: text, [GIVEN]: profile(form) }, { profile: GIVEN });
      assert.notEqual(byOwn, undefined);
      const writes = [{ row: 1, byte: 0, value, reason: 'option' }] as const;
      const changed = changeDump(dump, { writes }, { own: byOwn });
      return changed.ok ? 'written' : say(changed.why);
    };
    assert.equal(await change({ [PROFILE]: profile(form) }, 1), 'written');
    assert.match(
      await change({ [PROFILE]: profile({ ...form, ...sums }) }, 1),
      /^By the profile that the dump names itself: The own sum is right and would be wrong/,
    );
    const volatile = [{ line: 1, byte: 1 }];
    assert.match(
      await change({ [PROFILE]: profile({ ...form, volatile }) }, 1),
      /^By the profile that the dump names itself: Byte 1 of line 1 changes by itself/,
    );
  });

  it('is for reading only where the own one cannot be read or has problems', async () => {
    const unknown: readonly MemoryFile[] = ['{', { fails: 'EACCES' }, profile({ lockd: LOCKED })];
    for (const file of unknown) {
      const loaded = await load({ [PROFILE]: file, [GIVEN]: profile() }, { profile: GIVEN });
      assert.match(say(loaded.dump.profile.flaw?.first ?? { pattern: '', parts: [] }), /what it locks is not known/);
      assert.equal(loaded.dump.profile.flaw?.count, 1);
      assert.ok(codes(loaded).includes('profile-invalid'));
      assert.notEqual(whyNotWritable(loaded.dump), undefined);
    }
  });

  it('serves a dump that names none, and the one that the dump names may be given', async () => {
    assert.equal(await by(profile(), named('')), 'loaded');
    assert.equal(await refused(own, { profile: PROFILE }), 'loaded');
  });

  it('must be there', async () => {
    assert.match(await by({ fails: 'EACCES' }), /given\.dump-profile\.json cannot be read: not allowed/);
    assert.match(await refused(own, { profile: GIVEN }), /no such file/);
  });
});

describe('a profile that is being typed', () => {
  const torn = '{ "format": 1, "lines": ';

  it('shows what its last text said that could be read, and lets nothing be written', async () => {
    const files = new Map<string, MemoryFile>([
      [DUMP, HEADED],
      [BACKUP, LINES],
      [PROFILE, profile({ title: 'Rear' })],
    ]);
    const workspace = createWorkspace(memoryHost(files));
    await workspace.load(DUMP);
    files.set(PROFILE, torn);
    workspace.forget(PROFILE);
    const loaded = await workspace.load(DUMP);
    assert.ok(loaded.ok);
    assert.equal(loaded.value.dump.profile.title, 'Rear');
    assert.match(profileSays(loaded.value), /nothing is written/);
    assert.ok(codes(loaded.value).includes('profile-stale'));
    assert.notEqual(whyNotWritable(loaded.value.dump), undefined);
    const again = await workspace.load(DUMP);
    assert.equal(again.ok && again.value.dump.profile, loaded.value.dump.profile);
    files.set(PROFILE, profile({ title: 'Front' }));
    workspace.forget(PROFILE);
    const right = await workspace.load(DUMP);
    assert.ok(right.ok);
    assert.deepEqual([right.value.dump.profile.title, whyNotWritable(right.value.dump)], ['Front', undefined]);
  });

  it('shows nothing where no text of it could be read yet', async () => {
    const loaded = await load({ [PROFILE]: torn });
    assert.equal(loaded.dump.profile.geometry, undefined);
    assert.match(profileSays(loaded), /^The profile cannot be read: /);
  });
});

describe('memory images', () => {
  const IMAGE = ':0410000001020304E2\n:00000001FF\n';
  const ADDRESSES = JSON.stringify({ format: 1, addresses: { from: 0x1000, to: 0x1003 } });
  const files = (text: string): Files => ({
    'file:///car/a.hex': text,
    [PROFILE]: ADDRESSES,
    'file:///car/old.hex': IMAGE,
  });
  const loadImage = async (text: string, how: LoadHow = {}) => {
    const host = memoryHost(new Map(Object.entries(files(text))));
    const loaded = await createWorkspace(host).load('file:///car/a.hex', how);
    assert.ok(loaded.ok);
    return loaded.value;
  };

  it('give the same where only the rows that are needed are read', async () => {
    const TEXTS = [
      IMAGE,
      `${IMAGE}; @profile p.dump-profile.json\n; @backup old.hex\n`,
      `; @profile p.dump-profile.json\n${IMAGE}; @profile q.json\n`,
      `${IMAGE}; @profile gone.json\n; @backup gone.hex\n; @backup old.hex\n`,
      `${IMAGE}; @profile a.hex\n; @backup a.hex\n`,
    ];
    for (const text of TEXTS) {
      const [all, needed] = [await loadImage(text), await loadImage(text, { rows: 'needed' })];
      assert.deepEqual(checkDump(needed), checkDump(all), text);
      assert.deepEqual([needed.profile, needed.backupFile], [all.profile, all.backupFile]);
    }
  });

  it('are explained by a profile that is given only where it keeps the locks, however many rows are read', async () => {
    const GIVEN = 'file:///car/given.dump-profile.json';
    const by = async (locked: readonly object[], rows: 'all' | 'needed') => {
      const text = `${IMAGE}; @profile p.dump-profile.json\n`;
      const own = { ...JSON.parse(ADDRESSES), locked: [{ address: 0x1001, bytes: 2 }] };
      const all = {
        ...files(text),
        [PROFILE]: JSON.stringify(own),
        [GIVEN]: JSON.stringify({ ...JSON.parse(ADDRESSES), locked }),
      };
      const host = memoryHost(new Map<string, MemoryFile>(Object.entries(all)));
      const loaded = await createWorkspace(host).load('file:///car/a.hex', { rows, profile: GIVEN });
      return loaded.ok ? 'loaded' : say(loaded.why);
    };
    for (const rows of ['all', 'needed'] as const) {
      assert.equal(await by([{ address: 0x1000, bytes: 4 }], rows), 'loaded');
      assert.match(await by([{ address: 0x1001 }], rows), /leaves address 1002 open/);
      assert.match(await by([], rows), /leaves address 1001 open/);
    }
  });

  it('of any size are passed over; where all rows are needed there is a limit', async () => {
    const loaded = await createWorkspace(memoryHost(new Map(Object.entries(files(IMAGE))))).load('file:///car/a.hex', {
      rows: 'needed',
      most: 10,
    });
    assert.equal(loaded.ok, true);
    assert.match(await refused({}, { most: 10 }), /larger than 0 MB/);
  });
});
