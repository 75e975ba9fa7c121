import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hex, hexBytes } from '../../shared-core/src/base/index.js';
import { finish } from '../../shared-core/src/base/steps.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { contentsOfPass, isContent } from '../../shared-core/src/convert/contentsScan.js';
import { conversionOf, convert } from '../../shared-core/src/convert/index.js';
import { hexView } from '../../shared-core/src/format/hexView.js';
import { shownCharacter } from '../../shared-core/src/format/hexViewRow.js';
import { FORMS, type Notation, readRows } from '../../shared-core/src/format/index.js';
import { intelHex } from '../../shared-core/src/format/intelHex.js';
import type { WrittenForm } from '../../shared-core/src/format/notation.js';
import { sRecord } from '../../shared-core/src/format/sRecord.js';
import { bind } from '../../shared-core/src/model/index.js';
import { printRecord } from '../../shared-core/src/model/lineSum.js';
import { sealOf } from '../../shared-core/src/model/seal.js';
import { EMPTY_PROFILE, type Profile, readProfile } from '../../shared-core/src/profile/index.js';
import { type ImageFile, scanImage, scanInSteps } from '../../shared-core/src/scan/imageScan.js';
import { imageText } from '../support/images.js';
import { loaded } from '../support/loaded.js';
import { times } from '../support/times.js';

const fileOf = (notation: Notation, text: string, size: number): ImageFile => ({
  chunks: () => chunks(text, size),
  notation,
  decode,
});
const NONE = { kind: 'none' } as const;

/** What a file holds, in one pass over it. */
function scanContents(file: ImageFile) {
  const scanned = finish(scanInSteps(file, undefined, isContent(file.notation)));
  return 'asks' in scanned ? undefined : contentsOfPass(file, scanned.pass, EMPTY_PROFILE);
}
const decode = (bytes: Uint8Array) => Buffer.from(bytes).toString('utf8');

/** The text as a file that is read through one small buffer over and over, as real files are. */
function* chunks(text: string, size: number): Generator<Uint8Array> {
  const bytes = Buffer.from(text);
  const buffer = Buffer.alloc(size);
  for (let at = 0; at < bytes.length; at += size) {
    buffer.fill(0);
    const length = bytes.copy(buffer, 0, at, at + size);
    yield buffer.subarray(0, length);
  }
}

const PLACES = fc.nat(0x60).map((address) => `0x${address.toString(16)}`);
const RANGE = fc.tuple(fc.nat(0x40), fc.nat(0x40)).map(([from, more]) => ({ from, to: from + more }));

/** Profiles of images: sums of several kinds over addresses, options, locked and other places. */
const imageProfile: fc.Arbitrary<Profile> = fc
  .record({
    totals: fc.array(
      fc.record({
        name: fc.constantFrom('a', 'b'),
        method: fc.constant('crc'),
        model: fc.constantFrom('CRC-16/ARC', 'CRC-32/ISO-HDLC'),
        over: fc.oneof(fc.array(RANGE, { minLength: 1, maxLength: 2 }), fc.constant(['data'])),
        address: PLACES,
      }),
      { maxLength: 2 },
    ),
    options: fc.array(
      fc.record({
        id: fc.constantFrom('x', 'y'),
        title: fc.constant('X'),
        address: PLACES,
        values: fc.constant({ 0: 'no' }),
      }),
      { maxLength: 2 },
    ),
    locked: fc.array(fc.record({ address: PLACES, why: fc.constant('identity') }), { maxLength: 2 }),
    copies: fc.array(
      fc.record({
        place: fc.record({ address: PLACES, length: fc.integer({ min: 1, max: 4 }) }),
        at: fc.array(PLACES, { minLength: 1, maxLength: 2 }),
        as: fc.constantFrom('same', 'inverted'),
      }),
      { maxLength: 1 },
    ),
    addresses: fc.option(fc.constant({ from: 0, to: 0x20000 }), { nil: undefined }),
  })
  .map((json) => readProfile(JSON.stringify({ format: 1, ...json })).profile);

/** Whether a dump was converted at all, and the same whether its rows or the bytes of its file were read. */
function areConvertedAlike(whole: ReturnType<typeof convert>, scanned: ReturnType<typeof conversionOf>): boolean {
  if (!scanned.ok) {
    assert.deepEqual(scanned, whole);
    return false;
  }
  assert.ok(whole.ok);
  const texts: string[] = [];
  const ascii = (bytes: Uint8Array) => texts.push(Buffer.from(bytes).toString());
  scanned.value.write({ ascii, text: (more) => texts.push(more) });
  assert.equal(texts.join(''), whole.value.text);
  assert.deepEqual(scanned.value.lost, whole.value.lost);
  return true;
}

