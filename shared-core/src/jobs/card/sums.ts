import { hexBytes } from '../../base/hex.js';
import { plain } from '../../base/markdown.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import type { Comparison } from '../../compare/compareDumps.js';
import { type Dump, ruleOf } from '../../model/dump.js';
import { readLineSum } from '../../model/lineSum.js';
import { readTotal, sumAsWritten } from '../../model/totalReading.js';
import { soundRecord } from '../../model/totals.js';
import { sumName } from '../../profile/sumName.js';
import { moduleName } from './identity.js';
import type { CardModule, Say } from './input.js';

/** A row of a module: sums of its changed lines and its file sums, before and after; a wrong one is named with what its bytes make. */
export function sumsBeforeAndAfter(
  module: CardModule,
  { lines }: Comparison,
  say: Say,
): readonly (readonly string[])[] {
  const [before, after] = [module.before.dump, module.after.dump];
  const ofLines = lines.map(({ called, beforeRow, afterRow }) => ({
    name: phrase('line {0}', called),
    was: lineSumInWords(before, beforeRow),
    now: lineSumInWords(after, afterRow),
  }));
  const ofTotals = after.totals.map(({ total }, index) => ({
    name: phrase('{0}', sumName(total)),
    was: totalInWords(before, index),
    now: totalInWords(after, index),
  }));
  const sums = [...ofLines, ...ofTotals].filter(({ was, now }) => was !== undefined || now !== undefined);
  const side = (of: (sum: (typeof sums)[number]) => Phrase | undefined) =>
    plain(
      say(
        listed(
          sums.map((sum) => phrase('{0}: {1}', sum.name, of(sum) ?? '–')),
          '; ',
        ),
      ),
    );
  return [[moduleName(module), side(({ was }) => was), side(({ now }) => now)]];
}

function lineSumInWords(dump: Dump, row: number): Phrase | undefined {
  const record = soundRecord(dump.layout, dump.rows, row);
  const rule = ruleOf(dump, row);
  if (record === undefined || rule === undefined || (dump.layout.dataCount[row] as number) === 0) return undefined;
  const { stored, computed } = readLineSum(rule, record);
  return verdict(hexBytes(stored), hexBytes(computed));
}

function totalInWords(dump: Dump, index: number): Phrase {
  const reading = readTotal(dump, index);
  if (reading === undefined) return phrase('cannot be checked');
  const { bound, stored, computed } = reading;
  return verdict(sumAsWritten(bound, stored), sumAsWritten(bound, computed));
}

function verdict(stored: string, computed: string): Phrase {
  return stored === computed ? phrase('{0}', stored) : phrase('{0} WRONG: the bytes make {1}', stored, computed);
}
