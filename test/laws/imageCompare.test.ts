import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { editLine, hex, hexBytes, say } from '../../shared-core/src/base/index.js';
import { compareDumps, comparisonInWords, inSpacingOf } from '../../shared-core/src/compare/index.js';
import { convert } from '../../shared-core/src/convert/index.js';
import { afterWrites } from '../../shared-core/src/model/byteWrite.js';
import { bindText, type Dump } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { restoreRecords } from '../../shared-core/src/repair/restore.js';
import { bytesAt } from '../support/images.js';

type Bytes = ReadonlyMap<number, number>;

const NAMES = { 'intel-hex': 'a.hex', 's-record': 'a.s19' } as const;
const kinds = fc.constantFrom('intel-hex' as const, 's-record' as const);

/** Bytes at addresses, some of which follow each other, over several 64 KiB. */
const contents: fc.Arbitrary<Bytes> = fc
  .array(fc.tuple(fc.constantFrom(0, 0x10, 0x2c, 0x10000, 0x1fff8), fc.uint8Array({ minLength: 1, maxLength: 24 })), {
    minLength: 1,
    maxLength: 4,
  })
  .map((runs) => new Map(runs.flatMap(([from, bytes]) => [...bytes].map((byte, i) => [from + i, byte] as const))));

/** An image of these bytes in records of so many. */
function image(bytes: Bytes, kind: keyof typeof NAMES, width: number): Dump {
  const addresses = [...bytes.keys()].sort((a, b) => a - b);
  const text = addresses.map((at) => `0x${hex(at, 8)}: ${hexBytes([bytes.get(at) as number])}\n`).join('');
  const converted = convert(bindText('a.cfgdump', text, EMPTY_PROFILE), kind, width);
  assert.ok(converted.ok);
  return bindText(NAMES[kind], converted.value.text, EMPTY_PROFILE);
}

/** All addresses that texts like "0010–0013" name. */
const addressesIn = (ranges: readonly (string | number)[]) =>
  ranges.flatMap((range) => {
    const [from = 0, to = from] = String(range)
      .split('–')
      .map((text) => Number.parseInt(text, 16));
    return Array.from({ length: to - from + 1 }, (_, i) => from + i);
  });

const widths = fc.integer({ min: 1, max: 20 });

describe('laws of comparing memory images', () => {
  it('finds exactly the addresses that differ, in whatever notation and width either side is written', () => {
    fc.assert(
      fc.property(contents, contents, kinds, kinds, widths, widths, (one, other, kindA, kindB, widthA, widthB) => {
        const comparison = compareDumps(image(one, kindA, widthA), image(other, kindB, widthB));
        const data = comparison.lines.flatMap(({ bytes }) => bytes.filter(({ address }) => address !== undefined));
        const changed = [...one.keys()].filter((at) => other.has(at) && other.get(at) !== one.get(at));
        const sorted = (all: Iterable<number>) => [...all].sort((a, b) => a - b);
        assert.deepEqual(
          data.map(({ address }) => address),
          sorted(changed),
        );
        for (const { address = 0, before, after } of data)
          assert.deepEqual([before, after], [one.get(address), other.get(address)]);
        assert.deepEqual(addressesIn(comparison.onlyBefore), sorted([...one.keys()].filter((at) => !other.has(at))));
        assert.deepEqual(addressesIn(comparison.onlyAfter), sorted([...other.keys()].filter((at) => !one.has(at))));
        const same = changed.length === 0 && one.size === other.size && [...one.keys()].every((at) => other.has(at));
        assert.equal(comparison.identical, same);
      }),
    );
  });

  it('the text beside an image holds the bytes of the other at its addresses, cut and spelled as the image is', () => {
    fc.assert(
      fc.property(contents, fc.infiniteStream(fc.nat(255)), kinds, kinds, widths, widths, (one, fresh, a, b, i, j) => {
        const other: Bytes = new Map(
          [...one].map(([at, byte]) => [at, fresh.next().value % 3 ? byte : fresh.next().value]),
        );
        const dump = image(one, a, i);
        const text = inSpacingOf(dump, image(other, b, j));
        const beside = bindText(NAMES[a], text, EMPTY_PROFILE);
        assert.deepEqual([beside.invalidRows, beside.wrongSums, beside.layout.imageProblems], [[], [], []]);
        assert.deepEqual(bytesAt(beside), bytesAt(image(other, a, i)));
        assert.equal(beside.rows.length, dump.rows.length);
        assert.equal(inSpacingOf(dump, dump), dump.rows.map((row) => row.text).join(''));
      }),
    );
  });

  it('what only the other image holds is set in, and what it lacks is left out or shown as hyphens', () => {
    fc.assert(
      fc.property(contents, contents, kinds, widths, (one, other, kind, width) => {
        const text = inSpacingOf(image(one, kind, width), image(other, kind, 16));
        const digits = text
          .split('\n')
          .filter((line) => (kind === 'intel-hex' ? /^:......00/ : /^S[123]/).test(line))
          .map((line) => (kind === 'intel-hex' ? line.slice(9, -2) : line.slice(6 + 2 * Number(line[1]), -2)))
          .join('');
        assert.equal(digits.replaceAll('-', '').length, 2 * other.size);
      }),
    );
  });

  it('a record taken from the backup has its bytes again, whatever records hold them there, and a right sum', () => {
    fc.assert(
      fc.property(contents, kinds, kinds, widths, widths, fc.nat(), fc.nat(255), (bytes, a, b, i, j, pick, spoilt) => {
        const sound = image(bytes, a, i);
        const backup = image(bytes, b, j);
        const row = sound.layout.order[pick % sound.layout.order.length] as number;
        const text = sound.rows[row]?.text ?? '';
        const at = text.length - 4 - (pick % 2);
        const damaged = text.slice(0, at) + (spoilt % 5 === 0 ? 'x' : hex(spoilt).charAt(0)) + text.slice(at + 1);
        const texts = sound.rows.map((one, index) => (index === row ? damaged : one.text));
        const dump = bindText(NAMES[a], texts.join(''), EMPTY_PROFILE);
        const { writes, edits } = restoreRecords(dump, backup, [row]);
        const restored =
          edits.length > 0 ? editLine(damaged, edits) : (afterWrites(dump, writes).rows[row]?.text ?? '');
        texts[row] = restored;
        assert.equal(texts.join(''), sound.rows.map((one) => one.text).join(''));
      }),
    );
  });

  it('many bytes that differ one after the other are told as one stretch', () => {
    const bytes = (value: number, count: number): Bytes =>
      new Map(Array.from({ length: count }, (_, i) => [0x100 + i, value]));
    const words = (count: number) =>
      comparisonInWords(
        compareDumps(image(bytes(1, count), 'intel-hex', 8), image(bytes(2, count), 's-record', 16)),
      ).map((said) => say(said));
    assert.equal(words(300)[0], 'Address 0100–022B: all 300 bytes differ (unexplained)');
    assert.deepEqual(words(2).slice(0, 2), [
      'Address 0100: 01 → 02 (unexplained)',
      'Address 0101: 01 → 02 (unexplained)',
    ]);
  });
});
