// A profile that a person gives keeps every lock of the one that the dump names, held against each bit by itself.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import {
  whyProfileDropsDemands,
  whyProfileLiftsLocks,
  whyProfilePutsAside,
} from '../../../shared-core/src/workspace/givenProfile.js';
import { profileOf } from '../../support/smallDumps.js';

const COUNT = 6;
const TEXT = '1: 01 02 03 04 05 06\n2: 11 12 13 14 15 16\n';

/** Locked bytes, or the bits of a security option, in a line of six bytes; in an image they are one after the other. */
interface Guard {
  readonly line: number;
  readonly from: number;
  readonly count: number;
  readonly bits?: readonly [number, number] | undefined;
}

const guards = fc.array(
  fc
    .record({
      line: fc.constantFrom(1, 2),
      from: fc.integer({ min: 1, max: COUNT }),
      count: fc.integer({ min: 1, max: 4 }),
      bits: fc.option(fc.tuple(fc.nat(7), fc.nat(7)), { nil: undefined }),
    })
    .map((one): Guard => ({ ...one, count: one.bits ? 1 : Math.min(one.count, COUNT + 1 - one.from) })),
  { maxLength: 4 },
);

const highLow = ([a, b]: readonly [number, number]) => [Math.max(a, b), Math.min(a, b)] as const;

function partsOf(all: readonly Guard[], place: (guard: Guard) => object) {
  const locked = all.filter(({ bits }) => bits === undefined).map((one, i) => ({ ...place(one), why: `lock ${i}` }));
  const options = all.flatMap((one, i) => {
    if (one.bits === undefined) return [];
    const [high, low] = highLow(one.bits);
    return [{ id: `o${i}`, title: `O${i}`, ...place(one), bits: `${high}-${low}`, values: {}, hazard: 'security' }];
  });
  return { locked, options };
}

const inLine = ({ line, from, count }: Guard) =>
  count === 1 ? { line, byte: from } : { line, bytes: `${from}-${from + count - 1}` };
const inImage = ({ line, from, count }: Guard) => ({
  address: (line - 1) * COUNT + from - 1,
  ...(count > 1 && { bytes: count }),
});

/** The profile as it is read, with what its parts contradict each other in left aside. */
function dumpOf(all: readonly Guard[], kind: 'lines' | 'image' | 'shifted', text: string): Dump | undefined {
  try {
    const image = kind === 'image';
    const head = image
      ? { addresses: { from: 0, to: 2 * COUNT - 1 } }
      : { lines: { from: 1, to: 2, data: COUNT - (kind === 'shifted' ? 1 : 0), sum: 0 } };
    const notation = kind === 'shifted' ? { notation: { pattern: '{label}: {skip} {data}' } } : {};
    const profile = profileOf({ ...head, ...notation, ...partsOf(all, image ? inImage : inLine) });
    return bindText(image ? 'a.hex' : 'a.cfgdump', text, profile);
  } catch (error) {
    if (error instanceof assert.AssertionError) return undefined;
    throw error;
  }
}

const maskAt = (all: readonly Guard[], line: number, byte: number) =>
  all
    .filter((one) => one.line === line && one.from <= byte && byte < one.from + one.count)
    .reduce((mask, { bits }) => {
      const [high, low] = highLow(bits ?? [7, 0]);
      return mask | ((2 ** (high - low + 1) - 1) << low);
    }, 0);

/** Whether each protected bit of the own profile is protected by the given one: at its place, and in the digits of the text. */
function keepsAll(given: readonly Guard[], own: readonly Guard[], shift = 0): boolean {
  for (const line of [1, 2])
    for (let byte = 1; byte <= COUNT; byte++) {
      const mask = maskAt(own, line, byte);
      const inDigits = shift === 0 || byte === 1 ? (shift === 0 ? 255 : 0) : maskAt(given, line, byte - shift);
      if ((mask & ~maskAt(given, line, byte) & 255) !== 0 || (mask & ~inDigits & 255) !== 0) return false;
    }
  return true;
}

const RECORDS = ':0C0000000102030405061112131415166A\n:00000001FF\n';

