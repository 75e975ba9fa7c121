// What is found in memory images, piece by piece, over images in which it was planted: where it is, as what, and never where it is not.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { fillersIn } from '../../../shared-core/src/learn/learnImage/fillers.js';
import { byteStatistics } from '../../../shared-core/src/learn/learnImage/imageEvidence.js';
import {
  addressAt,
  type Images,
  imagesAlike,
  isInOne,
  segmentAt,
  storedAt,
} from '../../../shared-core/src/learn/learnImage/images.js';
import { naturalEnds, roundness } from '../../../shared-core/src/learn/learnImage/naturalEnds.js';
import { repeatSteps } from '../../../shared-core/src/learn/learnImage/repeats.js';
import { slotSteps } from '../../../shared-core/src/learn/learnImage/risingSlots.js';
import { dateSteps, textSteps } from '../../../shared-core/src/learn/learnImage/textsAndDates.js';
import { numbers } from './dumps.js';

/** Images of noise, each of its own, with something planted in each. */
function planted(
  count: number,
  length: number,
  plant: (bytes: Uint8Array, car: number) => void,
  seed = 1,
  address = 0,
): Images {
  const next = numbers(seed);
  const given = Array.from({ length: count }, (_, car) => {
    // From 0x80 on: neither characters nor digits of a date.
    const bytes = Uint8Array.from({ length }, () => 0x9a + next(0x60));
    plant(bytes, car);
    return { name: `${car}`, parts: [{ address, bytes }] };
  });
  return imagesAlike(given).images;
}
const put = (bytes: Uint8Array, at: number, values: readonly number[] | string) =>
  bytes.set(typeof values === 'string' ? Buffer.from(values, 'latin1') : values, at);

describe('the addresses of images', () => {
  const part = (address: number, ...bytes: number[]) => ({ address, bytes: Uint8Array.from(bytes) });
  const images = imagesAlike([
    { name: 'a', parts: [part(0x20, 5, 6), part(0x10, 1, 2), part(0x12, 3)] },
    { name: 'b', parts: [part(0x10, 7, 8, 9), part(0x20, 1, 2), part(0x21, 9)] },
    { name: 'c', parts: [part(0x11, 1, 2, 3), part(0x20, 1, 2)] },
  ]);

  it('are those of most of them, parts in rising order and what follows on joined; the others are named', () => {
    assert.deepEqual(images.others, ['c']);
    assert.deepEqual(images.images.names, ['a', 'b']);
    assert.deepEqual(images.images.segments, [
      { address: 0x10, from: 0, count: 3 },
      { address: 0x20, from: 3, count: 2 },
    ]);
    assert.deepEqual(
      images.images.bytes.map((one) => [...one]),
      [
        [1, 2, 3, 5, 6],
        [7, 8, 9, 1, 2],
      ],
    );
  });

  it('go on from byte to byte in a stretch, and the end of one is behind its last byte', () => {
    assert.deepEqual(
      [0, 2, 3, 4, 5].map((at) => addressAt(images.images, at)),
      [0x10, 0x12, 0x20, 0x21, 0x22],
    );
    assert.deepEqual(
      [2, 3].map((at) => segmentAt(images.images, at)?.address),
      [0x10, 0x20],
    );
    assert.equal(segmentAt(images.images, 5), undefined);
    const isIn = (from: number, end: number) => isInOne(images.images, from, end);
    assert.deepEqual(
      [isIn(0, 3), isIn(0, 4), isIn(3, 5), isIn(3, 6), isIn(2, 2), isIn(5, 6)],
      [true, false, true, false, false, false],
    );
  });

  it('end roundly where they end in zeros, and numbers are read in either order', () => {
    assert.deepEqual([1, 2, 0x10, 0x1000, 0x1001].map(roundness), [0, 1, 4, 12, 0]);
    const bytes = Uint8Array.of(1, 2, 3, 4);
    assert.deepEqual(
      [storedAt(bytes, 1, 2, 'big'), storedAt(bytes, 1, 2, 'little'), storedAt(bytes, 0, 4, 'little')],
      [0x203, 0x302, 0x4030201],
    );
  });
});

describe('filler', () => {
  it('is sixteen bytes of one value or more that all images hold, and is looked behind', () => {
    const images = planted(2, 200, (bytes, car) => {
      bytes.fill(0xff, 20, 36);
      bytes.fill(0, 60, 75);
      bytes.fill(0, 100, 140);
      bytes.fill(0xff, 140, 160);
      bytes[120] = car;
    });
    assert.deepEqual(
      fillersIn(images).filter(({ value }) => value === 0 || value === 0xff),
      [
        { from: 100, end: 120, value: 0 },
        { from: 140, end: 160, value: 0xff },
        { from: 121, end: 140, value: 0 },
        { from: 20, end: 36, value: 0xff },
      ],
    );
    const ends = naturalEnds(
      planted(1, 64, (bytes) => bytes.fill(0xff, 40, 64)),
      [{ from: 40, end: 64 }],
    );
    assert.deepEqual(ends, { outer: [0, 40, 64], all: [0, 16, 32, 40, 48, 64] });
    assert.deepEqual(
      naturalEnds(
        planted(1, 64, (bytes) => bytes.fill(0xff, 0, 24)),
        [{ from: 0, end: 24 }],
      ).outer,
      [0, 24, 64],
    );
  });
});

