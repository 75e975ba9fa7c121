import { hex, hexBytes } from '../../shared-core/src/base/hex.js';
import { bytesOfNumber } from '../../shared-core/src/base/number.js';
import { valueOver } from '../../shared-core/src/checksum/checksum.js';
import { crcModel } from '../../shared-core/src/checksum/crcCatalogue.js';
import { checksumOf, type SumSpec } from '../../shared-core/src/checksum/registry.js';

export type Next = (below: number) => number;

/** Texts as programs save them, all by one rule of writing and summing; each call gives another dump. */
export interface Writer {
  readonly kind: string;
  readonly write: () => Written;
}

export interface Written {
  readonly text: string;
  /** Rows (from 0) that hold data bytes which the line's sum covers. */
  readonly dataRows: readonly number[];
}

/** How lines of one family are written; what is left out is as in most families. */
interface Style {
  readonly labels: (count: number) => readonly string[];
  /** What the sum covers of the label. */
  readonly labelBytes: (at: number) => readonly number[];
  readonly line: (label: string, data: readonly number[], sum: readonly number[]) => string;
  readonly head: readonly string[];
  readonly foot: readonly string[];
  /** Lines between the data, before the line at this place. */
  readonly between: (at: number) => readonly string[];
  /** Data bytes at the beginning and at the end that the sum does not cover. */
  readonly uncovered: readonly [number, number];
  readonly lengths: readonly number[];
  readonly total: ((data: readonly number[]) => readonly string[]) | undefined;
}

export const KINDS = [
  'plain dump text',
  'sum first',
  'sum first, parted',
  'first bytes not covered',
  'last bytes not covered',
  'characters between bars',
  'characters behind blanks',
  'page heads and footers',
  'heads of columns',
  'commas',
  'semicolons',
  'tabs',
  'bytes with 0x',
  'NAME0=',
  'key =',
  'steps in hex',
  'steps in decimal',
  'total in words',
  'total in brackets',
  'lines of two lengths',
  'several at once',
  'two numbers',
  'three numbers',
  'quoted cells',
] as const;
export type Kind = (typeof KINDS)[number];

const pick = <T>(next: Next, of: readonly T[]): T => of[next(of.length)] as T;

function specs(next: Next): SumSpec {
  const start = next(3) === 0 ? BigInt(next(256)) : 0n;
  const complement = pick(next, ['none', 'ones', 'twos'] as const);
  const crc = (model: string): SumSpec => {
    const parameters = crcModel(model);
    if (parameters === undefined) throw new Error(model);
    return { method: 'crc', model, ...parameters };
  };
  return pick<SumSpec>(next, [
    { method: 'add', bits: 8, unit: 1, order: 'big', complement, start: complement === 'none' ? start : 0n },
    { method: 'add', bits: 16, unit: 1, order: 'big', complement, start: 0n },
    { method: 'xor', bits: 8, order: 'big', start },
    crc('CRC-8/SMBUS'),
    crc('CRC-16/ARC'),
    crc('CRC-16/IBM-3740'),
  ]);
}

function someBytes(count: number, next: Next): number[] {
  return Array.from(
    { length: count },
    () => [0, 0xff, next(256), next(256), 0x20 + next(95), 0x30 + next(10)][next(6)] as number,
  );
}

const decimal = (number: number, width = 0) => String(number).padStart(width, '0');

/** A family of texts of this kind, with all that is not its point by chance. */
export function writerOf(kind: Kind, next: Next): Writer {
  const style = styleOf(kind, next);
  const spec = specs(next);
  const checksum = checksumOf(spec);
  const width = Math.ceil(checksum.bits / 8);
  const count = 14 + next(26);
  const coversLabel = next(2) === 0;
  const [first, last] = style.uncovered;
  return {
    kind,
    write: () => {
      const labels = style.labels(count);
      const rows: string[] = [...style.head];
      const dataRows: number[] = [];
      const all: number[] = [];
      labels.forEach((label, at) => {
        rows.push(...style.between(at));
        const data = someBytes(style.lengths[at % style.lengths.length] as number, next);
        const run = [...(coversLabel ? style.labelBytes(at) : []), ...data.slice(first, data.length - last)];
        const sum = bytesOfNumber(valueOver(checksum, Uint8Array.from(run)), width, 'big');
        dataRows.push(rows.length);
        rows.push(style.line(label, data, [...sum]));
        all.push(...data);
      });
      rows.push(...(style.total?.(all) ?? []), ...style.foot);
      return { text: `${rows.join('\n')}\n`, dataRows };
    },
  };
}

