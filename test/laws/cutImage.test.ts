import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hex } from '../../shared-core/src/base/index.js';
import { checkDump, isGood, verdictOf } from '../../shared-core/src/checks/index.js';
import { dumpText } from '../../shared-core/src/format/dumpText.js';
import { type Notation, readRows } from '../../shared-core/src/format/index.js';
import { intelHex } from '../../shared-core/src/format/intelHex.js';
import { isImage } from '../../shared-core/src/format/notationOf.js';
import { compilePattern } from '../../shared-core/src/format/pattern.js';
import { sRecord } from '../../shared-core/src/format/sRecord.js';
import { bind, type Dump } from '../../shared-core/src/model/index.js';
import { printRecord } from '../../shared-core/src/model/lineSum.js';
import { EMPTY_PROFILE, type Profile, readProfile } from '../../shared-core/src/profile/index.js';
import { scanImage } from '../../shared-core/src/scan/imageScan.js';
import { loaded, SOUND } from '../support/loaded.js';
import { times } from '../support/times.js';

/** A line of an image, and whether the image is less without it. */
interface Line {
  readonly text: string;
  readonly matters: boolean;
}

const compiled = compilePattern('[{label:hex}] {data}', 'keep');
assert.ok(compiled.ok);
const FORMS: Readonly<Record<string, Notation>> = {
  'Intel HEX': intelHex,
  'S-records': sRecord,
  'a pattern with addresses': compiled.value,
  'dump text with addresses': dumpText,
};
const NOTHING = new Uint8Array(0);

/** The records of an image in one form, with what closes it; some have a title or a count as well. */
function linesOf(notation: Notation, from: number, data: Uint8Array, width: number, extras: boolean): readonly Line[] {
  const lines: Line[] = [];
  const add = (text: string, matters = true) => lines.push({ text, matters });
  const isIntel = notation.id === 'intel-hex';
  if (notation.id === 's-record' && extras) add(printRecord(notation, 0, 0, Uint8Array.of(0x41)), false);
  let above = 0;
  let count = 0;
  for (let at = 0; at < data.length; count++) {
    const address = from + at;
    if (isIntel && address >> 16 !== above) {
      above = address >> 16;
      add(printRecord(notation, 0, 4, Uint8Array.of(above >> 8, above & 0xff)));
    }
    const bytes = data.subarray(at, Math.min(at + width, data.length, at + 0x10000 - (address % 0x10000)));
    if (isImage(notation)) add(printRecord(notation, isIntel ? address % 0x10000 : address, isIntel ? 0 : 3, bytes));
    else {
      const label = notation.id === 'pattern' ? address : `0x${hex(address, 5)}`;
      add(notation.print({ label, type: undefined, data: bytes, sum: NOTHING }));
    }
    at += bytes.length;
  }
  const counts = notation.id === 's-record' && extras;
  if (counts) add(printRecord(notation, count, 5, NOTHING), false);
  // A count of the records closes a file of S-records as well as an end record.
  if (isImage(notation)) add(printRecord(notation, 0, isIntel ? 1 : 7, NOTHING), !counts);
  return lines;
}

/** Every image that is cut off after a record, as it is or closed with an end record, or from which one record was taken. */
function* cut(lines: readonly Line[]): Generator<readonly Line[]> {
  const last = lines.at(-1) as Line;
  const isLess = (some: readonly Line[]) => lines.some((line) => line.matters && !some.includes(line));
  for (let count = 0; count < lines.length; count++) {
    const first = lines.slice(0, count);
    const others = lines.filter((_, at) => at !== count);
    for (const some of [first, [...first, last], others]) if (isLess(some)) yield some;
  }
}

const SUMS = [
  { method: 'add', bits: 16 },
  { method: 'xor', bits: 16 },
  { method: 'crc', model: 'CRC-16/ARC' },
];

describe('laws of images that are cut off', () => {
  for (const [name, notation] of Object.entries(FORMS)) {
    it(`with a profile, no part of ${name} is ever good, however it was read`, () => {
      let cuts = 0;
      fc.assert(
        fc.property(
          fc.constantFrom(0, 0x10, 0xfff0, 0xfffe),
          fc.oneof(
            fc.uint8Array({ minLength: 4, maxLength: 60 }),
            fc.nat(40).map((length) => new Uint8Array(length + 4)),
          ),
          fc.integer({ min: 1, max: 16 }),
          fc.boolean(),
          fc.constantFrom('\n', '\r\n', '\r'),
          fc.constantFrom(...SUMS),
          fc.boolean(),
          (from, bytes, width, extras, lineEnd, sum, overAll) => {
            const to = from + bytes.length - 1;
            const over = overAll ? ['data'] : [{ from, to: to - 2 }];
            const json = { format: 1, addresses: { from, to }, totals: [{ ...sum, over, address: to - 1 }] };
            const { profile, problems } = readProfile(JSON.stringify(json));
            assert.deepEqual(problems, []);
            const data = withSum(profile, notation, from, bytes);
            const lines = linesOf(notation, from, data, width, extras);
            assert.ok(isGoodText(notation, profile, textOf(lines, lineEnd)), textOf(lines, '\n'));
            for (const some of cut(lines)) {
              cuts++;
              assert.ok(!isGoodText(notation, profile, textOf(some, lineEnd)), textOf(some, '\n'));
            }
          },
        ),
        times(32),
      );
      assert.ok(cuts > 100, `${cuts}`);
    });
  }
});

const textOf = (lines: readonly Line[], lineEnd: string) => lines.map(({ text }) => text + lineEnd).join('');

/** The data with the sum of the profile in their last two bytes. */
function withSum(profile: Profile, notation: Notation, from: number, bytes: Uint8Array): Uint8Array {
  const dump = bind(readRows(textOf(linesOf(notation, from, bytes, 16, false), '\n'), notation), notation, profile);
  const [bound] = dump.totals;
  const [state] = dump.states;
  assert.ok(bound && state && bound.run.obstacle === undefined);
  const value = Number(bound.total.checksum.valueOf(state.state));
  const data = bytes.slice();
  data.set([value >> 8, value & 0xff], data.length - 2);
  return data;
}

/** Whether a text is good; an image is read row by row and in one pass, with the same problems. */
function isGoodText(notation: Notation, profile: Profile, text: string): boolean {
  const whole = bind(readRows(text, notation), notation, profile);
  const verdict = (dump: Dump) => {
    const all = loaded(dump, SOUND);
    return verdictOf(all, checkDump(all));
  };
  if (isImage(notation)) {
    const decode = (bytes: Uint8Array) => Buffer.from(bytes).toString('utf8');
    const scanned = scanImage({ chunks: () => [Buffer.from(text)], notation, decode }, profile);
    assert.ok(!('asks' in scanned));
    assert.deepEqual(checkDump(loaded(scanned, SOUND)), checkDump(loaded(whole, SOUND)));
    assert.deepEqual(verdict(scanned), verdict(whole));
  }
  // Without a profile as well, what was cut off is never all good.
  const bare = loaded(bind(readRows(text, notation), notation, EMPTY_PROFILE));
  assert.ok(!isGood(verdictOf(bare, checkDump(bare))));
  return isGood(verdict(whole));
}
