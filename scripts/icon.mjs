// npm run icon: draws media/icon.png, the sign of the side bar on a plate: four bytes, one of them filled, over two sums.
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { ROOT } from './prepare.mjs';
import { pngFile } from './smallPng.mjs';

const SIZE = 256;
/** Points a pixel is looked at, along each side, so that edges are smooth. */
const POINTS = 4;
const PLATE = [0x17, 0x23, 0x2e];
const SIGN = [0xe8, 0xee, 0xf2];
const FILLED = [0xf2, 0xa9, 0x3b];

/** Places in the square of 24 units in which media/countersum.svg is drawn. */
const BYTES = [
  [3.75, 2.75],
  [13.25, 2.75],
  [3.75, 10.25],
  [13.25, 10.25],
].map(([left, top]) => ({ left, top, right: left + 7, bottom: top + 5, radius: 1 }));
const SUMS = [18.25, 21.25].map((y) => ({ left: 3.75, top: y, right: 20.25, bottom: y, radius: 0 }));
const HALF_STROKE = 0.75;
/** The sign takes this much of the plate. */
const SHARE = 0.72;

/** How far a point is outside a rectangle with round corners; negative inside. */
function outside(x, y, { left, top, right, bottom, radius }) {
  const dx = Math.max(left + radius - x, x - right + radius);
  const dy = Math.max(top + radius - y, y - bottom + radius);
  return Math.hypot(Math.max(dx, 0), Math.max(dy, 0)) + Math.min(Math.max(dx, dy), 0) - radius;
}

/** The colour at a point of the picture of side 1, or undefined where it can be seen through. */
function colourAt(x, y) {
  if (outside(x, y, { left: 0.01, top: 0.01, right: 0.99, bottom: 0.99, radius: 0.2 }) > 0) return undefined;
  const [u, v] = [x, y].map((part) => ((part - 0.5) / SHARE) * 24 + 12);
  const stroke = [...BYTES, ...SUMS].some((shape) => Math.abs(outside(u, v, shape)) <= HALF_STROKE);
  if (outside(u, v, BYTES[3]) <= HALF_STROKE) return FILLED;
  return stroke ? SIGN : PLATE;
}

/** Rows of RGBA as they stand in the file, each behind a byte 0: no filter. */
export function iconRows() {
  const rows = Buffer.alloc(SIZE * (SIZE * 4 + 1));
  for (let y = 0; y < SIZE; y++)
    for (let x = 0; x < SIZE; x++) {
      const seen = [];
      for (let i = 0; i < POINTS * POINTS; i++) {
        const [dx, dy] = [(i % POINTS) + 0.5, Math.floor(i / POINTS) + 0.5];
        const colour = colourAt((x + dx / POINTS) / SIZE, (y + dy / POINTS) / SIZE);
        if (colour !== undefined) seen.push(colour);
      }
      const mean = (channel) => Math.round(seen.reduce((sum, colour) => sum + colour[channel], 0) / (seen.length || 1));
      const alpha = Math.round((255 * seen.length) / POINTS ** 2);
      rows.set([mean(0), mean(1), mean(2), alpha], y * (SIZE * 4 + 1) + 1 + x * 4);
    }
  return rows;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  writeFileSync(join(ROOT, 'media/icon.png'), pngFile(SIZE, SIZE, 6, iconRows()));
