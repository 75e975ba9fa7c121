import { readIso, secondsOf } from '../base/calendar.js';
import { phrase } from '../base/phrase.js';
import { isObject, type JsonValue, knownKeys, member, missing, oneOf, onlyOneOf, text, whole, wrong } from './json.js';
import type { CountedDateMeaning, DateMeaning, DatePart } from './profile.js';
import { readOrder } from './readSum.js';

/** Keys of an option that say more of a date. */
export const DATE_KEYS = ['coding'];

/** What a date or time can be made of, in any order: the parts of each entry together. */
const DATES = ['', 'YMD', 'YM', 'Y', 'YW'];
const TIMES = ['', 'hms', 'hm'];

/** The parts of a date as they are stored, or what it counts and from when on. */
export function readDate(
  option: JsonValue,
  value: JsonValue,
  width: number,
): DateMeaning | CountedDateMeaning | undefined {
  if (value.node.type === 'object') return countedDate(option, value, width);
  const pattern = text(value);
  if (pattern === undefined) return undefined;
  const parts = partsOf(pattern);
  if (parts === undefined)
    return wrong(
      value,
      phrase(
        'A date is written with the parts YYYY or YY, MM, DD, or WW for the week, and hh, mm, ss, as they are stored: "DDMMYY", "YYWW", "hhmm".',
      ),
    );
  const needed = 8 * parts.reduce((sum, part) => sum + (part === 'YYYY' ? 2 : 1), 0);
  if (needed !== width) return wrong(value, phrase('"{0}" takes {1} bits; the place has {2}.', pattern, needed, width));
  const given = member(option, 'coding');
  if (given === undefined)
    return missing(option, phrase('"coding" is missing: "bcd" for decimal digits, or "binary".'));
  const coding = oneOf(given, ['bcd', 'binary'] as const);
  return coding && { kind: 'date', parts, coding, yearOrder: readOrder(option) };
}

function partsOf(pattern: string): readonly DatePart[] | undefined {
  if (!/^(?:YYYY|YY|MM|DD|WW|hh|mm|ss)+$/.test(pattern)) return undefined;
  const parts = (pattern.match(/YYYY|YY|MM|DD|WW|hh|mm|ss/g) ?? []) as readonly DatePart[];
  const letters = [...parts].map((part) => part.charAt(0)).sort();
  const isKnown = DATES.some((date) =>
    TIMES.some((time) => [...date, ...time].sort().join('') === letters.join('') && letters.length > 0),
  );
  return isKnown ? parts : undefined;
}

/** The widest count that is still exact. */
const WIDEST_COUNT = 48;

function countedDate(option: JsonValue, value: JsonValue, width: number): CountedDateMeaning | undefined {
  if (!isObject(value)) return undefined;
  knownKeys(value, ['days', 'seconds', 'since']);
  const coding = member(option, 'coding');
  if (coding !== undefined && oneOf(coding, ['binary'] as const) === undefined) return undefined;
  if (!onlyOneOf(value, ['days', 'seconds'])) return undefined;
  const unit = member(value, 'days') === undefined ? 'seconds' : 'days';
  const step = member(value, unit);
  const since = member(value, 'since');
  if (step === undefined || since === undefined)
    return missing(
      value,
      phrase(
        'A count of days or seconds is written { "days": 1, "since": "2000-01-01" }: how many one step is, and from when on.',
      ),
    );
  const each = whole(step, 1, 1_000_000);
  const written = text(since);
  if (each === undefined || written === undefined) return undefined;
  const from = readIso(written);
  if (from?.DD === undefined || (unit === 'days' && from.hh !== undefined))
    return wrong(since, phrase('This is no day: write one that exists, such as "2000-01-01".'));
  if (width > WIDEST_COUNT)
    return wrong(value, phrase('A count takes up to {0} bits; here are {1}. Name fewer bytes.', WIDEST_COUNT, width));
  return { kind: 'counted-date', unit, step: each, since: secondsOf(from) };
}
