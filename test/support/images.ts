import fc from 'fast-check';
import { bytesOf, type Notation, type RecordRow } from '../../shared-core/src/format/index.js';
import { intelHex } from '../../shared-core/src/format/intelHex.js';
import { sRecord } from '../../shared-core/src/format/sRecord.js';
import type { Dump } from '../../shared-core/src/model/index.js';

/** Bytes at their addresses, as the layout of a memory image has them. */
export function bytesAt(dump: Dump): Map<number, number> {
  const bytes = new Map<number, number>();
  dump.layout.order.forEach((row, i) => {
    const record = dump.rows[row];
    if (record?.kind !== 'record') return;
    for (const [at, byte] of bytesOf(record, 0, dump.layout.dataCount[row]).entries())
      bytes.set((dump.layout.keys[i] as number) + at, byte);
  });
  return bytes;
}

/** The digits at the places where a notation says that those of a record stand. */
export function digitsOf(row: RecordRow, notation: Notation): string {
  const digits = notation.digitPlaces(row).map((at) => row.text[at]);
  return digits.join('').toUpperCase();
}

const data = fc.uint8Array({ maxLength: 20 });
const address = fc.oneof(fc.nat(0x40), fc.constantFrom(0xfff8, 0xffff), fc.nat(0xffff));

/** A record with a right sum, of any type: data at addresses that often meet, bases, starts, ends, counts. */
export function record(notation: Notation): fc.Arbitrary<string> {
  const sealed = (label: number, type: number, bytes: Uint8Array) => {
    const bare = notation.print({ label, type, data: bytes, sum: Uint8Array.of(0) });
    const digits = bare.slice(notation === intelHex ? 1 : 2).match(/../g) ?? [];
    const sum = digits.reduce((all, pair) => all + Number.parseInt(pair, 16), 0);
    return notation.print({ label, type, data: bytes, sum: Uint8Array.of(notation === intelHex ? -sum : 0xff - sum) });
  };
  const nothing = new Uint8Array(0);
  if (notation === sRecord) {
    return fc.oneof(
      { weight: 6, arbitrary: fc.tuple(address, fc.constantFrom(1, 2, 3), data).map((parts) => sealed(...parts)) },
      data.map((bytes) => sealed(0, 0, bytes)),
      fc.tuple(fc.nat(6), fc.constantFrom(5, 6)).map(([count, type]) => sealed(count, type, nothing)),
      fc.tuple(address, fc.constantFrom(7, 8, 9)).map(([start, type]) => sealed(start, type, nothing)),
      fc.constant(sealed(0xffffffff, 3, Uint8Array.of(1, 2))),
    );
  }
  return fc.oneof(
    { weight: 6, arbitrary: fc.tuple(address, data).map(([label, bytes]) => sealed(label, 0, bytes)) },
    fc.constant(':00000001FF'),
    fc
      .tuple(fc.constantFrom(2, 4), fc.constantFrom([0, 0], [0, 1], [0x10, 0], [0xff, 0xff]))
      .map(([type, base]) => sealed(0, type, Uint8Array.from(base))),
    fc.constantFrom(3, 5).map((type) => sealed(0, type, Uint8Array.of(0, 0, 1, 2))),
  );
}

const END_OF_INTEL_HEX = [':00000001FF', ':00000001FF\n'];
const END_OF_S_RECORDS = ['S9030000FC', 'S9030000FC\n'];

/** Text of a memory image as files have it, and as they have it not. */
export function imageText(notation: Notation): fc.Arbitrary<string> {
  const line = fc.oneof(
    { weight: 8, arbitrary: record(notation) },
    record(notation).map((text) => text.toLowerCase()),
    fc.tuple(record(notation), fc.nat(), fc.constantFrom('0', 'F', 'O', 'x', '', '𝔽', '\0')).map(([text, at, put]) => {
      const place = at % text.length;
      return text.slice(0, place) + put + text.slice(place + 1);
    }),
    record(notation).map((text) => ` ${text}  `),
    fc.constantFrom(
      '',
      '; a comment',
      '; @vin 0DEM0T4X5TA020418',
      '@vin 1',
      '# @unknwon',
      '@note',
      '\ufeff',
      'é',
      ':',
      'S1',
      'S4000000',
      ':0000000',
    ),
  );
  const end = fc.constantFrom('\n', '\n', '\n', '\r\n', '\r');
  // Half of them are whole: most faults of a record would else be hidden behind an end record that is missing.
  const last = fc.oneof(line, fc.constantFrom('', ...(notation === sRecord ? END_OF_S_RECORDS : END_OF_INTEL_HEX)));
  return fc
    .tuple(fc.array(fc.tuple(line, end), { maxLength: 12 }), last)
    .map(([lines, tail]) => lines.map((parts) => parts.join('')).join('') + tail);
}