for (const [name, notation] of Object.entries<Notation>({ 'Intel HEX': intelHex, 'S-records': sRecord })) {
  describe(`laws of reading ${name} by bytes`, () => {
    it('whatever the text and the chunks, all problems are those of reading it row by row', () => {
      fc.assert(
        fc.property(imageText(notation), fc.integer({ min: 1, max: 200 }), (text, size) => {
          const scanned = scanImage(fileOf(notation, text, size));
          const whole = bind(readRows(decode(Buffer.from(text)), notation), notation, EMPTY_PROFILE);
          assert.ok(!('asks' in scanned));
          assert.equal(scanned.rows.length, whole.rows.length);
          assert.deepEqual(checkDump(loaded(scanned, NONE, NONE)), checkDump(loaded(whole, NONE, NONE)));
        }),
        times(200),
      );
    });

    it('with a profile as well: its sums over addresses, its options and its locked places', () => {
      let read = 0;
      let sums = 0;
      fc.assert(
        fc.property(imageText(notation), imageProfile, fc.integer({ min: 1, max: 200 }), (text, profile, size) => {
          const scanned = scanImage(fileOf(notation, text, size), profile);
          if ('asks' in scanned) return;
          const whole = bind(readRows(decode(Buffer.from(text)), notation), notation, profile);
          const status = { kind: 'read' } as const;
          assert.deepEqual(checkDump(loaded(scanned, status, NONE)), checkDump(loaded(whole, status, NONE)));
          assert.deepEqual(
            scanned.states.map(({ state }) => state),
            whole.states.map(({ state }) => state),
          );
          read++;
          if (scanned.states.some(({ unreadable }) => unreadable === 0)) sums++;
        }),
        times(200),
      );
      assert.ok(read > 90 && sums > 40, `${read} ${sums}`);
    });

    it('what a file holds is what its rows hold, and is written the same in every other notation', () => {
      const others = (['dump-text', 'intel-hex', 's-record'] as const).filter((id) => id !== notation.id);
      let done = 0;
      fc.assert(
        fc.property(
          imageText(notation),
          fc.integer({ min: 1, max: 200 }),
          fc.integer({ min: 1, max: 40 }),
          fc.constantFrom(...others),
          (text, size, width, target) => {
            const whole = convert(
              bind(readRows(decode(Buffer.from(text)), notation), notation, EMPTY_PROFILE),
              target,
              width,
            );
            const file = fileOf(notation, text, size);
            const scanned = conversionOf(notation.id, () => scanContents(file) ?? assert.fail(), target, width);
            done += areConvertedAlike(whole, scanned) ? 1 : 0;
          },
        ),
        times(800),
      );
      assert.ok(done > 16, `${done}`);
    });

    it('a header that names a profile asks for it, and is done with once there is one', () => {
      const text = `; @profile a.dump-profile.json\n${notation === intelHex ? ':00000001FF' : 'S9030000FC'}\n`;
      const file = fileOf(notation, text, 7);
      assert.deepEqual(scanImage(file), { asks: 'profile', value: 'a.dump-profile.json' });
      assert.ok(!('asks' in scanImage(file, EMPTY_PROFILE)));
    });

    it('the seal of a file is checked over all its records', () => {
      const records = notation === intelHex ? ':0100000001FE\n:00000001FF\n' : 'S104000001FA\nS9030000FC\n';
      const seal = sealOf({ rows: readRows(records, notation), notation: notation });
      for (const [text, holds] of [
        [`${records}; @seal ${seal}\n`, true],
        [`${records.replace('01FE', '02FD').replace('01FA', '02F9')}; @seal ${seal}\n`, false],
        [records, undefined],
      ] as const) {
        const scanned = scanImage(fileOf(notation, text, 7), EMPTY_PROFILE);
        assert.ok(!('asks' in scanned));
        assert.equal(scanned.sealHolds, holds);
        assert.equal(bind(readRows(text, notation), notation, EMPTY_PROFILE).sealHolds, holds);
      }
    });
  });
}

