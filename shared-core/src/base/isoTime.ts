const TIME = /^(\d{4})-(\d\d)(?:-(\d\d)(?:[T ](\d\d):(\d\d)(?::(\d\d)(\.\d{1,9})?)?(Z|[+-]\d\d:?\d\d)?)?)?$/i;

/** A time as far as it is written: a day alone may be any time of it. Milliseconds. */
export interface TimeSpan {
  readonly first: number;
  readonly last: number;
  /** Whether its zone is written; else it is by a clock of which nobody knows where it stood. */
  readonly hasZone: boolean;
}

/**
 * Milliseconds of a time as ISO 8601 writes it, one without a zone by UTC; undefined for any other text and for a day or
 * an hour that there is not. Other ways to write a time are read by everybody in their own way: day before month, or
 * month before day.
 */
export function readIsoTime(written: string): number | undefined {
  return readTimeSpan(written)?.first;
}

/** Whether a text is a day of the calendar in full. */
export function isDay(written: string): boolean {
  return /^\d{4}-\d\d-\d\d$/.test(written) && readIsoTime(written) !== undefined;
}

/** The same with what its text leaves open: parts that are not written, and the zone. */
export function readTimeSpan(written: string): TimeSpan | undefined {
  const match = TIME.exec(written.trim());
  if (match === null) return undefined;
  const part = (index: number, otherwise: number) => (match[index] === undefined ? otherwise : Number(match[index]));
  const [year, month, day] = [part(1, 0), part(2, 1), part(3, 1)];
  const [hour, minute, second, fraction] = [part(4, 0), part(5, 0), part(6, 0), part(7, 0)];
  const midnight = new Date(Date.UTC(year, month - 1, day));
  const isDay = midnight.getUTCMonth() === month - 1 && midnight.getUTCDate() === day;
  if (!isDay || hour > 23 || minute > 59 || second > 59) return undefined;
  const zone = /^([+-])(\d\d):?(\d\d)$/.exec(match[8] ?? '');
  if (zone !== null && (Number(zone[2]) > 14 || Number(zone[3]) > 59)) return undefined;
  const offset = zone === null ? 0 : (zone[1] === '-' ? -1 : 1) * (Number(zone[2]) * 60 + Number(zone[3]));
  const first = midnight.getTime() + ((hour * 60 + minute - offset) * 60 + second + fraction) * 1000;
  const isWritten = (index: number) => match[index] !== undefined;
  const length = isWritten(6) ? 0 : isWritten(4) ? MINUTE : isWritten(3) ? DAY : Date.UTC(year, month) - first;
  return { first, last: length === 0 ? first : first + length - 0.001, hasZone: isWritten(8) };
}

const MINUTE = 60_000;
const DAY = 24 * 60 * MINUTE;
/** What a clock may show more or less than UTC. */
const [AHEAD, BEHIND] = [14 * 60 * MINUTE, 12 * 60 * MINUTE];

/** Whether one time is known to be earlier than another. Two without a zone are taken to be by one clock. */
export function isEarlier(one: TimeSpan, other: TimeSpan): boolean {
  const areAlike = one.hasZone === other.hasZone;
  const last = one.last + (areAlike || one.hasZone ? 0 : BEHIND);
  const first = other.first - (areAlike || other.hasZone ? 0 : AHEAD);
  return last < first;
}
