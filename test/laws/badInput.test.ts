// What is wrong with a saved dump is said where it is, once, in every form, and nothing is made or written from it.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../shared-core/src/base/index.js';
import { checkDump, type Problem } from '../../shared-core/src/checks/index.js';
import { convert } from '../../shared-core/src/convert/index.js';
import { FORM_IDS } from '../../shared-core/src/format/index.js';
import type { Dump } from '../../shared-core/src/model/index.js';
import { readProfile } from '../../shared-core/src/profile/index.js';
import { dumpOfText } from '../../shared-core/src/workspace/dumpFile.js';
import { loaded, SOUND } from '../support/loaded.js';

const NONE = { kind: 'none' } as const;

/** What is wrong with a text: a row of it is another (or is there as well, with `+`), and where that is said. */
interface Fault {
  readonly what:
    | 'odd digits'
    | 'a count that does not fit'
    | '"*" with nothing before it'
    | 'an address that jumps back'
    | 'an address that overlaps'
    | 'a wrong sum or character'
    | 'a wrong end';
  readonly row: number;
  readonly is: string;
  readonly isMore?: true;
  readonly said?: number;
}

/** A sound text of a form, and the same with each fault that can be in it. */
interface Sample {
  readonly form: string;
  readonly name: string;
  readonly rows: readonly string[];
  readonly notation?: object;
  readonly word?: object;
  /** What may be missing at the end of it, with all bytes there. */
  readonly end?: RegExp;
  readonly faults: readonly Fault[];
}

const odd = (row: number, is: string): Fault => ({ what: 'odd digits', row, is });
const count = (row: number, is: string, said = row): Fault => ({ what: 'a count that does not fit', row, is, said });
const star: Fault = { what: '"*" with nothing before it', row: 0, is: '*', isMore: true };
const back = (row: number, is: string, said = row): Fault => ({ what: 'an address that jumps back', row, is, said });
const overlaps = (row: number, is: string, said = row): Fault => ({ what: 'an address that overlaps', row, is, said });
const sum = (row: number, is: string, said = row): Fault => ({ what: 'a wrong sum or character', row, is, said });
const end = (row: number, is: string, said = row): Fault => ({ what: 'a wrong end', row, is, said });

const LITTLE = { bytes: 2, order: 'little' };

