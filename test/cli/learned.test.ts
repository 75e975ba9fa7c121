// What the commands that learn from dumps say, word for word, to a person and to a script, and what they leave behind.
import { crc16xmodem } from 'crc';
import { describe, it } from 'mocha';
import { intelHex } from '../scoring/scoreImage.js';
import { demoBench } from '../support/demoBench.js';
import { assertExpected } from '../support/expected.js';
import { ownForm } from '../support/ownForm.js';

const digits = (byte: number) => (byte & 0xff).toString(16).toUpperCase().padStart(2, '0');
const SEATS = {
  format: 1,
  title: 'Seats',
  lines: { from: 1, to: 3, data: 2, sum: 1 },
  lineSum: { method: 'add', over: ['data'] },
};

/** A dump of three lines with a sum each; what is fitted shows in one bit of the second. */
function seats(i: number, sum = (bytes: readonly number[]) => bytes.reduce((all, byte) => all + byte, 0)): string {
  return [(i >> 1) * 7, i % 2 === 0 ? 0x40 : 0, i >> 1]
    .map((byte, line) => `${line + 1}: ${[byte, 1, sum([byte, 1])].map(digits).join(' ')}\n`)
    .join('');
}

/** Bytes of a car: filler, a number of the car, and a sum of 16 bits over all before it. */
function imageOf(car: number): Uint8Array {
  const bytes = Uint8Array.from({ length: 128 }, (_, i) => (i < 0x40 ? (i * 73 + (i >> 3) + 1) & 0xff : 0xff));
  bytes.set([(car * 77) & 0xff, (car * 131) & 0xff, (car * 29) & 0xff], 0x30);
  const sum = bytes.subarray(0, 0x7e).reduce((all, byte) => all + byte, 0);
  bytes.set([sum >> 8, sum & 0xff], 0x7e);
  return bytes;
}

/** JSON on one line, of many candidates the first two. */
function inShort(text: string): string {
  if (!text.startsWith('{\n  "')) return text;
  const parsed: unknown = JSON.parse(text, (name, value) => (name === 'candidates' ? value.slice(0, 2) : value));
  return JSON.stringify(parsed);
}

