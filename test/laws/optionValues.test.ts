import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { say } from '../../shared-core/src/base/index.js';
import { afterWrites } from '../../shared-core/src/model/byteWrite.js';
import { type Dump, readOption } from '../../shared-core/src/model/index.js';
import { wordsOf } from '../../shared-core/src/model/optionReading.js';
import { whyUnknown } from '../../shared-core/src/options/knownValue.js';
import { readOptionValue, readOptionValueIn } from '../../shared-core/src/options/readOptionValue.js';
import { setOption } from '../../shared-core/src/options/setOption.js';
import { type Option, optionWidth, readProfile } from '../../shared-core/src/profile/index.js';
import { dumpOf } from '../support/demo.js';

const LINE_BYTES = 12;

/** Where an option is, and how many bits that makes: bytes side by side, bits of one byte, or bits that lie apart. */
const bytesAt = (least: number, most: number) =>
  fc
    .tuple(fc.integer({ min: least, max: most }), fc.nat(), fc.constantFrom('big', 'little'))
    .map(([count, at, order]) => {
      const first = 1 + (at % (LINE_BYTES - count + 1));
      return { where: { line: 1, bytes: `${first}-${first + count - 1}`, order }, width: 8 * count };
    });

const field = fc.tuple(fc.nat(7), fc.nat(7)).map(([a, b]) => ({ high: Math.max(a, b), low: Math.min(a, b) }));

const bitsAt = fc.tuple(fc.integer({ min: 1, max: LINE_BYTES }), field).map(([byte, { high, low }]) => ({
  where: { line: 1, byte, bits: `${high}-${low}` },
  width: high - low + 1,
}));

const apart = fc
  .uniqueArray(fc.tuple(fc.integer({ min: 1, max: LINE_BYTES }), fc.integer({ min: 1, max: 2 }), field), {
    minLength: 1,
    maxLength: 5,
    selector: ([byte, line]) => `${line}/${byte}`,
  })
  .map((parts) => ({
    where: { bits: parts.map(([byte, line, { high, low }]) => ({ line, byte, bits: `${high}-${low}` })) },
    width: parts.reduce((sum, [, , { high, low }]) => sum + high - low + 1, 0),
  }));

const inside = fc.record({ reversed: fc.constant('bits'), swapped: fc.constant('nibbles') }, { requiredKeys: [] });

interface Form {
  readonly where: object;
  readonly width: number;
  readonly means: object;
}

const formOf = (places: fc.Arbitrary<Omit<Form, 'means'>>, means: fc.Arbitrary<object>) =>
  fc.tuple(places, means, inside).map(([{ where, width }, meaning, turned]): Form => {
    const isBits = 'bits' in where;
    return { where: { ...where, ...turned, ...(isBits && { swapped: undefined }) }, width, means: meaning };
  });

const DATES = ['DDMMYY', 'YYYYMMDD', 'MMYY', 'YYWW', 'WWYYYY', 'YY', 'hhmm', 'ssmmhh', 'YYMMDDhhmmss', 'hhmmDDMMYYYY'];
const sizeOf = (date: string) => date.length / 2;

const FORMS = {
  'a binary number': formOf(
    fc.oneof(bytesAt(1, 6), bitsAt, apart),
    fc.record({
      number: fc.record({ signed: fc.boolean(), scale: fc.constantFrom(1, 0.5, -2), offset: fc.constantFrom(0, -40) }),
    }),
  ),
  'a number in decimal digits': formOf(
    fc.oneof(bytesAt(1, 7), fc.constant({ where: { line: 1, byte: 3, bits: '7-4' }, width: 4 })),
    fc.record({
      number: fc.record({ coding: fc.constant('bcd'), scale: fc.constantFrom(1, 0.1), unit: fc.constant('km') }),
    }),
  ),
  'a date in parts': fc
    .constantFrom(...DATES)
    .chain((date) =>
      formOf(
        bytesAt(sizeOf(date), sizeOf(date)),
        fc.record({ date: fc.constant(date), coding: fc.constantFrom('bcd', 'binary') }),
      ),
    ),
  'a count of days': formOf(
    bytesAt(1, 4),
    fc.record({ date: fc.record({ days: fc.constantFrom(1, 7), since: fc.constantFrom('2000-01-01', '1970-02-28') }) }),
  ),
  'a count of seconds': formOf(
    bytesAt(2, 4),
    fc.record({
      date: fc.record({ seconds: fc.constantFrom(1, 60), since: fc.constantFrom('2000-01-01', '1980-01-06 00:00') }),
    }),
  ),
  'a text': formOf(bytesAt(1, 8), fc.record({ text: fc.constantFrom('ascii', 'latin-1', 'bcd') })),
  'a text that a byte fills': formOf(
    bytesAt(1, 8),
    fc.record({ text: fc.constantFrom('ascii', 'latin-1'), pad: fc.constantFrom('0x00', 0x20, '0xFF', 0x2a) }),
  ),
  'a text of two bytes each': formOf(
    fc.constantFrom(2, 4, 6, 8).chain((count) => bytesAt(count, count)),
    fc.record(
      { text: fc.constantFrom('utf-16le', 'utf-16be'), pad: fc.constantFrom('0x00', '0xFF', 0x41) },
      { requiredKeys: ['text'] },
    ),
  ),
};

