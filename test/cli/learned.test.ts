// What the commands that learn from dumps say, word for word, to a person and to a script, and what they leave behind.
import { describe, it } from 'mocha';
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

/** JSON on one line, of many candidates the first two, and chances as they are said. */
function inShort(text: string): string {
  if (!text.startsWith('{\n  "')) return text;
  const parsed: unknown = JSON.parse(text, (name, value) => {
    if (name === 'candidates') return value.slice(0, 2);
    return typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(3)) : value;
  });
  return JSON.stringify(parsed);
}

describe('what commands learn', () => {
  const { read, write, run, files, withoutFolder } = demoBench([]);
  /** A call with its answer, and each file that is another one after it. */
  const told = async (...words: readonly string[]) => {
    const was = files();
    const [command = '', ...others] = words;
    const { status, text, notes } = await run(command, ...others);
    const changed = [...files()].filter(([name, content]) => was.get(name) !== content).map(([name]) => name);
    return [
      `$ countersum ${words.join(' ')}`,
      inShort(withoutFolder(text)).trimEnd(),
      `status ${status}`,
      withoutFolder(notes),
      ...changed.map((name) => `${name}:\n${withoutFolder(read(name)).trimEnd()}`),
      '',
      '',
    ].join('\n');
  };
  const group = (parity: number, prefix = 'seats', count = 6) =>
    Array.from({ length: count }, (_, i) => `${prefix}-${i}.cfgdump`).filter((_, i) => i % 2 === parity);
  const all = () => [...group(0), ...group(1)];

  const by = ['--with', ...group(0), '--without', ...group(1)];
  const bare = ['--with', ...group(0, 'bare'), '--without', ...group(1, 'bare')];
  const pair = ['--with', 'seats-0.cfgdump', '--without', 'seats-1.cfgdump'];
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
    ],
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
      [...by, '--add', 'seats', '--hazard', 'security', '--write'],
      [...by, '--add', 'seats', '--write'],
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
      [...by, '--write'],
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
        write(`odd-${i}.cfgdump`, `1: ${digits(i * 31 + 7)} ${digits(i % 2)}\n2: ${digits(i * i)} 01\n`);
      }
      write('asked.cfgdump', `@profile seats.dump-profile.json\n${seats(0)}`);
      write('same.cfgdump', `@profile seats.dump-profile.json\n${seats(1)}`);
      write('other.json', '[]');
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
    'two lines': ['two.cfgdump'],
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
      write('two.cfgdump', '1: 01 02 03\n2: 04 05 09\n');
      write('none.txt', 'no dump\n');
      assertExpected(`cli/learn/${name}.txt`, await told('learn', ...words));
    });
});