/** A text without how much may be chance, which follows from how much is tried. */
function withoutChances(text: string): string {
  return text
    .replace(/chance: 1 in \d+|chance (?:less than )?\d[\d.e-]*(?=[);])/g, 'chance …')
    .replace(/(?<=":)\d(?:\.\d+)?(?:e-\d+|(?<=\.\d+))(?=[,}])/g, '…');
}

describe('what commands learn', () => {
  const bench = demoBench([]);
  const { write } = bench;
  const told = async (...words: readonly string[]) => withoutChances(await bench.told(words, inShort));
  const group = (parity: number, prefix = 'seats', count = 6) =>
    Array.from({ length: count }, (_, i) => `${prefix}-${i}.cfgdump`).filter((_, i) => i % 2 === parity);
  const all = () => [...group(0), ...group(1)];

  const by = ['--with', ...group(0), '--without', ...group(1)];
  const bare = ['--with', ...group(0, 'bare'), '--without', ...group(1, 'bare')];
  const pair = ['--with', 'seats-0.cfgdump', '--without', 'seats-1.cfgdump'];
  const whole = ['--with', ...group(0, 'whole'), '--without', ...group(1, 'whole')];
  const alike = ['--with', 'seats-1.cfgdump', '--without', 'same.cfgdump'];
  const tagged = ['--tag', 'seats', ...all()];
  const GROUPS: Readonly<Record<string, readonly (readonly string[])[]>> = {
    found: [
      by,
      [...by, '--json'],
      ['asked.cfgdump', ...by],
      tagged,
      [...tagged, 'asked.cfgdump', '--json'],
      ['--tag', 'seats', 'asked.cfgdump', ...pair],
      ['--tag', 'nothing', ...all()],
      pair,
      [...pair, '--json'],
      alike,
    ],
    'found without a profile': [
      bare,
      ['--with', ...group(0, 'odd'), '--without', ...group(1, 'odd')],
      ['--with', ...group(0, 'odd'), '--without', ...group(1, 'odd'), '--json'],
      [...bare, '--profile', 'seats.dump-profile.json'],
      ['--with', ...group(0, 'many'), '--without', ...group(1, 'many')],
      ['--with', ...group(0), '--without', ...group(1, 'bare')],
      ['--with', 'bare-0.cfgdump', '--without', 'bare-1.cfgdump'],
    ],
    'found by what the dumps call their lines': [['--with', ...group(0, 'own'), '--without', ...group(1, 'own')]],
    trials: [
      [...tagged, '--trials', 'seats-1.cfgdump'],
      [...tagged, '--trials', 'seats-1.cfgdump', '--json'],
      [...by, '--trials', 'seats-1.cfgdump', '--out', 'sheet.md'],
      [...bare, '--trials', 'bare-1.cfgdump'],
      [...alike, '--trials', 'seats-1.cfgdump'],
    ],
    added: [
      [...tagged, '--add', 'seats'],
      [...by, '--add', 'seats', '--json'],
      [...by, '--add', 'seats', '--title', 'Seats', '--words', 'heated, plain', '--hazard', 'lighting'],
      [...by, '--add', 'digit', '--digit', '--json'],
      [...by, '--add', 'two', '--hazard', 'lighting,security', '--json'],
      [...by, '--add', 'seats', '--hazard', 'security', '--write'],
      [...by, '--add', 'seats', '--write'],
      [
        '--with',
        ...group(0, 'odd'),
        '--without',
        ...group(1, 'odd'),
        '--add',
        'o',
        '--profile',
        'odd.dump-profile.json',
      ],
      [...bare, '--add', 'other', '--profile', 'seats.dump-profile.json', '--out', 'new.dump-profile.json'],
    ],
    refused: [
      [...alike, '--add', 'seats'],
      [...bare, '--add', 'seats'],
      [...bare, '--add', 's', '--profile', 'other.json'],
      [...by, '--add', 'seats', '--words', 'heated'],
      [...by, '--add', 'seats', '--words', 'heated,,plain'],
      [...by, '--add', 'seats', '--words', 'heated,'],
      [...by, '--words', 'a,b'],
      [...by, '--title', 'a'],
      [...by, '--hazard', 'security'],
      [...by, '--digit'],
      [...whole, '--add', 'whole', '--digit'],
      [...by, '--write'],
      [...by, '--add', 'seats', '--write', '--out', 'x.json'],
      [...by, '--out', 'x.json'],
      [...by, '--add', 'seats', '--trials', 'seats-1.cfgdump'],
      [...by, '--with', 'seats-1.cfgdump'],
      ['seats-1.cfgdump'],
      [],
    ],
  };
  for (const [name, calls] of Object.entries(GROUPS))
    it(`of two groups of dumps is as expected: ${name}`, async () => {
      write('seats.dump-profile.json', `// measured\n${JSON.stringify(SEATS, null, 2)}\n`);
      for (let i = 0; i < 6; i++) {
        const header = i % 2 === 0 ? '@fitted' : '@absent';
        write(`seats-${i}.cfgdump`, `@profile seats.dump-profile.json\n${header} seats\n${seats(i)}`);
        write(`bare-${i}.cfgdump`, seats(i));
        write(`own-${i}.cfgdump`, `@profile own.dump-profile.json\n${seats(i).replace(/^(\d): /gm, 'R0$1 ')}`);
        write(
          `whole-${i}.cfgdump`,
          `@profile odd.dump-profile.json\n1: 00 ${i % 2 === 0 ? '5A' : 'A5'}\n2: 00 0${i}\n`,
        );
        write(`odd-${i}.cfgdump`, `1: ${digits(i * 31 + 7)} ${digits(i % 2)}\n2: ${digits(i * i)} 01\n`);
      }
      write('asked.cfgdump', `@profile seats.dump-profile.json\n${seats(0)}`);
      write('same.cfgdump', `@profile seats.dump-profile.json\n${seats(1)}`);
      const own = { ...SEATS, notation: { pattern: 'R{label} {data}' } };
      write('own.dump-profile.json', JSON.stringify(own));
      write('other.json', '[]');
      write('odd.dump-profile.json', '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 2, "sum": 0 } }');
      for (let i = 0; i < 6; i++) {
        const bytes = Array.from({ length: 12 }, (_, at) => digits(i * (37 + 22 * at) + at * (i % 3) * 41));
        write(`many-${i}.cfgdump`, `1: ${bytes.slice(0, 6).join(' ')}\n2: ${bytes.slice(6).join(' ')}\n`);
      }
      const texts: string[] = [];
      for (const words of calls) texts.push(await told('find-option', ...words));
      assertExpected(`cli/find-option/${name}.txt`, texts.join(''));
    });

  const CASES: Readonly<Record<string, readonly string[]>> = {
    'own form': ['own.txt'],
    'own form in JSON': ['own.txt', '--json'],
    'own form, written': ['own.txt', '--title', 'Rear unit', '--out', 'rear.dump-profile.json'],
    'a torn line': ['torn.txt', 'own.txt', '--json'],
    'a few dumps': ['seats-0.cfgdump', 'seats-1.cfgdump', 'seats-2.cfgdump', 'seats-3.cfgdump'],
    'no sums': ['plain-0.cfgdump', 'plain-1.cfgdump'],
    'no sums in JSON': ['plain-0.cfgdump', 'plain-1.cfgdump', '--json'],
    'one sum over all': ['total-0.cfgdump', 'total-1.cfgdump', 'total-2.cfgdump', 'total-3.cfgdump'],
    'one sum over all in JSON': ['total-0.cfgdump', 'total-1.cfgdump', 'total-2.cfgdump', 'total-3.cfgdump', '--json'],
    'a file sum alone': Array.from({ length: 6 }, (_, i) => `file-${i}.cfgdump`),
    'a file sum alone in JSON': [...Array.from({ length: 6 }, (_, i) => `file-${i}.cfgdump`), '--json'],
    images: Array.from({ length: 5 }, (_, i) => `car-${i}.hex`),
    'images in JSON': [...Array.from({ length: 5 }, (_, i) => `car-${i}.hex`), '--json'],
    'two lines': ['two.cfgdump'],
    'sums that nobody works out by hand': ['crc.cfgdump'],
    'no dump': ['none.txt'],
    'no dump in JSON': ['none.txt', '--json'],
  };
  for (const [name, words] of Object.entries(CASES))
    it(`of dumps is as expected: ${name}`, async () => {
      write('own.txt', ownForm({ count: 10 }));
      write(
        'torn.txt',
        ownForm({ count: 10 })
          .replace('RE-07 =', 'RE-07 +')
          .replace(/^RE-09 = ../m, 'RE-09 = FF'),
      );
      for (let i = 0; i < 4; i++) {
        write(`seats-${i}.cfgdump`, seats(i));
        write(`plain-${i}.cfgdump`, `1: ${digits(i * 97 + 5)} 02\n2: 11 ${digits(i * 41 + 77)}\n`);
        const data = [0x15, 0x26 + i * 3, 0x37, 0xc8 - i * 41];
        write(
          `total-${i}.cfgdump`,
          `1: ${data.map(digits).join(' ')}\ntotal: ${digits(data.reduce((a, b) => a + b))}\n`,
        );
      }
      for (let i = 0; i < 6; i++) {
        const data = Array.from({ length: 16 }, (_, at) => (at * 53 + i * (at % 5) * 29 + i * i * at + 7) & 0xff);
        const total = data.reduce((a, b) => a + b);
        const lines = [0, 4, 8, 12].map(
          (at) =>
            `${at / 4 + 1}: ${data
              .slice(at, at + 4)
              .map(digits)
              .join(' ')}\n`,
        );
        write(`file-${i}.cfgdump`, `${lines.join('')}total: ${digits(total >> 8)} ${digits(total)}\n`);
        write(`car-${i}.hex`, intelHex(imageOf(i + 1)));
      }
      const summed = Array.from({ length: 12 }, (_, at) => {
        const data = Buffer.from(Array.from({ length: 8 }, (_, i) => (at * 89 + i * 57 + at * i * 31 + 11) & 0xff));
        const sum = crc16xmodem(data);
        return `${at + 1}: ${[...data, sum >> 8, sum].map(digits).join(' ')}\n`;
      });
      write('crc.cfgdump', summed.join(''));
      write('two.cfgdump', '1: 01 02 03\n2: 04 05 09\n');
      write('none.txt', 'no dump\n');
      assertExpected(`cli/learn/${name}.txt`, await told('learn', ...words));
    });
});
