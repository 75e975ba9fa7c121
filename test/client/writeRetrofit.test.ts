// A retrofit that is written of what is set in the modules of a vehicle, in a played editor.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, describe, it } from 'mocha';
import { type ClientSession, clientSession } from '../support/clientSession.js';

const FILES = Object.fromEntries(
  readdirSync('examples/trailer-socket')
    .filter((name) => !name.endsWith('.retrofit.json'))
    .map((name) => [name, readFileSync(`examples/trailer-socket/${name}`, 'utf8')]),
);
/** With the service interval at 15000 km, a number that no name stands for, and else as in the backup. */
const INTERVAL_SET = (FILES['cluster.cfgdump'] ?? '')
  .replace('0007 20F7 0010 7F10 | 36', '0001 20F7 0010 7F10 | 3C')
  .replace('07D0 7F10 08E5 101D | 71', '05DC 7F10 08E5 101D | 67')
  .replace('total: 0A BB', 'total: 0C AF');

describe('a retrofit that is written', () => {
  let session: ClientSession;
  let offered: string | undefined;
  afterEach(() => session.stop());

  const plan = async (dump: string) => {
    await session.open(dump);
    session.editor.person.notice = (_, buttons) => buttons.find((one) => one === 'Write One…');
    session.editor.person.write = (_, value) => {
      offered = value;
      return 'Socket';
    };
    await session.run('planRetrofit');
  };
  const written = (): unknown => {
    const file = session.editor.files.get('file:///cars/socket.retrofit.json');
    return file && JSON.parse(new TextDecoder().decode(file)).changes;
  };

  it('leaves out a module whose options have values without names, and says so', async () => {
    session = await clientSession({ ...FILES, 'cluster.cfgdump': INTERVAL_SET });
    await plan('rear-body.cfgdump');
    assert.deepEqual(written(), [{ profile: 'rear-body.dump-profile.json', set: { 'trailer-socket': '13-pin' } }]);
    const says = 'These options go into no retrofit, as what they are set to has no name: Service interval.';
    assert.equal(
      session.editor.in('verdict').at(-1),
      `It is written beside the profile: socket.retrofit.json. ${says}`,
    );
    assert.equal(offered, 'Trailer socket');
  });

  it('is called like its title, which says so while it is written, and like no other file', async () => {
    const named: string[] = [];
    for (const title of ['Socket', 'Anhängekupplung: 13-polig', '../../../etc', '***', '  ']) {
      session = await clientSession({ ...FILES, 'socket.retrofit.json': '{}' });
      await session.open('rear-body.cfgdump');
      session.editor.person.pick = ({ items }) => [items[0]?.label ?? ''];
      session.editor.person.write = () => title;
      await session.run('planRetrofit');
      const made = [...session.editor.files.keys()].filter((file) => file.endsWith('.retrofit.json')).slice(1);
      named.push(decodeURIComponent(made.join()).replace('file:///cars/', ''));
      const said = session.editor.in('verdict').at(-1);
      assert.equal(
        said?.split('. ')[0],
        named.at(-1) ? `It is written beside the profile: ${named.at(-1)}` : undefined,
      );
      session.stop();
    }
    assert.deepEqual(named, [
      'socket-2.retrofit.json',
      'anhängekupplung-13-polig.retrofit.json',
      'etc.retrofit.json',
      'rear-body.retrofit.json',
      '',
    ]);
  });

  it('is written of the other modules where none of the one in front has a name', async () => {
    session = await clientSession({ ...FILES, 'cluster.cfgdump': INTERVAL_SET });
    await plan('cluster.cfgdump');
    assert.deepEqual(written(), [{ profile: 'rear-body.dump-profile.json', set: { 'trailer-socket': '13-pin' } }]);
  });

  it('is none where no value has a name, which is the reason that is given', async () => {
    const found = Object.entries(FILES).filter(([name]) => !name.startsWith('rear-body'));
    session = await clientSession({ ...Object.fromEntries(found), 'cluster.cfgdump': INTERVAL_SET });
    await plan('cluster.cfgdump');
    assert.equal(written(), undefined);
    assert.match(
      session.editor.in('warning').at(-1) ?? '',
      /^These options go into no retrofit.*: Service interval\.$/,
    );
  });

  describe('beside one of another module', () => {
    const OTHER = JSON.stringify({
      format: 1,
      title: 'Socket',
      changes: [{ profile: 'rear-body.dump-profile.json', set: { 'trailer-socket': '13-pin' } }],
    });
    const LAMP_SET = (FILES['cluster.cfgdump'] ?? '')
      .replace('0007 20F7 0010 7F10 | 36', '0001 20F7 0010 7F10 | 3C')
      .replace('0210 3800 | 60', '1210 3800 | 50')
      .replace('total: 0A BB', 'total: FA BA');

    it('is offered, holds what is planned nowhere, and leaves the other as it is', async () => {
      session = await clientSession({ ...FILES, 'cluster.cfgdump': LAMP_SET, 'a.retrofit.json': OTHER });
      session.editor.person.pick = ({ items }) => [items[0]?.label ?? ''];
      await plan('cluster.cfgdump');
      assert.equal(session.editor.in('list')[0], 'Write Another…');
      const made = session.editor.files.get('file:///cars/socket.retrofit.json');
      assert.deepEqual(JSON.parse(new TextDecoder().decode(made)).changes, [
        { profile: 'cluster.dump-profile.json', set: { 'trailer-lamp': 'shown' } },
      ]);
      assert.equal(session.text('a.retrofit.json'), OTHER);
      assert.match(session.editor.in('modal').at(-1) ?? '', /Trailer tell-tale "shown"/, 'it is planned at once');
    });

    it('is not asked about where the dump in front is planned, or nothing is set in it', async () => {
      const untouched = LAMP_SET.replace('1210 3800 | 50', '0210 3800 | 60').replace('total: FA BA', 'total: 0A BB');
      session = await clientSession({ ...FILES, 'cluster.cfgdump': LAMP_SET, 'a.retrofit.json': OTHER });
      await plan('rear-body.cfgdump');
      assert.deepEqual(session.editor.in('list title'), []);
      session.stop();
      session = await clientSession({ ...FILES, 'cluster.cfgdump': untouched, 'a.retrofit.json': OTHER });
      await plan('cluster.cfgdump');
      assert.deepEqual(session.editor.in('list title'), []);
      assert.match(session.editor.in('markdown').at(-1) ?? '', /Trailer socket/);
    });
  });
});
