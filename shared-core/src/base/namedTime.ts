import { isEarlier, readTimeSpan, type TimeSpan } from './isoTime.js';
import { localMoment } from './writtenTime.js';

/** A day, with its time where one is given, that a dump or its name says; as people write it. */
export interface NamedTime {
  readonly written: string;
  /** The row of the text that says it, counted from 0; undefined where the name of the file does. */
  readonly row: number | undefined;
  /** Whether a word beside it says that it is the time of reading. */
  readonly isOfReading: boolean;
}

/** When a dump was read, by a row of its text and by its "@taken". */
export interface StatedTimes {
  readonly row: NamedTime | undefined;
  readonly taken: TimeSpan | undefined;
}

const CLOCK = String.raw`(?:(?:[ T,_-]+| at | um )(\d\d?)[:.](\d\d)(?:[:.](\d\d))?(?!\d)( ?Z\b|[+-]\d\d:?\d\d)?)?`;
const IN_TEXT = [
  new RegExp(String.raw`(?<![\d.:-])(\d{4})-(\d\d?)-(\d\d?)(?!\d)${CLOCK}`, 'g'),
  new RegExp(String.raw`(?<![\d.:-])(\d\d?)\.(\d\d?)\.(\d{4})(?!\d)${CLOCK}`, 'g'),
];
const IN_NAME = /(?<!\d)(\d{4})-?(\d\d)-?(\d\d)(?:[ _T-]+(\d\d)[-:h_.]?(\d\d)(?:[-:_.]?(\d\d))?)?(?!\d)()/g;

/** So many rows are looked at, and no longer ones: times are in headings. */
export const MOST_ROWS = 2000;
const LONGEST = 300;
/** What every day has; most rows have none, and are not looked at any closer. */
const YEAR = /\d{4}/;
/** Bytes in a row are data, and what headers say beside notes is of something else. */
const NO_HEADING = /(?:\b[0-9a-f]{2}\b[ \t,;|]+){3}[0-9a-f]{2}\b|^\W*@(?!note\b)/i;
/** Words by which a heading says that a time is that of the reading. */
const OF_READING = /\b(?:read|taken|dumped|saved|printed|time|gelesen|ausgelesen|zeit)/i;
const EARLIEST = 2000;

/**
 * When a dump was read, by a heading or comment in its text or rows, else by its name; undefined where neither says it. What
 * a word for reading is beside goes first, then what has a time. What is after `now` is passed over.
 */
export function timeNamedIn(text: string | readonly string[], name = '', now?: Date): NamedTime | undefined {
  const found: { readonly time: NamedTime; readonly rank: number }[] = [];
  const add = (match: RegExpMatchArray, row: number | undefined, isOfReading: boolean) => {
    const written = writtenAs(match, now);
    if (written !== undefined)
      found.push({
        time: { written, row, isOfReading },
        rank: (isOfReading ? 2 : 0) + (match[4] === undefined ? 0 : 1),
      });
  };
  const rows = typeof text === 'string' ? text.split(/\r\n|\n|\r/, MOST_ROWS) : text;
  for (const [row, line] of rows.entries()) {
    if (line.length > LONGEST || !YEAR.test(line) || NO_HEADING.test(line)) continue;
    for (const match of IN_TEXT.flatMap((one) => [...line.matchAll(one)])) add(match, row, OF_READING.test(line));
  }
  for (const match of name.matchAll(IN_NAME)) add(match, undefined, false);
  return found.sort((a, b) => b.rank - a.rank)[0]?.time;
}

/** As it is offered; undefined where there is no such day, or it is yet to come. */
function writtenAs([, first = '', month = '', last = '', hour, minute, second, zone]: RegExpMatchArray, now?: Date) {
  const [year, day] = first.length === 4 ? [first, last] : [last, first];
  const two = (digits: string) => digits.padStart(2, '0');
  const date = `${year}-${two(month)}-${two(day)}`;
  const clock = hour === undefined || minute === undefined ? undefined : `${two(hour)}:${minute}`;
  const written = [date, clock ?? '00:00'].join(' ') + (second === undefined ? '' : `:${second}`);
  const moment = localMoment(written);
  if (moment === undefined || Number(year) < EARLIEST) return undefined;
  if (now !== undefined && moment.getTime() > now.getTime() + DAY) return undefined;
  if (clock === undefined) return date;
  return zone ? `${written.replace(' ', 'T')}${zone.trim().toUpperCase()}` : written;
}

const DAY = 24 * 60 * 60 * 1000;
const MINUTE = 60_000;

/**
 * The row of a dump by which it was not read after another one; undefined where nothing says so. It is held against the row
 * of the other: both are by one clock, whatever that shows. Where the other has none, it is held against its "@taken", by
 * the clock of this computer.
 */
export function rowNotAfter(one: StatedTimes, other: StatedTimes): NamedTime | undefined {
  const { row } = one;
  const before = rowOfReading(other);
  // A time that no word explains may be that of the software, which is the same at every reading.
  if (row === undefined || !(row.isOfReading || before)) return undefined;
  const [time, earlier] = [spanOf(row), before === undefined ? other.taken : spanOf(before)];
  if (time === undefined || earlier === undefined) return undefined;
  const isExact = [time, earlier].every(({ first, last, hasZone }) => hasZone && last - first < MINUTE);
  return isEarlier(time, earlier) || (isExact && !isEarlier(earlier, time)) ? row : undefined;
}

/** The row by which a dump was read: one that says so, or is of the day before its "@taken" to the day after. */
export function rowOfReading({ row, taken }: StatedTimes): NamedTime | undefined {
  const time = row && spanOf(row);
  const isNear = time && taken && Math.abs(time.first - taken.first) <= DAY;
  return row?.isOfReading || isNear ? row : undefined;
}

/** By the clock of this computer where it has no zone: a day is all of it. */
function spanOf({ written }: NamedTime): TimeSpan | undefined {
  const span = readTimeSpan(written);
  const moment = localMoment(written) ?? localMoment(`${written} 00:00`);
  if (span === undefined || span.hasZone || moment === undefined) return span;
  const first = moment.getTime();
  return { first, last: first + span.last - span.first, hasZone: true };
}
