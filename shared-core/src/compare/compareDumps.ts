import { hex } from '../base/hex.js';
import { type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import { startOf } from '../convert/contents.js';
import { labelText } from '../format/dumpText.js';
import { byteOf, type Label, type RecordRow } from '../format/row.js';
import { passedRows } from '../model/account.js';
import { type Dump, readBy } from '../model/dump.js';
import { labelOfRow } from '../model/layout.js';
import { calledLine, lineCalled } from '../model/lineName.js';
import { changedOptions, readOption, shownValue } from '../model/optionReading.js';
import { type RecordMove, recordMoves } from '../model/recordMoves.js';
import { rowsOfData } from '../model/rowsAsLines.js';
import { nameOfSum, wrongTotals } from '../model/totalReading.js';
import { type Unread, whyNotWhole } from '../model/whole.js';
import { rangeInHex } from '../profile/places.js';
import type { Option, Profile } from '../profile/profile.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import { type GuardedDifference, guardedDifferences } from './guarded.js';
import { imageDifferences } from './imageDifferences.js';
import {
  type ProfileDoubt,
  profileDoubts,
  unexplainedCaveat,
  whyOneProfile,
  whyProfilesDiffer,
} from './profileDoubts.js';
import { type DifferenceReason, isAccountedFor, type RawDifference, type Reason, reasonsOf } from './reasons.js';

/** A byte that differs, `byte` from 1; `before` or `after` is undefined where one side has no such byte. */
export interface ByteDifference {
  readonly byte: number;
  /** Of memory images. */
  readonly address?: number;
  readonly before: number | undefined;
  readonly after: number | undefined;
  readonly reason: DifferenceReason;
  readonly volatile: boolean;
}

/** A line that both dumps have and that differs; row numbers are 0-based. */
export interface LineDifference {
  /** Of a memory image: the address of the record's first byte in hex. */
  readonly label: Label;
  /** What the later dump calls the line, such as "L07". */
  readonly called: string;
  readonly beforeRow: number;
  readonly afterRow: number;
  readonly bytes: readonly ByteDifference[];
}

export interface OptionDifference {
  readonly option: Option;
  /** The raw values, and the same as a person is shown them. */
  readonly was: bigint;
  readonly now: bigint;
  readonly before: PhrasePart;
  readonly after: PhrasePart;
}

/** What could not be read, and of which side. */
export interface UnreadSide {
  readonly side: 'before' | 'after' | 'profile';
  /** `foreign`: whole, but not by the profile of the other. */
  readonly what: Unread['what'] | ProfileDoubt['what'] | 'foreign';
  readonly why: Phrase;
}

export interface Comparison {
  /** Lines are compared by their labels, memory images address by address. */
  readonly kind: 'lines' | 'image';
  /** Nothing differs, and both were read whole, by the same profile. */
  readonly identical: boolean;
  /**
   * What could not be read of either side, or by which profile nothing can be proved: whatever else the comparison shows,
   * nobody can say that both are the same.
   */
  readonly unread: readonly UnreadSide[];
  /** What nobody can tell of the two, though both were read whole. */
  readonly caveat: Phrase | undefined;
  /** Locked and security bytes that differ: what makes them differ must not be written. */
  readonly guarded: readonly GuardedDifference[];
  readonly lines: readonly LineDifference[];
  /** Labels; of memory images, ranges of addresses in hex. */
  readonly onlyBefore: readonly Label[];
  readonly onlyAfter: readonly Label[];
  /** Lines that cannot be read, or are there twice, on one side or both: nothing is known of them. */
  readonly uncompared: readonly Label[];
  /** What the dumps themselves call the labels that only one has or that were not compared. */
  readonly called: ReadonlyMap<Label, string>;
  /** Records of which not even the address is known, on both sides together. */
  readonly unplaced: number;
  /** Where the program of an image starts, where that differs; undefined on a side that does not say so. */
  readonly start: { readonly before: number | undefined; readonly after: number | undefined } | undefined;
  readonly options: readonly OptionDifference[];
  /** Sums that are wrong on one side: what goes with them is not as it should be. */
  readonly wrongSums: readonly Phrase[];
  /** Records that move and that the module has written anew since. */
  readonly moves: readonly RecordMove[];
}

/**
 * Compares two dumps, by label or by address. Both are read by one profile: that of `after`, or that of `before` where
 * `after` has none.
 */
export function compareDumps(before: Dump, after: Dump): Comparison {
  const profile = profileFor(before, after);
  const [was, now] = [readBy(before, profile), readBy(after, profile)];
  const { damaged, ...found } =
    was.layout.kind === 'image' || now.layout.kind === 'image' ? compareByAddress(was, now) : compareByLabel(was, now);
  const doubts = profileDoubts({ own: [before, after], bound: [was, now] }, !found.identical);
  const unread = [
    ...doubts,
    ...byOtherProfile(before, after, [
      ...whyNotWhole(was).map(({ what, why }) => ({ side: 'before', what, why }) as const),
      ...textsApart('before', was, now),
    ]),
    ...whyNotWhole(now).map(({ what, why }) => ({ side: 'after', what, why }) as const),
    ...textsApart('after', now, was),
    ...damaged,
  ];
  return {
    ...found,
    // What changes by itself, only a profile that is for this module can say.
    lines: doubts.length === 0 ? found.lines : found.lines.map(withoutVolatile),
    identical: found.identical && unread.length === 0,
    unread,
    caveat: unexplainedCaveat(profile) ?? whyOneProfile(before, after),
    guarded: guardedDifferences(was, now),
    moves: recordMoves(was, now),
    wrongSums: [...wrongBefore(was), ...wrongNow(now)],
  };
}

/** What the profile of the second does not read of the first is no fault of that where its own profile reads it whole. */
function byOtherProfile(before: Dump, after: Dump, unread: readonly UnreadSide[]): readonly UnreadSide[] {
  const isFault = whyProfilesDiffer(before, after) === undefined || whyNotWhole(before).length > 0;
  if (isFault || unread.length === 0) return unread;
  const why = phrase('The first is whole by its own profile, and the profile of the second does not read it whole.');
  return [{ side: 'before', what: 'foreign', why }];
}

/** The profile by which both are read. */
export function profileFor(before: Dump, after: Dump): Profile {
  return after.profile === EMPTY_PROFILE ? before.profile : after.profile;
}

function wrongBefore(dump: Dump): readonly Phrase[] {
  const [row] = dump.wrongSums;
  const line = row !== undefined && lineCalled(dump, row);
  return [
    ...(line ? [phrase('The sum of line {0} is wrong before ({1} in all).', line, dump.wrongSums.length)] : []),
    ...wrongTotals(dump).map((index) => phrase('The {0} is wrong before.', nameOfSum(dump, index))),
  ];
}

function wrongNow(dump: Dump): readonly Phrase[] {
  const [row] = dump.wrongSums;
  const line = row !== undefined && lineCalled(dump, row);
  return [
    ...(line
      ? [
          phrase(
            'The sum of line {0} is wrong now ({1} in all). Correct it before you write this dump.',
            ...[line, dump.wrongSums.length],
          ),
        ]
      : []),
    ...wrongTotals(dump).map((index) =>
      phrase('The {0} is wrong now. Correct it before you write this dump.', nameOfSum(dump, index)),
    ),
  ];
}

/** Rows with hex digits that were not read are the same only where the other dump has them too, letter by letter. */
function textsApart(side: UnreadSide['side'], dump: Dump, other: Dump): readonly UnreadSide[] {
  const textIn = ({ rows }: Dump, row: number) => rows[row]?.text.trim() ?? '';
  const left = new Map<string, number>();
  for (const row of passedRows(other)) left.set(textIn(other, row), (left.get(textIn(other, row)) ?? 0) + 1);
  const apart = passedRows(dump).filter((row) => {
    const text = textIn(dump, row);
    const count = left.get(text) ?? 0;
    left.set(text, count - 1);
    return count <= 0;
  });
  const [first] = apart;
  if (first === undefined) return [];
  const why = phrase(
    'row {0} holds hex digits and is not read, and the other has no such row ({1} in all).',
    first + 1,
    apart.length,
  );
  return [{ side, what: 'text', why }];
}

interface Found extends Omit<Comparison, 'unread' | 'guarded' | 'caveat' | 'moves' | 'wrongSums'> {
  readonly damaged: readonly UnreadSide[];
}

function withoutVolatile(line: LineDifference): LineDifference {
  return { ...line, bytes: line.bytes.map(notByItself) };
}

/** A byte that differs where nobody can say that it changed by itself. */
export function notByItself(byte: ByteDifference): ByteDifference {
  return { ...byte, reason: byte.reason === 'volatile' ? 'unexplained' : byte.reason, volatile: false };
}

/** Whether something is known to differ. */
export function differs({ lines, onlyBefore, onlyAfter, start }: Comparison): boolean {
  return lines.length + onlyBefore.length + onlyAfter.length > 0 || start !== undefined;
}

/** Whether all was compared, both have the same lines or addresses, and each byte that differs is as it should be. */
export function isExplained(comparison: Comparison): boolean {
  const { lines, guarded, unread, onlyBefore, onlyAfter, uncompared, unplaced, start, moves } = comparison;
  const others = guarded.length + unread.length + onlyBefore.length + onlyAfter.length + uncompared.length + unplaced;
  return (
    others === 0 &&
    start === undefined &&
    moves.every(({ differing }) => differing.length === 0) &&
    lines.every(({ bytes }) => bytes.every(({ reason }) => reason === 'volatile' || isAccountedFor(reason)))
  );
}

/** How many bytes of lines that both dumps have differ. */
export function differingBytes({ lines }: Comparison): number {
  return lines.reduce((sum, { bytes }) => sum + bytes.length, 0);
}

function compareByAddress(before: Dump, after: Dump): Found {
  const { raw, onlyBefore, onlyAfter, unsure, unplaced, damaged } = imageDifferences(before, after);
  const { layout } = after;
  const addresses = new Map(Array.from(layout.order, (row, i) => [row, layout.keys[i] as number] as const));
  const lines = byLine(before, after, raw, ({ afterRow }) => hex(addresses.get(afterRow) ?? 0, 4));
  const [was, now] = [startAddressOf(before), startAddressOf(after)];
  return {
    kind: 'image',
    identical: lines.length + onlyBefore.length + onlyAfter.length + unsure.length + unplaced === 0 && was === now,
    lines,
    onlyBefore: onlyBefore.map(rangeInHex),
    onlyAfter: onlyAfter.map(rangeInHex),
    uncompared: unsure.map(rangeInHex),
    called: new Map(),
    unplaced,
    start: was === now ? undefined : { before: was, after: now },
    options: optionDifferences(before, after),
    damaged: [...damagedRecords('before', before, damaged.before), ...damagedRecords('after', after, damaged.after)],
  };
}

/** Records whose bytes or own sum were damaged: nobody can tell which. */
function damagedRecords(side: UnreadSide['side'], dump: Dump, rows: readonly number[]): readonly UnreadSide[] {
  const [first] = rows;
  if (first === undefined) return [];
  const why = phrase(
    'the sum of line {0} is wrong ({1} in all), so its bytes may be damaged. Get the file again.',
    lineCalled(dump, first),
    rows.length,
  );
  return [{ side, what: 'records', why }];
}

function startAddressOf(dump: Dump): number | undefined {
  return startOf(dump)?.address;
}

function compareByLabel(before: Dump, after: Dump): Found {
  const rowsBefore = recordRows(before);
  const rowsAfter = recordRows(after);
  const uncompared = [...new Set([...unsureLabels(before), ...unsureLabels(after)])];
  const raw: RawDifference[] = [];
  for (const [label, afterRow] of rowsAfter) {
    const beforeRow = rowsBefore.get(label);
    if (beforeRow !== undefined && !uncompared.includes(label))
      raw.push(...differences(before, beforeRow, after, afterRow));
  }
  const lines = byLine(before, after, raw, ({ afterRow }) => labelOfRow(after.rows[afterRow]) as Label);
  const onlyBefore = [...rowsBefore.keys()].filter((label) => !rowsAfter.has(label));
  const onlyAfter = [...rowsAfter.keys()].filter((label) => !rowsBefore.has(label));
  const identical = lines.length + onlyBefore.length + onlyAfter.length + uncompared.length === 0;
  const options = optionDifferences(before, after);
  return {
    kind: 'lines',
    identical,
    lines,
    onlyBefore,
    onlyAfter,
    uncompared,
    called: new Map([
      ...[...uncompared, ...onlyAfter].map((label) => [label, calledLine(after, label)] as const),
      ...onlyBefore.map((label) => [label, calledLine(before, label)] as const),
    ]),
    unplaced: 0,
    start: undefined,
    options,
    damaged: [],
  };
}

/** Differences with their reasons, gathered by the rows that hold them now. */
function byLine(
  before: Dump,
  after: Dump,
  raw: readonly RawDifference[],
  labelOf: (difference: RawDifference) => Label,
): readonly LineDifference[] {
  const reasons = reasonsOf(before, after, raw);
  const lines = new Map<number, LineDifference & { bytes: ByteDifference[] }>();
  raw.forEach((difference, i) => {
    const { afterRow, beforeRow, byte, address, was, now } = difference;
    const label = labelOf(difference);
    const called = after.layout.kind === 'image' ? labelText(label) : lineCalled(after, afterRow);
    const line = lines.get(afterRow) ?? { label, called, beforeRow, afterRow, bytes: [] };
    const placed = address === undefined ? {} : { address };
    line.bytes.push({ byte: byte + 1, ...placed, before: was, after: now, ...(reasons[i] as Reason) });
    lines.set(afterRow, line);
  });
  return [...lines.values()];
}

/** Labels of lines that cannot be read or are there twice: which bytes they hold is anybody's guess. */
function unsureLabels({ rows, layout }: Dump): Label[] {
  const broken = rows.filter(({ kind }) => kind === 'broken');
  return [...broken, ...layout.repeated.map((row) => rows[row])].flatMap((row) => labelOfRow(row) ?? []);
}

/** The first row of each label; what a view ends in is no line. */
function recordRows({ rows, notation }: Dump): ReadonlyMap<Label, number> {
  const found = new Map<Label, number>();
  rowsOfData(rows, notation).forEach((row, index) => {
    const label = labelOfRow(row);
    if (label !== undefined && !found.has(label)) found.set(label, index);
  });
  return found;
}

function differences(before: Dump, beforeRow: number, after: Dump, afterRow: number): RawDifference[] {
  const was = readable(before, beforeRow);
  const now = readable(after, afterRow);
  const count = Math.max(was?.count ?? 0, now?.count ?? 0);
  const found: RawDifference[] = [];
  for (let byte = 0; byte < count; byte++) {
    const a = was && byte < was.count ? byteOf(was, byte) : undefined;
    const b = now && byte < now.count ? byteOf(now, byte) : undefined;
    if (a !== b) found.push({ beforeRow, afterRow, byte, was: a, now: b });
  }
  return found;
}

function readable({ rows }: Dump, row: number): RecordRow | undefined {
  const record = rows[row];
  return record?.kind === 'record' ? record : undefined;
}

function optionDifferences(before: Dump, after: Dump): OptionDifference[] {
  return changedOptions(before, after).flatMap((option) => {
    const was = readOption(before, option);
    const now = readOption(after, option);
    if (was === undefined || now === undefined) return [];
    return [
      {
        option,
        was: was.raw,
        now: now.raw,
        before: shownValue(option, was.raw),
        after: shownValue(option, now.raw),
      },
    ];
  });
}
