import { type Phrase, phrase } from './phrase.js';

/** A date, a time or both, as far as it is given; `WW` is a week by ISO 8601. */
export interface Moment {
  readonly YYYY?: number | undefined;
  readonly MM?: number | undefined;
  readonly DD?: number | undefined;
  readonly WW?: number | undefined;
  readonly hh?: number | undefined;
  readonly mm?: number | undefined;
  readonly ss?: number | undefined;
}

const DAY = 86_400;

/** Whether there is such a day, week and time. */
export function isMoment({ YYYY = 2000, MM = 1, DD = 1, WW = 1, hh = 0, mm = 0, ss = 0 }: Moment): boolean {
  const isDay = YYYY >= 1 && YYYY <= 9999 && MM >= 1 && MM <= 12 && DD >= 1 && DD <= daysIn(YYYY, MM);
  return isDay && WW >= 1 && WW <= weeksIn(YYYY) && hh <= 23 && mm <= 59 && ss <= 59;
}

/** The moment as ISO 8601 writes it, with a blank between date and time: `2024-02-29 13:05`. */
export function isoText({ YYYY, MM, DD, WW, hh, mm, ss }: Moment): string {
  const two = (number: number | undefined) => (number === undefined ? [] : [String(number).padStart(2, '0')]);
  const year = YYYY === undefined ? [] : [String(YYYY).padStart(4, '0')];
  const date = [...year, ...two(MM), ...two(DD), ...two(WW).map((week) => `W${week}`)].join('-');
  const time = [...two(hh), ...two(mm), ...two(ss)].join(':');
  return [date, time].filter((text) => text !== '').join(' ');
}

/** The moment as it is written in a language: in English as in ISO 8601. */
export function momentInWords(moment: Moment): Phrase {
  const { YYYY, MM, DD, WW } = moment;
  const two = (number: number) => String(number).padStart(2, '0');
  const year = String(YYYY ?? 0).padStart(4, '0');
  const time = isoText({ ...moment, YYYY: undefined, MM: undefined, DD: undefined, WW: undefined });
  if (YYYY === undefined || (MM === undefined && WW === undefined)) return phrase('{0}', isoText(moment));
  const date =
    WW !== undefined
      ? phrase('{0}-W{1}', year, two(WW))
      : DD === undefined
        ? phrase('{0}-{1}', year, two(MM ?? 0))
        : phrase('{0}-{1}-{2}', year, two(MM ?? 0), two(DD));
  return time === '' ? date : phrase('{0} {1}', date, time);
}

/** Reads what `isoText` writes, also with a "T" before the time; undefined where there is no such moment. */
export function readIso(text: string): Moment | undefined {
  const match =
    /^(?:(?<YYYY>\d{4})(?:-W(?<WW>\d\d)|-(?<MM>\d\d)(?:-(?<DD>\d\d))?)?)?(?:(?:^|[T ])(?<hh>\d\d):(?<mm>\d\d)(?::(?<ss>\d\d))?)?$/i.exec(
      text,
    );
  if (match === null || text === '') return undefined;
  const given = Object.entries(match.groups ?? {}).filter(([, digits]) => digits !== undefined);
  const moment: Moment = Object.fromEntries(given.map(([part, digits]) => [part, Number(digits)]));
  return isMoment(moment) ? moment : undefined;
}

/** Seconds from 1970-01-01 00:00 to a moment with a whole date. */
export function secondsOf({ YYYY = 1970, MM = 1, DD = 1, hh = 0, mm = 0, ss = 0 }: Moment): number {
  return DAY * daysTo(YYYY, MM, DD) + 3600 * hh + 60 * mm + ss;
}

/** The day of so many seconds from 1970-01-01 00:00 on, with its time where that is wanted; undefined beyond the year 9999. */
export function momentOf(seconds: number, withTime: boolean): Moment | undefined {
  const days = Math.floor(seconds / DAY);
  if (days < daysTo(1, 1, 1) || days > daysTo(9999, 12, 31)) return undefined;
  const date = new Date(DAY * 1000 * days);
  const day = { YYYY: date.getUTCFullYear(), MM: date.getUTCMonth() + 1, DD: date.getUTCDate() };
  if (!withTime) return day;
  const rest = seconds - DAY * days;
  return { ...day, hh: Math.floor(rest / 3600), mm: Math.floor(rest / 60) % 60, ss: rest % 60 };
}

function daysIn(year: number, month: number): number {
  return daysTo(year, month + 1, 1) - daysTo(year, month, 1);
}

/** Weeks of a year by ISO 8601: the week of its last Thursday is the last. */
function weeksIn(year: number): number {
  const weekday = (day: number) => (((day + 3) % 7) + 7) % 7;
  const last = daysTo(year, 12, 31);
  return weekday(daysTo(year, 1, 1)) === 3 || weekday(last) === 3 ? 53 : 52;
}

/** Days from 1970-01-01 to a day; years below 100 are what they say. */
function daysTo(year: number, month: number, day: number): number {
  const date = new Date(0);
  date.setUTCFullYear(year, month - 1, day);
  return date.getTime() / (DAY * 1000);
}
