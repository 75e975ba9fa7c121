import { hex } from '../base/hex.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import { rangeInHex } from '../profile/places.js';
import type { ByteDifference, Comparison, LineDifference } from './compareDumps.js';
import type { DifferenceReason } from './reasons.js';

/** What changed, in one sentence for each thing that did: options first, then lines byte by byte, then what to look at. */
export function comparisonInWords(comparison: Comparison): readonly Phrase[] {
  if (comparison.identical) return [phrase('Both hold the same bytes.')];
  return [
    ...comparison.options.map(({ option, before, after }) => phrase('{0}: {1} → {2}', option.title, before, after)),
    ...(comparison.kind === 'image'
      ? imageInWords(comparison)
      : comparison.lines.flatMap((line) => line.bytes.map((byte) => byteInWords(comparison, line, byte)))),
    ...remarksInWords(comparison),
  ];
}

/** More bytes than these that follow each other are told as one stretch. */
const MOST_ALONE = 8;

/** Bytes that follow each other and differ for one reason, as one stretch where they are many; the sums of records after all. */
function imageInWords(comparison: Comparison): readonly Phrase[] {
  const stretches: { from: number; to: number; reason: DifferenceReason; each: Phrase[] }[] = [];
  const sums: Phrase[] = [];
  for (const line of comparison.lines) {
    for (const byte of line.bytes) {
      const said = byteInWords(comparison, line, byte);
      const { address, reason } = byte;
      const last = stretches.at(-1);
      if (address === undefined) sums.push(said);
      else if (last !== undefined && last.to + 1 === address && last.reason === reason) {
        last.to = address;
        last.each.push(said);
      } else stretches.push({ from: address, to: address, reason, each: [said] });
    }
  }
  const told = stretches.flatMap((stretch) => {
    if (stretch.each.length <= MOST_ALONE) return stretch.each;
    const words = reasonInWords(stretch.reason);
    return [phrase('Address {0}: all {1} bytes differ ({2})', rangeInHex(stretch), stretch.each.length, words)];
  });
  return sums.length > MOST_ALONE
    ? [...told, phrase('{0} records have other sums ({1})', sums.length, reasonInWords('line-sum'))]
    : [...told, ...sums];
}

/** What could not be compared, and what to look at; or that there is nothing to look at. */
export function remarksInWords(comparison: Comparison): readonly Phrase[] {
  return [...unmatchedInWords(comparison), ...verdict(comparison)];
}

/** What could not be held against each other, and why. */
export function unmatchedInWords(comparison: Comparison): readonly Phrase[] {
  return comparison.kind === 'image' ? addressesInWords(comparison) : linesInWords(comparison);
}

function linesInWords({ onlyBefore, onlyAfter, uncompared }: Comparison): readonly Phrase[] {
  return [
    ...onlyBefore.map((label) => phrase('Line {0} is missing now.', label)),
    ...onlyAfter.map((label) => phrase('Line {0} is new.', label)),
    ...uncompared.map((label) =>
      phrase('Line {0} cannot be read or stands twice, and was not compared. Right it first.', label),
    ),
  ];
}

function addressesInWords({ onlyBefore, onlyAfter, uncompared, unplaced, start }: Comparison): readonly Phrase[] {
  const address = (value: number | undefined) => (value === undefined ? '–' : hex(value, 4));
  return [
    ...(start ? [phrase('Start address: {0} → {1}', address(start.before), address(start.after))] : []),
    ...onlyBefore.map((range) => phrase('Address {0}: missing now.', range)),
    ...onlyAfter.map((range) => phrase('Address {0}: new.', range)),
    ...uncompared.map((range) =>
      phrase('Address {0}: cannot be read or is held twice, and was not compared. Right it first.', range),
    ),
    ...(unplaced > 0
      ? [phrase('{0} records cannot be read at all: what they hold was not compared. Right them first.', unplaced)]
      : []),
  ];
}

function verdict({ lines, onlyBefore, onlyAfter, uncompared, unplaced, start }: Comparison): readonly Phrase[] {
  const unexplained = lines.flatMap(({ bytes }) => bytes).filter(({ reason }) => reason === 'unexplained').length;
  if (unexplained > 0)
    return [phrase('{0} changed bytes are unexplained: look at them before you write this dump.', unexplained)];
  if (onlyBefore.length + onlyAfter.length + uncompared.length + unplaced > 0 || start !== undefined) return [];
  return [phrase('Nothing else differs: every changed byte is an option, a balance place or a sum.')];
}

/** The changed bytes of one line as they go back to what they were, in one sentence. */
export function restoreInWords({ bytes }: LineDifference): Phrase {
  return listed(
    bytes.map(({ byte, address, before, after, reason }) => {
      const [now, then] = [digitsOf(after), digitsOf(before)];
      const change =
        address === undefined
          ? phrase('byte {0} from {1} to {2}', byte, now, then)
          : phrase('address {0} from {1} to {2}', hex(address, 4), now, then);
      return phrase('{0} ({1})', change, reasonInWords(reason));
    }),
  );
}

/** A byte as people read it; a dash where there is none. */
export function digitsOf(value: number | undefined): string {
  return value === undefined ? '–' : hex(value);
}

function byteInWords(
  { kind }: Comparison,
  { label }: LineDifference,
  { byte, address, before, after, reason }: ByteDifference,
): Phrase {
  if (address !== undefined) {
    return phrase(
      'Address {0}: {1} → {2} ({3})',
      hex(address, 4),
      digitsOf(before),
      digitsOf(after),
      reasonInWords(reason),
    );
  }
  if (kind === 'image')
    return phrase('Record at {0}: {1} → {2} ({3})', label, digitsOf(before), digitsOf(after), reasonInWords(reason));
  return phrase(
    'Line {0}, byte {1}: {2} → {3} ({4})',
    label,
    byte,
    digitsOf(before),
    digitsOf(after),
    reasonInWords(reason),
  );
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
