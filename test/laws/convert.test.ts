import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hex, hexBytes, say } from '../../shared-core/src/base/index.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { contentsOf } from '../../shared-core/src/convert/contents.js';
import type { ConvertTarget } from '../../shared-core/src/convert/convert.js';
import { convert } from '../../shared-core/src/convert/index.js';
import { bytesOf, FORM_IDS, formOf, type Notation, readRows, textOfRows } from '../../shared-core/src/format/index.js';
import { intelHex } from '../../shared-core/src/format/intelHex.js';
import { compilePattern } from '../../shared-core/src/format/pattern.js';
import { sRecord } from '../../shared-core/src/format/sRecord.js';
import { bind, bindText, type Dump } from '../../shared-core/src/model/index.js';
import { printRecord } from '../../shared-core/src/model/lineSum.js';
import { EMPTY_PROFILE, readProfile } from '../../shared-core/src/profile/index.js';
import { bytesAt, digitsOf, imageText } from '../support/images.js';
import { loaded } from '../support/loaded.js';

const targets = FORM_IDS;
const open = (id: ConvertTarget, text: string) => bindText(`a.${formOf(id)?.endings[0]}`, text, EMPTY_PROFILE);

function startOf(dump: Dump): number | undefined {
  const contents = contentsOf(dump);
  return contents.ok ? contents.value.start?.address : undefined;
}

/** Bytes at addresses that now and then touch, anywhere in 4 GiB, as dump text. */
const dumpLike = fc
  .tuple(
    fc.uniqueArray(fc.tuple(fc.constantFrom(0, 1, 0xff, 0xffff), fc.nat(0xff)), {
      minLength: 1,
      maxLength: 12,
      selector: ([high, middle]) => high * 0x100 + middle,
    }),
    fc.infiniteStream(fc.uint8Array({ minLength: 1, maxLength: 0x100 })),
    fc.option(fc.nat(0xffffffff)),
    fc.constantFrom('\n', '\r\n'),
  )
  .map(([places, data, start, end]) => {
    const lines = places.map(
      ([high, middle]) => `0x${hex(high, 4)}${hex(middle)}00: ${hexBytes(data.next().value as Uint8Array)}`,
    );
    return [...(start === null ? [] : [`@start 0x${hex(start)}`]), ...lines, ''].join(end);
  });

/** Whether a form holds data at any addresses that there are, with gaps between them. */
function holdsAll(target: ConvertTarget): boolean {
  const keeps = formOf(target)?.keeps;
  return keeps?.addresses === true && keeps.gaps !== false && keeps.top === undefined;
}

