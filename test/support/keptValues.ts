/** A module that keeps its settings in every form of value, with line sums. */
export const KEPT_VALUES = {
  format: 1,
  lines: { from: 1, to: 3, data: 8, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['data'] },
  options: [
    { id: 'mileage', title: 'Mileage', line: 1, bytes: '1-3', number: { coding: 'bcd', unit: 'km' } },
    { id: 'made', title: 'Made on', line: 1, bytes: '4-6', date: 'DDMMYY', coding: 'bcd', special: { '0': 'never' } },
    { id: 'limit', title: 'Limit', line: 1, byte: 7, number: { unit: 'km/h' }, special: { '0xFF': 'not set' } },
    {
      id: 'trim',
      title: 'Trim',
      line: 2,
      bits: [
        { byte: 1, bits: '1-0' },
        { byte: 3, bits: '7' },
      ],
      values: { '0': 'plain', '5': 'sport' },
      needs: [{ option: 'limit', in: ['0xFF'] }],
    },
    { id: 'sold', title: 'Sold on', line: 2, bytes: '4-5', date: { days: 1, since: '2000-01-01' } },
    {
      id: 'wheel',
      title: 'Wheel',
      line: 2,
      byte: 6,
      number: {},
      repeat: { count: 2, step: 2, names: ['left', 'right'] },
    },
    { id: 'name', title: 'Name', line: 3, bytes: '1-6', text: 'utf-16le', pad: '0x00' },
    { id: 'plate', title: 'Plate', line: 3, bytes: '7-8', text: 'bcd', swapped: 'nibbles' },
  ],
};

const LINES = ['01 23 45 29 02 24 FF 00', '40 00 01 22 79 00 00 00', 'D6 00 6C 00 00 00 21 F3'];

/** Such a dump, with some of its lines written anew; every line sum is right. */
export function keptValues(changed: Readonly<Record<number, string>> = {}): string {
  const lines = LINES.map((line, i) => {
    const bytes = changed[i + 1] ?? line;
    const sum = bytes.split(' ').reduce((all, byte) => all + Number.parseInt(byte, 16), 0) % 256;
    return `${i + 1}: ${bytes} | ${sum.toString(16).toUpperCase().padStart(2, '0')}\n`;
  });
  return `@profile p.dump-profile.json\n@vehicle 1\n${lines.join('')}`;
}