function styleOf(kind: Kind, next: Next): Style {
  const from = next(2);
  const inHex = next(2) === 0;
  const length = 6 + next(11);
  const wide = 2 + next(3);
  const text = (bytes: readonly number[]) => hexBytes(Uint8Array.from(bytes), ' ');
  const numbers = (count: number) => Array.from({ length: count }, (_, i) => from + i);
  const plain: Style = {
    labels: (count) => numbers(count).map((number) => (inHex ? hex(number, wide) : decimal(number, wide))),
    labelBytes: (at) => [(from + at) & 0xff],
    line: (label, data, sum) => `${label}: ${text([...data, ...sum])}`,
    head: [],
    foot: [],
    between: () => [],
    uncovered: [0, 0],
    lengths: [length],
    total: undefined,
  };
  const shown = (bytes: readonly number[]) =>
    bytes.map((byte) => (byte >= 0x20 && byte < 0x7f ? String.fromCharCode(byte) : '.')).join('');
  const titled = { head: ['Saved by a program', ''], foot: ['', 'End of file'] };
  const marked = (mark: string, prefix = ''): Style => ({
    ...plain,
    ...(next(2) === 0 ? titled : {}),
    line: (label, data, sum) => [label, ...[...data, ...sum].map((byte) => prefix + hex(byte))].join(mark),
  });
  switch (kind) {
    case 'plain dump text':
      return { ...plain, labels: (count) => numbers(count).map(String) };
    case 'sum first':
      return { ...plain, line: (label, data, sum) => `${label}: ${text([...sum, ...data])}` };
    case 'sum first, parted': {
      const [open, close] = pick(next, [
        ['[', ']'],
        ['', ' |'],
        ['<', '>'],
        ['', ' -'],
        ['CS=', ','],
      ] as const);
      const tail = pick(next, [' ', ' ', '  ']);
      return {
        ...plain,
        line: (label, data, sum) => `${label} ${open}${hexBytes(Uint8Array.from(sum))}${close}${tail}${text(data)}`,
      };
    }
    case 'first bytes not covered':
      return { ...plain, uncovered: [1 + next(2), 0] };
    case 'last bytes not covered':
      return { ...plain, uncovered: [0, 1 + next(2)] };
    case 'characters between bars': {
      const [open, close] = pick(next, [
        ['|', '|'],
        ['| ', ''],
        ['"', '"'],
        ['; ', ''],
        ["'", "'"],
        ['>', '<'],
      ] as const);
      const withSum = next(2) === 0;
      return {
        ...plain,
        line: (label, data, sum) =>
          `${label}: ${text([...data, ...sum])}  ${open}${shown(withSum ? [...data, ...sum] : data)}${close}`,
      };
    }
    case 'characters behind blanks': {
      const withSum = next(2) === 0;
      const gap = ' '.repeat(1 + next(3));
      const colon = pick(next, [':', ' ', '=']);
      return {
        ...plain,
        line: (label, data, sum) =>
          `${label}${colon}${text([...data, ...sum])}${gap}${shown(withSum ? [...data, ...sum] : data)}`,
      };
    }
    case 'page heads and footers': {
      const size = 5 + next(6);
      return {
        ...plain,
        ...titled,
        between: (at) =>
          at % size !== 0
            ? []
            : [
                ...(at === 0 ? [] : ['-'.repeat(20), `Page ${at / size} of 9`, '']),
                `Listing of unit 12, page ${1 + at / size}`,
                '='.repeat(30),
              ],
      };
    }
    case 'heads of columns': {
      const size = 5 + next(6);
      const head = `${pick(next, ['Addr', 'Line', 'No.', '    '])}  ${Array.from({ length }, (_, i) => hex(i)).join(' ')}`;
      return { ...plain, ...titled, between: (at) => (at % size === 0 ? [head] : []) };
    }
    case 'commas':
      return marked(pick(next, [',', ', ']));
    case 'semicolons':
      return marked(pick(next, [';', '; ']));
    case 'tabs':
      return marked('\t');
    case 'bytes with 0x':
      return marked(pick(next, [',', ' ', ', ']), '0x');
    case 'NAME0=': {
      const name = pick(next, ['ROW', 'EE', 'Block_', 'D', 'DATA', 'p']);
      return {
        ...plain,
        head: next(2) === 0 ? ['[Memory]', 'Version=3'] : [],
        labels: (count) => numbers(count).map((number) => `${name}${number}`),
        line: (label, data, sum) => `${label}=${pick(next, [text, text])([...data, ...sum])}`,
      };
    }
    case 'key =': {
      const name = pick(next, ['line', 'row', 'block', 'set']);
      const [mark, sign] = [pick(next, [' ', '.', '_', '']), pick(next, [' = ', ' := ', ': '])];
      const joined = next(2) === 0;
      return {
        ...plain,
        ...(next(2) === 0 ? titled : {}),
        labels: (count) => numbers(count).map((number) => `${name}${mark}${number}`),
        line: (label, data, sum) =>
          `${label}${sign}${joined ? hexBytes(Uint8Array.from([...data, ...sum])) : text([...data, ...sum])}`,
      };
    }
    case 'steps in hex':
    case 'steps in decimal': {
      const step = kind === 'steps in hex' ? pick(next, [8, 16, 32]) : pick(next, [8, 10, 16]);
      const base = pick(next, [0, 0, step * 4, 0x100 * step]);
      const colon = pick(next, [':', ' ', '=']);
      const at = (i: number) => base + i * step;
      return {
        ...plain,
        lengths: [Math.min(step, 16)],
        labels: (count) =>
          Array.from({ length: count }, (_, i) =>
            kind === 'steps in hex' ? hex(at(i), 4) : decimal(at(i), 1 + next(1)),
          ),
        labelBytes: (i) => [(at(i) >> 8) & 0xff, at(i) & 0xff],
        line: (label, data, sum) => `${label}${colon}${colon === ' ' ? '' : ' '}${text([...data, ...sum])}`,
      };
    }
    case 'total in words':
    case 'total in brackets': {
      const added = (data: readonly number[]) => data.reduce((sum, byte) => sum + byte, 0) & 0xffff;
      const words = pick(next, ['Checksum: ', 'SUM = ', 'total ', 'CRC/SUM>', 'End sum 0x']);
      const foot = pick(next, ['', ' (over all)', ' ok']);
      return {
        ...plain,
        ...(next(2) === 0 ? titled : {}),
        line: (label, data, sum) => `${label} ${pick(next, ['>', '>'])} ${text([...data, ...sum])}`,
        total: (data) => [
          kind === 'total in words' ? `${words}${hex(added(data), 4)}${foot}` : `<${hex(added(data), 4)}>`,
        ],
      };
    }
    case 'lines of two lengths':
      return { ...plain, lengths: [length, length + 2 + next(4)] };
    case 'several at once': {
      const step = pick(next, [1, 8, 16]);
      const mark = pick(next, [' ', ',', ';']);
      const front = next(2) === 0;
      const size = 6 + next(5);
      const bytes = (all: readonly number[]) => all.map((byte) => hex(byte)).join(mark);
      return {
        ...plain,
        ...titled,
        lengths: [step === 1 ? length : step],
        uncovered: pick(next, [
          [0, 0],
          [1, 0],
          [0, 1],
        ] as const),
        between: (at) => (at % size === size - 1 ? ['', `continued on page ${1 + (at + 1) / size}`] : []),
        labels: (count) => Array.from({ length: count }, (_, i) => hex(i * step, 4)),
        labelBytes: (i) => [(i * step) & 0xff],
        line: (label, data, sum) => `${label} = ${bytes(front ? [...sum, ...data] : [...data, ...sum])}`,
      };
    }
    case 'quoted cells': {
      const mark = pick(next, [',', ';', ', ', '\t']);
      const isAll = next(2) === 0;
      return {
        ...plain,
        ...(next(2) === 0 ? titled : {}),
        line: (label, data, sum) =>
          [isAll ? `"${label}"` : label, ...[...data, ...sum].map((byte) => `"${hex(byte)}"`)].join(mark),
      };
    }
    case 'two numbers':
    case 'three numbers':
      return composite(kind === 'two numbers' ? 2 : 3, plain, next);
  }
}

/** Lines numbered by a block and a line in it, or by a unit before these. */
function composite(parts: 2 | 3, plain: Style, next: Next): Style {
  const mark = pick(next, ['-', '/', '.']);
  const radix = Array.from({ length: parts }, () => pick(next, [10, 16]));
  const width = Array.from({ length: parts }, () => 1 + next(2));
  const size = 4 + next(12);
  const start = next(2);
  const unit = 0x100 + next(0x600);
  const numbersAt = (at: number) => [
    ...(parts === 3 ? [unit] : []),
    start + Math.floor(at / size),
    start + (at % size),
  ];
  const written = (number: number, i: number) =>
    (radix[i] === 16 ? number.toString(16).toUpperCase() : String(number)).padStart(width[i] as number, '0');
  const covered = pick(next, ['all', 'last', 'none'] as const);
  return {
    ...plain,
    labels: (count) => Array.from({ length: count }, (_, at) => numbersAt(at).map(written).join(mark)),
    labelBytes: (at) => {
      const numbers = numbersAt(at).map((number) => number & 0xff);
      return covered === 'all' ? numbers : covered === 'last' ? numbers.slice(-1) : [];
    },
  };
}
