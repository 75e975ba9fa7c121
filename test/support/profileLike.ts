import fc from 'fast-check';
import { sumJson } from './sums.js';

const KEYS = [
  ...['module', 'lines', 'addresses', 'lineSum', 'totals', 'balance', 'options', 'locked', 'volatile', 'notation'],
  ...['from', 'to', 'data', 'sum', 'method', 'bits', 'over', 'order', 'line', 'byte', 'bytes', 'address', 'label'],
  ...[
    'id',
    'values',
    'number',
    'text',
    'flags',
    'needs',
    'excludes',
    'option',
    'in',
    'start',
    'model',
    'width',
    'poly',
  ],
  ...['pattern', 'appliesTo', 'part', 'absent', 'length', 'note', 'hazard', '__proto__', 'constructor', ''],
];

const WORDS = [
  'add',
  'crc',
  'adler',
  'sums',
  'data',
  '7-4',
  '1-3',
  '0xFF',
  '99999999999',
  'CRC-8/SMBUS',
  '{label}: {data}',
];

/** JSON made of a profile's keys and words, put together at random. */
const { value: noise } = fc.letrec<{ value: unknown }>((tie) => ({
  value: fc.oneof(
    { depthSize: 'medium', withCrossShrink: true },
    fc.constantFrom<unknown>(0, 1, 2, 8, 16, -1, 1.5, 1e300, true, null, ...WORDS),
    fc.array(tie('value'), { maxLength: 4 }),
    fc.dictionary(fc.constantFrom(...KEYS), tie('value'), { maxKeys: 8 }),
  ),
}));

const asText = (value: number) => fc.constantFrom<unknown>(value, `0x${value.toString(16)}`, String(value));
const number = fc.integer({ min: 1, max: 8 }).chain(asText);
const list = (item: fc.Arbitrary<unknown>) => fc.array(item, { maxLength: 2 });
const oneOf = (...values: readonly unknown[]) => fc.constantFrom(...values);

type Keys = Readonly<Record<string, fc.Arbitrary<unknown>>>;

/** Objects with all of the first keys and some of the others; now and then a value does not fit. */
function object(all: Keys, some: Keys = {}): fc.Arbitrary<object> {
  const loose = Object.entries({ ...all, ...some }).map(
    ([key, value]) => [key, fc.oneof({ arbitrary: value, weight: 150 }, { arbitrary: noise, weight: 1 })] as const,
  );
  return fc.record(Object.fromEntries(loose), { requiredKeys: Object.keys(all) });
}

const bothOf = (one: fc.Arbitrary<object>, other: fc.Arbitrary<object>) =>
  fc.tuple(one, other).map((parts): object => Object.assign({}, ...parts));

const note = { note: oneOf('remark', [], ['a', 'b']) };
const byAddress = fc.oneof(
  object({ address: number }, { bytes: oneOf(1, '0x2', '3') }),
  object({ address: number, length: oneOf(1, '0x2', '3') }, note),
  object({ from: oneOf(1, '0x2'), to: oneOf(2, '0x3') }),
);
const place = fc.oneof(
  object({ line: number, byte: number }, note),
  object({ line: number, bytes: oneOf('1', '2-3', 1, '1-2') }),
  byAddress,
);
/** Where a line without bytes is meant as a whole. */
const region = fc.oneof({ arbitrary: place, weight: 4 }, { arbitrary: object({ line: number }), weight: 1 });

const order = oneOf('big', 'little');
/** Sums as the methods take them, and now and then with a parameter that does not fit. */
const sum = bothOf(
  sumJson,
  fc.oneof(
    { arbitrary: fc.constant({}), weight: 8 },
    {
      arbitrary: object({}, { bits: oneOf(24, '0x8', 12), unit: number, start: number, model: oneOf('CRC-9') }),
      weight: 1,
    },
  ),
);

const words = fc.dictionary(number.map(String), fc.string(), { maxKeys: 3 });
const meaning = fc.oneof(
  object({ values: words }),
  object({ flags: words }),
  object({ text: oneOf('ascii', 'latin-1', 'utf-16le', 'bcd') }, { pad: oneOf(0, '0xFF', 256), special: words }),
  object(
    {
      date: oneOf(
        'YY',
        'YYWW',
        'DDMMYY',
        'DD',
        { days: 1, since: '2000-01-01' },
        { seconds: '0x3', since: '2000-01-01 00:00' },
      ),
    },
    { coding: oneOf('bcd', 'binary'), special: words },
  ),
  object({ number: object({}, { coding: oneOf('bcd', 'binary') }) }, { special: words }),
  object({
    number: object(
      {},
      { scale: oneOf(2, 0.5, '0x2', '5'), min: oneOf(-1, 1.5, '3'), max: oneOf(9, '0x9'), unit: fc.string() },
    ),
  }),
);

