// Which dumps are of one vehicle, and what people call it: what is planned for one car is written into no other.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { calledIn, vehicleInWords, vehiclesOf, vehiclesWith } from '../../../shared-core/src/jobs/vehicles.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';

const headed = (path: string, head = '', profileFile = 'file:///p') => ({
  file: `file:///${path}`,
  name: path.split('/').at(-1) ?? '',
  dump: bindText('x.cfgdump', `${head}1: 00\n`, EMPTY_PROFILE),
  profileFile,
});
const VAN = '@vehicle van\n';
const VIN = '@vin 0DEM0T4X5TA020418\n';

describe('a vehicle', () => {
  it('is told from others by its VIN, else by what people call it, else by the file of its one dump', () => {
    const called = (...heads: readonly string[]) => {
      const { id, title, vin } = calledIn(heads.map((head, i) => headed(`car/${i}.cfgdump`, head)));
      return [id, title, vin];
    };
    assert.deepEqual(called(VAN + VIN), ['0DEM0T4X5TA020418', 'van', '0DEM0T4X5TA020418']);
    assert.deepEqual(called(VAN, VIN), ['0DEM0T4X5TA020418', 'van', '0DEM0T4X5TA020418']);
    assert.deepEqual(called(VIN), ['0DEM0T4X5TA020418', '0DEM0T4X5TA020418', '0DEM0T4X5TA020418']);
    assert.deepEqual(called('', VAN), ['van', 'van', undefined]);
    assert.deepEqual(called(''), ['file:///car/0.cfgdump', '0.cfgdump', undefined]);
    assert.deepEqual(called(), ['', '', undefined]);
  });

  it('is named with its VIN where that says more', () => {
    assert.equal(vehicleInWords({ title: 'van', vin: 'V' }), 'van (V)');
    assert.equal(vehicleInWords({ title: 'V', vin: 'V' }), 'V');
    assert.equal(vehicleInWords({ title: 'van' }), 'van');
  });

  it('has the dumps that say so, and is of a retrofit where one of them has its profile', () => {
    const dumps = [
      headed('a.cfgdump', VAN),
      headed('b.cfgdump', '@vehicle bus\n', 'file:///q'),
      headed('c.cfgdump', VAN, 'file:///q'),
    ];
    assert.deepEqual(
      vehiclesOf(dumps).map(({ title, dumps: own }) => [title, own.map(({ name }) => name)]),
      [
        ['van', ['a.cfgdump', 'c.cfgdump']],
        ['bus', ['b.cfgdump']],
      ],
    );
    const titles = (...profiles: readonly string[]) => vehiclesWith(dumps, profiles).map(({ title }) => title);
    assert.deepEqual(titles('file:///p'), ['van']);
    assert.deepEqual(titles('file:///q'), ['van', 'bus']);
    assert.deepEqual(titles('file:///r'), []);
  });

  it('has dumps of one name in several folders with as many folders before it as tell them apart', () => {
    const names = (...paths: readonly string[]) =>
      vehiclesOf(paths.map((path) => headed(path, VAN))).flatMap(({ dumps }) => dumps.map(({ name }) => name));
    assert.deepEqual(names('car/a', 'car/b'), ['a', 'b']);
    assert.deepEqual(names('car/one/a', 'car/two/a', 'car/one/b'), ['one/a', 'two/a', 'b']);
    assert.deepEqual(names('one/x/a', 'two/x/a'), ['one/x/a', 'two/x/a']);
    assert.deepEqual(names('one/x/a', 'two/x/a', 'two/y/a'), ['one/x/a', 'two/x/a', 'y/a']);
    assert.deepEqual(names('my%20car/a', 'b/a'), ['my car/a', 'b/a']);
  });
});
