const TIME = /^(\d{4})-(\d\d)(?:-(\d\d)(?:[T ](\d\d):(\d\d)(?::(\d\d)(?:\.\d{1,9})?)?(Z|[+-]\d\d:?\d\d)?)?)?$/i;

/**
 * Milliseconds of a time as ISO 8601 writes it, one without a zone by UTC; undefined for any other text and for a day or
 * an hour that there is not. Other ways to write a time are read by everybody in their own way: day before month, or
 * month before day.
 */
export function readIsoTime(written: string): number | undefined {
  const match = TIME.exec(written.trim());
  if (match === null) return undefined;
  const part = (index: number, otherwise: number) => (match[index] === undefined ? otherwise : Number(match[index]));
  const [year, month, day] = [part(1, 0), part(2, 1), part(3, 1)];
  const [hour, minute, second] = [part(4, 0), part(5, 0), part(6, 0)];
  const midnight = new Date(Date.UTC(year, month - 1, day));
  const isDay = midnight.getUTCMonth() === month - 1 && midnight.getUTCDate() === day;
  if (!isDay || hour > 23 || minute > 59 || second > 59) return undefined;
  const zone = /^([+-])(\d\d):?(\d\d)$/.exec(match[7] ?? '');
  if (zone !== null && (Number(zone[2]) > 14 || Number(zone[3]) > 59)) return undefined;
  const offset = zone === null ? 0 : (zone[1] === '-' ? -1 : 1) * (Number(zone[2]) * 60 + Number(zone[3]));
  return midnight.getTime() + ((hour * 60 + minute - offset) * 60 + second) * 1000;
}
