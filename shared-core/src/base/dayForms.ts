import { readTimeSpan } from './isoTime.js';

/*
 * Ways in which people and programs write a day, with its time or without. Groups are letters, as these are carried into the
 * client: y(ear), m(onth), d(ay), a and b (day and month in some order), h(our), i (minute), s(econd), p (am or pm), z(one).
 */

const { raw } = String;
/** How months begin in English and German; their ends are after them. */
const MONTHS = raw`jan|feb|m[a\xe4]e?r|apr|ma[iy]|jun|jul|aug|sep|o[ck]t|nov|de[cz]`;
const MONTH = raw`\b(?:${MONTHS})(?:r?uary?|ch|z|il|[eiy]|ust|t?(?:ember)?|ober)(?![a-z])`;
const HOURS = raw`(?<h>\d\d?)[:.](?<i>\d\d)(?:[:.](?<s>\d\d))?(?!\d)(?: ?(?<p>[ap])\.?m\b\.?)?`;
const DIGITS = raw`(?:[ _t-]+(?<h>\d\d)[-:h_.]?(?<i>\d\d)(?:[-:_.]?(?<s>\d\d))?)?(?!\d)`;
/** What letters of forms are beside M, D (month, day), A and B (one of them is the month): a year, a month by name, the clock after a day. */
const PARTS: Readonly<Record<string, string>> = {
  Y: raw`(?<y>\d{4})`,
  N: `(?<m>${MONTH})`,
  C: raw`(?!\d|\.\d)(?:(?:[ T,_-]+| at | um )${HOURS}(?<z> ?Z\b|[+-]\d\d:?\d\d)?)?(?! ?\d* ?[ap]\.?m\b)`,
};
const forms = (...written: readonly string[]) =>
  written.map((one) => {
    const form = one.replace(/[A-Z]/g, (part) => PARTS[part] ?? `(?<${part.toLowerCase()}>\\d\\d?)`);
    return new RegExp(`(?<![\\d.:/-])${form}`, 'gi');
  });
/** Days as any row may say them, the year or the day first. */
export const IN_TEXT = forms('Y-M-DC', raw`D\.M\.YC`);
/** Days that only a word for reading tells from other numbers. */
export const BESIDE_WORD = [
  ...IN_TEXT,
  ...forms(
    'Y[/.]M[/.]DC',
    'A[/-]B[/-]YC',
    raw`D\.M\.(?<y>[2-4]\d)C`,
    raw`(?<y>20\d\d)(?<m>[01]\d)(?<d>[0-3]\d)${DIGITS}`,
    'D[. -]+N[., -]+YC',
    'N[. ]+D(?:st|nd|rd|th)?,? +YC',
    `N +D +${HOURS} +Y`,
  ),
];
/** What may be a day all the same, in what is left of a row. */
export const DAY_LIKE = new RegExp(
  raw`(?<![\d.:/-])(?!\d\.\d\.)\d{1,4}([-/.])\d\d?\1\d\d|\b\d\d?[. -]+${MONTH}|${MONTH}[. ]+\d`,
  'i',
);
/** Days in names of files. */
export const IN_NAME = new RegExp(raw`(?<!\d)(?<y>\d{4})-?(?<m>\d\d)-?(?<d>\d\d)${DIGITS}`, 'gi');

/** A day that was found, as it is offered; undefined where there is no such day, or the numbers do not tell which it is. */
export function writtenAs(groups: Readonly<Record<string, string | undefined>> = {}): string | undefined {
  const { y = '', a, b, h = '', i, s, p, z } = groups;
  let { m = '', d = '' } = groups;
  if (a && b) {
    if (+a < 13 && +b < 13 && a !== b) return undefined;
    [m, d] = +a > 12 ? [b, a] : [a, b];
  }
  if (/\D/.test(m)) m = `${MONTHS.split('|').findIndex((begins) => new RegExp(begins, 'i').test(m)) + 1}`;
  const two = (digits: string | number) => `${digits}`.padStart(2, '0');
  const date = `${y.padStart(4, '20')}-${two(m)}-${two(d)}`;
  if (p && (+h < 1 || +h > 12)) return undefined;
  const clock = h && `${two(p ? (+h % 12) + (/p/i.test(p) ? 12 : 0) : h)}:${i}${s ? `:${s}` : ''}`;
  const written = z ? `${date}T${clock}${z.trim().toUpperCase()}` : clock ? `${date} ${clock}` : date;
  return readTimeSpan(written) && written;
}
