import { matchFields, type PatternParts } from './patternMatch.js';
import { partsOf } from './patternParts.js';
import { contentOf } from './row.js';

/** So many bytes in a row are data, whatever is written around them. */
const BYTES = /(?<![0-9A-Za-z])[0-9a-f]{2}(?:[ \t,;|]+[0-9a-f]{2}){3}(?![0-9A-Za-z])/i;

/**
 * Tells the lines that are headings and hold no data: word for word, or with `{skip}` for what differs. One with `{skip}` is
 * never a line that begins as the lines of the dump do, or that has four bytes in a row.
 */
export function headingTest(headings: readonly string[], lines: PatternParts): (text: string) => boolean {
  const exact = new Set(headings.map(inOneBlank));
  const own = firstWord(lines.lead);
  const varying = headings
    .filter((one) => one.includes('{skip}'))
    .map(partsOf)
    .filter(({ lead }) => own === '' || firstWord(lead) !== own);
  if (headings.length === 0) return () => false;
  return (text) => {
    if (exact.has(inOneBlank(text))) return true;
    return !BYTES.test(contentOf(text)) && varying.some((parts) => matchFields(text, parts) !== undefined);
  };
}

function firstWord(text: string): string {
  return /^\S+/.exec(text)?.[0] ?? '';
}

/** Whether a heading with `{skip}` begins with a word that is no hex, by which it is known; before it may be a mark. */
export function isHeadingText(heading: string): boolean {
  const [lead = '', ...others] = heading.trim().split(/\{[^{}]*\}/);
  const fields = heading.match(/\{[^{}]*\}/g) ?? [];
  if (fields.length === 0) return heading.trim() !== '';
  const isKnown = /^(?:[^\w\s]+\s+)?[^\d\s]*[g-z][^\d\s]*(?:\s|$)/i.test(lead);
  return isKnown && fields.every((field) => field === '{skip}') && !others.slice(0, -1).includes('');
}

/** A line without its line end and blanks around it, with one blank for each run of them. */
function inOneBlank(text: string): string {
  return text.trim().replace(/\s+/g, ' ');
}