/** Lines of data as the programs print them that each form is known from, at addresses that follow each other. */
const PRINTED: { readonly [form: string]: readonly ((address: number, bytes: Uint8Array) => string)[] } = {
  'hex-view': [
    (address, bytes) => hexView.print({ label: address, type: 0, data: bytes, sum: NOTHING }),
    (address, bytes) => {
      const words =
        hexBytes(bytes)
          .toLowerCase()
          .match(/.{1,4}/g) ?? [];
      return `${hex(address, 8)}: ${words.join(' ').padEnd(40)} ${Array.from(bytes, shownCharacter).join('')}`;
    },
    (address, bytes) => hexView.print({ label: address, type: 1, data: bytes, sum: NOTHING }),
    (address, bytes) => `${hex(address, 6)} ${hexBytes(bytes, ' ').toLowerCase()}`,
    (address, bytes) => `${hex(address, 7)} ${hexBytes(bytes, ' ').toLowerCase()}`,
  ],
  'ti-txt': [(_, bytes) => hexBytes(bytes, ' ')],
  verilog: [
    (address, bytes) => `@${hex(address, 8)} ${hexBytes(bytes, ' ')}`,
    (_, bytes) => (hexBytes(bytes).match(/.{1,8}/g) ?? []).join(' '),
  ],
  'hex-list': [
    (_, bytes) => Array.from(bytes, (byte) => `0x${hex(byte)}, `).join(''),
    (_, bytes) => hexBytes(bytes),
    (_, bytes) => hexBytes(bytes, ';'),
  ],
};
const NOTHING = new Uint8Array(0);

/** What stands before and behind the lines of data, and what may be put between them or in place of one. */
const AROUND: { readonly [form: string]: readonly [readonly string[], readonly string[], readonly string[]] } = {
  'hex-view': [
    [''],
    ['', '000000', '00000040', '0000080'],
    ['*', '', 'x', '# a', '00000010', '00000020: 20', '000000'],
  ],
  'ti-txt': [
    ['@0000', '@8000', ''],
    ['q', ''],
    ['@0010', '@8000', 'q', '; a', '', '00 1', '12 34'],
  ],
  verilog: [['', '@0'], [''], ['@10', '@10 12', '// a', '/* a */', '', '1234', '12 // a', '@0 12345678']],
  'hex-list': [
    ['', 'unsigned char a[] = {', 'unsigned char a[32] = {', 'short a[] = {', '{'],
    ['', '};', '};\nunsigned int a_len = 32;'],
    ['// a', '12', '16, 17', '0x12', '0x12};', '', 'char a[] = {', '0x1, 0x2', '0x01, 0x02, // a'],
  ],
};

/** Ends that count the records before them. */
const COUNTED = Array.from({ length: 8 }, (_, i) => `;00${hex(i + 1, 4)}${hex(i + 1, 4)}`);

const EVEN_BYTES = fc.oneof(
  fc.uint8Array({ minLength: 16, maxLength: 16 }),
  fc.nat(255).map((byte) => new Uint8Array(16).fill(byte)),
  fc.nat(3).map((byte) => Uint8Array.from({ length: 16 }, (_, i) => (i % 2 === 0 ? byte : 0))),
);

/** Lines that a program prints of bytes, of which some are changed, left out, put in or cut short. */
function listing(form: WrittenForm): fc.Arbitrary<string> {
  const tailsOf = form.image?.end?.countsUpTo === undefined ? ['', endOf(form)] : COUNTED;
  const [heads, tails, others] = AROUND[form.id] ?? [[''], tailsOf, ['', '; a', '# a', '; @vin 1', '# @vin 1', 'x']];
  const print = PRINTED[form.id] ?? [(address: number, data: Uint8Array) => printedRecord(form, address, data)];
  const change = fc.tuple(
    fc.constantFrom('digit', 'digit', 'instead', 'before', 'gone', 'short', 'small', 'again'),
    fc.nat(),
    fc.nat(),
    fc.constantFrom('0', 'A', 'f', ' ', 'x', '\0', 'é', ''),
    fc.constantFrom(...others),
  );
  return fc
    .tuple(
      fc.constantFrom(...print),
      fc.array(EVEN_BYTES, { minLength: 1, maxLength: 8 }),
      fc.constantFrom(0, 0, 0x40, 0xfff0),
      fc.oneof({ weight: 3, arbitrary: fc.constant([]) }, fc.array(change, { maxLength: 3 })),
      fc.constantFrom(...heads),
      fc.constantFrom(...tails),
      fc.constantFrom('\n', '\r\n'),
      fc.nat(16),
    )
    .map(([line, rows, from, changes, head, tail, lineEnd, cut]) => {
      const lines = rows.map((bytes, i) =>
        line(from + 16 * i, i === rows.length - 1 && cut > 0 ? bytes.slice(0, cut) : bytes),
      );
      const same = rows.findIndex(
        (bytes, i) => i > 1 && i < rows.length - 1 && bytes.every((byte, at) => byte === rows[i - 1]?.[at]),
      );
      if (form.complete !== undefined && same > 0) lines[same] = '*';
      for (const [what, which, at, put, other] of changes) {
        const row = which % lines.length;
        const text = lines[row] ?? '';
        const place = at % (text.length + 1);
        if (what === 'digit') lines[row] = text.slice(0, place) + put + text.slice(place + 1);
        else if (what === 'instead') lines[row] = other;
        else if (what === 'before') lines.splice(row, 0, other);
        else if (what === 'gone') lines.splice(row, 1, '');
        else if (what === 'short') lines[row] = text.slice(0, place);
        else if (what === 'small') lines[row] = text.toLowerCase();
        else lines.splice(row, 0, lines[at % lines.length] ?? '');
      }
      return [...(head === '' ? [] : [head]), ...lines, ...(tail === '' ? [] : [tail]), ''].join(lineEnd);
    });
}

