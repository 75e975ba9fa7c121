/** A text in a form of its own, and a profile that describes it. The numbers are invented. */
export function ownForm({ count = 40, check = (sum: number) => `CHECK = ${hex(sum & 0xffff, 4)}\n` } = {}): string {
  let total = 0;
  let text = '';
  for (let line = 1; line <= count; line++) {
    const bytes = Array.from({ length: 8 }, (_, at) => (line * 37 + at * 91 + ((line * at * at) % 13) * 11) % 256);
    const sum = bytes.reduce((all, byte) => all + byte, 0);
    total += sum;
    const data = bytes.map((byte) => hex(byte, 2)).join(' ');
    text += `RE-${String(line).padStart(2, '0')} = ${data} *${hex(~sum & 0xff, 2)}\n`;
  }
  return text + check(total);
}

function hex(value: number, digits: number): string {
  return value.toString(16).toUpperCase().padStart(digits, '0');
}

export const OWN_PROFILE = {
  format: 1,
  title: 'Rear unit',
  notation: { pattern: 'RE-{label} = {data} *{sum}' },
  lines: { from: 1, to: 40, data: 8, sum: 1 },
  lineSum: { method: 'add', complement: 'ones', over: ['data'] },
};

export const OWN_TOTAL = {
  name: 'file sum',
  method: 'add',
  bits: 16,
  over: ['data'],
  label: 'total',
  pattern: 'CHECK = {data}',
};