const SAMPLES: readonly Sample[] = [
  {
    form: 'dump-text',
    name: 'a.cfgdump',
    rows: ['0x0000: 10 A1 12 13', '0x0004: 14 15 16 17', '0x0008: 18 19 1A 1B'],
    faults: [
      odd(1, '0x0004: 14 15 6 17'),
      star,
      back(2, '0x0000: 18 19 1A 1B'),
      overlaps(2, '0x0006: 16 17 18 19 1A 1B'),
    ],
  },
  {
    form: 'dump-text',
    name: 'a.cfgdump',
    word: LITTLE,
    rows: ['0x0000: A110 1312', '0x0004: 1514 1716', '0x0008: 1918 1B1A'],
    faults: [
      odd(1, '0x0004: 1514 716'),
      count(1, '0x0004: 1514 17'),
      star,
      back(2, '0x0000: 1918 1B1A'),
      overlaps(2, '0x0006: 1716 1918 1B1A'),
    ],
  },
  {
    form: 'intel-hex',
    name: 'a.hex',
    rows: [':0400000010A1121326', ':0400040014151617A2', ':0400080018191A1B8E', ':00000001FF'],
    faults: [
      odd(1, ':040004001415161A2'),
      count(1, ':0500040014151617A1'),
      star,
      back(2, ':0400000018191A1B96'),
      overlaps(2, ':06000600161718191A1B61'),
      sum(1, ':0400040014151617A3'),
      end(3, ':01000001FF'),
    ],
  },
  {
    form: 's-record',
    name: 'a.s19',
    rows: ['S107000010A1121322', 'S1070004141516179E', 'S107000818191A1B8A', 'S5030003F9', 'S9030000FC'],
    end: /^\n?S?9?0?3?0?0?0?0?FC\n$/,
    faults: [
      odd(1, 'S107000414151619E'),
      count(1, 'S1080004141516179D'),
      star,
      back(2, 'S107000018191A1B92'),
      overlaps(2, 'S1090006161718191A1B5D'),
      sum(1, 'S1070004141516179F'),
      end(3, 'S5030004F8'),
    ],
  },
  {
    form: 'mos-tech',
    name: 'a.mos',
    rows: [';04000010A1121300DA', ';04000414151617005E', ';04000818191A1B0072', ';0000030003'],
    faults: [
      odd(1, ';0400041415161005E'),
      count(1, ';05000414151617005F'),
      star,
      back(2, ';04000018191A1B006A'),
      overlaps(2, ';060006161718191A1B009F'),
      sum(1, ';04000414151617005F'),
      end(3, ';0000040004'),
    ],
  },
  {
    form: 'ti-txt',
    name: 'a.titxt',
    rows: ['@0000', '10 A1 12 13', '@0004', '14 15 16 17', '@0008', '18 19 1A 1B', 'q'],
    faults: [odd(3, '14 15 6 17'), star, back(4, '@0000', 5), overlaps(4, '@0006', 5), end(6, 'x')],
  },
  {
    form: 'hex-view',
    name: 'a.xxd',
    rows: ['00000000: 10 a1 12 13  ....', '00000004: 14 15 16 17  ....', '00000008: 18 19 1a 1b  ....'],
    faults: [
      odd(1, '00000004: 14 15 6 17  ....'),
      count(1, '00000004: 14 15 16  ...'),
      star,
      back(2, '00000000: 18 19 1a 1b  ....'),
      overlaps(2, '00000006: 18 19 1a 1b  ....'),
      sum(1, '00000004: 14 15 16 17  ..A.'),
    ],
  },
  {
    form: 'hex-view',
    name: 'a.hexdump',
    rows: ['00000000  10 a1 12 13 14 15 16 17  18 19 1a 1b              |............|', '0000000c'],
    faults: [
      odd(0, '00000000  10 a1 2 13 14 15 16 17  18 19 1a 1b               |............|'),
      count(0, '00000000  10 a1 12 13 14 15 16 17  18 19 1a                 |............|'),
      star,
      sum(0, '00000000  10 a1 12 13 14 15 16 17  18 19 1a 1b              |.........A..|'),
      end(1, '0000000d'),
    ],
  },
  {
    form: 'hex-view',
    name: 'a.hexdump',
    word: LITTLE,
    rows: ['0000000 a110 1312 1514 1716 1918 1b1a', '000000c'],
    faults: [
      odd(0, '0000000 a110 1312 1514 716 1918 1b1a'),
      count(0, '0000000 a110 1312 1514 17 1918 1b1a'),
      star,
      end(1, '000000d'),
    ],
  },
  {
    form: 'tektronix-extended',
    name: 'a.tek',
    rows: ['%1662880000000010A11213', '%1663380000000414151617', '%1664780000000818191A1B', '%0E81E800000000'],
    faults: [
      odd(1, '%15633800000004141561'),
      count(1, '%1763380000000414151617'),
      star,
      back(2, '%1663F80000000018191A1B'),
      overlaps(2, '%1664580000000618191A1B'),
      sum(1, '%1663480000000414151617'),
      end(3, '%0E81F800000000'),
    ],
  },
  {
    form: 'verilog',
    name: 'a.vmem',
    rows: ['@0 10 A1 12 13', '@4 14 15 16 17', '@8 18 19 1A 1B'],
    faults: [
      odd(1, '@4 14 15 6 17'),
      count(1, '@2 1415 16'),
      star,
      back(2, '@0 18 19 1A 1B'),
      overlaps(2, '@6 16 17 18 19 1A 1B'),
    ],
  },
  {
    form: 'verilog',
    name: 'a.vmem',
    word: LITTLE,
    rows: ['@0 A110 1312', '@2 1514 1716', '@4 1918 1B1A'],
    faults: [
      odd(1, '@2 1514 716'),
      count(1, '@2 1514 17'),
      star,
      back(2, '@0 1918 1B1A'),
      overlaps(2, '@3 1716 1918 1B1A'),
    ],
  },
  {
    form: 'hex-list',
    name: 'a.hexlist',
    rows: [
      'unsigned char ee[] = {',
      '0x10, 0xa1, 0x12, 0x13,',
      '0x14, 0x15, 0x16, 0x17,',
      '0x18, 0x19, 0x1a, 0x1b',
      '};',
      'unsigned int ee_len = 12;',
    ],
    end: /^;?\n?(?:unsigned int ee_len = 12;\n)?$/,
    faults: [
      odd(2, '0x14, 0x15, 0x6, 0x17,'),
      count(0, 'unsigned char ee[13] = {'),
      star,
      end(5, 'unsigned int ee_len = 13;'),
    ],
  },
  {
    form: 'hex-list',
    name: 'a.hexlist',
    word: LITTLE,
    rows: ['uint16_t ee[6] = {', '0xa110, 0x1312, 0x1514, 0x1716,', '0x1918, 0x1b1a', '};'],
    end: /^;?\n$/,
    faults: [
      odd(1, '0xa110, 0x312, 0x1514, 0x1716,'),
      count(0, 'uint16_t ee[7] = {'),
      count(1, '0xa110, 0x12, 0x1514, 0x1716,'),
      star,
    ],
  },
  {
    form: 'hex-list',
    name: 'a.hexlist',
    rows: ['10a11213', '14151617', '18191a1b'],
    faults: [odd(1, '1415617'), star],
  },
  {
    form: 'pattern',
    name: 'a.txt',
    notation: { pattern: 'EE {label:hex} = {data}' },
    rows: ['EE 00 = 10 A1 12 13', 'EE 04 = 14 15 16 17', 'EE 08 = 18 19 1A 1B'],
    faults: [
      odd(1, 'EE 04 = 14 15 6 17'),
      star,
      back(2, 'EE 00 = 18 19 1A 1B'),
      overlaps(2, 'EE 06 = 16 17 18 19 1A 1B'),
    ],
  },
  {
    form: 'pattern',
    name: 'a.txt',
    notation: { pattern: '{label:hex}: {data} {characters}' },
    word: LITTLE,
    rows: ['00: A110 1312 1514  ......', '06: 1716 1918 1B1A  ......'],
    end: /^ *\.*\n$/,
    faults: [
      odd(1, '06: 1716 918 1B1A  ......'),
      count(1, '06: 1716 18 1B1A  .....'),
      star,
      back(1, '00: 1716 1918 1B1A  ......'),
      overlaps(1, '04: 1514 1716 1918 1B1A  ........'),
      sum(1, '06: 1716 1918 1B1A  ..A...'),
    ],
  },
];