function endOf(form: WrittenForm): string {
  const { label, type } = { label: 0, type: form.image?.end?.typeFor([form.image.dataRecord(0).type]) ?? 0 };
  return printRecord(form, label, type, NOTHING);
}

function printedRecord(form: WrittenForm, address: number, data: Uint8Array): string {
  const { label, type } = form.image?.dataRecord(address) ?? { label: address, type: 0 };
  return printRecord(form, label, type, data);
}

for (const form of FORMS as readonly WrittenForm[]) {
  if (form.image === undefined) continue;
  describe(`laws of reading ${form.id} by bytes, as programs print it`, () => {
    it('all problems are those of reading it row by row, or all rows are asked for', () => {
      let read = 0;
      fc.assert(
        fc.property(
          listing(form),
          imageProfile,
          fc.boolean(),
          fc.integer({ min: 1, max: 300 }),
          (text, profile, by, size) => {
            const bound = by ? profile : EMPTY_PROFILE;
            const scanned = scanImage(fileOf(form, text, size), bound);
            if ('asks' in scanned) return;
            const whole = bind(readRows(decode(Buffer.from(text)), form), form, bound);
            const status = by ? ({ kind: 'read' } as const) : NONE;
            assert.deepEqual(checkDump(loaded(scanned, status, NONE)), checkDump(loaded(whole, status, NONE)));
            if (scanned.rows.length > 4) read++;
          },
        ),
        times(250),
      );
      assert.ok(read > 30, `${read}`);
    });

    it('it holds the same, and is written the same in every other form', () => {
      let done = 0;
      fc.assert(
        fc.property(listing(form), fc.integer({ min: 1, max: 300 }), (text, size) => {
          const target = form.id === 'intel-hex' ? 's-record' : 'intel-hex';
          const dump = bind(readRows(decode(Buffer.from(text)), form), form, EMPTY_PROFILE);
          const contents = scanContents(fileOf(form, text, size));
          if (contents === undefined) return;
          const [whole, scanned] = [convert(dump, target), conversionOf(form.id, () => contents, target)];
          done += areConvertedAlike(whole, scanned) ? 1 : 0;
        }),
        times(250),
      );
      assert.ok(done > 8, `${done}`);
    });

    it('what programs print without a fault is read without its rows', () => {
      const lines = Array.from({ length: 40 }, (_, i) =>
        (PRINTED[form.id]?.[0] ?? ((address, data) => printedRecord(form, address, data)))(
          16 * i,
          Uint8Array.from({ length: 16 }, (_, at) => (31 * i + 7 * at) & 0xff),
        ),
      );
      const [head = ''] = AROUND[form.id]?.[0] ?? [];
      let made = 0;
      const counting: WrittenForm = {
        ...form,
        readRow: (text, store) => {
          made++;
          return form.readRow(text, store);
        },
      };
      const text = [...(head === '' ? [] : [head]), ...lines, ''].join('\n');
      const contents = scanContents(fileOf(counting, text, 1 << 20));
      assert.ok(contents !== undefined && made < 8, `${made}`);
    });
  });
}

describe('S-records that cannot be read', () => {
  // Found by the law of profiles: the scan counted it among the unreadable lines that a sum covers.
  it('are in no sum where they hold no data', () => {
    const text = 'S10500000000FA\nS103000FC';
    const total = { name: 'a', method: 'crc', model: 'CRC-16/ARC', over: ['data'], address: '0x0' };
    const { profile } = readProfile(JSON.stringify({ format: 1, totals: [total] }));
    const scanned = scanImage(fileOf(sRecord, text, 3), profile);
    assert.ok(!('asks' in scanned));
    const whole = bind(readRows(text, sRecord), sRecord, profile);
    const status = { kind: 'read' } as const;
    assert.equal(scanned.states.length, 1);
    assert.deepEqual(checkDump(loaded(scanned, status, NONE)), checkDump(loaded(whole, status, NONE)));
  });
});
