import { crc16xmodem } from 'crc';
import type { Dump } from '../../shared-core/src/model/index.js';
import { imageOf } from './copies.js';

/** An image of 64 bytes: a record of 16 bytes in one of three slots, a lone byte, and a sum over all. */
export const RECORD = {
  addresses: { from: 0x00, to: 0x3f },
  slots: [
    {
      name: 'record',
      at: ['0x00', '0x10', '0x20'],
      length: 16,
      sequence: { offset: 0, bytes: 2, order: 'big' },
      check: { method: 'crc', model: 'CRC-16/XMODEM', offset: 14 },
    },
  ],
  totals: [{ name: 'image sum', method: 'add', bits: 16, over: [{ from: 0x00, to: 0x3d }], address: 0x3e }],
  options: [
    { id: 'fog', title: 'Fog lamps', slot: 'record', offset: 4, bits: '3-0', values: { 0: 'no', 1: 'yes' } },
    { id: 'speed', title: 'Speed limit', slot: 'record', offset: 6, length: 2, number: {} },
    { id: 'alone', title: 'Lone option', address: 0x30, number: {} },
  ],
  locked: [{ slot: 'record', offset: 2, why: 'identity' }],
  volatile: [{ slot: 'record', offset: 3, why: 'counter' }],
};

/** Where each slot begins. */
export const STARTS = [0x00, 0x10, 0x20];

/** A record of 16 bytes with its number and the right check, worked out by another implementation. */
export function record(number: number, data: readonly number[] = DATA): number[] {
  const bytes = [number >> 8, number & 0xff, ...data];
  const sum = crc16xmodem(Buffer.from(bytes));
  return [...bytes, sum >> 8, sum & 0xff];
}

/** What a record holds between its number and its check. */
export const DATA = [0xa1, 0x07, 0x30, 0x55, 0x00, 0x64, 0x11, 0x22, 0x33, 0x44, 0x66, 0x77];

/** A slot that was never written. */
export const EMPTY: readonly number[] = new Array<number>(16).fill(0xff);

/** A record that was not written whole. */
export function torn(number: number): number[] {
  return record(number).map((byte, i) => (i === 9 ? byte ^ 0x08 : byte));
}

/** An image with these slots, the sum over all of it right. */
export function slotted(slots: readonly (readonly number[])[], profile: object = RECORD): Dump {
  const bytes = Array.from({ length: 0x40 }, (_, at) => slots[at >> 4]?.[at & 15] ?? (at * 7) & 0xff);
  const all = bytes.slice(0, 0x3e).reduce((total, byte) => total + byte, 0) & 0xffff;
  bytes.splice(0x3e, 2, all >> 8, all & 0xff);
  return imageOf(profile, (at) => bytes[at] ?? 0, 0x40);
}
