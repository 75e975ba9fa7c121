/** Lines as a program of its own may print them: number and bytes in hex with semicolons between, a sum behind each line and one over all. */
export function numberedList(seed = 5): string {
  let all = 0;
  const lines = Array.from({ length: 24 }, (_, i) => {
    const bytes = Array.from({ length: 5 }, (_, at) => ((i + 3) * 53 * (at + seed) + (i * i * 29 + at * 71)) & 0xff);
    const sum = bytes.reduce((value, byte) => value + byte, 0);
    all += sum;
    return [0x28 + i, ...bytes, sum & 0xff].map((byte) => hex(byte, 2)).join(';');
  });
  return `no;d1;d2;d3;d4;d5;cs\n${lines.join('\n')}\nall;${hex(all & 0xffff, 4)}\n`;
}

function hex(value: number, digits: number): string {
  return value.toString(16).toUpperCase().padStart(digits, '0');
}

/** What describes them. */
export const NUMBERED_PROFILE = {
  format: 1,
  title: 'Roof unit',
  notation: { pattern: '{label:hex};{data:;}', headings: ['no;d1;d2;d3;d4;d5;cs'] },
  lines: { from: 0x28, to: 0x3f, data: 5, sum: 1 },
  lineSum: { method: 'add', over: ['data'] },
  totals: [{ name: 'file sum', method: 'add', bits: 16, over: ['data'], label: 'all', pattern: 'all;{data}' }],
};
