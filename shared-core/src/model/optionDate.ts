import { isMoment, isoText, type Moment, momentInWords, momentOf, secondsOf } from '../base/calendar.js';
import { bytesOfNumber, numberOf } from '../base/number.js';
import type { Phrase } from '../base/phrase.js';
import type { CountedDateMeaning, DateMeaning, DatePart } from '../profile/profile.js';

/** The date or time that a raw value stores, as ISO 8601 writes it; undefined where there is no such day or time. */
export function dateOf(meaning: DateMeaning | CountedDateMeaning, raw: bigint): string | undefined {
  const moment = momentStored(meaning, raw);
  return moment && isoText(moment);
}

/** The date or time that a raw value stores; undefined where there is no such day or time. */
export function momentStored(meaning: DateMeaning | CountedDateMeaning, raw: bigint): Moment | undefined {
  return meaning.kind === 'date' ? storedMoment(meaning, raw) : countedMoment(meaning, raw);
}

/** The raw value of a date or time; undefined where it has other parts, or cannot be stored. */
export function rawOfDate(
  meaning: DateMeaning | CountedDateMeaning,
  moment: Moment,
  width: number,
): bigint | undefined {
  const raw = meaning.kind === 'date' ? storedRaw(meaning, moment) : countedRaw(meaning, moment);
  if (raw === undefined || raw < 0n || raw >= 1n << BigInt(width)) return undefined;
  return dateOf(meaning, raw) === isoText(moment) ? raw : undefined;
}

/** How a date of a meaning is written, by an example. */
export function exampleDate(meaning: DateMeaning | CountedDateMeaning): Phrase {
  return momentInWords(partsIn(meaning, EXAMPLES[0]));
}

/** The raw values of some dates that have nothing in common, as far as they can be stored. */
export function someDates(meaning: DateMeaning | CountedDateMeaning, width: number): readonly bigint[] {
  return EXAMPLES.flatMap((moment) => rawOfDate(meaning, partsIn(meaning, moment), width) ?? []);
}

/** The raw values of moments from the beginning of 2000 on, each with another day, week and minute than the one before. */
export function* datesFrom2000(meaning: DateMeaning | CountedDateMeaning, width: number): Generator<bigint> {
  for (let n = 0; n < 4096; n++) {
    const day = { YYYY: 2000 + Math.floor(n / 336), MM: 1 + (Math.floor(n / 28) % 12), DD: 1 + (n % 28) };
    const moment = { ...day, WW: 1 + (n % 52), hh: Math.floor(n / 60) % 24, mm: n % 60, ss: 0 };
    const raw = rawOfDate(meaning, partsIn(meaning, moment), width);
    if (raw !== undefined) yield raw;
  }
}

const EXAMPLES = [
  { YYYY: 2024, MM: 2, DD: 29, WW: 9, hh: 13, mm: 5, ss: 0 },
  { YYYY: 2031, MM: 10, DD: 17, WW: 42, hh: 20, mm: 48, ss: 36 },
] as const;

/** The parts of a moment that a meaning stores. */
function partsIn(meaning: DateMeaning | CountedDateMeaning, moment: Required<Moment>): Moment {
  const parts: readonly DatePart[] =
    meaning.kind === 'date'
      ? meaning.parts
      : ['YYYY', 'MM', 'DD', ...(meaning.unit === 'days' ? [] : (['hh', 'mm', 'ss'] as const))];
  return Object.fromEntries(parts.map((part) => (part === 'YY' ? ['YYYY', moment.YYYY] : [part, moment[part]])));
}

/** Bytes of a part, in either coding. */
function partBytes(part: DatePart): number {
  return part === 'YYYY' ? 2 : 1;
}

function storedMoment({ parts, coding, yearOrder }: DateMeaning, raw: bigint): Moment | undefined {
  const fields: Partial<Record<keyof Moment, number>> = {};
  let left = raw;
  for (const part of [...parts].reverse()) {
    const count = partBytes(part);
    const bits = numberOf(bytesOfNumber(left, count, 'big'), yearOrder);
    left >>= BigInt(8 * count);
    const number = coding === 'binary' ? Number(bits) : decimal(bits);
    if (number === undefined || (part === 'YY' && number > 99)) return undefined;
    fields[part === 'YY' ? 'YYYY' : part] = part === 'YY' ? number + (number < 80 ? 2000 : 1900) : number;
  }
  return isMoment(fields) ? fields : undefined;
}

function storedRaw({ parts, coding, yearOrder }: DateMeaning, moment: Moment): bigint | undefined {
  let raw = 0n;
  for (const part of parts) {
    const number = part === 'YY' ? moment.YYYY && moment.YYYY % 100 : moment[part];
    if (number === undefined) return undefined;
    const count = partBytes(part);
    const bits = BigInt(coding === 'binary' ? number : `0x${number}`);
    raw = (raw << BigInt(8 * count)) | numberOf(bytesOfNumber(bits, count, yearOrder), 'big');
  }
  return raw;
}

function decimal(bits: bigint): number | undefined {
  const digits = bits.toString(16);
  return /^\d+$/.test(digits) ? Number(digits) : undefined;
}

function countedMoment({ unit, step, since }: CountedDateMeaning, raw: bigint): Moment | undefined {
  const seconds = since + Number(raw) * step * (unit === 'days' ? 86_400 : 1);
  return Number.isSafeInteger(seconds) ? momentOf(seconds, unit === 'seconds') : undefined;
}

function countedRaw({ unit, step, since }: CountedDateMeaning, moment: Moment): bigint | undefined {
  const steps = (secondsOf(moment) - since) / (step * (unit === 'days' ? 86_400 : 1));
  return Number.isInteger(steps) ? BigInt(steps) : undefined;
}
