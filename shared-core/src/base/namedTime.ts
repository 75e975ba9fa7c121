import { BESIDE_WORD, DAY_LIKE, IN_NAME, IN_TEXT, writtenAs } from './dayForms.js';
import { isEarlier, readTimeSpan, type TimeSpan } from './isoTime.js';
import { localMoment } from './writtenTime.js';

/** A day, with its time where one is given, that a dump or its name says; as people write it. */
export interface NamedTime {
  readonly written: string;
  /** The row of the text that says it, counted from 0; undefined where the name of the file does. */
  readonly row: number | undefined;
  /** Whether a word beside it says that it is the time of reading. */
  readonly isOfReading: boolean;
  /** Whether it is understood; else all of the row is what is written. */
  readonly isClear: boolean;
}

/** When a dump was read, by the rows of its text, those that say it best first, and by its "@taken". */
export interface StatedTimes {
  readonly rows: readonly NamedTime[];
  readonly taken: TimeSpan | undefined;
}

/** So many rows are looked at, and no longer ones: times are in headings. */
export const MOST_ROWS = 2000;
const LONGEST = 300;
/** Bytes in a row are data, and what headers say beside notes is of something else. */
const NO_HEADING = /(?:\b[0-9a-f]{2}\b[ \t,;|]+){3}[0-9a-f]{2}\b|^\W*@(?!note\b)/i;
/** Words by which a heading says that a time is that of the reading; a reader is a program. */
const OF_READING = /\b(?:read(?:out|ing)?|taken|dumped|saved|printed|time|gelesen|ausgelesen|zeit)(?![a-z])/i;
/** Words by which it says that a time is that of something else. */
const OF_ELSE =
  /\b(?:soft|firmw|calibr|produ[ck]|built|manuf|servic|warrant|valid|version|stand\b|herg?e?stell|wartung|garantie)/i;
const EARLIEST = '2000';

/** The times that the headings and comments of a dump say; what a word for reading is beside goes first, then what has a clock. */
export function timesIn(text: string | readonly string[]): readonly NamedTime[] {
  const rows = typeof text === 'string' ? text.split(/\r\n|\n|\r/, MOST_ROWS) : text;
  const found = rows.flatMap((line, row) => {
    if (line.length > LONGEST || !/\d/.test(line) || NO_HEADING.test(line)) return [];
    const isOfReading = OF_READING.test(line);
    if (!isOfReading && OF_ELSE.test(line)) return [];
    let rest = line;
    const times: NamedTime[] = [];
    const add = (written: string, isClear: boolean) => times.push({ written, row, isOfReading, isClear });
    for (const match of (isOfReading ? BESIDE_WORD : IN_TEXT).flatMap((one) => [...line.matchAll(one)])) {
      const written = writtenAs(match.groups);
      if (!written || !(isOfReading || written >= EARLIEST)) continue;
      rest = rest.replace(match[0], ' ');
      add(written, true);
    }
    if (isOfReading && DAY_LIKE.test(rest)) add(line.trim(), false);
    return times;
  });
  return found.sort((a, b) => rankOf(b) - rankOf(a));
}

function rankOf({ isClear, isOfReading, written }: NamedTime): number {
  return isClear ? (isOfReading ? 2 : 0) + (written.includes(':') ? 1 : 0) : -1;
}

/**
 * When a dump was read, by a heading or comment in its text or rows, else by its name; undefined where neither says it. What
 * is after `now` is passed over.
 */
export function timeNamedIn(text: string | readonly string[], name = '', now?: Date): NamedTime | undefined {
  const ofName = [...name.matchAll(IN_NAME)].flatMap(({ groups }) => {
    const written = writtenAs(groups);
    return written ? { written, row: undefined, isOfReading: false, isClear: true } : [];
  });
  return [...timesIn(text), ...ofName]
    .sort((a, b) => rankOf(b) - rankOf(a))
    .find((time) => time.isClear && time.written >= EARLIEST && !(now && isRowToCome(time, now.getTime())));
}

/** Whether a row says a time that is still to come, in milliseconds, wherever its clock stands. */
export function isRowToCome(row: NamedTime, now: number): boolean {
  return (spanOf(row)?.first ?? 0) > now + DAY;
}

const DAY = 24 * 60 * 60 * 1000;
const MINUTE = 60_000;

/** A row of a dump that speaks against its having been read after another one. */
export interface RowAgainst {
  readonly row: NamedTime;
  /** Whether it says that it was not; else nobody can tell by it. */
  readonly isKnown: boolean;
}

/**
 * The row of a dump by which it was not, or may not have been, read after another one; undefined where none speaks against
 * that. The earliest is held against the latest of the other: both are by one clock, whatever that shows. Where the other has
 * none, it is held against its "@taken", by the clock of this computer.
 */
export function rowAgainstOrder(one: StatedTimes, other: StatedTimes): RowAgainst | undefined {
  const unclear = one.rows.filter(({ isClear }) => !isClear);
  const same = unclear.find(({ written }) => other.rows.some((row) => row.written === written));
  if (same) return { row: same, isKnown: true };
  const against = clearRowAgainst(one, other);
  const [row] = unclear;
  return against?.isKnown || !row ? against : { row, isKnown: false };
}

function clearRowAgainst(one: StatedTimes, other: StatedTimes): RowAgainst | undefined {
  const row = ofReading(one)[0] ?? one.rows[0];
  const before = rowOfReading(other);
  // A time that no word explains may be that of the software, which is the same at every reading.
  if (!row || !(row.isOfReading || before)) return undefined;
  const [time, earlier] = [spanOf(row), before ? spanOf(before) : other.taken];
  if (!time || !earlier || isEarlier(earlier, time)) return undefined;
  if (isEarlier(time, earlier)) return { row, isKnown: true };
  const [length, its] = [time.last - time.first, earlier.last - earlier.first];
  // Of two in a minute, the second that one says tells nothing of the other.
  const isExact = time.hasZone && earlier.hasZone && Math.max(length, its) < MINUTE;
  return isExact ? { row, isKnown: length === its } : undefined;
}

/** The row by which a dump was read: the latest that says so, or one of the day before its "@taken" to the day after. */
export function rowOfReading(stated: StatedTimes): NamedTime | undefined {
  const { taken } = stated;
  const [row] = stated.rows;
  const time = row && spanOf(row);
  const isNear = time && taken && Math.abs(time.first - taken.first) <= DAY;
  return ofReading(stated).at(-1) ?? (isNear ? row : undefined);
}

/** The rows that are understood and say that they are of the reading, the earliest first. */
function ofReading({ rows }: StatedTimes): readonly NamedTime[] {
  const first = (row: NamedTime) => spanOf(row)?.first ?? 0;
  return rows.filter((row) => row.isOfReading && row.isClear).sort((a, b) => first(a) - first(b));
}

/** By the clock of this computer where it has no zone: a day is all of it. */
function spanOf({ written }: NamedTime): TimeSpan | undefined {
  const span = readTimeSpan(written);
  const moment = localMoment(written) ?? localMoment(`${written} 00:00`);
  if (span === undefined || span.hasZone || moment === undefined) return span;
  const first = moment.getTime();
  return { first, last: first + span.last - span.first, hasZone: true };
}