const over = { over: fc.subarray(['label', 'label.1', 'label.2', 'length', 'data'], { minLength: 1 }) };
const option = [
  fc.oneof({ arbitrary: place, weight: 6 }, object({}, { line: number })),
  meaning,
  object(
    { id: oneOf('a', 'b', 'c', 'rear-fog') },
    {
      bits: oneOf(
        '7-0',
        '7-4',
        '0-4',
        8,
        [{ byte: 1 }, { byte: '0x2', bits: 3 }],
        [{ line: 1, byte: 1, bits: '7-4' }, { address: 4 }],
      ),
      order,
      reversed: oneOf('bits'),
      swapped: oneOf('nibbles', 'bytes'),
      repeat: object({ count: number, step: number }, { names: list(fc.string()) }),
      title: fc.string(),
      hazard: oneOf('lighting', 'other', ['security'], ['braking', 'other']),
      needs: list(object({ option: oneOf('a', 'b'), in: list(number), profile: oneOf('other.dump-profile.json') })),
    },
  ),
].reduce(bothOf);

const total = [
  sum,
  fc.oneof(
    object({}, { label: oneOf('total', 99, '0x63') }),
    object({ line: number, byte: number }),
    object({ address: number }),
  ),
  fc.oneof(
    object(
      {},
      {
        over: oneOf(['data'], ['data', 'sums']),
        lines: oneOf('1-3', '0x1-0x2', '2', 2, '1-1..1-3', '1..2', '1-2', '1-2..2-0x1'),
      },
    ),
    object({ over: list(object({ from: oneOf(1, '0x2'), to: oneOf(9, '0x9') })) }),
  ),
  object({}, { keep: fc.boolean(), name: fc.string() }),
].reduce(bothOf);

const geometry = fc.oneof(
  object({}),
  object({
    lines: object(
      { from: oneOf(0, 1, '0x1'), to: oneOf(8, 9, '0xa'), data: oneOf(8, '0x9', 10) },
      { sum: oneOf(1, '2', 4) },
    ),
  }),
  object({
    lines: list(
      object({ from: oneOf('1-1', '0x1.1', 1), to: oneOf('1-3', '1/4', '2-2', 3), data: oneOf(8, { '1-1': 2 }) }),
    ),
  }),
  object({
    lines: object({ from: oneOf('1-1', '1.0x1'), to: oneOf('1-8', '1/9'), data: oneOf(8, 10) }, { sum: number }),
  }),
  object({ addresses: object({ from: oneOf(0, '0x1'), to: oneOf(20, '0x20') }) }),
);

const parts: Keys = {
  title: fc.string(),
  module: number,
  notation: oneOf('dump-text', 'intel-hex', { pattern: '{label}: {data}' }, { pattern: 'x' }),
  lineSum: bothOf(sum, object({}, { ...over, labelBytes: oneOf(1, '0x2', 9) })),
  totals: list(total),
  balance: list(region),
  options: list(option),
  locked: list(bothOf(region, object({}, { why: fc.string() }))),
  volatile: list(region),
  absent: list(byAddress),
  appliesTo: object({}, { part: list(fc.string()), software: oneOf(['03*'], '03*', []), ...note }),
};
const onePart = fc.oneof(...Object.entries(parts).map(([key, value]) => object({ [key]: value })));

/** Profiles of few parts, so that many of them are right as a whole; all kinds of parts; and anything else of the same keys. */
export const profileLike: fc.Arbitrary<unknown> = fc.oneof(
  { arbitrary: [geometry, onePart, object({ format: oneOf(1, '0x1') })].reduce(bothOf), weight: 6 },
  { arbitrary: [geometry, object({}, parts), object({ format: oneOf(1, '0x1', 2) })].reduce(bothOf), weight: 2 },
  {
    arbitrary: fc.dictionary(fc.constantFrom('format', ...KEYS), noise).map((members) => ({ format: 1, ...members })),
    weight: 1,
  },
);
