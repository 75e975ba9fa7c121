import { profileOf } from './smallDumps.js';

/** Lines with two numbers each: 3-byte lines, 2-byte lines, and one without a sum; all in a file sum that is kept. */
export const SEVERAL = {
  lines: [
    { from: '1-9', to: '1-11', data: 3, sum: 1 },
    { from: '2-1', to: '2-2', data: 2, sum: 1 },
    { from: '10-0', to: '10-0', data: 2 },
  ],
  lineSum: { method: 'add', bits: 8, over: ['label', 'data'] },
  totals: [{ name: 'file sum', method: 'add', bits: 16, over: ['data'], label: 'total', keep: true }],
  options: [
    { id: 'fog', title: 'Fog lamps', line: '1-10', byte: 1, bits: '3-0', values: { 0: 'no', 1: 'yes' } },
    { id: 'chime', title: 'Chime', line: '10-0', byte: 2, bits: '0', values: { 0: 'no', 1: 'yes' } },
  ],
  locked: [{ line: '1-9', why: 'identity' }],
  balance: [{ line: '2-2', byte: 2 }],
};

// 1+9+A1+B2+C3 = 220, 1+A+01+10 = 1C, 1+B = 0C; 2+1+10 = 13, 2+2+05 = 09. All data: 216+11+10+5+0F = 24B.
export const SEVERAL_TEXT = [
  '1-9: A1 B2 C3 | 20',
  '1-10: 01 10 00 | 1C',
  '1-11: 00 00 00 | 0C',
  '2-1: 10 00 | 13',
  '2-2: 00 05 | 09',
  '10-0: 07 08',
  'total: 02 4B',
  '',
].join('\n');

/** The same in a form of its own, the second number in hex, with the file sum in line 10-0. */
export const BY_PATTERN = {
  ...SEVERAL,
  notation: { pattern: 'B{label}/{label:hex}: {data}', otherwise: 'report' },
  totals: [
    { name: 'file sum', method: 'add', bits: 16, over: ['data'], lines: '1-9..2-2', line: '10-0', byte: 1, keep: true },
  ],
  options: SEVERAL.options.slice(0, 1),
};

export const BY_PATTERN_TEXT = [
  'B1/09: A1 B2 C3 20',
  'B1/0A: 01 10 00 1C',
  'B1/0B: 00 00 00 0C',
  'B2/01: 10 00 13',
  'B2/02: 00 05 09',
  // 216+11+10+5
  'B10/00: 02 3C',
  '',
].join('\n');

export const severalProfile = profileOf(SEVERAL);
export const patternProfile = profileOf(BY_PATTERN);
