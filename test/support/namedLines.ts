import { profileOf } from './smallDumps.js';

/** Lines whose numbers are in hex behind a letter, so that 10 is none of their names but for the last but two. */
export const NAMED = {
  notation: { pattern: 'r{label:hex} {data} s={sum}' },
  lines: { from: 8, to: 18, data: 2, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['data'] },
  totals: [{ name: 'file sum', label: 'total', pattern: 'CHK {data}', method: 'add', bits: 16, over: ['data'] }],
  options: [{ id: 'fog', title: 'Fog lamps', line: 10, byte: 1, values: { 0: 'no', 1: 'yes' } }],
  locked: [{ line: 12, bytes: '1-2', why: 'identity' }],
};

/** 11 lines of the bytes 01 and 10: each sums up to 11, all of them to BB. */
export const NAMED_TEXT = [
  ...Array.from({ length: 11 }, (_, at) => `r${(8 + at).toString(16).toUpperCase().padStart(2, '0')}  01 10  s=11`),
  'CHK 00BB',
  '',
].join('\n');

export const namedProfile = profileOf(NAMED);
