// What is read of profiles that have everything, and what is said where one part of them is left out.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { type Profile, readProfile } from '../../../shared-core/src/profile/index.js';
import { assertExpected } from '../../support/expected.js';
import { IMAGE_PROFILE, LINES_PROFILE, SEVERAL_PROFILE } from '../../support/richProfiles.js';

/** What a profile says, a part on each line, without where it says it. */
function meaningOf(profile: Profile): string {
  const plain = (_: string, value: unknown): unknown => {
    if (value instanceof Map || value instanceof Set) return [...value];
    return typeof value === 'bigint' ? `${value}n` : value;
  };
  const short = (value: unknown) =>
    JSON.stringify(value, (key, one) => (key === 'source' ? undefined : plain(key, one))) ?? '-';
  return Object.entries(profile)
    .flatMap(([name, value]) => {
      if (!Array.isArray(value)) return [`${name}: ${short(value)}\n`];
      return [`${name}:\n`, ...value.map((one) => `    ${short(one)}\n`)];
    })
    .join('');
}

/** The JSON of a value without one of its members or items, for each of them at any depth. */
function* shortened(value: unknown): Generator<readonly [path: string, rest: unknown]> {
  if (typeof value !== 'object' || value === null) return;
  const isList = Array.isArray(value);
  for (const [key, one] of Object.entries(value)) {
    if (key === 'note') continue;
    const put = (other: readonly [string, unknown] | undefined) => {
      const all = Object.entries(value).flatMap(([name, old]) =>
        name === key ? (other ? [other] : []) : [[name, old]],
      );
      return isList ? all.map(([, item]) => item) : Object.fromEntries(all);
    };
    yield [key, put(undefined)];
    for (const [path, rest] of shortened(one)) yield [`${key}/${path}`, put([key, rest])];
  }
}

function said(profile: unknown): string {
  const text = typeof profile === 'string' ? profile : JSON.stringify(profile);
  const { problems } = readProfile(text);
  return problems
    .map(({ span, message }) => `${say(message)} «${text.slice(span.start, span.end).slice(0, 30)}»`)
    .join('; ');
}

