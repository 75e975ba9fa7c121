// Bytes cut into lines: none is lost or moved, and a line ends only where it must.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { lineCutter } from '../../../shared-core/src/convert/lineCutter.js';

const widths = fc.constantFrom(1, 7, 10, 12, 16, 32, 255);
/** Runs of bytes in parts, each with how far behind the one before it begins. */
const parts = fc.array(fc.record({ gap: fc.constantFrom(0, 0, 0, 1, 5), count: fc.integer({ min: 1, max: 70 }) }), {
  maxLength: 8,
});

describe('lines of bytes', () => {
  it('hold each byte at its address, and end at multiples of their width, at 64 KiB and at gaps alone', () => {
    fc.assert(
      fc.property(widths, fc.constantFrom(0, 3, 0x10, 0xffc0, 0xfff1, 0x1fff0), parts, (width, start, runs) => {
        const [wanted, found] = [new Map<number, number>(), new Map<number, number>()];
        const lines: (readonly [from: number, count: number])[] = [];
        const cutter = lineCutter(width, (from, bytes) => {
          lines.push([from, bytes.length]);
          for (const [i, byte] of bytes.entries()) found.set(from + i, byte);
        });
        let at = start;
        for (const { gap, count } of runs) {
          at += gap;
          // The run is in the middle of its store.
          const store = Uint8Array.from({ length: count + 2 }, (_, i) => at + i);
          for (let i = 0; i < count; i++) wanted.set(at + i, store[1 + i] as number);
          cutter.add(at, { store, from: 1, count });
          at += count;
        }
        cutter.flush();
        assert.deepEqual([...found], [...wanted]);
        const isBoundary = (address: number) => address % width === 0 || address % 0x10000 === 0;
        for (const [from, count] of lines) {
          assert.ok(count >= 1 && count <= width);
          for (let inside = from + 1; inside < from + count; inside++) assert.ok(!isBoundary(inside), `${inside}`);
          const end = from + count;
          assert.ok(isBoundary(end) || !wanted.has(end), `${from}+${count}`);
        }
      }),
    );
  });

  it('begin anew where they are ended, though the bytes go on', () => {
    const lines: number[][] = [];
    const cutter = lineCutter(16, (from, bytes) => lines.push([from, ...bytes]));
    const store = Uint8Array.of(1, 2, 3);
    cutter.add(0, { store, from: 0, count: 2 });
    cutter.flush();
    cutter.flush();
    cutter.add(2, { store, from: 2, count: 1 });
    cutter.flush();
    assert.deepEqual(lines, [
      [0, 1, 2],
      [2, 3],
    ]);
  });
});
