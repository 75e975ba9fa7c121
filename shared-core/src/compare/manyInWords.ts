import { digitsOf, hex } from '../base/hex.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { Result } from '../base/result.js';
import type { RowSpan } from '../base/span.js';
import { addressCell } from '../model/cell.js';
import { type Dump, readBy } from '../model/dump.js';
import { whyNotOneKind } from '../model/identity.js';
import { lineName } from '../model/lineName.js';
import { optionSpan, readOption, shownValue } from '../model/optionReading.js';
import { bytesSpan } from '../model/spans.js';
import type { Option } from '../profile/profile.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import { profileFor } from './compareDumps.js';
import { reasonInWords } from './comparisonInWords.js';
import { type ByteInMany, compareMany, type ManyDumps } from './manyDumps.js';

export interface NamedDump {
  readonly name: string;
  readonly dump: Dump;
}

/** A place in which some dumps differ, in words: a value for each of them. */
export interface RowOfMany {
  readonly title: Phrase;
  /** Why it differs, as far as its place says so; nothing for an option. */
  readonly what: Phrase;
  readonly values: readonly Phrase[];
  readonly place: PlaceInMany;
}

export type PlaceInMany = Option | ByteInMany;

export interface ManyInWords {
  /** The options first. */
  readonly rows: readonly RowOfMany[];
  /** What could not be compared, what is not in the table, and whether all are the same. */
  readonly says: readonly Phrase[];
}

/** What differs between some dumps, as a table; the first of them is the one that all are compared with. */
export function manyInWords(
  dumps: readonly NamedDump[],
  { identical, isUnread, options, bytes, unmatched, caveats }: ManyDumps,
): ManyInWords {
  const [first] = dumps;
  const left = bytes.filter(({ isTold }) => !isTold);
  const ofOptions = bytes.filter(({ isTold, reason }) => isTold && reason === 'option').length;
  const ofSums = bytes.length - left.length - ofOptions;
  const rows: readonly RowOfMany[] = [
    ...options.map(({ option, values }) => ({
      title: listed([option.title]),
      what: listed([]),
      values: values.map((raw) => (raw === undefined ? CANNOT_BE_READ : listed([shownValue(option, raw)]))),
      place: option,
    })),
    ...left.map((place) => ({
      title: first === undefined ? listed([]) : byteName(first.dump, place),
      what: reasonInWords(place.reason),
      values: place.values.map((value, i) => (place.isUnread[i] ? CANNOT_BE_READ : listed([digitsOf(value, '--')]))),
      place,
    })),
  ];
  const says = [
    ...unmatched.flatMap((said, i) => said.map((one) => phrase('{0}: {1}', dumps[i]?.name ?? '', one))),
    ...(ofOptions > 0 ? [phrase('Bytes that differ by these options: {0}', ofOptions)] : []),
    ...(ofSums > 0 ? [phrase('Bytes of sums that follow: {0}', ofSums)] : []),
    ...(identical ? [phrase('All {0} are the same, byte for byte.', dumps.length), ...caveatsOf(dumps, caveats)] : []),
    ...(isUnread && bytes.length === 0
      ? [phrase('No difference was found, but not everything could be compared. So nothing is known to be the same.')]
      : []),
  ];
  return { rows, says };
}

const CANNOT_BE_READ = phrase('cannot be read');

/** What nobody can tell of dumps that are the same, each kind once or by its dump. */
function caveatsOf(dumps: readonly NamedDump[], caveats: ManyDumps['caveats']): readonly Phrase[] {
  if (dumps.every(({ dump }) => dump.profile === EMPTY_PROFILE))
    return [phrase('No profile explains them, so nobody can tell that nothing is missing from all of them.')];
  return caveats.flatMap((why, i) => (why === undefined ? [] : phrase('{0}: {1}', dumps[i + 1]?.name ?? '', why)));
}

function byteName(dump: Dump, { label, byte, address }: ByteInMany): Phrase {
  return address === undefined
    ? phrase('{0}, byte {1}', lineName(dump, label), byte)
    : phrase('Address {0}', hex(address, 4));
}

/** Where a place is in the text of one of the dumps that were compared with the first; undefined where it has no such place. */
export function spanInMany(first: Dump, other: Dump, place: PlaceInMany): RowSpan | undefined {
  const dump = readBy(other, profileFor(first, other));
  if ('parts' in place) {
    // A variant describes the same option at its own place.
    const own = dump.profile.options.find(({ id }) => id === place.id) ?? place;
    const reading = readOption(dump, own);
    return reading && optionSpan(dump, reading);
  }
  const row = rowIn(dump, place);
  const from = place.address === undefined ? undefined : addressCell(dump.layout, place.address)?.byte;
  return row === undefined ? undefined : bytesSpan(dump, row, from ?? place.byte - 1, 1);
}

/** The sum of a record of an image has no address of its own: its record begins at its label. */
function rowIn({ layout }: Dump, { label, address }: ByteInMany): number | undefined {
  return layout.kind === 'image'
    ? addressCell(layout, address ?? Number.parseInt(`${label}`, 16))?.row
    : layout.rowOf(label);
}

/** A file that was chosen to be compared with others. */
export interface ChosenDump {
  readonly name: string;
  readonly read: Result<Dump>;
}

export interface ChosenCompared {
  /** For each file that was chosen: why it is in no column; undefined where it is. */
  readonly why: readonly (Phrase | undefined)[];
  /** Those that were compared, in order. */
  readonly compared: readonly NamedDump[];
  readonly table: ManyInWords;
}

/** Compares all that can be compared with the first that can be read, and says of each other file why it is left out. */
export function compareChosen(chosen: readonly ChosenDump[]): ChosenCompared {
  const readable = chosen.flatMap(({ name, read }) => (read.ok ? { name, dump: read.value } : []));
  const [first] = readable;
  const whyNot = ({ name, read }: ChosenDump): Phrase | undefined => {
    if (!read.ok) return read.why;
    const why = first && whyNotOneKind(first.dump, read.value);
    return why && phrase('{0} and {1}: {2}', first.name, name, why);
  };
  const why = chosen.map(whyNot);
  const compared = chosen.flatMap(({ name, read }, i) =>
    read.ok && why[i] === undefined ? { name, dump: read.value } : [],
  );
  if (first === undefined || compared.length < 2) {
    const says = [phrase('Fewer than two of these dumps can be compared. Choose others of the same module.')];
    return { why, compared, table: { rows: [], says } };
  }
  const many = compareMany(
    first.dump,
    compared.slice(1).map(({ dump }) => dump),
  );
  // Of a file that is left out nobody can say that it is the same.
  const isUnread = many.isUnread || compared.length < chosen.length;
  const table = manyInWords(compared, { ...many, isUnread, identical: many.identical && !isUnread });
  return { why, compared, table };
}