describe('texts', () => {
  const texts = (...all: readonly string[]) =>
    finish(textSteps(planted(all.length, 400, (bytes, car) => put(bytes, 30, all[car] ?? '')))).map(
      ({ from, end, text }) => [from, end, text],
    );

  it('are five characters or more that all images have, with the ends that they have together', () => {
    assert.deepEqual(texts('MODEL X7', 'MODEL Y9'), [[30, 38, 'MODEL X7']]);
    assert.deepEqual(texts('MODEL X7 plus', 'MODEL Y9'), [[30, 38, 'MODEL X7']]);
    assert.deepEqual(texts('MODS', 'MODS'), []);
    assert.deepEqual(texts('MODEL', 'DELTA'), [[30, 35, 'MODEL']]);
  });

  it('are words: no one character over and over, no signs alone, no curve', () => {
    for (const none of ['AAAAAAAAAA', 'ABABABABAB', '(/&%(=)/%&', 'ABCDEFGHIJ', 'zyxwvutsrq', 'ABCDE'])
      assert.deepEqual(texts(none, none), [], none);
    assert.equal(texts('AXBYCZAWBV', 'AXBYCZAWBV').length, 1);
  });

  it('say the more the more of them differs from image to image, and the rarer characters are', () => {
    const chance = (...all: readonly string[]) =>
      finish(textSteps(planted(all.length, 400, (bytes, car) => put(bytes, 30, all[car] ?? ''))))[0]?.chance ?? 1;
    assert.ok(chance('K7-MODEL', 'K7-MODEL') > chance('K7-MODEL', 'Q3-FORTY'));
    assert.equal(chance('K7-MODEL', 'K7-MODEL'), chance('K7-MODEL', 'K7-MODEL', 'K7-MODEL'));
  });
});

describe('dates', () => {
  const dates = (length: number, ...all: readonly (readonly number[])[]) =>
    finish(dateSteps(planted(all.length, length, (bytes, car) => put(bytes, 50, all[car] ?? [])))).map(
      ({ from, end, form, others, values }) => [from, end, form, others.length, values],
    );

  it('are days that there are, in a form that fits in all images', () => {
    const two = [
      [0x20, 0x24, 0x12, 0x31],
      [0x19, 0x99, 0x02, 0x28],
    ] as const;
    assert.deepEqual(dates(300, ...two), [[50, 54, 'YYYYMMDD', 0, 2]]);
    const turned = two.map(([a, b, c, d]) => [d, c, a, b]);
    assert.deepEqual(dates(300, ...turned), [[50, 54, 'DDMMYYYY', 0, 2]]);
    for (const none of [
      [0x20, 0x24, 0x13, 0x31],
      [0x20, 0x24, 0x02, 0x30],
      [0x20, 0x24, 0x04, 0x31],
      [0x20, 0x24, 0x00, 0x31],
      [0x20, 0x24, 0x12, 0x00],
      [0x19, 0x79, 0x12, 0x3a],
    ])
      assert.deepEqual(
        dates(300, two[0], none).filter(([, , form]) => form === 'YYYYMMDD'),
        [],
        none.join(),
      );
    // Years that a date of ours has: 1980 to 2079; beside one of the other century, as a byte that stays says nothing.
    const year = (beside: readonly number[], ...digits: readonly [number, number]) =>
      dates(300, beside, [...digits, 0x01, 0x02]).filter(([, , form]) => form === 'YYYYMMDD').length;
    const [late, early] = two;
    assert.deepEqual(
      [year(late, 0x19, 0x80), year(late, 0x19, 0x79), year(early, 0x20, 0x79), year(early, 0x20, 0x80)],
      [1, 0, 1, 0],
    );
  });

  it('may be in several orders, which are told, the likeliest first', () => {
    const [found] = dates(300, [0x10, 0x11, 0x12], [0x09, 0x08, 0x07]);
    assert.deepEqual(found?.slice(0, 2), [50, 53]);
    assert.ok((found?.[3] as number) > 0);
    const [one] = dates(300, [0x31, 0x12, 0x24], [0x30, 0x01, 0x99]);
    assert.deepEqual(one, [50, 53, 'DDMMYY', 0, 2]);
  });
});

