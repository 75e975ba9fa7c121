import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { PatternField } from '../format/patternMatch.js';
import { partsOf } from '../format/patternParts.js';
import type { Dump } from '../model/dump.js';

/** How the lines of a dump are written by a pattern, part by part; bytes are counted where all lines have as many. */
export function patternInWords(pattern: string, dump: Dump): Phrase {
  const { fields } = partsOf(pattern);
  const { rows, layout } = dump;
  const counts = [...layout.order].map((row) => {
    const data = layout.dataCount[row] ?? 0;
    return { data, sum: (rows[row]?.kind === 'record' ? rows[row].count : data) - data };
  });
  const alike = (values: readonly number[]) => (new Set(values).size === 1 ? values[0] : undefined);
  const [data, sum] = [alike(counts.map((one) => one.data)), alike(counts.map((one) => one.sum))];
  const hasSum = fields.some(({ field }) => field === 'sum');
  const sums = sum === undefined ? phrase('sum') : phrase('sum (bytes: {0})', sum);
  let numbers = 0;
  const parts = fields.flatMap(({ field }): Phrase | readonly Phrase[] => {
    if (field === 'sum') return sums;
    if (field === 'number' || field === 'number:hex') {
      const number = phrase('number {0} of the label', ++numbers);
      return field === 'number' ? number : phrase('{0} in hex', number);
    }
    if (field !== 'data') return WORDS[field];
    const bytes = data === undefined ? phrase('data bytes') : phrase('data (bytes: {0})', data);
    return hasSum || sum === 0 ? bytes : [bytes, sums];
  });
  return listed(parts);
}

const WORDS: Readonly<Record<Exclude<PatternField, 'data' | 'sum' | 'number' | 'number:hex'>, Phrase>> = {
  label: phrase('line number or name'),
  'label:hex': phrase('line number in hex'),
  characters: phrase('the bytes as characters'),
  skip: phrase('text that does not count'),
};
