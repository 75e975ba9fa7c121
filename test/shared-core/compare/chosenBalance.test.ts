import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { writesFor } from '../../../shared-core/src/actions/settings.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { compareDumps, isExplained } from '../../../shared-core/src/compare/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { profileOf } from '../../support/smallDumps.js';

const SUMS: readonly { readonly method: string; readonly bits?: number; readonly model?: string }[] = [
  { method: 'add', bits: 8 },
  { method: 'add', bits: 16 },
  { method: 'add', bits: 32 },
  { method: 'xor', bits: 8 },
  { method: 'crc', model: 'CRC-8/SMBUS' },
  { method: 'crc', model: 'CRC-16/ARC' },
  { method: 'crc', model: 'CRC-32/ISO-HDLC' },
  { method: 'fletcher', bits: 16 },
];

/** Three lines, of which the first holds a number of two bytes; all have a sum that is to stay. */
const LINES = ['1: 00 00 10 20 30 40 50 60', '2: 81 92 A3 B4 C5 D6 E7 F8', '3: 11 12 13 14 15 16 17 18'];
const OPTION = { id: 'load', title: 'Load', line: 1, bytes: '1-2', number: {} };

const LABELS = ['total', 'x'] as const;

function partsFor(kept: readonly object[]) {
  return {
    lines: { from: 1, to: 3, data: 8, sum: 0 },
    totals: kept.map((sum, at) => ({ name: `sum ${at}`, over: ['data'], label: LABELS[at], keep: true, ...sum })),
    options: [OPTION],
    balance: [],
  };
}

/** The lines with stored sums that are right. */
function soundDump(
  kept: readonly { readonly method: string; readonly bits?: number; readonly model?: string }[],
): Dump {
  const profile = profileOf(partsFor(kept));
  const text = (sums: readonly string[]) => [...LINES, ...sums.map((sum, at) => `${LABELS[at]}: ${sum}`)].join('\n');
  const zeros = profile.totals.map(({ checksum }) =>
    Array(Math.ceil(checksum.bits / 8))
      .fill('00')
      .join(' '),
  );
  const open = bindText('a.cfgdump', `${text(zeros)}\n`, profile);
  const right = open.totals.map(({ total, width }, at) => {
    const digits = total.checksum
      .valueOf(open.states[at]?.state ?? 0n)
      .toString(16)
      .toUpperCase()
      .padStart(2 * width, '0');
    return digits.match(/../g)?.join(' ') ?? '';
  });
  return bindText('a.cfgdump', `${text(right)}\n`, profile);
}

/** The option set and the sums balanced with the second line. */
function balanced(dump: Dump, raw: bigint): Dump | undefined {
  const option = dump.profile.options[0];
  assert.ok(option);
  const row = dump.layout.rowOf(2);
  assert.ok(row !== undefined);
  const made = finish(writesFor(dump, [{ option, raw }], { totals: 'keep', using: { row } }));
  return made.ok ? afterWrites(dump, made.value.writes) : undefined;
}

const changedBytes = (before: Dump, after: Dump) =>
  compareDumps(before, after).lines.flatMap(({ label, bytes }) =>
    bytes.map(({ byte, reason }) => ({ place: `${label}.${byte}`, reason })),
  );

/** The dump with one byte of the second line xored, as damage does it. */
function damaged(dump: Dump, byte: number, by: number): Dump {
  const text = textOfRows(dump.rows);
  const at = text.indexOf('2: ') + 3 + 3 * byte;
  const value = Number.parseInt(text.slice(at, at + 2), 16) ^ by;
  const digits = value.toString(16).toUpperCase().padStart(2, '0');
  return bindText('a.cfgdump', text.slice(0, at) + digits + text.slice(at + 2), dump.profile);
}

describe('a line that a person chose to balance with, where the profile names no place', () => {
  const kinds = [...SUMS.map((sum) => [sum]), [SUMS[0], SUMS[3]], [SUMS[1], SUMS[4]]] as (typeof SUMS)[];
  for (const kept of kinds) {
    const name = kept.map(({ method, bits, model }) => model ?? `${method} ${bits}`).join(' and ');

    it(`is balance whatever is set: ${name}`, () => {
      const before = soundDump(kept);
      for (const raw of [1n, 0x0203n, 0xffffn]) {
        const after = balanced(before, raw);
        if (after === undefined) continue;
        assert.equal(isExplained(compareDumps(before, after)), true, `${raw}: ${textOfRows(after.rows)}`);
      }
    });

    // Of as many bytes as a long CRC takes, those that were damaged are no more than others.
    if (kept.some(({ model }) => model === 'CRC-32/ISO-HDLC')) continue;
    it(`is no balance where damage in it was made up for: ${name}`, () => {
      const before = soundDump(kept);
      let left = 0;
      for (const raw of [1n, 0x0203n])
        for (const [byte, by] of [
          [0, 0x01],
          [3, 0x40],
          [7, 0x80],
        ] as const) {
          const honest = balanced(before, raw);
          const after = balanced(damaged(before, byte, by), raw);
          if (after === undefined || honest === undefined) continue;
          // The damaged byte may have been balanced with itself: then nothing is left of the damage.
          const [made, without] = [changedBytes(before, after), changedBytes(before, honest)];
          if (made.length <= without.length) continue;
          left++;
          assert.ok(
            made.some(({ reason }) => reason === 'unexplained'),
            `${raw}, byte ${byte}: ${textOfRows(after.rows)}`,
          );
        }
      assert.ok(left > 0);
    });
  }
});
