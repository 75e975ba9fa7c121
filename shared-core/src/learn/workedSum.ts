import { hexBytes } from '../base/hex.js';
import { bytesOfNumber } from '../base/number.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import { valueOver } from '../checksum/checksum.js';
import { checksumOf, type SumSpec, sumInWords, sumOnPaper } from '../checksum/registry.js';
import { byteOf, bytesOf, type RecordRow } from '../format/row.js';
import { type Dump, ruleOf } from '../model/dump.js';
import { lineCalled } from '../model/lineName.js';
import { type LineSumRule, readLineSum } from '../model/lineSum.js';
import { readTotal } from '../model/totalReading.js';
import { emptyRun } from '../model/totals.js';
import type { LineSum, Profile } from '../profile/profile.js';
import { partsInWords } from './ruleInWords.js';

/** One sum of a dump worked out for a person to follow, and believe. */
export interface WorkedSum {
  /** Whose sum it is, and which bytes it runs over. */
  readonly of: Phrase;
  /** From the bytes to what is stored: `05 + 08 + 03 + 21 = 31 → FF − 31 = CE`. */
  readonly steps: Phrase;
  /** What to do where nobody works such a sum out by hand. */
  readonly hint: Phrase | undefined;
}

/** The first line whose sum is right and shows something, or else the file sum; undefined where neither is known and right. */
export function workedSum(dump: Dump): WorkedSum | undefined {
  return workedLine(dump) ?? workedTotal(dump);
}

function workedLine(dump: Dump): WorkedSum | undefined {
  const { lineSum } = dump.profile;
  if (lineSum === undefined || dump.layout.kind === 'image') return undefined;
  const shown = lineToShow(dump);
  if (shown === undefined) return undefined;
  const { row, record, rule } = shown;
  const run = rule.runOf(record).bytes;
  const parts = listed(partsOf(dump.profile, lineSum, run), '; ');
  const written = hexBytes(readLineSum(rule, record).stored, ' ');
  return {
    of: phrase('Line {0}, {1}; its sum as written: {2}', lineCalled(dump, row), parts, written),
    ...worked(lineSum, run),
  };
}

interface LineToShow {
  readonly row: number;
  readonly record: RecordRow;
  readonly rule: LineSumRule;
}

/** The first line that is right and shows something, or else the first that is right. */
function lineToShow(dump: Dump): LineToShow | undefined {
  let first: LineToShow | undefined;
  for (const row of dump.layout.order) {
    const [record, rule] = [dump.rows[row], ruleOf(dump, row)];
    if (record?.kind !== 'record' || rule?.isRight(record) !== true) continue;
    if (isTelling(bytesOf(record, 0, dump.layout.dataCount[row]))) return { row, record, rule };
    first ??= { row, record, rule };
  }
  return first;
}

/** Whether several bytes are not zero: of a line of zeros nobody learns how it is summed. */
function isTelling(data: Uint8Array): boolean {
  return new Set(data.filter((byte) => byte !== 0)).size >= 2;
}

/** Each part that the sum covers, with its bytes. The data are there once, and take what the others leave. */
function partsOf({ module, geometry }: Profile, lineSum: LineSum, run: Uint8Array): readonly Phrase[] {
  const { over, labelBytes } = lineSum;
  const numbers = geometry?.kind === 'lines' ? geometry.numbers : 1;
  const widthOf = (part: LineSum['over'][number]) =>
    part === 'module' ? 2 : part === 'length' ? 1 : part === 'label' ? numbers * labelBytes : labelBytes;
  const others = over.reduce((sum, part) => sum + (part === 'data' ? 0 : widthOf(part)), 0);
  let at = 0;
  return partsInWords(lineSum, module).map((words, i) => {
    const part = over[i];
    const from = at;
    at += part === undefined || part === 'data' ? run.length - others : widthOf(part);
    return phrase('{0}: {1}', words, shortened(run.subarray(from, at)));
  });
}

function workedTotal(dump: Dump): WorkedSum | undefined {
  const readings = dump.totals.flatMap((_, i) => readTotal(dump, i) ?? []);
  const right = readings.find(({ computed, stored }) => computed === stored);
  if (right === undefined || right.bound.run.length > MOST_COVERED) return undefined;
  const { bound, stored } = right;
  const run = emptyRun(bound.run);
  bound.run.each((row, from, count, start) => {
    const record = dump.rows[row];
    if (record?.kind === 'record') for (let i = 0; i < count; i++) run[start + i] = byteOf(record, from + i);
  });
  const written = hexBytes(bytesOfNumber(stored, bound.width, bound.total.order), ' ');
  return {
    of: phrase('The file sum, over {0} bytes; as written: {1}', run.length, written),
    ...worked(bound.total, run),
  };
}

/** Of more bytes than these nobody follows a sum. */
const MOST_COVERED = 1 << 16;

function worked(
  { spec, order }: Pick<LineSum, 'order'> & { readonly spec: SumSpec },
  run: Uint8Array,
): Pick<WorkedSum, 'steps' | 'hint'> {
  const { bits } = checksumOf(spec);
  const value = valueOver(checksumOf(spec), run);
  const stored = hexBytes(bytesOfNumber(value, Math.ceil(bits / 8), order), ' ');
  const steps = sumOnPaper(spec, run);
  if (steps === undefined)
    return {
      steps: listed([shortened(run), sumInWords(spec), stored], ' → '),
      hint: phrase('Such a sum is not worked out by hand: any calculator for it gives this result from these bytes.'),
    };
  const last = steps.at(-1)?.split(' ').at(-1);
  return {
    steps: listed(last === stored.replaceAll(' ', '') ? steps : [...steps, stored], ' → '),
    hint: undefined,
  };
}

/** More bytes than these are not written one by one. */
const MOST_SHOWN = 32;

function shortened(bytes: Uint8Array): string {
  return bytes.length <= MOST_SHOWN
    ? hexBytes(bytes, ' ')
    : `${hexBytes(bytes.subarray(0, 16), ' ')} … ${hexBytes(bytes.subarray(-8), ' ')}`;
}
