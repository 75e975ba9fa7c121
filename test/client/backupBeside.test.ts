// Backups of forms without a place for headers: what names and seals them is in the file beside each.
import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { type ClientSession, clientSession, until } from '../support/clientSession.js';

const PROFILE = {
  format: 1,
  addresses: { from: 0, to: 3 },
  totals: [{ name: 'image sum', method: 'add', bits: 8, over: [{ from: 0, to: 2 }], address: 3 }],
};
const VIEW = '00000000: 01 02 03 06                                      ....\n';

describe('a dump that keeps its headers in a file beside it', () => {
  let session: ClientSession;
  const shown = (where: string) => session.editor.in(where).join('\n');
  const text = (name: string) => new TextDecoder().decode(session.editor.files.get(`file:///cars/${name}`));
  beforeEach(async () => {
    session = await clientSession({
      'p.dump-profile.json': JSON.stringify(PROFILE),
      'ee.xxd': VIEW,
      'ee.xxd.dump-headers': '@profile p.dump-profile.json\n@vin X1\n# read on the bench',
    });
  });
  afterEach(() => session.stop());

  it('gets a sealed backup in the same form, with its headers beside it', async () => {
    const [name, own] = ['ee.xxd', VIEW];
    await session.open(name);
    await session.run('makeBackup');
    const copy = name.replace('ee.', 'ee.backup.');
    assert.match(shown('status bar'), new RegExp(`Backup sealed: ${copy}`), shown('warning'));
    assert.equal(text(copy), own);
    assert.match(text(`${copy}.dump-headers`), /^@seal sha256:[0-9a-f]{64}\n@profile p\.dump-profile\.json\n/);
    assert.match(text(`${name}.dump-headers`), new RegExp(`^@backup ${copy}$`, 'm'));
    assert.equal(text(name), own);
    // It is the way back from then on, and no second one is made.
    session.editor.shown = [];
    await session.run('makeBackup');
    assert.match(`${shown('warning')}${shown('error')}${shown('notice')}`, /has a backup already/);
  });

  it('names a profile there, behind what is there, or in a file that is made for it', async () => {
    session.editor.files.set('file:///cars/ee.xxd.dump-headers', new TextEncoder().encode('@part SE-1'));
    session.editor.files.set('file:///cars/new.xxd', new TextEncoder().encode(VIEW));
    for (const name of ['ee.xxd', 'new.xxd'])
      await session.run('_nameProfile', `file:///cars/${name}`, 'p.dump-profile.json');
    assert.equal(text('ee.xxd.dump-headers'), '@part SE-1\n@profile p.dump-profile.json\n');
    assert.equal(text('new.xxd.dump-headers'), '@profile p.dump-profile.json\n');
    assert.equal(text('ee.xxd'), VIEW);
    assert.match(shown('status bar'), /ee\.xxd\.dump-headers names p\.dump-profile\.json\./);
    session.editor.files.set('file:///cars/ee.xxd.dump-headers', Uint8Array.of(0xff, 0xfe, 0x40));
    await session.run('_nameProfile', 'file:///cars/ee.xxd', 'p.dump-profile.json');
    assert.match(shown('warning'), /is no text in UTF-8/);
  });

  it('says in its status which profile fits, and leads to the quick fix that names it', async () => {
    session.editor.files.set('file:///cars/ee.xxd.dump-headers', new TextEncoder().encode('@part SE-1'));
    const profile = { ...PROFILE, appliesTo: { part: ['SE-*'] } };
    session.editor.files.set('file:///cars/p.dump-profile.json', new TextEncoder().encode(JSON.stringify(profile)));
    await session.open('ee.xxd');
    const status = () => session.editor.statuses.find(({ name }) => name === 'Profile of the dump') ?? {};
    const textOf = ({ text }: ReturnType<typeof status>) => text;
    await until(() => textOf(status()) === 'No profile is named; p.dump-profile.json fits');
    const { command } = status();
    assert.deepEqual(command, { title: 'Name the Profile…', command: 'countersum._offerFitting' });
    await session.run('_offerFitting');
    assert.deepEqual(session.editor.executed.at(-1), ['editor.action.quickFix']);
    assert.deepEqual(session.cursor(), { line: 0, character: 0 });
  });

  it('gets a backup with its notes, under a name of which not even headers are there', async () => {
    session.editor.files.set('file:///cars/ee.backup.xxd.dump-headers', new TextEncoder().encode('@vin X9\n'));
    await session.open('ee.xxd');
    await session.run('makeBackup');
    assert.match(
      text('ee.backup-2.xxd.dump-headers'),
      /\n@profile p\.dump-profile\.json\n@vin X1\n# read on the bench\n$/,
    );
    assert.equal(text('ee.backup.xxd.dump-headers'), '@vin X9\n');
  });
});
