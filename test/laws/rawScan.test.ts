import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import type { Result } from '../../shared-core/src/base/index.js';
import { checkDump, verdictOf } from '../../shared-core/src/checks/index.js';
import { contentsOf } from '../../shared-core/src/convert/contents.js';
import { contentsOfRaw } from '../../shared-core/src/convert/contentsScan.js';
import { type Contents, conversionOf } from '../../shared-core/src/convert/index.js';
import { dumpText } from '../../shared-core/src/format/dumpText.js';
import { readRows } from '../../shared-core/src/format/index.js';
import { type RawBytes, rawRows, rawText, rawTextLength } from '../../shared-core/src/format/rawBytes.js';
import { bind } from '../../shared-core/src/model/index.js';
import { sealOf } from '../../shared-core/src/model/seal.js';
import { whyNotWhole } from '../../shared-core/src/model/whole.js';
import { EMPTY_PROFILE, type Profile, readProfile } from '../../shared-core/src/profile/index.js';
import { scanRaw } from '../../shared-core/src/scan/rawScan.js';
import { loaded } from '../support/loaded.js';

const NONE = { kind: 'none' } as const;

const header = fc.constantFrom(
  '@vin 0DEM0T4X5TA020418',
  '@start 0x4',
  '@part',
  '@unknwon x',
  '# a comment',
  '',
  '@seal sha256:00',
  '5: 01 02',
  'x',
);

const rawBytes: fc.Arbitrary<RawBytes> = fc
  .record({
    bytes: fc.oneof(fc.uint8Array({ maxLength: 80 }), fc.uint8Array({ minLength: 60, maxLength: 80 })),
    offset: fc.oneof(fc.constantFrom(0, 0, 0, 0, 0, 0x10, 0xfff8, 0xffffff00), fc.nat(0x40)),
    lines: fc.oneof(fc.constant<string[]>([]), fc.array<string>(header, { maxLength: 3 })),
    lineEnd: fc.constantFrom('\n', '\r\n'),
  })
  .map(({ bytes, offset, lines, lineEnd }) => ({
    bytes,
    offset,
    headers: lines.map((line) => line + lineEnd).join(''),
  }));

const place = fc.oneof(fc.nat(0x60), fc.nat(0x20)).map((address) => `0x${address.toString(16)}`);
const range = fc
  .tuple(fc.nat(0x40), fc.nat(0x40))
  .map(([from, more]) => [from >> 2, more >> 1] as const)
  .map(([from, more]) => ({ from, to: from + more }));

const profiles: fc.Arbitrary<Profile> = fc
  .record({
    totals: fc.array(
      fc.record({
        name: fc.constantFrom('a', 'b'),
        method: fc.constant('crc'),
        model: fc.constantFrom('CRC-16/ARC', 'CRC-32/ISO-HDLC'),
        over: fc.oneof(fc.array(range, { minLength: 1, maxLength: 2 }), fc.constant(['data'])),
        address: place,
      }),
      { maxLength: 2 },
    ),
    options: fc.array(
      fc.record({
        id: fc.constantFrom('x', 'y'),
        title: fc.constant('X'),
        address: place,
        values: fc.constant({ 0: 'no' }),
      }),
      { maxLength: 2 },
    ),
    locked: fc.array(fc.record({ address: place, why: fc.constant('identity') }), { maxLength: 2 }),
    addresses: fc.oneof(
      { weight: 4, arbitrary: fc.oneof(range, fc.constant({ from: 0, to: 0x10 })) },
      { weight: 1, arbitrary: fc.constant(undefined) },
    ),
  })
  .map((json) => readProfile(JSON.stringify({ format: 1, ...json })).profile);

const readWhole = (raw: RawBytes, profile: Profile) => bind(readRows(rawText(raw), dumpText), dumpText, profile);

function written(id: string, contents: Result<Contents>) {
  const converted = conversionOf(id, () => contents, 'intel-hex');
  if (!converted.ok) return converted;
  const texts: string[] = [];
  const ascii = (bytes: Uint8Array) => texts.push(Buffer.from(bytes).toString());
  converted.value.write({ ascii, text: (more) => texts.push(more) });
  return { text: texts.join(''), lost: converted.value.lost };
}

describe('laws of reading raw bytes', () => {
  it('their rows are those of their text, which is as long as it says', () => {
    fc.assert(
      fc.property(rawBytes, (raw) => {
        const plain = (rows: ReturnType<typeof rawRows>) =>
          rows.map((row) =>
            row.kind === 'record'
              ? { ...row, store: [...row.store.subarray(row.from, row.from + row.count)], from: 0 }
              : row,
          );
        assert.deepEqual(plain(rawRows(raw)), plain(readRows(rawText(raw), dumpText)));
        assert.equal(rawTextLength(raw), rawText(raw).length);
      }),
      { numRuns: 500 },
    );
  });

  it('all problems are those of reading the text of their lines, with and without a profile, or all rows are asked for', () => {
    const read = { plain: 0, byProfile: 0, sums: 0 };
    fc.assert(
      fc.property(rawBytes, fc.oneof(fc.constant(EMPTY_PROFILE), profiles), (raw, profile) => {
        const scanned = scanRaw(raw, profile);
        if (scanned === undefined) return;
        const whole = readWhole(raw, profile);
        const isPlain = profile === EMPTY_PROFILE;
        const both = [scanned, whole].map((dump) => {
          const all = loaded(dump, isPlain ? NONE : { kind: 'read' }, NONE);
          const problems = checkDump(all);
          return { problems, verdict: verdictOf(all, problems), unread: whyNotWhole(dump), rows: dump.rows.length };
        });
        assert.deepEqual(both[0], both[1]);
        assert.deepEqual(scanned.states, whole.states);
        if (isPlain) read.plain++;
        else read.byProfile++;
        if (scanned.states.some(({ state }) => state > 0n)) read.sums++;
      }),
      { numRuns: 2000 },
    );
    assert.ok(read.plain > 200 && read.byProfile > 200 && read.sums > 5, JSON.stringify(read));
  });

  it('they hold what their lines hold, and are written the same in another form', () => {
    let done = 0;
    fc.assert(
      fc.property(rawBytes, fc.oneof(fc.constant(EMPTY_PROFILE), profiles), (raw, profile) => {
        const dump = scanRaw(raw, profile);
        const contents = dump && contentsOfRaw(raw, dump);
        if (contents === undefined) return;
        assert.deepEqual(written('binary', contents), written('binary', contentsOf(readWhole(raw, profile))));
        done++;
      }),
      { numRuns: 1000 },
    );
    assert.ok(done > 200, `${done}`);
  });

  it('a seal beside them is checked over all of them', () => {
    const bytes = Uint8Array.from({ length: 40 }, (_, i) => i);
    const seal = sealOf({ rows: rawRows({ bytes, offset: 0, headers: '' }), notation: dumpText });
    for (const [last, holds] of [
      [39, true],
      [40, false],
    ] as const) {
      const raw = { bytes: Uint8Array.from([...bytes.subarray(0, 39), last]), offset: 0, headers: `@seal ${seal}\n` };
      assert.equal(scanRaw(raw, EMPTY_PROFILE)?.sealHolds, holds);
    }
  });
});
