import { digitsOf, hex } from '../base/hex.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import { labelText } from '../format/dumpText.js';
import type { Label } from '../format/row.js';
import type { WriteReason } from '../model/byteWrite.js';
import type { RecordMove } from '../model/recordMoves.js';
import { rangeInHex } from '../profile/places.js';
import {
  type ByteDifference,
  type Comparison,
  differingBytes,
  differs,
  isExplained,
  type LineDifference,
} from './compareDumps.js';
import { guardedInWords } from './guarded.js';
import type { DifferenceReason } from './reasons.js';

/**
 * What changed, in one sentence for each thing that did: first what must not be written, then options, then lines byte by
 * byte, then what could not be compared and what to look at.
 */
export function comparisonInWords(comparison: Comparison): readonly Phrase[] {
  if (comparison.identical) return sameInWords(comparison);
  return [
    ...matterInWords(comparison),
    ...bytesInWords(comparison),
    ...unmatchedInWords(comparison),
    ...byItselfInWords(comparison),
    ...verdict(comparison),
  ];
}

/** The same without the single bytes, of which it says how many there are. */
export function comparisonInShort(comparison: Comparison): readonly Phrase[] {
  if (comparison.identical) return sameInWords(comparison);
  const [all, byItself] = [differingBytes(comparison), countOf(comparison, 'volatile')];
  const count =
    byItself === 0
      ? phrase('Changed bytes: {0}', all)
      : phrase('Changed bytes: {0}, of which the module changes {1} by itself', all, byItself);
  const said = verdict(comparison);
  return [
    ...matterInWords(comparison),
    ...unmatchedInWords(comparison),
    // Sums that are wrong may be many, and leave no room behind them.
    ...(said === comparison.wrongSums ? [count, ...said] : [...said, count]),
  ];
}

function sameInWords({ caveat }: Comparison): readonly Phrase[] {
  return [phrase('Both hold the same bytes.'), ...(caveat === undefined ? [] : [caveat])];
}

function matterInWords({ guarded, options, moves }: Comparison): readonly Phrase[] {
  return [
    ...guardedInWords(guarded),
    ...options.map(({ option, before, after }) => phrase('{0}: {1} → {2}', option.title, before, after)),
    ...moves.map(moveInWords),
  ];
}

/** Each byte that differs, with the reason; of an image, stretches of them. */
export function bytesInWords(comparison: Comparison): readonly Phrase[] {
  return comparison.kind === 'image'
    ? imageInWords(comparison)
    : comparison.lines.flatMap((line) => line.bytes.map((byte) => byteInWords(comparison, line, byte)));
}

