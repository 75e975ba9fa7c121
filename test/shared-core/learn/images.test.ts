import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { hex, hexBytes } from '../../../shared-core/src/base/hex.js';
import { bytesOfNumber } from '../../../shared-core/src/base/number.js';
import { say } from '../../../shared-core/src/base/phrase.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { checkDump } from '../../../shared-core/src/checks/checkDump.js';
import { valueOver } from '../../../shared-core/src/checksum/checksum.js';
import { checksumOf } from '../../../shared-core/src/checksum/registry.js';
import { learn, learnSteps } from '../../../shared-core/src/learn/learn.js';
import { crcDivisions, crcSums } from '../../../shared-core/src/learn/learnImage/crcSums.js';
import { imagesAlike, storedAt } from '../../../shared-core/src/learn/learnImage/images.js';
import { modularSums } from '../../../shared-core/src/learn/learnImage/modularSums.js';
import type { RangeSum } from '../../../shared-core/src/learn/learnImage/rangeSum.js';
import { WIDTHS, waysToSum } from '../../../shared-core/src/learn/learnImage/searchPlan.js';
import type { Learning } from '../../../shared-core/src/learn/learning.js';
import { bindText } from '../../../shared-core/src/model/dump.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';
import { intelHex } from '../../scoring/scoreImage.js';
import { loaded } from '../../support/loaded.js';
import { numbers } from './dumps.js';

const texts = (images: readonly Uint8Array[]) =>
  images.map((bytes, i) => ({ name: `${i}.hex`, text: intelHex(bytes) }));

/** Images that differ in some bytes of each, with what each of them gets in the end. */
function images(
  count: number,
  size: number,
  finishOne: (bytes: Uint8Array, car: number) => void,
  seed = 1,
): Uint8Array[] {
  const next = numbers(seed);
  const base = Uint8Array.from({ length: size }, () => (next(3) === 0 ? 0xff : next(256)));
  const own = Array.from({ length: 30 }, () => next(size));
  return Array.from({ length: count }, (_, car) => {
    const bytes = Uint8Array.from(base);
    for (const at of own) bytes[at] = next(256);
    finishOne(bytes, car);
    return bytes;
  });
}

const said = ({ findings = [] }: Learning, kind: string) =>
  findings.filter((one) => one.kind === kind).map((one) => say(one.said));

function draftOf(learning: Learning) {
  const [best] = learning.candidates;
  assert.ok(best);
  const reading = readProfile(JSON.stringify(best.profile));
  assert.deepEqual(reading.problems, []);
  return { best, profile: reading.profile };
}

describe('ways to sum a range by what is known of its ends', () => {
  const next = numbers(5);
  const length = 96;
  const given = Array.from({ length: 2 }, (_, i) => ({
    name: String(i),
    parts: [{ address: 0, bytes: Uint8Array.from({ length }, () => next(256)) }],
  }));
  const { images: two } = imagesAlike(given);
  const ends = Array.from({ length: length + 1 }, (_, end) => end);

  const isRight = (sum: RangeSum, from: number, end: number, place: number | undefined) => {
    const checksum = checksumOf(sum.spec);
    for (const [image, bytes] of two.bytes.entries()) {
      const run = [...bytes.subarray(from, end)].filter(
        (_, i) => place === undefined || from + i < place || from + i >= place + sum.width,
      );
      const value = Number(valueOver(checksum, Uint8Array.from(run)));
      const start = place === undefined ? sum.startKeys[image]?.[from] : sum.holeKey(image, from, place);
      const what = `${JSON.stringify(sum.spec, (_, v) => (typeof v === 'bigint' ? String(v) : v))} ${sum.order} ${from} to ${end} ${place}`;
      assert.equal(sum.endKey(image, end, value | 0), start, what);
      assert.notEqual(sum.endKey(image, end, (value ^ 1) | 0), start, what);
    }
  };

  for (const width of WIDTHS)
    it(`${width} bytes: the value of each range is the one whose key fits, with or without a hole; all ways are counted`, () => {
      const sums = [
        ...finish(modularSums(two, width)),
        ...crcDivisions(width).flatMap((division) => finish(crcSums(two, division, ends))),
      ];
      assert.equal(sums.length, waysToSum(width));
      for (const sum of sums) {
        for (let i = 0; i < 12; i++) {
          const from = next(40);
          const end = from + sum.unit * (2 + next(Math.floor(50 / sum.unit)));
          isRight(sum, from, end, undefined);
          const place = from + sum.unit * next(Math.floor((end - from - width) / sum.unit) + 1);
          if (place > from && place + width < end) isRight(sum, from, end, place);
        }
        for (const [image, bytes] of two.bytes.entries()) {
          const known = sum.endKeys?.(image);
          for (const end of known === undefined ? [] : ends.slice(0, -width)) {
            const key = sum.endKey(image, end, storedAt(bytes, end, width, sum.order));
            assert.equal((known?.ofImage[end] ?? 0) ^ (known?.ofSum?.[end] ?? 0), key, `${end} of ${image}`);
          }
        }
      }
    });
});

