// PNG files with few colours: pictures of an editor have few, and are a third as large with a palette.
import { crc32, deflateSync, inflateSync } from 'node:zlib';

const SIGNATURE = Buffer.from('89504e470d0a1a0a', 'hex');
const MOST_COLOURS = 72;

/** The same picture with at most 72 colours; it must have 8 bits a channel, and is not interlaced. */
export function smallPng(png) {
  const { width, height, pixels } = decoded(png);
  const { palette, indexOf } = paletteOf(pixels);
  const rows = Buffer.alloc(height * (width + 1));
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) rows[y * (width + 1) + 1 + x] = indexOf(pixels[y * width + x]);
  const colours = Buffer.from(palette.flatMap((colour) => [colour >> 16, (colour >> 8) & 255, colour & 255]));
  return pngFile(width, height, 3, rows, chunk('PLTE', colours));
}

/** A file of 8 bits a channel: the colour type by the standard (3 palette, 6 RGBA), its rows, each behind its filter's byte. */
export function pngFile(width, height, colourType, rows, ...before) {
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, colourType, 0, 0, 0], 8);
  const data = chunk('IDAT', deflateSync(rows, { level: 9, memLevel: 9 }));
  return Buffer.concat([SIGNATURE, chunk('IHDR', head), ...before, data, chunk('IEND', Buffer.alloc(0))]);
}

function chunk(type, data) {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const whole = Buffer.alloc(body.length + 8);
  whole.writeUInt32BE(data.length, 0);
  body.copy(whole, 4);
  whole.writeUInt32BE(crc32(body), whole.length - 4);
  return whole;
}

/** Each pixel as 0xRRGGBB. */
function decoded(png) {
  const parts = [];
  let head;
  for (let at = SIGNATURE.length; at < png.length; ) {
    const length = png.readUInt32BE(at);
    const type = png.toString('latin1', at + 4, at + 8);
    const data = png.subarray(at + 8, at + 8 + length);
    if (type === 'IHDR') head = data;
    if (type === 'IDAT') parts.push(data);
    at += length + 12;
  }
  const [width, height] = [head.readUInt32BE(0), head.readUInt32BE(4)];
  const channels = { 2: 3, 6: 4 }[head[9]];
  if (head[8] !== 8 || channels === undefined || head[12] !== 0) throw new Error('This kind of PNG is not expected.');
  const raw = inflateSync(Buffer.concat(parts));
  const stride = width * channels;
  const bytes = Buffer.alloc(stride * height);
  for (let y = 0; y < height; y++) {
    const filter = raw[y * (stride + 1)];
    for (let i = 0; i < stride; i++) {
      const at = y * stride + i;
      const left = i >= channels ? bytes[at - channels] : 0;
      const up = y > 0 ? bytes[at - stride] : 0;
      const corner = i >= channels && y > 0 ? bytes[at - stride - channels] : 0;
      bytes[at] = raw[y * (stride + 1) + 1 + i] + predicted(filter, left, up, corner);
    }
  }
  const pixels = new Uint32Array(width * height);
  for (let i = 0; i < pixels.length; i++) pixels[i] = bytes.readUIntBE(i * channels, 3);
  return { width, height, pixels };
}

function predicted(filter, left, up, corner) {
  if (filter === 0) return 0;
  if (filter === 1) return left;
  if (filter === 2) return up;
  if (filter === 3) return (left + up) >> 1;
  const [a, b, c] = [Math.abs(up - corner), Math.abs(left - corner), Math.abs(left + up - 2 * corner)];
  return a <= b && a <= c ? left : b <= c ? up : corner;
}

/** The most frequent colours, and for every other one the nearest of them. */
function paletteOf(pixels) {
  const counts = new Map();
  for (const colour of pixels) counts.set(colour, (counts.get(colour) ?? 0) + 1);
  const byCount = [...counts].sort(([a, m], [b, n]) => n - m || a - b).map(([colour]) => colour);
  const palette = [];
  // Colours that nobody can tell apart are one, so that the rare ones have a place too.
  for (let apart = 24; palette.length === 0 || (palette.length < MOST_COLOURS && apart >= 0); apart -= 8) {
    for (const colour of byCount) {
      if (palette.length === MOST_COLOURS) break;
      if (palette.every((other) => distance(colour, other) > apart * apart)) palette.push(colour);
    }
    if (byCount.length <= palette.length) break;
  }
  const nearest = new Map(palette.map((colour, index) => [colour, index]));
  const indexOf = (colour) => {
    const known = nearest.get(colour);
    if (known !== undefined) return known;
    let best = 0;
    for (let i = 1; i < palette.length; i++)
      if (distance(colour, palette[i]) < distance(colour, palette[best])) best = i;
    nearest.set(colour, best);
    return best;
  };
  return { palette, indexOf };
}

function distance(a, b) {
  const [red, green, blue] = [16, 8, 0].map((shift) => ((a >> shift) & 255) - ((b >> shift) & 255));
  return red * red + green * green + blue * blue;
}