/** Which slot is in force now, and whether its record is the one of before. */
export function moveInWords({ slots, before, after, differing }: RecordMove): Phrase {
  const where = [slots.name, before.slot + 1, before.number, after.slot + 1, after.number];
  return differing.length === 0
    ? phrase(
        'The module has written "{0}" anew: slot {1} (number {2}) was in force, slot {3} (number {4}) is now, with the same record.',
        ...where,
      )
    : phrase(
        'The module has written "{0}" anew: slot {1} (number {2}) was in force, slot {3} (number {4}) is now, and its record has other bytes ({5}, the first is byte {6} of the slot, from 0).',
        ...[...where, differing.length, differing[0] ?? 0],
      );
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

/** What must not be written, what could not be compared, and what to look at; or that there is nothing to look at. */
export function remarksInWords(comparison: Comparison): readonly Phrase[] {
  return [...guardedInWords(comparison.guarded), ...unmatchedInWords(comparison), ...verdict(comparison)];
}

/** What could not be compared, and why. */
export function unmatchedInWords(comparison: Comparison, ofSide?: OfSide): readonly Phrase[] {
  const of = comparison.kind === 'image' ? addressesInWords(comparison) : linesInWords(comparison);
  return [...unreadInWords(comparison, ofSide), ...of];
}

/** How it is said of each side that it was not read whole. */
type OfSide = (side: 'before' | 'after', why: Phrase) => Phrase;

/** What could not be read, so that nobody can say whether both are the same; what is named by its line anyway is left out. */
export function unreadInWords(comparison: Comparison, ofSide: OfSide = beforeOrNow): readonly Phrase[] {
  const { onlyBefore, onlyAfter, uncompared, unplaced } = comparison;
  return comparison.unread.flatMap(({ side, what, why }) => {
    if (side === 'profile' || what === 'foreign') return why;
    const missing = side === 'before' ? onlyAfter : onlyBefore;
    const isNamed =
      what === 'line' || what === 'address' || what === 'total'
        ? missing.length > 0
        : (what === 'row' || what === 'repeated') && uncompared.length + unplaced > 0;
    return isNamed ? [] : ofSide(side, why);
  });
}

/** Whether all bytes of both sides were read and compared, whatever the profile proves of them. */
export function isReadWhole({ unread, uncompared, unplaced }: Comparison): boolean {
  return uncompared.length + unplaced === 0 && unread.every(({ side }) => side === 'profile');
}

function beforeOrNow(side: 'before' | 'after', why: Phrase): Phrase {
  return side === 'before' ? phrase('Not read whole, before: {0}', why) : phrase('Not read whole, now: {0}', why);
}

/** Lines that only one side has, or that could not be compared. */
export function linesInWords({ onlyBefore, onlyAfter, uncompared, called }: Comparison): readonly Phrase[] {
  const name = (label: Label) => called.get(label) ?? labelText(label);
  return [
    ...onlyBefore.map((label) => phrase('Line {0} is missing now.', name(label))),
    ...onlyAfter.map((label) => phrase('Line {0} is new.', name(label))),
    ...uncompared.map((label) =>
      phrase('Line {0} cannot be read or is there twice, and was not compared. Correct it first.', name(label)),
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
      phrase('Address {0}: cannot be read or is held twice, and was not compared. Correct it first.', range),
    ),
    ...(unplaced > 0
      ? [phrase('{0} records cannot be read at all: what they hold was not compared. Correct them first.', unplaced)]
      : []),
  ];
}

function countOf({ lines }: Comparison, wanted: DifferenceReason): number {
  return lines.flatMap(({ bytes }) => bytes).filter(({ reason }) => reason === wanted).length;
}

function byItselfInWords(comparison: Comparison): readonly Phrase[] {
  const count = countOf(comparison, 'volatile');
  return count === 0
    ? []
    : [
        phrase(
          'Changed bytes that the module changes by itself: {0}. Whether it did or a person, two dumps do not show.',
          count,
        ),
      ];
}

function verdict(comparison: Comparison): readonly Phrase[] {
  const { unread } = comparison;
  const unexplained = countOf(comparison, 'unexplained');
  if (unexplained > 0)
    return [phrase('Changed bytes that nothing explains: {0}. Look at them before you write this dump.', unexplained)];
  if (unread.length > 0 && !differs(comparison))
    return [
      isReadWhole(comparison)
        ? phrase('Both hold the same bytes, and more is not proved.')
        : phrase('These cannot be called the same, as not everything was read.'),
    ];
  if (!isExplained(comparison)) return [];
  if (comparison.wrongSums.length > 0) return comparison.wrongSums;
  const chosen = countOf(comparison, 'chosen-balance');
  if (chosen > 0)
    return [
      phrase(
        'Changed bytes that take up the difference where the profile names no balance place: {0}. Nothing else differs, if you chose them for that; otherwise look at them before you write this dump.',
        chosen,
      ),
    ];
  const kinds = kindsOf(comparison);
  return countOf(comparison, 'volatile') > 0
    ? [phrase('Nothing else differs: every other changed byte is {0}.', kinds)]
    : [phrase('Nothing else differs: every changed byte is {0}.', kinds)];
}

/** What a changed byte that is explained is, of which balance places and copies are named only where one changed. */
function kindsOf(comparison: Comparison): Phrase {
  const kinds = [
    phrase('an option'),
    ...(countOf(comparison, 'balance') > 0 ? [phrase('a balance place')] : []),
    ...(countOf(comparison, 'copy') > 0 ? [phrase('a copy')] : []),
  ];
  return phrase('{0} or {1}', listed(kinds), phrase('a sum'));
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

function byteInWords(
  { kind }: Comparison,
  { label, called }: LineDifference,
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
    called,
    byte,
    digitsOf(before),
    digitsOf(after),
    reasonInWords(reason),
  );
}

/** Why a byte differs, or was written. */
export function reasonInWords(reason: DifferenceReason | WriteReason): Phrase {
  switch (reason) {
    case 'restore':
      return phrase('as in the backup');
    case 'option':
      return phrase('option');
    case 'line-sum':
      return phrase('line sum');
    case 'balance':
      return phrase('balance');
    case 'chosen-balance':
      return phrase('takes up the difference, in no balance place of the profile');
    case 'total':
      return phrase('file sum');
    case 'copy':
      return phrase('copy');
    case 'slot':
      return phrase('record written anew');
    case 'locked':
      return phrase('locked: do not write');
    case 'security':
      return phrase('security: do not write');
    case 'volatile':
      return phrase('changes by itself');
    case 'unexplained':
      return phrase('unexplained');
  }
}
