import { hex } from '../bytes/hex.js';
import { type Phrase, phrase } from '../words/phrase.js';
import type { ByteDifference, Comparison, LineDifference } from './compareDumps.js';
import type { DifferenceReason } from './reasons.js';

/** What changed, in one sentence for each thing that did: options first, then lines byte by byte, then what to look at. */
export function comparisonInWords(comparison: Comparison): readonly Phrase[] {
  if (comparison.identical) return [phrase('Both hold the same bytes.')];
  const unexplained = comparison.lines
    .flatMap(({ bytes }) => bytes)
    .filter(({ reason }) => reason === 'unexplained').length;
  return [
    ...comparison.options.map(({ option, before, after }) => phrase('{0}: {1} → {2}', option.title, before, after)),
    ...comparison.lines.flatMap((line) => line.bytes.map((byte) => byteInWords(line, byte))),
    ...comparison.onlyBefore.map((label) => phrase('Line {0} is missing now.', label)),
    ...comparison.onlyAfter.map((label) => phrase('Line {0} is new.', label)),
    ...comparison.uncompared.map((label) =>
      phrase('Line {0} cannot be read or stands twice, and was not compared. Right it first.', label),
    ),
    ...verdict(comparison, unexplained),
  ];
}

function verdict({ onlyBefore, onlyAfter, uncompared }: Comparison, unexplained: number): readonly Phrase[] {
  if (unexplained > 0)
    return [phrase('{0} changed bytes are unexplained: look at them before you write this dump.', unexplained)];
  if (onlyBefore.length + onlyAfter.length + uncompared.length > 0) return [];
  return [phrase('Nothing else differs: every changed byte is an option, a balance place or a sum.')];
}

function byteInWords({ label }: LineDifference, { byte, before, after, reason }: ByteDifference): Phrase {
  const show = (value: number | undefined) => (value === undefined ? '–' : hex(value));
  return phrase('Line {0}, byte {1}: {2} → {3} ({4})', label, byte, show(before), show(after), reasonInWords(reason));
}

export function reasonInWords(reason: DifferenceReason): Phrase {
  switch (reason) {
    case 'option':
      return phrase('option');
    case 'line-sum':
      return phrase('line sum');
    case 'balance':
      return phrase('balance');
    case 'total':
      return phrase('file sum');
    case 'unexplained':
      return phrase('unexplained');
  }
}
