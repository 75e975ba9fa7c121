import { isMoment, type Moment, readIso } from '../base/calendar.js';

/** First letters of the months in the languages of the project. */
const MONTHS = ['jan', 'feb', 'mar|mär', 'apr', 'may|mai', 'jun', 'jul', 'aug', 'sep', 'oct|okt', 'nov', 'dec|dez'];

/**
 * The dates that a person may mean: ISO 8601 (`2024-02-29 13:05`), with points the day first (`29.02.2024`), with the
 * name of the month, `02/2024` for a month, `KW 9/2024` for a week. With slashes either of day and month may be first. None
 * where nothing of this is written, or where there is no such day.
 */
export function readWrittenDate(written: string): readonly Moment[] {
  const text = written.normalize('NFKC').replace(/\s+/g, ' ').trim();
  const iso = readIso(text);
  if (iso !== undefined) return [iso];
  const match = /^(.*?)[ ,]*(?:(\d{1,2}):(\d\d)(?::(\d\d))?(?: Uhr)?)?$/i.exec(text);
  const [, date = '', hh, mm, ss] = match ?? [];
  const time =
    hh === undefined ? {} : { hh: Number(hh), mm: Number(mm), ...(ss === undefined ? undefined : { ss: Number(ss) }) };
  const dates = date === '' && hh !== undefined ? [{}] : datesIn(date);
  const all = dates.map((one) => ({ ...one, ...time })).filter(isMoment);
  const [first, second] = all;
  const same = first !== undefined && second !== undefined && first.MM === second.MM && first.DD === second.DD;
  return same ? [first] : all;
}

function datesIn(text: string): readonly Moment[] {
  const iso = readIso(text);
  if (iso !== undefined) return [iso];
  const pointed = numbersIn(/^(\d{1,2})\. ?(\d{1,2})\. ?(\d{4}|\d\d)$/, text);
  if (pointed !== undefined) return dayOf(pointed[0], pointed[1], pointed[2]);
  const slashed = numbersIn(/^(\d{1,2})\/(\d{1,2})\/(\d{4}|\d\d)$/, text);
  if (slashed !== undefined)
    return [...dayOf(slashed[0], slashed[1], slashed[2]), ...dayOf(slashed[1], slashed[0], slashed[2])];
  const month = numbersIn(/^(\d{1,2})[./](\d{4})$/, text);
  if (month !== undefined) return [{ YYYY: month[1] ?? 0, MM: month[0] ?? 0 }];
  const week = numbersIn(/^(?:W|KW|CW|week) ?(\d{1,2})[/ ] ?(\d{4})$/i, text);
  if (week !== undefined) return [{ YYYY: week[1] ?? 0, WW: week[0] ?? 0 }];
  return namedMonth(text);
}

/** "29 Feb 2024", "29. Februar 2024", "February 29, 2024". */
function namedMonth(text: string): readonly Moment[] {
  const day = /^(\d{1,2})\.? (\p{L}{3,})\.? (\d{4})$/u.exec(text) ?? [];
  const name = /^(\p{L}{3,})\.? (\d{1,2}),? (\d{4})$/u.exec(text) ?? [];
  const [, DD = name[2], month = name[1], YYYY = name[3]] = day;
  // Without a month it is the month 0, of which there are no days.
  const MM = 1 + MONTHS.findIndex((one) => new RegExp(`^(?:${one})`, 'i').test(month ?? ''));
  return dayOf(Number(DD), MM, Number(YYYY));
}

function numbersIn(pattern: RegExp, text: string): readonly number[] | undefined {
  const match = pattern.exec(text);
  return match === null ? undefined : match.slice(1).map(Number);
}

/** A year of two digits is of 1980 to 2079, as modules store it. */
function dayOf(DD = 0, MM = 0, year = 0): readonly Moment[] {
  return [{ YYYY: year >= 100 ? year : year + (year < 80 ? 2000 : 1900), MM, DD }].filter(isMoment);
}
