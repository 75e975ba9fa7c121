import { crc16xmodem } from 'crc';
import { intelHex } from '../../shared-core/src/format/intelHex.js';
import type { Dump } from '../../shared-core/src/model/index.js';
import { printRecord } from '../../shared-core/src/model/lineSum.js';
import { bytesAt } from './images.js';
import { image, profileOf } from './smallDumps.js';

/** An image of 80 bytes: eight bytes of settings with a sum, twice more from 0x20 and 0x30, and a sum over all. */
export const SETTINGS = {
  addresses: { from: 0x00, to: 0x4f },
  copies: [
    { name: 'settings', place: { address: 0x10, length: 10 }, at: ['0x20', '0x30'], as: 'same', agree: 'majority' },
  ],
  totals: [
    {
      name: 'settings sum',
      method: 'crc',
      model: 'CRC-16/XMODEM',
      over: [{ from: 0x10, to: 0x17 }],
      address: 0x18,
    },
    { name: 'image sum', method: 'add', bits: 16, over: [{ from: 0x00, to: 0x4d }], address: 0x4e },
  ],
  options: [
    { id: 'fog', title: 'Fog lamps', address: 0x12, bits: '3-0', values: { 0: 'no', 1: 'yes' } },
    { id: 'speed', title: 'Speed limit', address: 0x14, length: 2, number: {} },
    { id: 'alone', title: 'Lone option', address: 0x40, number: {} },
  ],
};

/** Where each of them begins. */
export const STARTS = [0x10, 0x20, 0x30];

/** An image with the bytes of a function of the address, in records of 16 bytes. */
export function imageOf(profile: object, byteAt: (address: number) => number, count = 0x50): Dump {
  const records = Array.from({ length: count / 16 }, (_, i) =>
    printRecord(
      intelHex,
      16 * i,
      0,
      Uint8Array.from({ length: 16 }, (_, at) => byteAt(16 * i + at)),
    ),
  );
  return image(profileOf(profile), ...records, ':00000001FF');
}

/** Its bytes with right sums and copies, worked out by another implementation. */
export function settingsBytes(data: readonly number[], isInverted = false): number[] {
  const bytes = Array.from({ length: 0x50 }, (_, at) => (at * 7) & 0xff);
  const sum = crc16xmodem(Buffer.from(data));
  const block = [...data, sum >> 8, sum & 0xff];
  for (const [copy, start] of STARTS.entries())
    for (const [i, byte] of block.entries()) bytes[start + i] = isInverted && copy > 0 ? byte ^ 0xff : byte;
  const all = bytes.slice(0, 0x4e).reduce((total, byte) => total + byte, 0) & 0xffff;
  bytes.splice(0x4e, 2, all >> 8, all & 0xff);
  return bytes;
}

export const DATA = [0xa1, 0xb2, 0xc0, 0xd4, 0x00, 0x64, 0x77, 0x88];

export function settings(profile: object = SETTINGS, data: readonly number[] = DATA): Dump {
  const bytes = settingsBytes(data);
  return imageOf(profile, (at) => bytes[at] ?? 0);
}

/** A dump with some bytes changed by hand; the sums of its records are right. */
export function withBytes(dump: Dump, profile: object, changed: Readonly<Record<number, number>>): Dump {
  const bytes = bytesAt(dump);
  return imageOf(profile, (at) => changed[at] ?? bytes.get(at) ?? 0);
}