describe('a profile that is given', () => {
  for (const [kind, text] of [
    ['lines', TEXT],
    // What the dump does not hold is locked all the same.
    ['lines', '# nothing\n'],
    ['image', RECORDS],
    ['image', ':00000001FF\n'],
  ] as const)
    it(`is refused exactly where it leaves a protected bit open, of ${kind} in ${text.length} characters`, () => {
      let [refused, taken] = [0, 0];
      fc.assert(
        fc.property(guards, guards, fc.boolean(), (some, own, isMore) => {
          const given = isMore ? [...some, ...own] : some;
          const [byGiven, byOwn] = [dumpOf(given, kind, text), dumpOf(own, kind, text)];
          if (byGiven === undefined || byOwn === undefined) return;
          const why = whyProfileLiftsLocks(byGiven, byOwn);
          assert.equal(why === undefined, keepsAll(given, own), why && say(why));
          if (why === undefined) taken++;
          else refused++;
        }),
        { numRuns: 80 },
      );
      assert.ok(refused > 5 && taken > 5, `${refused} ${taken}`);
    });

  it('that reads the text otherwise is refused exactly where a digit of a protected bit is left open', () => {
    let [refused, taken] = [0, 0];
    const some = guards.map((all) => all.filter(({ from, count }) => from + count <= COUNT && from > 1));
    const wide = some.map((all) =>
      all.map((one): Guard => ({ ...one, from: one.from - 1, count: one.bits ? 1 : one.count + 1 })),
    );
    fc.assert(
      fc.property(wide, some, fc.boolean(), (given, own, isMore) => {
        const both = isMore
          ? [...given, ...own.flatMap((one): readonly Guard[] => [one, { ...one, from: one.from - 1 }])]
          : given;
        const [byGiven, byOwn] = [dumpOf(both, 'shifted', TEXT), dumpOf(own, 'lines', TEXT)];
        if (byGiven === undefined || byOwn === undefined) return;
        const why = whyProfileLiftsLocks(byGiven, byOwn);
        assert.equal(why === undefined, keepsAll(both, own, 1), why && say(why));
        if (why === undefined) taken++;
        else refused++;
      }),
      { numRuns: 150 },
    );
    assert.ok(refused > 5 && taken > 5, `${refused} ${taken}`);
  });

  it('keeps each single bit in the digit of the text that holds it, and no other', () => {
    const bits = (line: number, from: number, bit: number): Guard => ({ line, from, count: 1, bits: [bit, bit] });
    for (let own = 0; own < 8; own++) {
      const byOwn = dumpOf([bits(1, 3, own)], 'lines', TEXT);
      assert.ok(byOwn);
      assert.notEqual(whyProfileLiftsLocks(dumpOf([], 'lines', TEXT) ?? assert.fail(), byOwn), undefined);
      // Where the text does not hold the byte, its place is locked all the same; locked by its place only, its digits are open.
      const [none, absent] = [dumpOf([], 'lines', '# nothing\n'), dumpOf([bits(1, 3, own)], 'lines', '# nothing\n')];
      assert.ok(none && absent);
      assert.notEqual(whyProfileLiftsLocks(none, absent), undefined);
      const byPlace = dumpOf([bits(1, 3, own)], 'shifted', TEXT);
      assert.ok(byPlace);
      assert.notEqual(whyProfileLiftsLocks(byPlace, byOwn), undefined);
      for (let given = 0; given < 8; given++) {
        // Byte 3 of the line is the second one that a profile reads which passes over the first.
        const byGiven = dumpOf([bits(1, 3, own), bits(1, 2, given)], 'shifted', TEXT);
        assert.ok(byGiven);
        assert.equal(whyProfileLiftsLocks(byGiven, byOwn) === undefined, own === given, `${own} ${given}`);
      }
    }
  });

  it('is told the first byte that it leaves open, and what the own profile says of it', () => {
    const why = (given: readonly Guard[], own: readonly Guard[], kind: 'lines' | 'image' = 'lines') => {
      const [a, b] = [
        dumpOf(given, kind, kind === 'lines' ? TEXT : RECORDS),
        dumpOf(own, kind, kind === 'lines' ? TEXT : RECORDS),
      ];
      assert.ok(a && b);
      const said = whyProfileLiftsLocks(a, b);
      return said === undefined
        ? ''
        : say(said).replace(/^The profile that was given leaves (.*) open, .* protects \((.*)\)\..*/, '$1 $2');
    };
    const lock = (line: number, from: number, count = 1): Guard => ({ line, from, count });
    assert.equal(why([], [lock(2, 3)]), 'byte 3 of line 2 "lock 0"');
    assert.equal(why([lock(1, 1, 2), lock(1, 4)], [lock(1, 1, 4)]), 'byte 3 of line 1 "lock 0"');
    assert.equal(why([lock(1, 4), lock(1, 1, 2)], [lock(1, 1, 4)]), 'byte 3 of line 1 "lock 0"');
    assert.equal(why([lock(1, 3), lock(1, 1)], [lock(1, 1, 4)]), 'byte 2 of line 1 "lock 0"');
    assert.equal(why([lock(1, 2, 4)], [lock(1, 1, 4)]), 'byte 1 of line 1 "lock 0"');
    assert.equal(why([lock(1, 1, 3)], [lock(1, 1, 4)]), 'byte 4 of line 1 "lock 0"');
    assert.equal(why([lock(2, 1, 4)], [lock(1, 1, 4)]), 'byte 1 of line 1 "lock 0"');
    assert.equal(why([], [{ line: 1, from: 2, count: 1, bits: [7, 4] }]), 'byte 2 of line 1 "O0"');
    assert.equal(why([], [lock(2, 5)], 'image'), 'address 000A "lock 0"');
  });

  it('puts no byte aside that the own profile does not', () => {
    const aside = (given: readonly Guard[], own: readonly Guard[], kind: 'lines' | 'image' = 'lines') => {
      const dump = (all: readonly Guard[]) => {
        const volatile = all.map((one): object => (kind === 'lines' ? inLine(one) : inImage(one)));
        const head =
          kind === 'lines' ? { lines: { from: 1, to: 2, data: COUNT, sum: 0 } } : { addresses: { from: 0, to: 11 } };
        return bindText(
          kind === 'lines' ? 'a.cfgdump' : 'a.hex',
          kind === 'lines' ? TEXT : RECORDS,
          profileOf({ ...head, volatile }),
        );
      };
      const said = whyProfilePutsAside(dump(given), dump(own));
      return said === undefined
        ? ''
        : say(said).replace(/^The profile that was given says that (.*) changes by itself.*/, '$1');
    };
    const at = (line: number, from: number, count = 1): Guard => ({ line, from, count });
    assert.equal(aside([], [at(1, 1)]), '');
    assert.equal(aside([at(1, 2, 2)], [at(1, 1, 4)]), '');
    assert.equal(aside([at(1, 2, 3)], [at(1, 1, 2), at(1, 3, 2)]), '');
    assert.equal(aside([at(1, 2, 3)], [at(1, 1, 3)]), 'byte 2 of line 1');
    assert.equal(aside([at(1, 2), at(2, 2)], [at(1, 2)]), 'byte 2 of line 2');
    assert.equal(aside([at(2, 5)], [at(1, 5)], 'image'), 'address 000A');
  });
});