describe('laws of conversion', () => {
  it('a form whose addresses end sooner holds data up to its last address, and names the row of any above', () => {
    for (const [at, refused] of [
      [0xfffc, false],
      [0xfffd, true],
      [0x123456, true],
    ] as const) {
      const dump = bindText('a.cfgdump', `0x0: 00\n0x${at.toString(16)}: 01 02 03 04\n`, EMPTY_PROFILE);
      const converted = convert(dump, 'mos-tech');
      assert.equal(converted.ok, !refused);
      if (!converted.ok) assert.match(say(converted.why), /Row 2: MOS Technology hex has no addresses above FFFF/);
    }
  });

  it('the records of MOS Technology hex are counted at its end, also where there are more than 255', () => {
    const dump = bindText('a.cfgdump', `0x0: ${'5A'.repeat(600)}\n`, EMPTY_PROFILE);
    const converted = convert(dump, 'mos-tech', 2);
    assert.ok(converted.ok);
    assert.match(converted.value.text, /;00012C012C\n$/);
    const codes = (text: string) => {
      const read = bindText('a.mos', text, EMPTY_PROFILE);
      return checkDump(loaded(read, { kind: 'none' }, { kind: 'none' })).map(({ code }) => code);
    };
    assert.deepEqual(codes(converted.value.text), []);
    assert.deepEqual(codes(converted.value.text.replace(';00012C012C', ';00012C002D')), ['line-sum']);
    assert.deepEqual(codes(converted.value.text.replace(';00012C012C', ';00012D012D')), ['record-count']);
    assert.deepEqual(codes(converted.value.text.replace(';00012C012C\n', '')), ['end-missing']);
  });

  it('through every notation and back: the same bytes at the same addresses, the same start, right sums, nothing lost', () => {
    fc.assert(
      fc.property(dumpLike, fc.integer({ min: 1, max: 250 }), fc.shuffledSubarray([...targets]), (text, width, way) => {
        let dump = open('dump-text', text);
        const bytes = bytesAt(dump);
        let start = startOf(dump);
        for (const target of [...way, 'dump-text' as const]) {
          if (dump.notation.id === target) continue;
          const converted = convert(dump, target, width);
          if (!converted.ok && !holdsAll(target)) continue;
          assert.ok(converted.ok);
          dump = open(target, converted.value.text);
          assert.deepEqual([dump.invalidRows, dump.wrongSums, dump.layout.imageProblems], [[], [], []]);
          assert.deepEqual(bytesAt(dump), bytes);
          if (formOf(target)?.keeps.start === 'none') start = undefined;
          // S-records say 0 where nothing starts.
          assert.equal(startOf(dump) ?? 0, start ?? 0);
        }
      }),
    );
  });

  for (const [name, notation] of Object.entries<Notation>({ 'Intel HEX': intelHex, 'S-records': sRecord })) {
    it(`any ${name} file is converted with all bytes at all addresses, or refused with the row that is in doubt`, () => {
      const others = targets.filter((target) => target !== notation.id);
      let done = 0;
      fc.assert(
        fc.property(imageText(notation), fc.constantFrom(...others), (text, target) => {
          const dump = open(notation.id as ConvertTarget, text);
          const converted = convert(dump, target);
          if (!converted.ok) {
            const doubts = [...dump.invalidRows, ...dump.wrongSums, ...dump.layout.imageProblems.map(({ row }) => row)];
            assert.ok(doubts.includes(converted.row ?? -1) || bytesAt(dump).size === 0 || !holdsAll(target));
            return;
          }
          done++;
          const other = open(target, converted.value.text);
          assert.deepEqual(bytesAt(other), bytesAt(dump));
          assert.deepEqual([other.invalidRows, other.wrongSums, other.layout.imageProblems], [[], [], []]);
        }),
        { numRuns: 1500 },
      );
      assert.ok(done > 20, `${done}`);
    });

    it(`rows of ${name} hold their text without loss, whatever it is, and their digits stand where they say`, () => {
      fc.assert(
        fc.property(fc.oneof(imageText(notation), fc.string()), (text) => {
          const rows = readRows(text, notation);
          assert.equal(textOfRows(rows), text);
          for (const row of rows) {
            if (row.kind !== 'record') continue;
            assert.equal(digitsOf(row, notation), hexBytes(bytesOf(row)));
            const span = notation.labelSpan(row);
            assert.equal(Number.parseInt(row.text.slice(span?.start, span?.end), 16), row.label);
          }
        }),
      );
    });
  }

  /** Ways to write records of 3 to 8 bytes; each with the signs that make another line of one. */
  const FORMS: readonly (readonly [Notation, signs: string])[] = [
    [intelHex, ';#/@'],
    [sRecord, ';#/@'],
    ...[
      '{label:hex}: {data}',
      '[{label}] {data} ;{sum}',
      '{label} {data}',
      'Line {label} ({skip}): {data} | {sum}',
    ].map((pattern) => {
      const compiled = compilePattern(pattern, 'keep');
      assert.ok(compiled.ok);
      return [compiled.value, ';#/@'] as const;
    }),
  ];
  const printed = (notation: Notation, label: number, data: Uint8Array) =>
    notation.id === 'pattern'
      ? notation.print({ label, type: undefined, data, sum: Uint8Array.of(0x5f) })
      : printRecord(notation, label, notation.id === 's-record' ? 1 : 0, data);

  it('a record with one wrong character is still a record or refused, in images and by patterns: it is never left out', () => {
    let refused = 0;
    fc.assert(
      fc.property(
        fc.constantFrom(...FORMS),
        fc.array(fc.uint8Array({ minLength: 3, maxLength: 8 }), { minLength: 1, maxLength: 4 }),
        fc.nat(),
        fc.nat(),
        fc.constantFrom('', '0', 'F', 'x', 'O', ' ', ':', ']', '*', '\0', '\ufffd', 'é', '-'),
        fc.boolean(),
        ([notation, signs], data, which, at, put, replaces) => {
          const records = data.map((bytes, i) => printed(notation, 0x20 * (i + 1), bytes));
          const row = which % records.length;
          const record = records[row] as string;
          const place = at % record.length;
          const damaged = record.slice(0, place) + put + record.slice(place + (replaces || put === '' ? 1 : 0));
          if (signs.includes(damaged.trim().charAt(0))) return;
          records[row] = damaged;
          const dump = bind(readRows(`${records.join('\n')}\n`, notation), notation, EMPTY_PROFILE);
          const kind = dump.rows[row]?.kind;
          assert.ok(kind === 'record' || kind === 'broken', damaged);
          if (kind !== 'broken') return;
          refused++;
          const converted = convert(dump, 'dump-text');
          assert.deepEqual([converted.ok, 'row' in converted && converted.row], [false, row]);
        },
      ),
      { numRuns: 5000 },
    );
    assert.ok(refused > 500, `${refused}`);
  });

  it('a second start address is named as lost, whatever the other notation', () => {
    const text = ':0100000001FE\n:0400000500000010E7\n:0400000500000020D7\n:00000001FF\n';
    for (const target of ['dump-text', 's-record'] as const) {
      const converted = convert(open('intel-hex', text), target);
      assert.ok(converted.ok);
      assert.deepEqual(
        converted.value.lost.map(({ parts }) => parts),
        [[2]],
      );
      assert.equal(startOf(open(target, converted.value.text)), 0x20);
    }
  });

  it('comments are named as lost where the other notation has no place for them; headers go behind the end record', () => {
    const text = '# from the bench\n@part 12\n@seal sha256:00\n0x10: 01\n';
    const converted = convert(open('dump-text', text), 'intel-hex');
    assert.ok(converted.ok);
    assert.deepEqual(
      converted.value.lost.map(({ parts }) => parts),
      [
        [1, '# from the bench'],
        [3, 'seal', 'sha256:00'],
      ],
    );
    assert.match(converted.value.text, /^:0100100001EE\n:00000001FF\n; @part 12\n$/);
    const back = convert(open('intel-hex', converted.value.text), 'dump-text');
    assert.deepEqual(back, { ok: true, value: { text: '0x0010: 01\n@part 12\n', lost: [] } });
  });

  it('a comment behind the bytes of a line is named as lost like any other', () => {
    const text = '0x0000: 31 32 # keep this note\n0x0010:  # nothing here yet\n';
    const converted = convert(open('dump-text', text), 'intel-hex');
    assert.ok(converted.ok);
    assert.deepEqual(
      converted.value.lost.map(({ parts }) => parts),
      [
        [1, '# keep this note'],
        [2, '# nothing here yet'],
      ],
    );
  });

  it('is refused by a profile with a problem: it may say that labels are line numbers', () => {
    const flawed = readProfile('{ "format": 1, "more": 1 }').profile;
    for (const target of ['intel-hex', 's-record'] as const) {
      const converted = convert(bindText('a.cfgdump', '1: 00\n2: 00\n', flawed), target);
      assert.match(converted.ok ? '' : say(converted.why), /not known whether labels are addresses.*more/);
    }
  });
});
