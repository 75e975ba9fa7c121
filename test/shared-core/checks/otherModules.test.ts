import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase } from '../../../shared-core/src/base/index.js';
import {
  byVehicle,
  currentModules,
  inWork,
  profilesAskedFor,
  sameStand,
} from '../../../shared-core/src/checks/otherModules.js';
import { sameVehicle } from '../../../shared-core/src/model/vehicle.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf({ lines: { from: 1, to: 1, data: 1, sum: 0 } });
const of = (...headers: readonly string[]) => lines(PROFILE, [...headers, '1: 01', ''].join('\n'));
const named = (name: string, ...headers: readonly string[]) => ({ file: name, name, dump: of(...headers) });
const names = (all: readonly { readonly name: string }[]) => all.map(({ name }) => name);

describe('dumps of one vehicle', () => {
  it('have the same VIN, whatever people call it, or one name where not both have a VIN', () => {
    const CASES = [
      [['@vin A'], ['@vin a'], true],
      [['@vin A'], ['@vin B'], false],
      [['@vehicle one'], ['@vehicle ONE'], true],
      [['@vehicle one'], ['@vehicle two'], false],
      [['@vehicle car  one'], ['@vehicle Car one'], true],
      [['@vin A', '@vehicle one'], ['@vin A', '@vehicle two'], true],
      [['@vin A', '@vehicle one'], ['@vin B', '@vehicle one'], false],
      [['@vin A', '@vehicle one'], ['@vehicle one'], true],
      [['@vin A'], ['@vehicle one'], false],
      [['@vin A'], [], false],
      [[], [], false],
      [['@vin A', '@vin B'], ['@vin A'], false],
      [['@vin A', '@vin A'], ['@vin A'], true],
    ] as const;
    for (const [one, other, same] of CASES) {
      assert.equal(sameVehicle(of(...one), of(...other)), same, `${one} / ${other}`);
      assert.equal(sameVehicle(of(...other), of(...one)), same, `${other} / ${one}`);
    }
  });

  it('are grouped in the order of the first of each; one with a VIN and a name joins those with one of them', () => {
    const groups = (...all: readonly ReturnType<typeof named>[]) => byVehicle(all).map(names);
    const [vin, name, both] = [named('v', '@vin A'), named('n', '@vehicle one'), named('b', '@vin A', '@vehicle one')];
    const other = named('o', '@vin B');
    assert.deepEqual(groups(), []);
    assert.deepEqual(groups(other, vin, named('w', '@vin A')), [['o'], ['v', 'w']]);
    assert.deepEqual(groups(vin, other, named('w', '@vin A')), [['v', 'w'], ['o']]);
    assert.deepEqual(groups(vin, other, name, both), [['v', 'n', 'b'], ['o']]);
    assert.deepEqual(groups(both, vin, other, name), [['b', 'v', 'n'], ['o']]);
    assert.deepEqual(groups(named('x'), named('y')), [['x'], ['y']]);
  });

  it('are compared sealed with sealed, and work with work', () => {
    assert.equal(sameStand(of('@seal x'), of('@seal y')), true);
    assert.equal(sameStand(of(), of('@vin A')), true);
    assert.equal(sameStand(of('@seal x'), of()), false);
    assert.equal(sameStand(of(), of('@seal x')), false);
  });
});

describe('the dumps that may be a module as it is now', () => {
  const [work, read, sealed, plain] = [
    named('work', '@backup b'),
    named('read', '@taken 2026-01-01T00:00:00Z'),
    named('sealed', '@seal x'),
    named('plain'),
  ];
  const both = named('both', '@backup b', '@taken 2026-01-01T00:00:00Z');
  const unread = { dump: undefined, why: phrase('gone') } as const;

  it('are all, unless one is in work: then what was only read gives way', () => {
    assert.deepEqual(names(inWork([read, sealed, plain])), ['read', 'sealed', 'plain']);
    assert.deepEqual(names(inWork([read, work, sealed, plain, both])), ['work', 'plain', 'both']);
    assert.deepEqual(names(inWork([both, read])), ['both']);
  });

  it('are joined by files that cannot be read, unless one is in work', () => {
    assert.deepEqual(currentModules([read, unread]), [read, unread]);
    assert.deepEqual(currentModules([unread, read, work]), [work]);
    assert.deepEqual(currentModules([unread]), [unread]);
    assert.deepEqual(currentModules([]), []);
  });
});

describe('the profiles of other modules', () => {
  it('are those that conditions name, each once', () => {
    const condition = (profile: string) => ({ profile: `${profile}.dump-profile.json`, option: 'x', in: [1] });
    const option = (id: string, byte: number, more: object) => ({
      id,
      title: id,
      line: 1,
      byte,
      values: { 0: 'no' },
      ...more,
    });
    const asking = profileOf({
      lines: { from: 1, to: 1, data: 3, sum: 0 },
      options: [
        option('a', 1, { needs: [condition('one'), { option: 'b', in: [0] }] }),
        option('b', 2, { excludes: [condition('two'), condition('one')] }),
        option('c', 3, {}),
      ],
    });
    assert.deepEqual(profilesAskedFor(asking), ['one.dump-profile.json', 'two.dump-profile.json']);
  });
});