describe('copies in images', () => {
  const found = (images: Images) => finish(repeatSteps(images, byteStatistics(images)));

  it('are bytes that vary and come again in every image, as they are or inverted, with round ends', () => {
    const images = planted(4, 512, (bytes) => {
      bytes.copyWithin(0x100, 0x40, 0x60);
      for (let i = 0; i < 0x20; i++) bytes[0x180 + i] = (bytes[0x40 + i] as number) ^ 0xff;
    });
    const [same, inverted] = found(images)
      .filter(({ chance }) => chance < 1e-6)
      .sort((a, b) => Number(a.isInverted) - Number(b.isInverted));
    assert.deepEqual([same?.first, same?.at, same?.isInverted], [{ from: 0x40, end: 0x60 }, [0x100], false]);
    assert.deepEqual([inverted?.first, inverted?.at, inverted?.isInverted], [{ from: 0x40, end: 0x60 }, [0x180], true]);
  });

  it('are one where they are at several places, and none where one image has them not', () => {
    const at = [0x80, 0x100, 0x180];
    const images = planted(4, 512, (bytes) => {
      for (const to of at) bytes.copyWithin(to, 0x20, 0x30);
    });
    assert.deepEqual(
      found(images).map(({ first, at: others }) => [first.from, first.end, others]),
      [[0x20, 0x30, at]],
    );
    const but = planted(4, 512, (bytes, car) => {
      if (car !== 2) bytes.copyWithin(0x100, 0x20, 0x30);
    });
    assert.deepEqual(found(but), []);
  });

  it('of bytes that never vary are worth a word from 32 bytes on, and prove nothing', () => {
    const constant = (length: number) =>
      planted(3, 512, (bytes) => {
        for (let i = 0; i < length; i++) bytes[0x40 + i] = bytes[0x100 + i] = (7 * i * i + 3) & 0xff;
      });
    assert.deepEqual(
      found(constant(32)).map(({ first, at, chance }) => [first.end - first.from, at, chance]),
      [[32, [0x100], 1]],
    );
    assert.deepEqual(found(constant(31)), []);
  });

  it('are the less likely to be an accident the fewer others were looked at', () => {
    const chance = (others: number) =>
      found(
        planted(3, 2048, (bytes) => {
          bytes.copyWithin(0x100, 0x40, 0x48);
          for (let i = 0; i < others; i++) bytes.copyWithin(0x400 + 24 * i, 0x180 + 13 * i, 0x18c + 13 * i);
        }),
      ).find(({ first }) => first.from === 0x40)?.chance ?? 0;
    assert.ok(chance(40) > 10 * chance(0), `${chance(40)} ${chance(0)}`);
  });
});

describe('records that are written in turn', () => {
  const slots = (images: Images) =>
    finish(slotSteps(images, byteStatistics(images))).map(({ from, length, count, width, order, moves }) => ({
      from,
      length,
      count,
      width,
      order,
      moves,
    }));
  /** The numbers of each image's records, 32 bytes apart. */
  const ring = (width: 1 | 2, order: 'big' | 'little', ...all: readonly (readonly number[])[]) =>
    planted(all.length, 512, (bytes, car) => {
      for (const [i, number] of (all[car] ?? []).entries()) {
        const digits = width === 1 ? [number & 0xff] : [number >> 8, number & 0xff];
        put(bytes, 0x42 + 32 * i, order === 'big' ? digits : digits.reverse());
      }
    });

  it('have a number that rises by one from record to record but for one step back, in whatever order its bytes are', () => {
    for (const order of ['big', 'little'] as const)
      assert.deepEqual(
        slots(
          ring(
            2,
            order,
            [0x1204, 0x1205, 0x1202, 0x1203],
            [0x3341, 0x3342, 0x3343, 0x3340],
            [0x7777, 0x7774, 0x7775, 0x7776],
          ),
        ),
        [{ from: 0x42, length: 32, count: 4, width: 2, order, moves: true }],
      );
  });

  it('go round, and are of a table where they are the same in all images', () => {
    const around = slots(
      ring(2, 'big', [0xffff, 0, 0xfffd, 0xfffe], [1, 0xfffe, 0xffff, 0], [0x4001, 0x4002, 0x3fff, 0x4000]),
    );
    assert.deepEqual(
      around.map(({ from, count }) => [from, count]),
      [[0x42, 4]],
    );
    const table = slots(ring(2, 'big', ...Array.from({ length: 3 }, () => [0x1201, 0x1202, 0x1203, 0x1204, 0x1205])));
    assert.deepEqual(
      table.map(({ from, count, moves }) => [from, count, moves]),
      [[0x42, 5, false]],
    );
  });

  it('are none where a number is out of turn, or there are but two', () => {
    assert.deepEqual(
      slots(
        ring(
          2,
          'big',
          [0x1204, 0x1206, 0x1202, 0x1203],
          [0x3341, 0x3342, 0x3343, 0x3340],
          [0x7777, 0x7774, 0x7775, 0x7776],
        ),
      ),
      [],
    );
    assert.deepEqual(slots(ring(2, 'big', [0x1204, 0x1205], [0x3341, 0x3342], [0x7777, 0x7778])), []);
  });
});