describe('every part of a profile', () => {
  for (const [name, profile] of [
    ['lines', LINES_PROFILE],
    ['several', SEVERAL_PROFILE],
    ['addresses', IMAGE_PROFILE],
  ] as const) {
    it(`is read as it is meant: ${name}`, () => {
      assertExpected(`profiles/${name}.txt`, meaningOf(readProfile(JSON.stringify(profile)).profile));
    });

    it(`is missed where it is needed: ${name}`, () => {
      const lines = [...shortened(profile)].flatMap(([path, rest]) => {
        const what = said(rest);
        return what === '' ? [] : [`${path}: ${what}\n`];
      });
      assertExpected(`profiles/${name}.missing.txt`, lines.join(''));
    });
  }

  it('has its limits where places move, repeat, count days or are summed', () => {
    const sound = { sequence: { offset: 0 }, check: { method: 'crc', model: 'CRC-16/ARC', offset: 1 } };
    const slots = (...all: readonly object[]) => ({
      format: 1,
      addresses: { from: 0, to: 0xff },
      slots: all.map((one) => ({ name: 'record', at: [0x10, 0x20], length: 16, ...sound, ...one })),
      options: [{ id: 'a', slot: 'record', offset: 4, number: {} }],
    });
    const check = (offset: number, sequence: object = { offset: 4, bytes: 2 }) =>
      slots({ sequence, check: { method: 'crc', model: 'CRC-16/ARC', offset } });
    const inSlot = (place: object) => ({ ...slots({}), locked: [place] });
    const repeated = (repeat: object, number: object = {}) => ({
      format: 1,
      addresses: { from: 0, to: 0xff },
      options: [{ id: 'a', address: 4, number, repeat }],
    });
    const dated = (more: object) => ({ format: 1, options: [{ id: 'a', line: 1, bytes: '1-3', ...more }] });
    const summed = (more: object) => ({
      format: 1,
      addresses: { from: 0, to: 0xff },
      totals: [{ method: 'add', bits: 16, address: 4, ...more }],
    });
    const profiles: readonly unknown[] = [
      slots({}),
      slots({}, { name: 'record', at: [0x40, 0x50] }),
      slots({}, { name: 'other', at: [0x40, 0x50] }),
      slots({}, { name: 'other', at: [0x1f, 0x50] }),
      slots({ name: 3 }),
      slots({ name: '' }),
      slots({ at: [] }),
      slots({ at: [0x10] }),
      slots({ at: [0x10, 0x1f] }),
      slots({ at: [0x10, 0xf0] }),
      slots({ at: [0x10, 0xf1] }),
      slots({ at: Array.from({ length: 65 }, (_, i) => 2 * i), length: 2 }),
      slots({ at: 16 }),
      slots({ length: 0 }),
      slots({ length: undefined }),
      slots({ sequence: undefined }),
      slots({ sequence: { offset: 15 } }),
      slots({ sequence: { offset: 16 } }),
      slots({ sequence: { offset: 0, bytes: 8 } }),
      slots({ sequence: { offset: 0, bytes: 9 } }),
      slots({ sequence: { offset: 0, bytes: 4 } }),
      slots({ sequence: { offset: 0, bytes: 5 } }),
      ...[1, 2, 3, 5, 6, 13, 14, 15].map((offset) => check(offset)),
      check(0, { offset: 1 }),
      check(0, { offset: 2 }),
      slots({ check: {} }),
      slots({ check: 3 }),
      inSlot({ slot: 'record', offset: 15 }),
      inSlot({ slot: 'record', offset: 16 }),
      inSlot({ slot: 'record', offset: 14, length: 2 }),
      inSlot({ slot: 'record', offset: 14, length: 3 }),
      inSlot({ slot: 'none', offset: 1 }),
      inSlot({ slot: 3, offset: 1 }),
      inSlot({ slot: 'record' }),
      inSlot({ offset: 1 }),
      inSlot({ slot: 'record', address: 3 }),
      { format: 1, slots: [{ name: 'record', at: [0xfffffff0, 0], length: 16, ...sound }] },
      { format: 1, slots: [{ name: 'record', at: [0xfffffff1, 0], length: 16, ...sound }] },
      { format: 1, slots: [{ name: 'record', lines: ['1-2', '3-4'], ...sound }] },
      repeated({ count: 3, step: 1 }),
      repeated({ count: 3, step: 0 }),
      repeated({ count: 1000, step: 1 }),
      repeated({ count: 2, step: 1, names: ['a'] }),
      repeated({ count: 2, step: 1, names: ['a', 'b', 'c'] }),
      repeated({ count: 2, step: 1, names: ['a', 'a'] }),
      ...[[1, 2, 3], [3, 2, 1], [1, 1, 2], [1, 3, 2], [0, 1, 2], [-1, 0, 1], [1, 2], [1, 2, 3, 4], [1, 'x', 3], []].map(
        (at) => repeated({ count: 3, step: 1, axis: { name: 'n', at } }),
      ),
      repeated({ count: 3, step: 1, axis: { name: 'n', unit: 'rpm', at: [1, 2, 3] } }),
      repeated({ count: 3, step: 1, axis: { at: [1, 2, 3] } }),
      repeated({ count: 3, step: 1, axis: { name: 'n' } }),
      repeated({ count: 3, step: 1, axis: 3 }),
      repeated({ count: 3, step: 1, axis: { name: 'n', at: [1, 2, 3] }, names: ['a', 'b', 'c'] }),
      ...['DDMMYY', 'DDMMYYYY', 'YYMMDD', 'MMYY', 'DDMM', 'DD', 'DDDD', 'YYWW', 'x', ''].map((date) => dated({ date })),
      dated({ date: 'DDMMYY', coding: 'bcd' }),
      dated({ date: 'DDMMYY', coding: 'binary' }),
      dated({ date: 'DDMMYY', coding: 'text' }),
      dated({ date: { days: 1, since: '2000-01-01' } }),
      dated({ date: { days: 1, since: '2000-02-30' } }),
      dated({ date: { days: 0, since: '2000-01-01' } }),
      dated({ date: { days: 1 } }),
      dated({ date: { days: 1, since: '2000-01-01' }, coding: 'bcd' }),
      ...['ascii', 'latin-1', 'utf-16le', 'utf-16be', 'bcd', 'x'].map((text) => dated({ text })),
      dated({ text: 'ascii', pad: '0xFF' }),
      dated({ text: 'ascii', pad: 256 }),
      dated({ text: 'ascii', number: {} }),
      dated({ text: 'ascii', date: 'DDMMYY' }),
      dated({}),
      ...[{}, { over: [] }, { over: ['data'] }, { over: ['sums'] }, { over: ['data', 'data'] }].map(summed),
      summed({ over: [{ from: 0, to: 3 }] }),
      summed({ over: [{ from: 3, to: 0 }] }),
      summed({ over: [{ from: 0, to: 9, except: [{ from: 4, to: 5 }] }] }),
      summed({ over: [{ from: 0, to: 9, except: [{ from: 4, to: 10 }] }] }),
      summed({ over: [{ from: 0, to: 9, except: [] }] }),
      summed({ over: [{ bytes: '00' }, { from: 8, to: 9 }] }),
      summed({ over: [{ bytes: '0' }, { from: 8, to: 9 }] }),
      summed({ over: [{ bytes: '00'.repeat(32) }, { from: 8, to: 9 }] }),
      summed({ over: [{ bytes: '00'.repeat(33) }, { from: 8, to: 9 }] }),
      summed({ over: [{ 'length-of': { from: 8, to: 9 } }, { from: 8, to: 9 }] }),
      summed({
        over: [
          { 'length-of': { from: 8, to: 9 }, bytes: 5 },
          { from: 8, to: 9 },
        ],
      }),
      summed({
        over: [
          { 'address-of': 3, bytes: 2 },
          { from: 8, to: 9 },
        ],
      }),
      summed({ over: [{ from: 0, to: 0x100 }] }),
      summed({ over: Array.from({ length: 65 }, (_, i) => ({ from: 6 + 2 * i, to: 6 + 2 * i })) }),
      { format: 1, samples: [{ dump: '' }] },
      { format: 1, samples: [{ dump: ' ' }] },
      { format: 1, word: { bytes: 4, order: 'big' } },
      { format: 1, word: { bytes: 3, order: 'big' } },
      { format: 1, word: { bytes: 2 } },
      { format: 1, word: { order: 'little' } },
    ];
    const texts = profiles.map((profile) => {
      const text = JSON.stringify(profile);
      const { profile: read } = readProfile(text);
      const { slots, totals, locked } = read;
      const kept = meaningOf({ ...readProfile('{ "format": 1 }').profile, slots, totals, locked })
        .split('\n')
        .filter((line) => line.startsWith('    '))
        .map((line) => line.trim())
        .join(' ');
      return `${text.length > 300 ? `${text.slice(0, 140)}… (${text.length})` : text}\n    ${said(text) || 'is sound'}\n    ${kept.slice(0, 260)}\n`;
    });
    assertExpected('profiles/limitsOfPlaces.txt', texts.join(''));
  });

  it('has its limits', () => {
    const parts = (count: number) => ({
      format: 1,
      options: [
        {
          id: 'a',
          bits: Array.from({ length: count }, (_, i) => ({ line: 1 + (i >> 3), byte: 1, bits: i & 7 })),
          number: {},
        },
      ],
    });
    const lines = (option: object, data: unknown = 4) => ({
      format: 1,
      lines: { from: 1, to: 9, data },
      options: [{ id: 'a', number: {}, ...option }],
    });
    const copies = (one: object, more: object = { addresses: { from: 0x10, to: 0x1f } }) => ({
      format: 1,
      ...more,
      copies: [one],
    });
    const ofLines = { lines: { from: 1, to: 9, data: { 1: 4, 2: 4, 3: 5, 4: 5, 5: 4, 6: 4, 7: 4, 8: 4, 9: 4 } } };
    const many = (count: number) => ({
      format: 1,
      copies: Array.from({ length: count }, (_, i) => ({ place: { address: 16 * i }, at: [16 * i + 8] })),
    });
    const places = (count: number) => ({
      format: 1,
      copies: [{ place: { address: 0 }, at: Array.from({ length: count }, (_, i) => 8 * i + 8) }],
    });
    const profiles: readonly unknown[] = [
      ...[1, 32, 33, 64, 65].map(parts),
      lines({ bits: [] }),
      lines({ bits: [{ line: 1, byte: 4 }] }),
      lines({ bits: [{ line: 1, byte: 5 }] }),
      lines({
        line: 1,
        bits: [
          { byte: 1, bits: 1 },
          { byte: 1, bits: 1 },
        ],
      }),
      lines({
        line: 1,
        bits: [
          { byte: 1, bits: 1 },
          { byte: 1, bits: 2 },
        ],
      }),
      lines({ line: 1, bits: [{ byte: 1 }, { byte: 1, bits: 2 }] }),
      lines({ line: 1, bits: [{ line: 2, byte: 1 }] }),
      lines({ line: 1, order: 'big', bits: [{ byte: 1 }] }),
      lines({ line: 1, byte: 1, bits: [{ byte: 1 }] }),
      lines({ line: 1, bytes: '1-2', bits: [{ byte: 1 }] }),
      lines({ line: 1, bits: [{ byte: 1, bits: 8 }] }),
      lines({ line: 1, bits: [{ byte: 1, bits: '7-0' }] }),
      lines({ line: 1, bits: [7] }),
      lines({ line: 1, bytes: '1-2', bits: '3' }),
      lines({ line: 1, byte: 2, bits: '3' }),
      lines({ line: 1, byte: 2, bits: '9' }),
      lines({ bits: [{ byte: 1 }] }),
      lines({ bits: [{ address: 1 }] }),
      many(100),
      many(101),
      places(99),
      places(100),
      places(101),
      ...[0x10, 0x0f, 0x1c, 0x1d, -1].map((at) => copies({ place: { address: 0x14, length: 4 }, at: [at] })),
      ...[0xfffffffc, 0xfffffffd].map((at) => copies({ place: { address: 0x14, length: 4 }, at: [at] }, {})),
      copies({ place: { address: 0x14, length: 4 }, at: [] }),
      copies({ place: { address: 0x14, length: 4 }, at: 24 }),
      copies({ place: { address: 0x14, length: 4 } }),
      copies({ at: [24] }),
      copies({ place: { address: 0x14 }, lines: 1, at: [24] }),
      copies({ lines: 1, at: [2] }),
      copies({ lines: 1, at: [2] }, ofLines),
      copies({ lines: 1, at: [3] }, ofLines),
      copies({ lines: '1-2', at: ['5-6', '7-8'], agree: 'majority' }, ofLines),
      copies({ lines: '1-2', at: ['5-6'], agree: 'majority' }, ofLines),
      copies({ lines: '1-2', at: ['5-7'] }, ofLines),
      copies({ lines: '1-2', at: ['2-3'] }, ofLines),
      copies({ lines: '3-4', at: ['1-2'] }, ofLines),
      copies({ place: { line: 1, byte: 2, length: 3 }, at: [3] }, ofLines),
      copies({ place: { line: 3, byte: 2, length: 3 }, at: [1] }, ofLines),
      copies({ place: { line: 3, byte: 2, length: 4 }, at: [1] }, ofLines),
      copies({ place: { line: 3, byte: 2, length: 4 }, at: [4] }, ofLines),
      copies({ place: { line: 3, byte: 2, length: 2 }, at: [{ line: 4, byte: 1 }] }, ofLines),
      copies({ place: { line: 3, byte: 2, length: 2 }, at: [{ line: 4, byte: 1, length: 3 }] }, ofLines),
      copies({ place: { line: 3, byte: 2, length: 2 }, at: ['x y'] }, ofLines),
      copies({ place: { line: 3, byte: 2, length: 2 }, at: [10] }, ofLines),
      copies({ place: { line: 3 }, at: [{ line: 4 }] }, ofLines),
      copies({ place: 3, at: [4] }, ofLines),
      { format: 1, copies: [3] },
    ];
    const texts = profiles.map((profile) => {
      const text = JSON.stringify(profile);
      const { profile: read } = readProfile(text);
      return `${text.length > 300 ? `${text.slice(0, 140)}… (${text.length})` : text}\n    ${said(text) || 'is sound'}\n    ${read.options.length} options, copies ${JSON.stringify(read.copies.map(({ source: _, ...copy }) => copy)).slice(0, 300)}\n`;
    });
    assertExpected('profiles/limits.txt', texts.join(''));
    assert.equal(said({ format: 1 }), '');
  });
});