describe('a profile that a person gives keeps what the own one says', () => {
  const FOG = {
    id: 'fog',
    title: 'Fog lamps',
    line: 1,
    bytes: '1-2',
    number: {},
    needs: [{ option: 'rear', in: [1, 2] }],
  };
  const REAR = { id: 'rear', title: 'Rear lamp', line: 1, bytes: '3-4', number: {} };
  const SPEED = { id: 'speed', title: 'Speed limit', line: 2, byte: 1, number: {}, hazard: ['braking', 'steering'] };
  const OWN = [FOG, REAR, SPEED];
  const dump = (options: readonly object[], more: object = {}) =>
    bindText('a.cfgdump', TEXT, profileOf({ lines: { from: 1, to: 2, data: COUNT, sum: 0 }, options, ...more }));
  const drops = (options: readonly object[], more: object = {}, own: readonly object[] = OWN) => {
    const why = whyProfileDropsDemands(dump(options, more), dump(own));
    return why && /"([^"]*)"/.exec(say(why))?.[1];
  };
  const OTHERWISE: readonly (readonly [string, object])[] = [
    ['of bits in another order of bytes', { order: 'little' }],
    ['of bits from last to first', { reversed: 'bits' }],
    ['of nibbles that are exchanged', { swapped: 'nibbles' }],
    ['at other bytes', { line: 2, bytes: '3-4' }],
  ];

  it('of all that is there, whatever else it says', () => {
    assert.equal(drops(OWN), undefined);
    assert.equal(drops([...OWN].reverse(), { locked: [{ line: 2, byte: 6, why: 'also' }] }), undefined);
    assert.equal(drops([{ ...FOG, needs: [{ option: 'rear', in: [2, 1] }] }, REAR, SPEED]), undefined);
    assert.equal(drops([], {}, [REAR]), undefined, 'an option without demands may be missing');
  });

  it('of what an option needs or excludes', () => {
    assert.equal(drops([REAR, SPEED]), 'Fog lamps');
    assert.equal(drops([{ ...FOG, needs: [] }, REAR, SPEED]), 'Fog lamps');
    assert.equal(drops([{ ...FOG, needs: [{ option: 'rear', in: [1] }] }, REAR, SPEED]), 'Fog lamps');
    assert.equal(drops([{ ...FOG, needs: [], excludes: FOG.needs }, REAR, SPEED]), 'Fog lamps');
    const other = [{ profile: 'b.dump-profile.json', option: 'rear', in: [1, 2] }];
    assert.equal(drops([{ ...FOG, needs: other }, REAR, SPEED]), 'Fog lamps');
    assert.equal(drops([{ ...FOG, needs: other }, SPEED], {}, [{ ...FOG, needs: other }, SPEED]), undefined);
  });
  for (const [how, more] of OTHERWISE)
    it(`of which options it means: they are not those ${how}`, () => {
      assert.equal(drops([{ ...FOG, ...more }, REAR, SPEED]), 'Fog lamps');
      assert.equal(drops([FOG, { ...REAR, ...more }, SPEED]), 'Fog lamps');
    });

  it('of each thing that a wrong setting can harm, at each of its bits; what is locked can harm nothing', () => {
    assert.equal(drops([FOG, REAR, { ...SPEED, hazard: 'braking' }]), 'Speed limit');
    assert.equal(drops([FOG, REAR, { ...SPEED, bits: '6-0' }]), 'Speed limit');
    assert.equal(drops([FOG, REAR], { locked: [{ line: 2, byte: 1, why: 'never' }] }), undefined);
    const parted = ['7-4', '3-0'].map((bits) => ({ ...SPEED, id: `s${bits}`, title: bits, bits }));
    assert.equal(drops([FOG, REAR, ...parted]), undefined);
  });
});
