// Dumps of which nobody can tell the module: they are named for each vehicle that they may be of, and for no other.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { createWorkspace, undecidedAmong } from '../../../shared-core/src/workspace/index.js';
import { memoryHost } from '../../support/memoryHost.js';

const PROFILES = {
  'file:///cars/good.dump-profile.json': JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } }),
  'file:///cars/odd.dump-profile.json': JSON.stringify({ format: 1, colour: 1 }),
  'file:///cars/torn.dump-profile.json': '{ "format": 1,',
};

/** A dump by its path under "cars", its headers, and the profile that it names. */
const dumpOf = (path: string, headers = '', profile?: string) => ({
  file: `file:///cars/${path}`,
  name: path,
  dump: bindText('a.cfgdump', `${headers}1: 00\n`, EMPTY_PROFILE),
  ...(profile !== undefined && { profileFile: `file:///cars/${profile}.dump-profile.json` }),
});
type Placed = ReturnType<typeof dumpOf>;

async function undecided(found: readonly Placed[], own: readonly Placed[]) {
  const workspace = createWorkspace(memoryHost(new Map(Object.entries(PROFILES))), {
    atHand: async () => ({ dumps: [], unlisted: [] }),
  });
  const of = await undecidedAmong(workspace, found);
  const dumps = own.map((one) => ({ ...one, profileFile: one.profileFile ?? 'file:///cars/good.dump-profile.json' }));
  return of({ dumps }).map(({ name, why }) => `${name}: ${say(why)}`);
}

const VIN = '@vin 0DEM0T4X5TA020418\n';
const OTHER_VIN = '@vin 0DEM0T4X5TA020419\n';

describe('dumps of which nobody can tell the module', () => {
  it('are those that name no profile, or one that cannot be read; one with problems still says which module it is', async () => {
    const own = dumpOf('1/a', VIN, 'good');
    const said = await undecided(
      [
        dumpOf('1/b', VIN),
        dumpOf('1/c', VIN, 'torn'),
        dumpOf('1/d', VIN, 'none'),
        dumpOf('1/e', VIN, 'good'),
        dumpOf('1/f', VIN, 'odd'),
      ],
      [own],
    );
    assert.deepEqual(
      said.map((one) => one.split(':', 1)[0]),
      ['1/b', '1/c', '1/d'],
    );
    assert.equal(said[0], '1/b: It names no profile.');
    assert.match(said[1] ?? '', /torn\.dump-profile\.json cannot be read: /);
    assert.match(said[2] ?? '', /none\.dump-profile\.json/);
  });

  it('are of the vehicle that they say, wherever they are, and else of those beside which they lie', async () => {
    const own = dumpOf('1/a', VIN, 'good');
    const names = async (...found: readonly Placed[]) =>
      (await undecided(found, [own])).map((one) => one.split(':', 1)[0]);
    assert.deepEqual(await names(dumpOf('2/b', VIN)), ['2/b']);
    assert.deepEqual(await names(dumpOf('1/b', OTHER_VIN)), [], 'of another one');
    assert.deepEqual(await names(dumpOf('1/b')), ['1/b'], 'says nothing');
    assert.deepEqual(await names(dumpOf('2/b')), [], 'says nothing, elsewhere');
    assert.deepEqual(await names(dumpOf('1/b', '@vehicle car 7\n')), ['1/b'], 'nobody can compare a VIN with a name');
    assert.deepEqual(await names(dumpOf('1/b', '@vehicle car 7\n@vin 0DEM0T4X5TA020419\n')), []);
  });

  it('are told apart by what people call a vehicle as well', async () => {
    const own = dumpOf('1/a', '@vehicle car 7\n', 'good');
    const names = async (headers: string) => (await undecided([dumpOf('1/b', headers)], [own])).length;
    assert.deepEqual([await names('@vehicle car 7\n'), await names('@vehicle car 8\n'), await names(VIN)], [1, 0, 1]);
  });

  it('are none that a dump in work names as its backup, which is how the module was found', async () => {
    const own = dumpOf('1/a', `${VIN}@backup b.cfgdump\n`, 'good');
    assert.deepEqual(await undecided([dumpOf('1/b.cfgdump', VIN)], [own]), []);
    assert.equal((await undecided([dumpOf('1/c.cfgdump', VIN)], [own])).length, 1);
  });
});