/** All that is known of a text, by itself or by a profile that says where its bytes are. */
function dumpIn({ name, notation, word }: Sample, text: string, isWhole: boolean): Dump | undefined {
  const profile = { format: 1, ...(isWhole && { addresses: { from: 0, to: 11 } }), notation, word };
  const found = dumpOfText(name, text).bind(readProfile(JSON.stringify(profile)).profile);
  return found.ok ? found.value : undefined;
}

const errorsOf = (dump: Dump) => checkDump(loaded(dump, SOUND, NONE)).filter(({ severity }) => severity === 'error');
const asText = (rows: readonly string[]) => rows.map((row) => `${row}\n`).join('');
const converted = (dump: Dump) => convert(dump, dump.notation.id === 'intel-hex' ? 's-record' : 'intel-hex');

/** What follows from an error before it: where bytes lie behind a row that cannot be read, how many there are, and which are missing then. */
function follows({ code, row }: Problem, said: number): boolean {
  const isBehind = row > said && (code === 'address-unknown' || code === 'record-count');
  return isBehind || code === 'address-missing' || code === 'end-missing';
}

describe('a saved dump with a fault', () => {
  it('is there in every form, a pattern, and words', () => {
    assert.deepEqual(new Set(SAMPLES.map(({ form }) => form)), new Set([...FORM_IDS, 'pattern']));
  });

  for (const sample of SAMPLES) {
    const title = `${sample.form}${sample.word === undefined ? '' : ' in words'} (${sample.rows[0]})`;
    it(`in ${title} has one error at the place of it, and nothing is made of it`, () => {
      for (const isWhole of [true, false]) {
        // Without a profile the lines of these have no addresses.
        if (!isWhole && (sample.form === 'pattern' || sample.form === 'dump-text')) continue;
        const good = dumpIn(sample, asText(sample.rows), isWhole);
        assert.ok(good);
        assert.deepEqual(errorsOf(good), []);
        assert.ok(converted(good).ok);
        for (const { what, row, is, isMore, said = row } of sample.faults) {
          const rows = sample.rows.flatMap((one, i) => (i !== row ? one : isMore ? [is, one] : is));
          const why = `${what}, ${isWhole ? 'with' : 'without'} a profile:\n${rows.join('\n')}`;
          const dump = dumpIn(sample, asText(rows), isWhole);
          // A text that may be in several forms then is read in none.
          if (dump === undefined) continue;
          const own = errorsOf(dump).filter((problem) => !follows(problem, said));
          assert.deepEqual(
            [...new Set(own.map((problem) => problem.row))],
            [said],
            `${why}\n${own.map(({ row, message }) => `${row}: ${say(message)}`).join('\n')}`,
          );
          assert.equal(converted(dump).ok, false, why);
        }
      }
    });

    it(`in ${title} cut short at any place is never whole`, () => {
      const text = asText(sample.rows);
      for (let end = 0; end < text.trimEnd().length; end++) {
        const dump = dumpIn(sample, text.slice(0, end), true);
        if (dump === undefined) continue;
        // The last digits may be no more than what the form puts behind all data.
        const isAllThere = errorsOf(dump).length === 0;
        if (isAllThere) assert.match(text.slice(end), sample.end ?? /^\n?$/, text.slice(0, end));
        else if (end > 0) assert.notDeepEqual(errorsOf(dump), [], text.slice(0, end));
      }
    });
  }
});
