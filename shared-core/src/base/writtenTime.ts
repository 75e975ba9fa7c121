/** A time by the clock of this computer, as people write it: "2026-11-27 09:12". */
export function localTime(time: Date, withSeconds = false): string {
  const [year, month, day] = [time.getFullYear(), time.getMonth() + 1, time.getDate()];
  const seconds = withSeconds ? `:${two(time.getSeconds())}` : '';
  return `${year}-${two(month)}-${two(day)} ${two(time.getHours())}:${two(time.getMinutes())}${seconds}`;
}

/** The same with the day first: "27.11.2026 9:12". */
export function dayFirst(time: Date): string {
  const [day, month, year] = [time.getDate(), time.getMonth() + 1, time.getFullYear()];
  return `${day}.${month}.${year} ${time.getHours()}:${two(time.getMinutes())}`;
}

const two = (number: number) => String(number).padStart(2, '0');

/** The zone of the clock of this computer at a time, as people name it: "UTC+1", "UTC-3:30", "UTC". */
export function zoneAt(time: Date): string {
  const east = -time.getTimezoneOffset();
  const [hours, minutes] = [Math.floor(Math.abs(east) / 60), Math.abs(east) % 60];
  if (east === 0) return 'UTC';
  return `UTC${east < 0 ? '-' : '+'}${hours}${minutes === 0 ? '' : `:${String(minutes).padStart(2, '0')}`}`;
}

const YEAR_FIRST = /^(\d{4})-(\d\d?)-(\d\d?)[ T]+(\d\d?):(\d\d)(?::(\d\d))?$/i;
const DAY_FIRST = /^(\d\d?)\.(\d\d?)\.(\d{4}),? +(\d\d?):(\d\d)(?::(\d\d))?$/;

/**
 * The moment that a person writes by the clock of this computer; undefined where it is none that there is. Days with
 * slashes are not read: some write the month first, others the day.
 */
export function localMoment(written: string): Date | undefined {
  const text = written.trim();
  const [, year, month, day, ...clock] = YEAR_FIRST.exec(text) ?? reordered(DAY_FIRST.exec(text));
  const [hour = 0, minute = 0, second = 0] = clock.map((part) => Number(part ?? 0));
  const moment = new Date(Number(year), Number(month) - 1, Number(day), hour, minute, second);
  const asked = [year, month, day, hour, minute, second].map(Number).join();
  return asked === localTime(moment, true).split(/[-: ]/).map(Number).join() ? moment : undefined;
}

function reordered(match: RegExpExecArray | null): readonly (string | undefined)[] {
  if (match === null) return [];
  const [all, day, month, year, ...clock] = match;
  return [all, year, month, day, ...clock];
}

/** Whether a time is written to the second. */
export function saysSeconds(written: string): boolean {
  return /:\d\d:\d\d$/.test(written.trim());
}

/** As a dump keeps it: by UTC, to the second or, where nobody said that, to the minute. */
export function asKept(moment: Date, toSecond: boolean): string {
  return moment.toISOString().replace(toSecond ? /\.\d+Z$/ : /:\d\d\.\d+Z$/, 'Z');
}