describe('learning from memory images', function () {
  this.timeout(120_000);

  it('holds no sum of lines that may well be an accident: of small images that are nearly all 00', () => {
    const learned = (pairs: readonly (readonly [number, number])[]) =>
      learn(
        pairs.map(([one, two], image) => {
          const bytes = new Uint8Array(64);
          for (const [at, byte] of [
            [16, one],
            [20, two],
            [31, one + two],
          ] as const)
            bytes[at] = byte;
          const rows = [0, 16, 32, 48].map((at) => `${at}: ${hexBytes(bytes.subarray(at, at + 16), ' ')}`);
          return { name: `${image}`, text: `${rows.join('\n')}\n` };
        }),
      );
    // One byte is the sum of two others, by accident or not: these few small numbers cannot tell.
    const few = learned([
      [1, 2],
      [2, 1],
      [3, 4],
      [1, 5],
      [2, 2],
      [4, 1],
    ]);
    assert.deepEqual(
      few.candidates.map(({ profile }) => profile.lineSum),
      [undefined],
    );
  });

  const crc16 = checksumOf({
    method: 'crc',
    model: 'CRC-16/ARC',
    width: 16,
    poly: 0x8005n,
    init: 0n,
    refin: true,
    refout: true,
    xorout: 0n,
  });

  it('finds a stored sum over a range of which start, end, place and method are not known; other images follow the draft', () => {
    const all = images(9, 1024, (bytes) => {
      bytes.set(bytesOfNumber(valueOver(crc16, bytes.subarray(0x123, 0x287)), 2, 'little'), 0x287);
    });
    const learning = learn(texts(all.slice(0, 6)));
    const { best, profile } = draftOf(learning);
    assert.deepEqual(best.profile.totals, [
      {
        name: 'file sum',
        address: '0x287',
        method: 'crc',
        model: 'CRC-16/ARC',
        order: 'little',
        over: [{ from: '0x123', to: '0x286' }],
      },
    ]);
    assert.ok(best.chance < 1e-6);
    assert.deepEqual(said(learning, 'sum'), ['CRC-16/ARC, low byte first, over 0123 to 0286; at address 0287']);
    for (const bytes of all.slice(6)) {
      const dump = bindText('new.hex', intelHex(bytes), profile);
      assert.deepEqual(checkDump(loaded(dump, { kind: 'read' }, { kind: 'none' })), []);
    }
  });

  it('calls a sum that one image shows no more than a guess, and says of a single one that more images help', () => {
    const one = images(1, 512, (bytes) => {
      bytes.set(bytesOfNumber(valueOver(crc16, bytes.subarray(0, 510)), 2, 'big'), 510);
    });
    const { candidates, remarks } = learn(texts(one));
    for (const total of candidates[0]?.profile.totals ?? [])
      assert.equal((total as { confidence?: string }).confidence, 'guess');
    const none = learn(texts(images(1, 512, () => undefined)));
    assert.match(none.remarks.map((remark) => say(remark)).join(), /Several images of the same kind/);
    assert.ok(remarks.length <= 1);
  });

  it('names no sum where a byte comes again that is all that varies in a range', () => {
    for (const seed of [1, 2, 3, 4, 5]) {
      const learning = learn(
        texts(
          images(
            6,
            512,
            (bytes, car) => {
              bytes.fill(0, 0x80, 0xc0);
              bytes[0x90] = 0x31 * car;
              bytes[0xbf] = 0x31 * car;
            },
            seed,
          ),
        ),
      );
      assert.deepEqual(said(learning, 'sum'), []);
    }
  });

  it('finds copies, inverted ones too, by the bytes in them that vary; what stays the same in all images is no copy', () => {
    const all = images(4, 1024, (bytes, car) => {
      bytes.set([1, 2, 3, 4, 5, 6, 7, car, 9, 10, 11, 12, 13 * car, 14, 15, 16], 0x40);
      bytes.set(bytes.subarray(0x40, 0x50), 0x200);
      for (let i = 0; i < 16; i++) bytes[0x300 + i] = 0xff ^ (bytes[0x40 + i] as number);
      const constant = Array.from({ length: 40 }, (_, i) => (i * 37) & 0xff);
      bytes.set(constant, 0x100);
      bytes.set(constant, 0x180);
    });
    const learning = learn(texts(all));
    const { profile } = draftOf(learning);
    assert.deepEqual(
      profile.copies.map(({ places, isInverted }) => [
        isInverted,
        ...places.map(([run]) => (run?.kind === 'address' ? hex(run.address, 3) : '')),
      ]),
      // In a profile a byte is a copy of others once.
      [[false, '040', '200']],
    );
    assert.match(said(learning, 'copy').join('\n'), /^copy of 0040 to 004F \(16 bytes\): at 0200$/m);
    assert.match(said(learning, 'copy').join('\n'), /^inverted copy of 0040 to 004F \(16 bytes\): at 0300$/m);
    assert.match(
      said(learning, 'copy').join('\n'),
      /0100 to 012[78] \(4[01] bytes\) again at 0180; nothing in it varies/,
    );
  });

  it('tells filler, texts, dates and records with a rising number, each with a chance', () => {
    const all = images(6, 1024, (bytes, car) => {
      bytes.fill(0xff, 0x200, 0x300);
      bytes[0x1ff] = 1;
      bytes[0x300] = 1;
      bytes.set([1, ...new TextEncoder().encode('UNIT 12-340 REV B'), 0], 0x1f);
      bytes.set([0x04 + car, 0x11, 0x20, 0x19 - (car % 2)], 0x68);
      for (let slot = 0; slot < 5; slot++)
        bytes.set([0x12, 0x30 + car - ((car + 5 - slot) % 5), 7 * slot, car], 0x100 + 16 * slot);
    });
    const learning = learn(texts(all));
    draftOf(learning);
    assert.match(said(learning, 'filler').join(), /filler FF from 0200 to 02FF/);
    assert.match(said(learning, 'text').join(), /text at 0020, 17 characters: "UNIT 12-340 REV B"/);
    assert.match(said(learning, 'date').join(), /date in BCD as DDMMYYYY at 0068: 04 11 20 19/);
    assert.match(said(learning, 'slots').join(), /rises by one in 5 records, 16 bytes apart: 2 bytes, first at 0100/);
    for (const { chance } of learning.findings ?? []) assert.ok(chance > 0 && chance <= 1);
  });

  it('leaves out images of other addresses, and says which', () => {
    const all = [...images(3, 512, () => undefined), ...images(1, 256, () => undefined)];
    const { remarks, candidates } = learn(texts(all));
    assert.match(remarks.map((remark) => say(remark)).join(), /other addresses: 3\.hex/);
    assert.deepEqual(candidates[0]?.profile.addresses, { from: '0x0', to: '0x1FF' });
  });

  it('goes in steps, so that it can be given up between two', () => {
    let steps = 0;
    for (const search = learnSteps(texts(images(3, 2048, () => undefined))); search.next().done !== true; ) steps++;
    assert.ok(steps > 300, String(steps));
  });
});