function dumpWith({ where, width, means }: Form, special: bigint | undefined, fill: readonly number[]): Dump {
  const words =
    special !== undefined && special < 1n << BigInt(width) ? { special: { [String(special)]: 'not set' } } : {};
  const { profile, problems } = readProfile(
    JSON.stringify({
      format: 1,
      lines: { from: 1, to: 2, data: LINE_BYTES, sum: 0 },
      options: [{ id: 'o', title: 'It', ...where, ...means, ...words }],
    }),
  );
  assert.deepEqual(
    problems.map(({ message }) => say(message)),
    [],
  );
  const digits = (line: number) =>
    Array.from({ length: LINE_BYTES }, (_, i) =>
      (fill[(line * LINE_BYTES + i) % fill.length] ?? 0).toString(16).padStart(2, '0'),
    );
  return dumpOf(`1: ${digits(0).join(' ')}\n2: ${digits(1).join(' ')}\n`, profile);
}

/** The bits of a dump outside an option, as text. */
function others(dump: Dump, option: Option): string {
  const set = (raw: bigint) => {
    const cleared = setBits(dump, option, raw);
    return cleared.rows.map(({ text }) => text).join('\n');
  };
  return set(0n);
}

function setBits(dump: Dump, option: Option, raw: bigint): Dump {
  const words = new Map([[raw, 'any']]);
  const writes = setOption(dump, { ...option, special: words }, raw);
  assert.ok(writes.ok, writes.ok ? '' : say(writes.why));
  return afterWrites(dump, writes.value);
}

describe('laws of the values of options', function () {
  this.timeout(60_000);
  for (const [name, form] of Object.entries(FORMS)) {
    it(`${name}: what is shown is what may be written, and it is set and read back with no other bit touched`, () => {
      let known = 0;
      fc.assert(
        fc.property(
          form,
          fc.bigInt(0n, (1n << 64n) - 1n),
          fc.option(fc.constantFrom(0n, 0xffn, 0x25n), { nil: undefined }),
          fc.array(fc.nat(255), { minLength: 24, maxLength: 24 }),
          (one, bits, special, fill) => {
            const dump = dumpWith(one, special, fill);
            const option = dump.profile.options[0] as Option;
            assert.equal(optionWidth(option), one.width);
            const raw = plausible(one, BigInt.asUintN(one.width, bits));
            const after = setBits(dump, option, raw);
            assert.equal(readOption(after, option)?.raw, raw, 'is read back');
            assert.equal(others(after, option), others(dump, option), 'other bits');
            const words = wordsOf(option, raw);
            assert.equal(words === undefined, whyUnknown(option, raw) !== undefined, 'known is what has words');
            if (words === undefined) return;
            known++;
            const read = readOptionValueIn(after, option, words);
            assert.ok(read.ok, read.ok ? '' : `${words}: ${say(read.why)}`);
            assert.equal(read.value, raw, 'writing what is shown changes nothing');
            const anew = readOptionValue(option, words);
            assert.ok(anew.ok);
            assert.equal(wordsOf(option, anew.value), words, 'and means the same in any other dump');
            const set = setOption(dump, option, anew.value);
            assert.ok(set.ok);
            assert.equal(readOption(afterWrites(dump, set.value), option)?.raw, anew.value);
          },
        ),
        { numRuns: 400 },
      );
      assert.ok(known > 40, `${known} values of 400 were known`);
    });
  }
});

/** Random bits, made likelier to mean something. */
function plausible({ means }: Form, bits: bigint): bigint {
  const digits = bits.toString(16);
  const decimal = BigInt(`0x${digits.replace(/[a-f]/g, (digit) => String(Number.parseInt(digit, 16) - 10))}`);
  if (JSON.stringify(means).includes('"bcd"') && bits % 4n !== 0n) return decimal;
  if ('date' in means && typeof means.date === 'string' && bits % 4n !== 0n)
    return BigInt(
      `0x${digits.replace(/../g, (pair) => (Number.parseInt(pair, 16) % 13).toString(16).padStart(2, '0'))}`,
    );
  return bits;
}
